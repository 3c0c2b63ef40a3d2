//! The calculation sheet of a rating.

use crate::model::car::Car;
use crate::model::crossing::Crossing;
use crate::quantity::{Feet, Ratio};
use crate::rate::Unrateable;
use crate::rate::sheet::{Amount, Line, Sheet};
use crate::report::text::{Align, Page, Table, display_width};

/// Columns for a symbol.
const SYMBOL: usize = 7;

/// One calculation sheet.
#[must_use]
pub fn sheet(sheet: &Sheet, width: usize) -> String {
    let mut page = Page::new(width);
    page.para(
        0,
        &format!("Calculation sheet: {} at {}, {}", sheet.car, sheet.crossing, sheet.road),
    );
    page.para(
        0,
        &format!(
            "Span {}; car of {}; crossing of {}",
            Amount::from(sheet.span),
            sheet.car_place,
            sheet.crossing_place
        ),
    );
    page.blank();
    page.para(0, &sheet.governs);
    page.heading("Rating factors at the levels that the rules look at");
    page.table(0, &summary(sheet));
    for part in &sheet.parts {
        page.heading(&part.title);
        for line in &part.lines {
            write(&mut page, line);
        }
    }
    list(&mut page, "Not checked", &sheet.not_checked);
    list(&mut page, "Assumptions and limits of use", &sheet.limits);
    page.finish()
}

/// Why there is no sheet.
#[must_use]
pub fn no_sheet(
    car: &Car,
    crossing: &Crossing,
    span: Feet,
    reasons: &Unrateable,
    width: usize,
) -> String {
    let mut page = Page::new(width);
    page.para(0, &format!("{} at {}, span {}", car.name(), crossing.id, Amount::from(span)));
    page.para(0, &format!("Car of {}; crossing of {}", car.place, crossing.place));
    page.blank();
    page.para(0, "It cannot be rated:");
    for reason in &reasons.reasons {
        page.hanging(2, "- ", reason);
    }
    page.finish()
}

fn summary(sheet: &Sheet) -> Table {
    let mut aligns = vec![Align::Left];
    aligns.extend([Align::Right; 6]);
    let mut table = Table::new(&aligns).header(&[
        "Vehicle",
        "Bending, ASR",
        "Bending, LRFR",
        "Shear, ASR",
        "Shear, LRFR",
        "Least",
        "Sign",
    ]);
    let factor = |factor: Ratio| format!("{factor:.3}");
    let some = |value: Option<Ratio>| value.map_or("not checked".to_owned(), factor);
    for row in &sheet.summary {
        table.row([
            row.vehicle.clone(),
            factor(row.bending_allowable),
            factor(row.bending_factored),
            some(row.shear_allowable),
            some(row.shear_factored),
            factor(row.least),
            row.posting.clone(),
        ]);
    }
    table
}

fn write(page: &mut Page, line: &Line) {
    let governs = if line.governs { " <== governs" } else { "" };
    let symbol = format!("{:<SYMBOL$}", line.symbol);
    let right = format!("{}{governs}", line.result);
    let from = [&line.source, &line.place].into_iter().filter(|words| !words.is_empty());
    let from = from.map(String::as_str).collect::<Vec<_>>().join("; ");
    let from = if from.is_empty() { from } else { format!("[{from}]") };
    let fits = |left: &str| display_width(left) + display_width(&right) + 2 <= page.width();
    // An input and its place share a line where they fit.
    let with_place = format!("{symbol}{}  {from}", line.label);
    if line.formula.is_empty() && fits(&with_place) {
        page.ends(&with_place, &right);
        return;
    }
    let left = format!("{symbol}{}", line.label);
    if fits(&left) {
        page.ends(&left, &right);
    } else {
        page.hanging(0, &symbol, &line.label);
        page.ends("", &right);
    }
    let steps = match (line.formula.is_empty(), line.numbers.is_empty()) {
        (true, _) => String::new(),
        (false, true) => format!("= {}", line.formula),
        (false, false) => format!("= {} = {}", line.formula, line.numbers),
    };
    if !steps.is_empty() {
        page.para(SYMBOL, &steps);
    }
    if !from.is_empty() {
        page.para(SYMBOL, &from);
    }
}

fn list(page: &mut Page, title: &str, entries: &[String]) {
    if entries.is_empty() {
        return;
    }
    page.heading(title);
    for entry in entries {
        page.hanging(0, "- ", entry);
    }
}
