//! The workbook, read back: sheets, sums, and text that stays text.

use std::io::Cursor;

use calamine::{Data, Reader, Xlsx, open_workbook_from_rs};
use spanyard::quantity::Cents;
use spanyard::report::facts::PlanReport;
use spanyard::report::{tables, workbook};

use super::county::{context, county, hostile};

type Book = Xlsx<Cursor<Vec<u8>>>;

fn book(report: &PlanReport<'_>) -> Book {
    let context = context(report);
    let tables = tables::all(report, &context);
    let bytes = workbook::workbook(&tables, &context, report.inputs.order_date).unwrap();
    open_workbook_from_rs(Cursor::new(bytes)).unwrap()
}

fn cents(cell: Option<&Data>) -> i64 {
    match cell {
        Some(Data::Float(dollars)) => (dollars * 100.0).round() as i64,
        Some(Data::Int(dollars)) => dollars * 100,
        other => panic!("no money: {other:?}"),
    }
}

#[test]
fn has_a_summary_and_a_sheet_for_every_table() {
    assert_eq!(
        book(county()).sheet_names(),
        [
            "Summary",
            "Shopping list",
            "Crossings",
            "Decks",
            "To confirm",
            "Costs",
            "Refused cars",
            "Checks",
            "Inputs"
        ]
    );
}

#[test]
fn the_sums_are_formulas_and_agree_with_the_plans_cents() {
    let report = county();
    let mut book = book(report);
    let totals = report.plan.totals;
    let costs = book.worksheet_range("Costs").unwrap();
    let formulas = book.worksheet_formula("Costs").unwrap();
    let last = costs.end().unwrap().0;
    for (up, amount) in [(2, totals.outlay), (1, -totals.stock_value), (0, totals.net)] {
        let row = last - up;
        assert_eq!(cents(costs.get_value((row, 4))), amount.0, "row {row}");
        let formula = formulas.get_value((row, 4)).unwrap();
        assert!(!formula.is_empty(), "row {row} has no formula");
    }
    assert!(formulas.get_value((last, 4)).unwrap().starts_with("SUM(E2:E"));
    // What the formula adds up, added up here.
    let sum: i64 = (1..last - 2).map(|row| cents(costs.get_value((row, 4)))).sum();
    assert_eq!(sum, totals.net.0);
    assert!(formulas.get_value((last, 4)).unwrap().ends_with(&format!("E{})", last - 2)));
}

#[test]
fn each_crossings_cost_is_the_sum_of_its_lines() {
    let report = county();
    let mut book = book(report);
    let costs = book.worksheet_range("Costs").unwrap();
    let crossings = book.worksheet_range("Crossings").unwrap();
    let formulas = book.worksheet_formula("Crossings").unwrap();
    for (plan, row) in report.plan.crossings.iter().zip(1..) {
        let id = &report.inputs.crossing(plan.crossing).id;
        assert_eq!(crossings.get_value((row, 0)), Some(&Data::String(id.clone())));
        let Some(served) = plan.served() else { continue };
        assert_eq!(cents(crossings.get_value((row, 9))), served.total().0);
        assert!(formulas.get_value((row, 9)).unwrap().starts_with("SUMPRODUCT(EXACT("));
        let lines: i64 = costs
            .rows()
            .filter(|row| row[0] == Data::String(id.clone()))
            .map(|row| cents(row.get(4)))
            .sum();
        assert_eq!(lines, served.total().0, "{id}");
    }
}

#[test]
fn the_shopping_list_adds_up_to_what_dealers_are_paid_for_cars() {
    let report = county();
    let mut book = book(report);
    let list = book.worksheet_range("Shopping list").unwrap();
    let last = list.end().unwrap().0;
    let lots: Cents = report.plan.purchases.iter().flat_map(|p| &p.lots).map(|l| l.price).sum();
    let singles: Cents = report
        .plan
        .purchases
        .iter()
        .flat_map(|p| &p.singles)
        .map(|c| report.inputs.car(c.car).price.unwrap() * i64::from(c.count))
        .sum();
    assert_eq!(cents(list.get_value((last, 7))), (lots + singles).0);
}

#[test]
fn text_that_looks_like_a_formula_stays_text() {
    let report = hostile();
    let mut book = book(&report);
    let list = book.worksheet_range("Shopping list").unwrap();
    let formulas = book.worksheet_formula("Shopping list").unwrap();
    let last = list.end().unwrap().0;
    let mut seen = 0;
    for (row, column, value) in list.used_cells() {
        if matches!(value, Data::String(text) if text.starts_with(['=', '-', '+', '@'])) {
            seen += 1;
            let row = row as u32;
            assert!(
                row == last
                    || formulas.get_value((row, column as u32)).is_none_or(String::is_empty)
            );
        }
    }
    assert!(seen > 3, "the hostile county has such texts");
}

#[test]
fn the_same_plan_gives_the_same_bytes() {
    let report = county();
    let context = context(report);
    let tables = tables::all(report, &context);
    let make = || workbook::workbook(&tables, &context, report.inputs.order_date).unwrap();
    assert!(make() == make());
}

/// Whoever sums the cars of the shopping list gets the number bought: a lot's cars are counted once.
#[test]
fn the_shopping_list_counts_every_car_once() {
    let report = county();
    let shopping = tables::all(report, &context(report)).remove(0);
    let count = shopping.columns.iter().position(|column| column.key == "count").unwrap();
    let counted: i64 = shopping
        .rows
        .iter()
        .map(|row| if let tables::Cell::Count(cars) = row[count] { cars } else { 0 })
        .sum();
    let purchases = &report.plan.purchases;
    assert!(purchases.iter().any(|purchase| !purchase.lots.is_empty()));
    let bought: usize = purchases.iter().map(spanyard::report::facts::purchases::cars_bought).sum();
    let own: u32 = purchases.iter().flat_map(|p| &p.own).map(|cars| cars.count).sum();
    assert_eq!(counted, bought as i64 + i64::from(own));
}

/// What is paid stands first, every figure is a formula, and the items add up to what is paid.
#[test]
fn the_summary_adds_up_and_has_charts() {
    let report = county();
    let mut book = book(report);
    let summary = book.worksheet_range("Summary").unwrap();
    let formulas = book.worksheet_formula("Summary").unwrap();
    let row_of = |words: &str| {
        summary.rows().position(|row| row[0] == Data::String(words.to_owned())).unwrap()
    };
    let totals = report.plan.totals;
    let first = row_of("To pay");
    assert!(first < row_of("Net cost"), "to pay stands before net");
    let value = |row: usize| cents(summary.get_value((row as u32, 1)));
    assert_eq!(value(first), totals.outlay.0);
    assert_eq!(value(row_of("Worth of left-over cars")), -totals.stock_value.0);
    assert_eq!(value(row_of("Net cost")), totals.net.0);
    let filled = |row: &usize| matches!(summary.get_value((*row as u32, 1)), Some(Data::Float(_)));
    let items: Vec<usize> =
        (row_of("What it goes for") + 1..row_of("Crossing")).filter(filled).collect();
    assert!(items.len() > 10);
    assert_eq!(items.iter().map(|row| value(*row)).sum::<i64>(), totals.outlay.0);
    let crossings: Vec<usize> = (row_of("Crossing") + 1..summary.height()).filter(filled).collect();
    assert_eq!(crossings.len(), report.plan.served_count());
    for row in items.iter().chain(&crossings) {
        let formula = formulas.get_value((*row as u32, 1)).unwrap();
        assert!(formula.contains('!'), "row {row}: {formula}");
    }
    let context = context(report);
    let tables = tables::all(report, &context);
    let bytes = workbook::workbook(&tables, &context, report.inputs.order_date).unwrap();
    let archive = zip::ZipArchive::new(Cursor::new(bytes)).unwrap();
    let charts = archive
        .file_names()
        .filter(|name| name.as_ref().is_ok_and(|name| name.contains("charts/chart")));
    assert_eq!(charts.count(), 2);
}
