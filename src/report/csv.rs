//! The reports as CSV, for spreadsheets.

use crate::check::Check;
use crate::model::inputs::Inputs;
use crate::quantity::Cents;

use super::facts::PlanReport;
use super::facts::answers::Answered;
use super::facts::purchases::destinations;

/// Why a table could not be written; does not happen when writing to memory.
#[derive(Debug, thiserror::Error)]
#[error("the table could not be written")]
pub struct NotWritten;

/// The shopping list: one row per destination of a row of the inventory, and one per row of
/// left-over cars.
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
        "lot_price_usd",
        "haul_usd",
        "haul_basis",
    ])?;
    for purchase in &plan.purchases {
        let yard = inputs.yard(purchase.yard);
        let singles = purchase.singles.iter().map(|cars| (cars, None));
        let lots =
            purchase.lots.iter().flat_map(|lot| lot.placed.iter().map(move |c| (c, Some(lot))));
        for (cars, lot) in singles.chain(lots) {
            let car = inputs.car(cars.car);
            for going in destinations(inputs, plan, cars.car) {
                let crossing = inputs.crossing(going.site.crossing);
                let span = crossing.layouts[going.site.layout].spans[going.site.span];
                let times = i64::from(going.count);
                table.row(&[
                    yard.dealer.clone(),
                    yard.name.clone(),
                    lot.map(|lot| inputs.lot(lot.lot).name.clone()).unwrap_or_default(),
                    car.id.clone(),
                    going.count.to_string(),
                    crossing.id.clone(),
                    (going.site.span + 1).to_string(),
                    span.0.to_string(),
                    if lot.is_none() {
                        car.price.map(|price| dollars(price * times)).unwrap_or_default()
                    } else {
                        String::new()
                    },
                    lot.map(|lot| dollars(lot.price)).unwrap_or_default(),
                    going
                        .haul
                        .as_ref()
                        .map(|line| dollars(line.amount * times))
                        .unwrap_or_default(),
                    going.haul.map(|line| line.basis).unwrap_or_default(),
                ])?;
            }
        }
        for lot in &purchase.lots {
            for left in &lot.left_over {
                let mut row = vec![String::new(); 12];
                row[0].clone_from(&yard.dealer);
                row[1].clone_from(&yard.name);
                row[2].clone_from(&inputs.lot(lot.lot).name);
                row[3].clone_from(&inputs.car(left.car).id);
                row[4] = left.count.to_string();
                row[5] = "left over".to_owned();
                row[9] = dollars(lot.price);
                table.row(&row)?;
            }
        }
    }
    table.finish()
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
        table.row(&[
            offer.dealer.clone(),
            offer.id.clone(),
            offer.quantity.to_string(),
            inputs.crossing(answer.site.crossing).id.clone(),
            answer.span.0.to_string(),
            if codes.is_empty() { "yes" } else { "no" }.to_owned(),
            codes.join(" "),
            reasons.join(" | "),
        ])?;
    }
    table.finish()
}

/// Dollars with cents and nothing else, as a spreadsheet reads them.
fn dollars(amount: Cents) -> String {
    let sign = if amount.0 < 0 { "-" } else { "" };
    let magnitude = amount.0.unsigned_abs();
    format!("{sign}{}.{:02}", magnitude / 100, magnitude % 100)
}

struct Rows(::csv::Writer<Vec<u8>>);

impl Rows {
    fn new(header: &[&str]) -> Result<Self, NotWritten> {
        let mut rows = Self(::csv::Writer::from_writer(Vec::new()));
        rows.0.write_record(header).map_err(|_| NotWritten)?;
        Ok(rows)
    }

    fn row(&mut self, cells: &[String]) -> Result<(), NotWritten> {
        self.0.write_record(cells).map_err(|_| NotWritten)
    }

    fn finish(self) -> Result<String, NotWritten> {
        let bytes = self.0.into_inner().map_err(|_| NotWritten)?;
        String::from_utf8(bytes).map_err(|_| NotWritten)
    }
}
