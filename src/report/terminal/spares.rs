//! Spares and risk as a table.

use itertools::Itertools;

use super::LEAST_WIDTH;
use crate::after::spare::{Spares, Substitute};
use crate::model::inputs::{CarIx, Inputs};
use crate::model::plan::Plan;
use crate::quantity::Cents;
use crate::report::facts::count;
use crate::report::facts::spares::{cost, goes_to, how_sure, names, substitute};
use crate::report::text::{Align, Page, Table};

/// Which car has no substitute, and what keeps every crossing served if one fails.
#[must_use]
pub fn spares(inputs: &Inputs, plan: &Plan, spares: &Spares, width: usize) -> String {
    let mut page = Page::new(width.max(LEAST_WIDTH));
    page.para(0, "SPARES AND RISK");
    let lost = spares.failures.iter().filter(|failure| failure.substitute == Substitute::Nothing);
    let lost: Vec<String> = lost
        .map(|failure| {
            let name = inputs.car(CarIx(failure.offer)).name();
            format!("{name} ({})", goes_to(inputs, plan, failure.offer))
        })
        .collect();
    let open =
        spares.failures.iter().filter(|failure| failure.substitute == Substitute::Unknown).count();
    if open > 0 {
        let cars = count(open, "car");
        page.para(
            0,
            &format!("No substitute was found before the time was up for {cars}, marked below."),
        );
    }
    if lost.is_empty() && open == 0 {
        page.para(0, "Every car of the plan has a substitute, on offer or among the other cars.");
    } else if !lost.is_empty() {
        page.para(
            0,
            &format!(
                "No substitute, so inspect first and pay last: {}. If one fails, a crossing goes without.",
                lost.iter().join(", ")
            ),
        );
    }
    purchase(&mut page, inputs, spares, !lost.is_empty() || open > 0);

    page.heading("If one car fails its inspection");
    let mut table = Table::new(&[Align::Left, Align::Left, Align::Left, Align::Right]).header(&[
        "Car",
        "Goes to",
        "Cheapest substitute",
        "Purchase",
    ]);
    for failure in &spares.failures {
        table.row([
            inputs.car(CarIx(failure.offer)).name(),
            goes_to(inputs, plan, failure.offer),
            substitute(inputs, &failure.substitute),
            cost(failure),
        ]);
    }
    page.table(2, &table);
    page.blank();
    page.para(
        0,
        "A substitute is a purchase with which every crossing of the plan is served although the car is \
         useless; all cars may be laid anew. Counted are prices, whole lots and trips to further \
         yards; hauls and decks after a failure are not. Of a row of identical cars one fails.",
    );
    page.para(0, &how_sure(spares));
    page.finish()
}

fn purchase(page: &mut Page, inputs: &Inputs, spares: &Spares, but: bool) {
    let every = if but { "every failed car that can be covered" } else { "any single failed car" };
    if spares.premium == Cents::ZERO && spares.cars.is_empty() && spares.lots.is_empty() {
        page.para(0, &format!("The cars of the plan cover {every} without a spare."));
        return;
    }
    let what = names(inputs, &spares.cars, &spares.lots);
    page.para(0, &format!("Spares that cover {every}: {what}. Premium {}.", spares.premium));
    page.para(
        0,
        &if spares.is_cheapest() {
            "Proven: no cheaper purchase does.".to_owned()
        } else {
            format!("Not proven cheapest: any such purchase costs {} at least.", spares.bound)
        },
    );
}
