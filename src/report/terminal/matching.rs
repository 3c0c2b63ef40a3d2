//! Every car against every crossing.

use itertools::Itertools;

use crate::check::{Check, Code, Outcome};
use crate::model::inputs::{CarIx, CrossingIx, Inputs, Site};
use crate::quantity::{Feet, feet_inches};
use crate::report::facts::count;
use crate::report::facts::matching::{Bar, Fit, Matching};
use crate::report::text::{Align, Page, Table, display_width};

/// The least width of a crossing's column: one code with its mark and a count, `S05?+12`.
const LEAST_CELL: usize = 8;

/// The table of cars against crossings, dealer by dealer, in as many blocks of crossings as the
/// width asks for.
#[must_use]
pub fn match_table(
    inputs: &Inputs,
    matching: &Matching,
    cars: &[CarIx],
    crossings: &[CrossingIx],
    width: usize,
) -> String {
    let mut page = Page::new(width);
    let fitting = cars
        .iter()
        .filter(|&&car| crossings.iter().any(|&crossing| matching.fit(car, crossing).passes()))
        .count();
    page.para(
        0,
        &format!(
            "{} against {}: {fitting} of {} fit at least one.",
            count(cars.len(), "row of cars"),
            count(crossings.len(), "crossing"),
            cars.len()
        ),
    );
    page.para(
        0,
        "A code bars the car there; with ? for want of data; +n for n further codes. Where a crossing may have piers, the cell tells the span where the car comes nearest.",
    );
    for (dealer, rows) in &cars.iter().copied().chunk_by(|&car| inputs.car(car).dealer.clone()) {
        let rows: Vec<CarIx> = rows.collect();
        page.heading(&dealer);
        dealer_table(&mut page, inputs, matching, &rows, crossings);
    }
    legend(&mut page, matching, cars, crossings);
    page.finish()
}

fn dealer_table(
    page: &mut Page,
    inputs: &Inputs,
    matching: &Matching,
    rows: &[CarIx],
    crossings: &[CrossingIx],
) {
    let first = rows.iter().map(|&car| display_width(&label(inputs, car))).max().unwrap_or(0) + 2;
    let cell = crossings
        .iter()
        .map(|&crossing| display_width(&inputs.crossing(crossing).id) + 2)
        .max()
        .unwrap_or(0)
        .max(LEAST_CELL + 2);
    let per_block = (page.width().saturating_sub(first) / cell).max(1);
    for (number, block) in crossings.chunks(per_block).enumerate() {
        if number > 0 {
            page.blank();
        }
        let mut table = Table::new(&vec![Align::Left; block.len() + 1]);
        let ids = block.iter().map(|&crossing| inputs.crossing(crossing).id.as_str());
        let header: Vec<&str> = std::iter::once("Car").chain(ids).collect();
        table = table.header(&header);
        for &car in rows {
            let cells = block.iter().map(|&crossing| verdict(matching.fit(car, crossing)));
            table.row_of(std::iter::once(label(inputs, car)).chain(cells).collect());
        }
        page.table(0, &table);
    }
}

/// The car's ID, with the number of cars of a batch.
fn label(inputs: &Inputs, car: CarIx) -> String {
    let car = inputs.car(car);
    if car.quantity > 1 { format!("{} x{}", car.id, car.quantity) } else { car.id.clone() }
}

/// `pass`, or the first code that bars and how many more.
fn verdict(fit: &Fit) -> String {
    if fit.passes() {
        return "pass".to_owned();
    }
    let bars = fit.best().map(|span| span.bars.as_slice()).unwrap_or_default();
    match bars {
        [] => String::new(),
        [one] => mark(one),
        [first, rest @ ..] => format!("{}+{}", mark(first), rest.len()),
    }
}

/// A code, with a question mark where data is missing.
pub fn mark(bar: &Bar) -> String {
    let doubt = if bar.outcome == Outcome::Unknown { "?" } else { "" };
    format!("{}{doubt}", bar.code.id())
}

/// The names of the codes in the table.
fn legend(page: &mut Page, matching: &Matching, cars: &[CarIx], crossings: &[CrossingIx]) {
    let codes: Vec<Code> = cars
        .iter()
        .flat_map(|&car| crossings.iter().map(move |&crossing| matching.fit(car, crossing)))
        .filter(|fit| !fit.passes())
        .filter_map(Fit::best)
        .flat_map(|span| span.bars.iter().map(|bar| bar.code))
        .sorted()
        .dedup()
        .collect();
    if codes.is_empty() {
        return;
    }
    page.heading("Codes");
    let mut table = Table::new(&[Align::Left, Align::Left]);
    for code in codes {
        table.row([code.id().to_owned(), code.kind().name.to_owned()]);
    }
    page.table(2, &table);
    page.blank();
    page.para(
        0,
        "All checks of one car: spanyard match --car ID; of one crossing: --crossing ID; what a code means: spanyard explain CODE.",
    );
}

/// Every check of one car on one span, in sentences, those that bar first.
#[must_use]
pub fn match_checks(
    inputs: &Inputs,
    answers: &[(CarIx, Site, Feet, Vec<Check>)],
    width: usize,
) -> String {
    let mut page = Page::new(width);
    for (number, (car, site, span, checks)) in answers.iter().enumerate() {
        if number > 0 {
            page.blank();
        }
        let crossing = inputs.crossing(site.crossing);
        let barred = checks.iter().filter(|check| check.outcome.bars()).count();
        page.ends(
            &format!("{} at {}, span {}", inputs.car(*car).name(), crossing.id, feet_inches(*span)),
            &if barred == 0 {
                "fits".to_owned()
            } else {
                format!("barred by {}", count(barred, "check"))
            },
        );
        for (outcome, title) in [
            (Outcome::Fail, "fails"),
            (Outcome::Unknown, "unknown"),
            (Outcome::Caution, "caution"),
            (Outcome::Pass, "passes"),
            (Outcome::NotChecked, "not checked"),
        ] {
            for check in checks.iter().filter(|check| check.outcome == outcome) {
                page.hanging(2, &format!("{title:<12} "), &check.sentence());
            }
        }
    }
    page.finish()
}
