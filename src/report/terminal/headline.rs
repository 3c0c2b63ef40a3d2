//! The answer in a few lines.

use itertools::Itertools;

use crate::model::plan::{Fate, Plan};
use crate::quantity::Cents;
use crate::report::facts::reasons::signs;
use crate::report::facts::{PlanReport, count, totals};
use crate::report::text::{Align, Page, Table};

pub fn write(page: &mut Page, report: &PlanReport) {
    let plan = report.plan;
    let (served, all) = (plan.served_count(), plan.crossings.len());
    page.para(0, &title(served, all, plan.totals.outlay));
    let unserved = plan
        .crossings
        .iter()
        .filter(|c| matches!(c.fate, Fate::Unserved(_)))
        .map(|c| report.inputs.crossing(c.crossing).id.as_str())
        .join(", ");
    if !unserved.is_empty() {
        page.para(0, &format!("Not served: {unserved}; see why below."));
    }
    let posted = plan
        .crossings
        .iter()
        .filter(|c| c.served().is_some_and(|served| !signs(served).is_empty()))
        .map(|c| report.inputs.crossing(c.crossing).id.as_str())
        .join(", ");
    if !posted.is_empty() {
        page.para(0, &format!("Served with a weight posting: {posted}; see the signs below."));
    }
    page.blank();

    let mut sums = Table::new(&[Align::Left, Align::Right]);
    sums.row(["To pay".to_owned(), plan.totals.outlay.to_string()]);
    if plan.totals.stock_value != Cents::ZERO {
        sums.row([
            "Less worth of left-over cars".to_owned(),
            (-plan.totals.stock_value).to_string(),
        ]);
        sums.row(["Net".to_owned(), plan.totals.net.to_string()]);
    }
    if let Some(budget) = plan.budget {
        sums.row(["Budget".to_owned(), budget.to_string()]);
        sums.row(["Left of the budget".to_owned(), (budget - plan.totals.outlay).to_string()]);
    }
    page.table(2, &sums);
    page.blank();
    for sentence in proof(plan) {
        page.para(0, &sentence);
    }
    page.blank();
    page.table(2, &glance(report));
    page.para(2, "In place: every cost but yard trips and left-over cars.");
}

/// The crossings, one to a line.
fn glance(report: &PlanReport) -> Table {
    let mut table =
        Table::new(&[Align::Left, Align::Left, Align::Left, Align::Right, Align::Right])
            .header(&["Crossing", "Road", "Bridge", "Cars", "In place"]);
    for planned in &report.plan.crossings {
        let crossing = report.inputs.crossing(planned.crossing);
        let (bridge, cars, cost) = match planned.served() {
            Some(served) => (
                crossing.layouts[served.layout].describe(),
                served.decks.iter().map(|deck| deck.cars.len()).sum::<usize>().to_string(),
                served.total().to_string(),
            ),
            None => ("none".to_owned(), String::new(), "NOT SERVED".to_owned()),
        };
        table.row([crossing.id.clone(), crossing.road.clone(), bridge, cars, cost]);
    }
    table
}

fn title(served: usize, all: usize, outlay: Cents) -> String {
    let crossings = count(all, "crossing");
    if served == 0 {
        return format!("PLAN: none of {crossings} can be served.");
    }
    if served == all {
        let which = if all == 1 { "the crossing".to_owned() } else { format!("all {crossings}") };
        return format!("PLAN: serves {which} for {outlay}.");
    }
    format!("PLAN: serves {served} of {crossings} for {outlay}.")
}

/// What is proven of the plan, in sentences.
fn proof(plan: &Plan) -> Vec<String> {
    let proof = &plan.proof;
    let mut said = Vec::new();
    if proof.stopped_early {
        said.push(
            "Stopped at the time limit: the plan is valid, and a longer search may find a better one."
                .to_owned(),
        );
    }
    said.push(if proof.service {
        "Proven: no other purchase serves more crossings, the more urgent first.".to_owned()
    } else {
        "Not proven: another purchase might serve more crossings.".to_owned()
    });
    if plan.served_count() == 0 {
        return said;
    }
    said.push(if proof.cheapest {
        "Proven: none that serves the same crossings costs less.".to_owned()
    } else {
        totals::gap(plan).map_or_else(
            || "Not proven: how far the net cost lies above the cheapest possible.".to_owned(),
            |gap| format!("The net cost is {}.", gap.words()),
        )
    });
    said
}

#[cfg(test)]
mod tests {
    use super::*;

    #[test]
    fn titles() {
        for (served, all, text) in [
            (0, 3, "PLAN: none of 3 crossings can be served."),
            (1, 1, "PLAN: serves the crossing for $10.00."),
            (3, 3, "PLAN: serves all 3 crossings for $10.00."),
            (2, 3, "PLAN: serves 2 of 3 crossings for $10.00."),
        ] {
            assert_eq!(title(served, all, Cents::dollars(10)), text);
        }
    }
}
