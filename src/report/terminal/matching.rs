//! Every car against every crossing.

use itertools::Itertools;

use crate::check::Barred;
use crate::check::{Code, Outcome};
use crate::model::crossing::Layout;
use crate::model::inputs::{CarIx, CrossingIx, Inputs};
use crate::quantity::{Feet, feet_inches};
use crate::report::facts::answers::Answered;
use crate::report::facts::count;
use crate::report::facts::matching::{Fit, Matching};
use crate::report::text::{Align, Page, Table, display_width};

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
            "{fitting} of {} of the inventories fit at least one of {}.",
            count(cars.len(), "row"),
            count(crossings.len(), "crossing")
        ),
    );
    page.blank();
    page.table(2, &summary(inputs, matching, cars, crossings));
    page.blank();
    page.para(
        0,
        "In the tables below a code bars the car at the crossing; with ? for want of data; +n for n further codes. Where a crossing has several spans to choose from, the cell tells of the longest that the car fits, else of the one that it comes nearest to.",
    );
    for (dealer, rows) in &cars.iter().copied().chunk_by(|&car| inputs.car(car).dealer.clone()) {
        let rows: Vec<CarIx> = rows.collect();
        page.heading(&dealer);
        dealer_table(&mut page, inputs, matching, &rows, crossings);
    }
    legend(&mut page, matching, cars, crossings);
    page.finish()
}

/// The crossings with the number of rows that fit each.
fn summary(
    inputs: &Inputs,
    matching: &Matching,
    cars: &[CarIx],
    crossings: &[CrossingIx],
) -> Table {
    let mut table = Table::new(&[Align::Left, Align::Left, Align::Left, Align::Right]).header(&[
        "Crossing",
        "Road",
        "Spans",
        "Rows that fit",
    ]);
    for &ix in crossings {
        let crossing = inputs.crossing(ix);
        table.row([
            crossing.id.clone(),
            crossing.road.clone(),
            crossing.layouts.iter().map(Layout::describe).join("; or "),
            cars.iter().filter(|&&car| matching.fit(car, ix).passes()).count().to_string(),
        ]);
    }
    table
}

fn dealer_table(
    page: &mut Page,
    inputs: &Inputs,
    matching: &Matching,
    rows: &[CarIx],
    crossings: &[CrossingIx],
) {
    let first = rows.iter().map(|&car| display_width(&label(inputs, car))).max().unwrap_or(0) + 2;
    let verdicts = rows.iter().flat_map(|&car| {
        crossings.iter().map(move |&crossing| verdict(&matching.fit(car, crossing)))
    });
    let ids = crossings.iter().map(|&crossing| inputs.crossing(crossing).id.clone());
    let cell = ids.chain(verdicts).map(|text| display_width(&text) + 2).max().unwrap_or(2);
    // The last column needs no space behind it.
    let most = ((page.width() + 2).saturating_sub(first) / cell).max(1);
    let blocks = crossings.len().div_ceil(most).max(1);
    for (number, block) in crossings.chunks(crossings.len().div_ceil(blocks).max(1)).enumerate() {
        if number > 0 {
            page.blank();
        }
        let mut table = Table::new(&vec![Align::Left; block.len() + 1]);
        let ids = block.iter().map(|&crossing| inputs.crossing(crossing).id.as_str());
        let header: Vec<&str> = std::iter::once("Car").chain(ids).collect();
        table = table.header(&header);
        for &car in rows {
            let cells = block.iter().map(|&crossing| verdict(&matching.fit(car, crossing)));
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

/// `pass`, with the longest span passed where the crossing has several; or the first code that bars
/// and how many more.
fn verdict(fit: &Fit) -> String {
    let passed = fit.spans.iter().filter(|span| span.barred.is_empty()).map(|span| span.span);
    match passed.reduce(Feet::max) {
        Some(longest) if fit.spans.len() > 1 => return format!("pass {}", longest.0),
        Some(_) => return "pass".to_owned(),
        None => {}
    }
    let barred = fit.nearest();
    let first = barred.codes().next().map(|code| mark(barred, code)).unwrap_or_default();
    match barred.count() {
        0 | 1 => first,
        n => format!("{first}+{}", n - 1),
    }
}

/// A code, with a question mark where data is missing.
fn mark(barred: Barred, code: Code) -> String {
    let doubt = if barred.unknown(code) { "?" } else { "" };
    format!("{}{doubt}", code.id())
}

/// The names of the codes in the table.
fn legend(page: &mut Page, matching: &Matching, cars: &[CarIx], crossings: &[CrossingIx]) {
    let barred = cars
        .iter()
        .flat_map(|&car| crossings.iter().map(move |&crossing| matching.fit(car, crossing)))
        .filter(|fit| !fit.passes())
        .map(|fit| fit.nearest())
        .reduce(Barred::or)
        .unwrap_or_default();
    if barred.is_empty() {
        return;
    }
    page.heading("Codes");
    let mut table = Table::new(&[Align::Left, Align::Left]);
    for code in barred.codes() {
        table.row([code.id().to_owned(), code.kind().name.to_owned()]);
    }
    page.table(2, &table);
    page.blank();
    page.para(
        0,
        "More of one car: spanyard match --car ID; of one crossing: --crossing ID; what a code means: spanyard explain CODE.",
    );
}

/// How much of each car on each span is told.
#[derive(Clone, Copy, Debug, PartialEq, Eq)]
pub enum Detail {
    /// What bars; of a car that fits, what wants attention.
    Bars,
    /// Every check.
    All,
}

/// The checks in sentences, those that bar first.
#[must_use]
pub fn match_checks(inputs: &Inputs, answers: &[Answered], detail: Detail, width: usize) -> String {
    let mut page = Page::new(width);
    let fitting = answers.iter().filter(|answer| answer.bars().next().is_none()).count();
    let pairs = if answers.len() == 1 {
        "pair of a car and a span fits"
    } else {
        "pairs of a car and a span fit"
    };
    page.para(0, &format!("{fitting} of {} {pairs}.", answers.len()));
    for answer in answers {
        page.blank();
        let crossing = inputs.crossing(answer.site.crossing);
        let barred = answer.codes_that_bar().len();
        page.ends(
            &format!(
                "{} at {}, span {}",
                inputs.car(answer.car).name(),
                crossing.id,
                feet_inches(answer.span)
            ),
            &match barred {
                0 => "fits".to_owned(),
                1 => "barred by 1 check".to_owned(),
                n => format!("barred by {n} checks"),
            },
        );
        for (outcome, title) in TOLD {
            // What else costs money or care does not matter of a car that is out.
            let told = match detail {
                Detail::All => true,
                Detail::Bars if barred > 0 => outcome.bars(),
                Detail::Bars => *outcome == Outcome::Caution,
            };
            if !told {
                continue;
            }
            for check in answer.with(*outcome) {
                page.hanging(2, &format!("{title:<12}"), &check.sentence());
            }
        }
    }
    page.finish()
}

/// The outcomes in the order in which they are told.
const TOLD: &[(Outcome, &str)] = &[
    (Outcome::Fail, "fails"),
    (Outcome::Unknown, "unknown"),
    (Outcome::Caution, "caution"),
    (Outcome::NotChecked, "not checked"),
    (Outcome::Pass, "passes"),
];
