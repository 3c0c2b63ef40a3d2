//! The strength of one car on one span: section, dead load, moving loads, rating factors, posting.

pub mod train;
pub mod vehicles;

use crate::check::Check;
use crate::model::car::Car;
use crate::model::crossing::Crossing;
use crate::model::rules::Rules;
use crate::quantity::Feet;

/// The checks of the rating of `car` on a simple span of `span` at `crossing`, in the order of the
/// registry. Missing data gives an unknown check, never a number.
#[must_use]
pub fn rate_checks(car: &Car, crossing: &Crossing, span: Feet, rules: &Rules) -> Vec<Check> {
    let _ = (car, crossing, span, rules);
    Vec::new()
}
