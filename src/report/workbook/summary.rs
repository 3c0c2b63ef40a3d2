//! The first sheet: what is paid, what each crossing costs and what the money goes for, with charts.
//! Every figure is a formula over the sheets behind it.

use rust_xlsxwriter::{Chart, ChartLegendPosition, ChartType, Formula, Worksheet, XlsxError};

use super::sums::{letter, money};
use super::{Formats, set_print};
use crate::model::plan::CostItem;
use crate::quantity::Cents;
use crate::report::provenance::PageContext;
use crate::report::tables::{Cell, Table};

/// Name of the sheet.
pub const NAME: &str = "Summary";

/// Rows of a chart, at most: of more crossings the bars could not be told apart.
const BARS: usize = 60;

/// Where the costs stand.
struct Costs<'a> {
    table: &'a Table,
    item: usize,
    amount: usize,
}

impl<'a> Costs<'a> {
    fn of(tables: &'a [Table]) -> Option<Self> {
        let table = tables.iter().find(|table| table.name == "costs")?;
        Some(Self { table, item: table.column("item")?, amount: table.column("amount_usd")? })
    }

    /// The cells of a column, for a formula.
    fn cells(&self, column: usize) -> String {
        let (letter, last) = (letter(column), self.table.rows.len() + 1);
        format!("{}!${letter}$2:${letter}${last}", self.table.title)
    }

    fn sum(&self, counts: impl Fn(Option<&Cell>) -> bool) -> Cents {
        let rows = self.table.rows.iter().filter(|row| counts(row.get(self.item)));
        rows.filter_map(|row| money(row.get(self.amount))).sum()
    }

    fn of_item(&self, word: &str) -> Cents {
        self.sum(|cell| matches!(cell, Some(Cell::Text(text)) if text == word))
    }

    /// A sum over the lines of one item.
    fn formula(&self, word: &str) -> String {
        format!("SUMIF({},\"{word}\",{})", self.cells(self.item), self.cells(self.amount))
    }
}

/// Writes the sheet.
pub fn write(
    sheet: &mut Worksheet,
    tables: &[Table],
    formats: &Formats,
    context: &PageContext,
) -> Result<(), XlsxError> {
    sheet.set_name(NAME)?;
    sheet.set_column_width(0, 34)?;
    sheet.set_column_width(1, 18)?;
    let agency = context.agency.as_deref().unwrap_or("Agency");
    let title = format!("{agency}: flat-car bridges, plan {}", context.plan_id);
    sheet.write_string_with_format(0, 0, title, &formats.bold)?;
    sheet.write_string(1, 0, format!("Orders on {}", context.order_date))?;
    set_print(sheet, context, 1);
    let Some(costs) = Costs::of(tables).filter(|costs| !costs.table.rows.is_empty()) else {
        sheet.write_string(3, 0, "Nothing is bought.")?;
        return Ok(());
    };
    let mut at = 3;
    at = totals(sheet, &costs, formats, at)?;
    at = items(sheet, &costs, formats, at + 1)?;
    crossings(sheet, tables, formats, at + 1)
}

/// To pay before net: the board pays the first.
fn totals(
    sheet: &mut Worksheet,
    costs: &Costs<'_>,
    formats: &Formats,
    at: u32,
) -> Result<u32, XlsxError> {
    let stock = CostItem::StockValue.word();
    let (net, worth) = (costs.sum(|_| true), costs.of_item(stock));
    let all = format!("SUM({})", costs.cells(costs.amount));
    let rows = [
        ("To pay", format!("={all}-{}", costs.formula(stock)), net - worth),
        ("Worth of left-over cars", format!("={}", costs.formula(stock)), worth),
        ("Net cost", format!("={all}"), net),
    ];
    for (row, (words, formula, result)) in (at..).zip(rows) {
        sheet.write_string_with_format(row, 0, words, &formats.bold)?;
        put(sheet, row, &formula, result, formats)?;
    }
    Ok(at + 3)
}

/// What the money goes for, the greatest first, as a table and bars.
fn items(
    sheet: &mut Worksheet,
    costs: &Costs<'_>,
    formats: &Formats,
    at: u32,
) -> Result<u32, XlsxError> {
    let mut items: Vec<(&str, Cents)> = CostItem::ALL
        .iter()
        .map(|item| (item.word(), costs.of_item(item.word())))
        .filter(|(word, sum)| *sum != Cents::ZERO && *word != CostItem::StockValue.word())
        .collect();
    items.sort_by_key(|(_, sum)| std::cmp::Reverse(*sum));
    sheet.write_string_with_format(at, 0, "What it goes for", &formats.header)?;
    sheet.write_string_with_format(at, 1, "US dollars", &formats.header)?;
    for (row, (word, sum)) in (at + 1..).zip(&items) {
        sheet.write_string(row, 0, *word)?;
        put(sheet, row, &format!("={}", costs.formula(word)), *sum, formats)?;
    }
    let last = at + items.len() as u32;
    chart(sheet, "What the money goes for", (at + 1, last), 2)?;
    Ok(last + 1)
}

/// What each crossing costs in place, as a table and bars.
fn crossings(
    sheet: &mut Worksheet,
    tables: &[Table],
    formats: &Formats,
    at: u32,
) -> Result<(), XlsxError> {
    let Some(table) = tables.iter().find(|table| table.name == "crossings") else {
        return Ok(());
    };
    let Some(cost) = table.column("cost_usd") else { return Ok(()) };
    sheet.write_string_with_format(at, 0, "Crossing", &formats.header)?;
    sheet.write_string_with_format(at, 1, "In place, US dollars", &formats.header)?;
    let mut row = at;
    for (of, line) in table.rows.iter().zip(2..) {
        let (Some(Cell::Text(id)), Some(sum)) = (of.first(), money(of.get(cost))) else { continue };
        row += 1;
        sheet.write_string(row, 0, id.as_str())?;
        let letter = letter(cost);
        put(sheet, row, &format!("={}!${letter}${line}", table.title), sum, formats)?;
    }
    if row > at && (row - at) as usize <= BARS {
        // Beside the other chart, not over it.
        chart(sheet, "What each crossing costs in place", (at + 1, row), 24)?;
    }
    Ok(())
}

/// Bars of the rows from the first to the last, beginning at a row of the sheet.
fn chart(
    sheet: &mut Worksheet,
    title: &str,
    (first, last): (u32, u32),
    at: u32,
) -> Result<(), XlsxError> {
    let mut chart = Chart::new(ChartType::Bar);
    chart
        .add_series()
        .set_categories((NAME, first, 0, last, 0))
        .set_values((NAME, first, 1, last, 1))
        .set_name("US dollars");
    chart.title().set_name(title);
    chart.x_axis().set_reverse();
    chart.y_axis().set_name("US dollars").set_num_format("$#,##0");
    chart.legend().set_position(ChartLegendPosition::Bottom).set_hidden();
    let high = 90 + 20 * (last - first + 1);
    chart.set_width(520).set_height(high.clamp(220, 420));
    sheet.insert_chart(at, 3, &chart)?;
    Ok(())
}

fn put(
    sheet: &mut Worksheet,
    row: u32,
    formula: &str,
    result: Cents,
    formats: &Formats,
) -> Result<(), XlsxError> {
    let formula = Formula::new(formula).set_result(result.as_dollars().to_string());
    sheet.write_formula_with_format(row, 1, formula, &formats.money)?;
    Ok(())
}
