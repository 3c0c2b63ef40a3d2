//! Why cars are refused, and every check asked of what was chosen.

use super::{Cell, Column, Kind, Table, column};
use crate::check::Check;
use crate::report::facts::PlanReport;
use crate::report::facts::nearest::misfits;
use crate::survey;

const REFUSED: &[Column] = &[
    column("dealer", "Dealer", Kind::Word),
    column("yard", "Yard", Kind::Word),
    column("car", "Car", Kind::Word),
    column("count", "Cars", Kind::Count),
    column("nearest_crossing", "Nearest fit", Kind::Word),
    column("span_ft", "Span, ft", Kind::Measure(2)),
    column("code", "Check", Kind::Word),
    column("outcome", "Outcome", Kind::Word),
    column("reason", "Reason there", Kind::Words),
    column("remedy", "What would help", Kind::Words),
];

/// Cars that fit no crossing, with every reason at the crossing that they come nearest to.
pub fn refused(report: &PlanReport<'_>) -> Table {
    let inputs = report.inputs;
    let mut rows = Vec::new();
    for fit in misfits(report) {
        let car = inputs.car(fit.car);
        for check in survey::checks(inputs, fit.car, fit.site) {
            if !check.outcome.bars() {
                continue;
            }
            rows.push(vec![
                car.dealer.as_str().into(),
                inputs.yard(car.yard).name.as_str().into(),
                car.id.as_str().into(),
                car.quantity.into(),
                inputs.crossing(fit.site.crossing).id.as_str().into(),
                fit.span.0.into(),
                check.code.id().into(),
                check.outcome.word().into(),
                check.sentence().into(),
                check.code.kind().remedy.into(),
            ]);
        }
    }
    Table { name: "refused", title: "Refused cars", columns: REFUSED, rows }
}

const CHECKS: &[Column] = &[
    column("crossing", "Crossing", Kind::Word),
    column("span_number", "Span no.", Kind::Count),
    column("subject", "Car or deck", Kind::Word),
    column("code", "Check", Kind::Word),
    column("name", "Question", Kind::Words),
    column("part", "Part", Kind::Word),
    column("measured", "Measured", Kind::Word),
    column("limit", "Limit", Kind::Word),
    column("margin", "Margin", Kind::Word),
    column("outcome", "Outcome", Kind::Word),
    column("note", "Remark", Kind::Words),
];

/// Every check of every placed car and every deck.
pub fn checks(report: &PlanReport<'_>) -> Table {
    let inputs = report.inputs;
    let mut rows = Vec::new();
    let served = report.plan.crossings.iter().filter_map(|crossing| crossing.served());
    for deck in served.flat_map(|served| &served.decks) {
        let crossing = inputs.crossing(deck.site.crossing).id.as_str();
        let span = deck.site.span + 1;
        for placed in &deck.cars {
            let car = inputs.car(placed.car).id.as_str();
            rows.extend(placed.checks.iter().map(|check| row(crossing, span, car, check)));
        }
        rows.extend(deck.checks.iter().map(|check| row(crossing, span, "deck", check)));
    }
    Table { name: "checks", title: "Checks", columns: CHECKS, rows }
}

fn row(crossing: &str, span: usize, subject: &str, check: &Check) -> Vec<Cell> {
    vec![
        crossing.into(),
        span.into(),
        subject.into(),
        check.code.id().into(),
        check.code.kind().name.into(),
        check.part.as_str().into(),
        check.measured.to_string().into(),
        check.limit.to_string().into(),
        check.margin.as_ref().map(ToString::to_string).into(),
        check.outcome.word().into(),
        check.note.as_str().into(),
    ]
}
