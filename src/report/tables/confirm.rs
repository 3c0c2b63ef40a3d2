//! What has to be confirmed before money is paid, a row for each fact.

use super::{Cell, Column, Kind, Table, column};
use crate::report::facts::PlanReport;
use crate::report::facts::confirm::{fact, if_refused, known};

const COLUMNS: &[Column] = &[
    column("crossing", "Crossing", Kind::Word),
    column("span", "Span", Kind::Count),
    column("dealer", "Dealer", Kind::Word),
    column("car", "Car", Kind::Word),
    column("fact", "To confirm", Kind::Words),
    column("evidence_now", "Known now", Kind::Word),
    column("evidence_needed", "Needed", Kind::Word),
    column("value_needed", "Must be", Kind::Words),
    column("asked", "How to find out", Kind::Words),
    column("if_refused", "If refused", Kind::Words),
    column("found", "Found", Kind::Word),
];

/// One row for each confirmation.
pub fn confirmations(report: &PlanReport<'_>) -> Table {
    let mut rows = Vec::new();
    for planned in &report.plan.crossings {
        let Some(served) = planned.served() else { continue };
        for one in &served.confirmations {
            let car = report.inputs.car(one.car);
            rows.push(vec![
                report.inputs.crossing(planned.crossing).id.as_str().into(),
                (one.span + 1).into(),
                car.dealer.as_str().into(),
                car.id.as_str().into(),
                fact(one).into(),
                known(one.now).into(),
                one.needed.words().into(),
                one.value.to_string().into(),
                one.kind.asked().into(),
                if_refused(report.inputs, report.plan, served, one.car).into(),
                Cell::Blank,
            ]);
        }
    }
    Table { name: "confirm", title: "To confirm", columns: COLUMNS, rows }
}
