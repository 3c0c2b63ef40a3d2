//! Spares in words.

use itertools::Itertools;

use crate::after::spare::{Failure, Spares, Substitute};
use crate::model::inputs::{CarIx, Inputs, LotIx};
use crate::model::plan::Plan;
use crate::quantity::Cents;
use crate::report::facts::count;
use crate::report::facts::purchases::destinations;

/// Cars and lots by name: `UD-1, 2 x UD-5, lot UD-A`, with their dealers.
#[must_use]
pub fn names(inputs: &Inputs, cars: &[usize], lots: &[usize]) -> String {
    let counted = cars.iter().counts();
    let singles = counted.into_iter().sorted().map(|(offer, count)| {
        let name = inputs.car(CarIx(*offer)).name();
        if count == 1 { name } else { format!("{count} x {name}") }
    });
    let lots = lots.iter().map(|lot| {
        let lot = inputs.lot(LotIx(*lot));
        format!("{} lot {}", lot.dealer, lot.name)
    });
    singles.chain(lots).join(", ")
}

/// The crossings that a car of the plan goes to.
#[must_use]
pub fn goes_to(inputs: &Inputs, plan: &Plan, offer: usize) -> String {
    let going = destinations(inputs, plan, CarIx(offer));
    going.iter().map(|going| inputs.crossing(going.site.crossing).id.as_str()).unique().join(", ")
}

/// What covers a failure.
#[must_use]
pub fn substitute(inputs: &Inputs, of: &Substitute) -> String {
    match of {
        Substitute::OwnCars => "the other cars, laid anew".to_owned(),
        Substitute::Nothing => "NOTHING ON OFFER".to_owned(),
        Substitute::Unknown => "none found before the time was up".to_owned(),
        Substitute::Buy { cars, lots, .. } => names(inputs, cars, lots),
    }
}

/// What the purchase against a failure costs: a sum, or between which sums the cheapest lies.
#[must_use]
pub fn cost(failure: &Failure) -> String {
    match failure.substitute {
        Substitute::OwnCars => Cents::ZERO.to_string(),
        Substitute::Buy { cost, .. } if failure.proven => cost.to_string(),
        Substitute::Buy { cost, .. } => format!("{} to {cost}", failure.least),
        Substitute::Nothing | Substitute::Unknown => String::new(),
    }
}

/// How far the substitutes are proven.
#[must_use]
pub fn how_sure(spares: &Spares) -> String {
    let open = spares.failures.iter().filter(|failure| !failure.proven).count();
    if open == 0 {
        return "Each substitute is proven to be the cheapest for its failure.".to_owned();
    }
    let cars = count(open, "car");
    format!(
        "The time was up before the cheapest substitute was proven for {cars}: two sums say between which it costs."
    )
}
