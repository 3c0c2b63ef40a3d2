//! The answer in a few lines.

use itertools::Itertools;

use super::marks;
use crate::model::plan::Fate;
use crate::quantity::Cents;
use crate::report::facts::headline::{part, points, proof, title};
use crate::report::facts::purchases::own_stock;
use crate::report::facts::sign::put_up;
use crate::report::facts::{PlanReport, confirm};
use crate::report::text::{Align, Page, Table};

pub fn write(page: &mut Page, report: &PlanReport) {
    let plan = report.plan;
    page.para(0, &format!("{} {}", marks::TITLE, title(report.inputs, plan)));
    if let Some(part) = part(report.inputs) {
        page.para(0, &part);
    }
    let unserved = plan
        .crossings
        .iter()
        .filter(|c| matches!(c.fate, Fate::Unserved(_)))
        .map(|c| report.inputs.crossing(c.crossing).id.as_str())
        .join(", ");
    if !unserved.is_empty() {
        page.para(0, &format!("{} {unserved}; the reasons are below.", marks::GO_WITHOUT));
    }
    if let Some(facts) = confirm::total(report.inputs, plan).filter(|_| !report.inputs.conditional)
    {
        page.para(0, &format!("Before paying, inspect {facts}; each crossing lists its own."));
    }
    let posted = plan.crossings.iter().filter_map(|planned| {
        let sign = put_up(planned.served()?);
        let id = &report.inputs.crossing(planned.crossing).id;
        (!sign.is_empty()).then(|| format!("{id} ({})", sign.join(", ")))
    });
    let posted = posted.collect::<Vec<_>>().join("; ");
    if !posted.is_empty() {
        page.para(0, &format!("Served with a weight posting: {posted}."));
    }
    if let Some((served, all)) = points(report.inputs, plan) {
        page.para(0, &format!("The crossings served have {served} of {all} points."));
    }
    if let Some(own) = own_stock(report.inputs, plan) {
        page.para(0, &format!("Uses own stock: {}.", own.words()));
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
        let paid = report.inputs.decided.paid;
        sums.row(["Budget".to_owned(), budget.to_string()]);
        if paid != Cents::ZERO {
            sums.row(["Paid of it already".to_owned(), paid.to_string()]);
        }
        let left = budget - paid - plan.totals.outlay;
        sums.row(["Left of the budget".to_owned(), left.to_string()]);
    }
    page.table(2, &sums);
    page.blank();
    for sentence in proof(report.inputs, plan) {
        page.para(0, &sentence);
    }
    page.blank();
    page.table(2, &glance(report));
    page.para(2, "In place: delivered and built, without yard trips, left-over cars and what is named above.");
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
            None => ("none".to_owned(), String::new(), marks::NOT_SERVED.to_owned()),
        };
        table.row([crossing.id.clone(), crossing.road.clone(), bridge, cars, cost]);
    }
    table
}
