//! The reports as CSV, for spreadsheets.

use std::borrow::Cow;

use crate::after::compare::Scenario;
use crate::after::prices::{Beat, PricesToBeat};
use crate::check::Check;
use crate::model::inputs::{CarIx, Inputs};
use crate::model::plan::YardPurchase;
use crate::quantity::Cents;
use crate::words::is_hidden;

use super::facts::answers::Answered;
use super::facts::purchases::{self, destinations};
use super::facts::sweep::Point;
use super::facts::{self, PlanReport};

/// Why a table could not be written; does not happen when writing to memory.
#[derive(Debug, thiserror::Error)]
#[error("the table could not be written")]
pub struct NotWritten;

/// The shopping list: one row per destination of cars, one per row of left-over cars, and one per
/// lot, which alone carries the lot's price, so that the column of prices adds up.
///
/// # Errors
/// Never in practice: the table is written to memory.
pub fn plan(report: &PlanReport) -> Result<String, NotWritten> {
    let PlanReport { inputs, plan, .. } = *report;
    let mut table = Rows::new(&[
        "dealer",
        "yard",
        "lot",
        "car",
        "count",
        "crossing",
        "span_number",
        "span_ft",
        "price_usd",
        "haul_usd",
        "haul_basis_each",
    ])?;
    for purchase in &plan.purchases {
        let yard = inputs.yard(purchase.yard);
        let seller = |lot: &str| vec![yard.dealer.clone(), yard.name.clone(), lot.to_owned()];
        for cars in purchase.singles.iter().chain(&purchase.own) {
            placed(&mut table, report, purchase, &seller(""), cars.car)?;
        }
        for spare in &purchase.spares {
            let (id, count) = (&inputs.car(spare.car).id, spare.count.to_string());
            let price = dollars(purchases::single_price(inputs, purchase, spare));
            table.row(&seller(""), &[id, &count, "left over", "", "", &price, "", ""])?;
        }
        for lot in &purchase.lots {
            let seller = seller(&inputs.lot(lot.lot).name);
            let all = purchases::cars(&lot.placed) + purchases::cars(&lot.left_over);
            let price = dollars(lot.price);
            table.row(&seller, &["(whole lot)", &all.to_string(), "", "", "", &price, "", ""])?;
            for cars in &lot.placed {
                placed(&mut table, report, purchase, &seller, cars.car)?;
            }
            for left in &lot.left_over {
                let (id, count) = (&inputs.car(left.car).id, left.count.to_string());
                table.row(&seller, &[id, &count, "left over", "", "", "", "", ""])?;
            }
        }
    }
    table.finish()
}

/// A row per destination of the cars of one row of the inventory.
fn placed(
    table: &mut Rows,
    report: &PlanReport,
    purchase: &YardPurchase,
    seller: &[String],
    car: CarIx,
) -> Result<(), NotWritten> {
    let offer = report.inputs.car(car);
    for going in destinations(report.inputs, report.plan, car) {
        let crossing = report.inputs.crossing(going.site.crossing);
        let span = crossing.layouts[going.site.layout].spans[going.site.span];
        let all = |each: Cents| dollars(each * i64::from(going.count));
        let price = match purchases::price_each(report.inputs, purchase, car) {
            _ if offer.owned => "own stock".to_owned(),
            Some(price) => all(price),
            None => String::new(),
        };
        let haul = if going.basis.is_empty() { String::new() } else { dollars(going.haul) };
        table.row(
            seller,
            &[
                &offer.id,
                &going.count.to_string(),
                &crossing.id,
                &(going.site.span + 1).to_string(),
                &span.0.to_string(),
                &price,
                &haul,
                &going.basis,
            ],
        )?;
    }
    Ok(())
}

/// Cars on spans: what each fits, and every check that bars it.
///
/// # Errors
/// Never in practice: the table is written to memory.
pub fn match_report(inputs: &Inputs, answers: &[Answered]) -> Result<String, NotWritten> {
    let mut table = Rows::new(&[
        "dealer",
        "car",
        "quantity",
        "crossing",
        "span_ft",
        "fits",
        "barred_by",
        "reasons",
    ])?;
    for answer in answers {
        let offer = inputs.car(answer.car);
        let codes = answer.codes_that_bar();
        let reasons: Vec<String> = answer.bars().map(Check::sentence).collect();
        table.row(
            &[offer.dealer.clone(), offer.id.clone()],
            &[
                &offer.quantity.to_string(),
                &inputs.crossing(answer.site.crossing).id,
                &answer.span.0.to_string(),
                if codes.is_empty() { "yes" } else { "no" },
                &codes.join(" "),
                &reasons.join(" | "),
            ],
        )?;
    }
    table.finish()
}

/// Prices to beat: one row per car or lot.
///
/// # Errors
/// Never in practice: the table is written to memory.
pub fn prices(inputs: &Inputs, prices: &PricesToBeat) -> Result<String, NotWritten> {
    let mut table = Rows::new(&[
        "car_or_lot",
        "cars_offered",
        "in_plan",
        "asked_usd",
        "price_to_beat_usd",
        "without_net_usd",
        "discount_saves_usd",
        "found",
    ])?;
    for offer in &prices.list {
        let price = match offer.beat {
            Beat::Below(price) => dollars(price),
            Beat::Never | Beat::Always => facts::prices::beat(offer),
        };
        table.row(
            &[facts::prices::name(inputs, offer.subject)],
            &[
                &facts::prices::offered(inputs, offer.subject).to_string(),
                &offer.chosen.to_string(),
                &dollars(offer.asked),
                &price,
                &dollars(offer.without.net),
                &dollars(offer.saves),
                &facts::prices::found(offer),
            ],
        )?;
    }
    table.finish()
}

/// Plans side by side: a row for each figure, a column for each plan.
///
/// # Errors
/// Never in practice: the table is written to memory.
pub fn compare(scenarios: &[Scenario]) -> Result<String, NotWritten> {
    let names = scenarios.iter().map(|scenario| scenario.name.as_str());
    let header: Vec<&str> = std::iter::once("figure").chain(names).collect();
    let mut table = Rows::new(&header)?;
    for line in facts::compare::lines(scenarios) {
        let cells: Vec<&str> = line.cells.iter().map(String::as_str).collect();
        table.row(&[line.label.trim().to_owned()], &cells)?;
    }
    table.finish()
}

/// What money buys: a row for each budget.
///
/// # Errors
/// Never in practice: the table is written to memory.
pub fn sweep(points: &[Point]) -> Result<String, NotWritten> {
    let ranks = points.first().map_or(&[][..], |point| &point.service);
    let names: Vec<String> =
        ranks.iter().map(|(rank, _, _)| format!("served_priority_{rank}")).collect();
    let mut header = vec!["budget_usd", "crossings", "served"];
    header.extend(names.iter().map(String::as_str));
    header.extend([
        "outlay_usd",
        "net_usd",
        "proven",
        "go_without",
        "saves_against_other_bridges_usd",
        "other_bridge_cheaper_at",
    ]);
    let mut table = Rows::new(&header)?;
    for point in points {
        let mut cells = vec![point.crossings().to_string(), point.served().to_string()];
        cells.extend(point.service.iter().map(|(_, served, _)| served.to_string()));
        cells.extend([
            dollars(point.outlay),
            dollars(point.net),
            if point.proven { "yes" } else { "no" }.to_owned(),
            point.unserved.join(" "),
            point.saves.map(dollars).unwrap_or_default(),
            point.left_to_other.join(" "),
        ]);
        let cells: Vec<&str> = cells.iter().map(String::as_str).collect();
        table.row(&[dollars(point.budget)], &cells)?;
    }
    table.finish()
}

/// Dollars with cents and nothing else, as a spreadsheet reads them.
fn dollars(amount: Cents) -> String {
    let sign = if amount.0 < 0 { "-" } else { "" };
    let magnitude = amount.0.unsigned_abs();
    format!("{sign}{}.{:02}", magnitude / 100, magnitude % 100)
}

/// A cell that stays one cell of text in every spreadsheet. Text that begins like a formula, such as a
/// dealer's `=cmd`, gets an apostrophe in front, which spreadsheets read as "this is text"; where the
/// semicolon separates cells, as in much of Europe, a text with one would be split, and its rest might
/// be a formula, so it gets a comma. Characters that do not show, or change the direction of those
/// around them, are shown as what they are. Numbers stay.
#[must_use]
pub fn harmless(cell: &str) -> Cow<'_, str> {
    /// The wide ones are formulas where such signs are usual.
    const SIGNS: [char; 8] = ['=', '+', '-', '@', '＝', '＋', '－', '＠'];
    let strange = |c: char| c == ';' || c.is_control() || is_hidden(c);
    let like_formula = cell.trim_start().starts_with(SIGNS);
    if cell.parse::<f64>().is_ok() || !(like_formula || cell.contains(strange)) {
        return Cow::Borrowed(cell);
    }
    let plain = |c: char| match c {
        ';' => ',',
        c if c.is_whitespace() => ' ',
        c if c.is_control() || is_hidden(c) => '\u{fffd}',
        c => c,
    };
    let text: String = cell.chars().map(plain).collect();
    Cow::Owned(if text.trim_start().starts_with(SIGNS) { format!("'{text}") } else { text })
}

/// A table being written.
pub(super) struct Rows(::csv::Writer<Vec<u8>>);

impl Rows {
    pub(super) fn new(header: &[&str]) -> Result<Self, NotWritten> {
        let mut rows = Self(::csv::Writer::from_writer(Vec::new()));
        rows.0.write_record(header).map_err(|_| NotWritten)?;
        Ok(rows)
    }

    pub(super) fn row(&mut self, who: &[String], cells: &[&str]) -> Result<(), NotWritten> {
        let cells = who.iter().map(String::as_str).chain(cells.iter().copied()).map(harmless);
        self.0.write_record(cells.map(|cell| cell.into_owned())).map_err(|_| NotWritten)
    }

    pub(super) fn finish(self) -> Result<String, NotWritten> {
        let bytes = self.0.into_inner().map_err(|_| NotWritten)?;
        String::from_utf8(bytes).map_err(|_| NotWritten)
    }
}

/// The questions, a row for each.
///
/// # Errors
/// Never in practice: the table is written to memory.
pub fn ask(inputs: &Inputs, asked: &crate::after::ask::Asked) -> Result<String, NotWritten> {
    let mut table =
        Rows::new(&["dealer", "yard", "car", "fact", "value_needed", "opens", "how_to_find_out"])?;
    for question in &asked.questions {
        let yard = inputs.yard(inputs.car(question.car).yard);
        let cells = super::facts::ask::row(inputs, question);
        let [car, fact, value, opens, how] = &cells;
        let seller = [yard.dealer.clone(), yard.name.clone()];
        table.row(&seller, &[car, fact, value, opens, how])?;
    }
    for route in &asked.routes {
        let [crossing, what, value] = super::facts::ask::route_row(inputs, route);
        let nobody = [String::new(), String::new()];
        table.row(&nobody, &["", &what, &value, &crossing, "survey"])?;
    }
    table.finish()
}

#[cfg(test)]
mod tests {
    use super::*;
    use crate::report::facts::matching::Matching;
    use crate::report::fixture;
    use crate::survey::Survey;

    #[test]
    fn formulas_in_text_are_defused_and_numbers_are_not() {
        for (cell, written) in [
            ("=cmd|'/C calc'!A0", "'=cmd|'/C calc'!A0"),
            (" =1+1", "' =1+1"),
            ("@SUM(A1)", "'@SUM(A1)"),
            ("+1+1", "'+1+1"),
            ("-lot", "'-lot"),
            ("\t=1", "' =1"),
            ("\u{feff}=1", "\u{fffd}=1"),
            ("＝1+1", "'＝1+1"),
            ("sound; =1+1", "sound, =1+1"),
            ("a\u{0}b\u{1b}[2J\u{9b}5m", "a\u{fffd}b\u{fffd}[2J\u{fffd}5m"),
            ("x\u{202e}y", "x\u{fffd}y"),
            ("two\r\nlines", "two  lines"),
            ("-40.25", "-40.25"),
            ("8400.00", "8400.00"),
            ("UD-7", "UD-7"),
            ("", ""),
        ] {
            assert_eq!(harmless(cell), written);
        }
        let mut rows = Rows::new(&["dealer", "car"]).unwrap();
        rows.row(&["=1+1".to_owned()], &["@x"]).unwrap();
        assert_eq!(rows.finish().unwrap(), "dealer,car\n'=1+1,'@x\n");
    }

    #[test]
    fn the_shopping_list_has_a_row_per_destination_and_per_left_over_row() {
        let (inputs, made, files) = (fixture::inputs(), fixture::plan(), fixture::files());
        let survey = Survey::with(&inputs, |_, _| Vec::new());
        let matching = Matching::new(&inputs, &survey);
        let report =
            PlanReport { inputs: &inputs, plan: &made, matching: &matching, files: &files };
        let text = plan(&report).unwrap();
        let mut reader = ::csv::Reader::from_reader(text.as_bytes());
        let rows: Vec<Vec<String>> = reader
            .records()
            .map(|row| row.unwrap().iter().take(9).map(str::to_owned).collect())
            .collect();
        let drumfell = ["Drumfell Reclaim", "Upper Drum", ""];
        let sallowby = ["Sallowby Steel and Rail", "Sallowby Spur", "L-7"];
        let expected = [
            (drumfell, ["DR-10", "1", "TC-01", "1", "46", "8400.00"]),
            (drumfell, ["DR-20", "1", "TC-01", "1", "46", "8400.00"]),
            (drumfell, ["DR-20", "1", "TC-02", "2", "45", "8400.00"]),
            (sallowby, ["(whole lot)", "3", "", "", "", "21000.00"]),
            (sallowby, ["SS-1", "1", "TC-02", "1", "45", ""]),
            (sallowby, ["SS-2", "1", "TC-02", "1", "45", ""]),
            (sallowby, ["SS-3", "1", "left over", "", "", ""]),
        ];
        let expected: Vec<Vec<String>> = expected
            .iter()
            .map(|(seller, row)| seller.iter().chain(row).map(|s| (*s).to_owned()).collect())
            .collect();
        assert_eq!(rows, expected);
    }

    #[test]
    fn amounts_for_a_spreadsheet() {
        for (cents, text) in [(0, "0.00"), (5, "0.05"), (-5, "-0.05"), (123_456, "1234.56")] {
            assert_eq!(dollars(Cents(cents)), text);
        }
    }
}
