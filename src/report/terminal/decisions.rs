//! The decisions that a plan obeys.

use itertools::Itertools;

use crate::quantity::Cents;
use crate::report::facts::PlanReport;
use crate::report::facts::decisions::obeyed;
use crate::report::text::Page;

/// Nothing where nothing was decided.
pub fn write(page: &mut Page, report: &PlanReport) {
    let Some(obeyed) = obeyed(report.inputs, report.plan) else { return };
    page.heading("Decisions obeyed");
    for (sentence, place) in &obeyed.decisions {
        page.hanging(0, "- ", &format!("{sentence}; {place}."));
    }
    if obeyed.paid != Cents::ZERO {
        let all = obeyed.paid + report.plan.totals.outlay;
        page.para(0, &format!("Paid already: {}; with what is to pay, {all} in all.", obeyed.paid));
    }
    if !obeyed.in_stock.is_empty() {
        let cars = obeyed.in_stock.iter().map(|left| {
            let name = report.inputs.car(left.car).name();
            if left.count == 1 { name } else { format!("{} x {name}", left.count) }
        });
        page.para(0, &format!("Own and not placed, so in stock: {}.", cars.format(", ")));
    }
}
