//! Screens one car against one span of a crossing, without strength: every rule asked, not only
//! the first that fails.
//!
//! Each file holds one family of questions. A question always gives its check, whatever the others
//! found, so that a refusal names everything that is wrong with the car and nothing has to be found
//! out twice. Strength is the rating's business; which cars match is the grouping's.

mod coating;
mod dates;
mod decided;
mod deck;
mod geometry;
mod kind_and_history;
mod members;
mod price_known;
mod support;
mod transport;
mod width;

use crate::check::Check;
use crate::model::car::Car;
use crate::model::crossing::Crossing;
use crate::model::inputs::{CarIx, Inputs, Site};
use crate::model::rules::Rules;
use crate::quantity::Feet;
use crate::survey::span_of;

/// One car before one span: what every question is asked of.
#[derive(Clone, Copy)]
struct Pair<'a> {
    inputs: &'a Inputs,
    rules: &'a Rules,
    car: &'a Car,
    crossing: &'a Crossing,
    span: Feet,
}

/// Every screening check of this car on this span, in the order of the registry.
#[must_use]
pub fn screen(inputs: &Inputs, car: CarIx, site: Site) -> Vec<Check> {
    let pair = Pair {
        inputs,
        rules: &inputs.rules,
        car: inputs.car(car),
        crossing: inputs.crossing(site.crossing),
        span: span_of(inputs, site),
    };
    let mut checks = Vec::with_capacity(23);
    checks.push(kind_and_history::kind(&pair));
    checks.push(kind_and_history::wreck(&pair));
    checks.extend(members::all(&pair));
    checks.push(support::support(&pair));
    checks.push(support::bearing_inside(&pair));
    checks.push(geometry::joint_depth(&pair));
    checks.push(deck::own_deck(&pair));
    checks.push(coating::coating(&pair));
    checks.push(coating::lead(&pair));
    checks.push(transport::length(&pair));
    checks.push(transport::weight(&pair));
    checks.push(transport::pick(&pair));
    checks.push(dates::quote(&pair));
    checks.push(dates::ready(&pair));
    checks.push(price_known::price(&pair));
    checks.push(width::possible(&pair));
    checks.push(geometry::section(&pair));
    checks.push(geometry::camber(&pair));
    checks.push(transport::weight_known(&pair));
    checks.extend(decided::still_to_be_had(inputs, car));
    checks
}
