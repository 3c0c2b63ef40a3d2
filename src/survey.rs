//! Every car against every span of every crossing: who passes, and what bars the others.

use crate::check::Check;
use crate::model::crossing::Crossing;
use crate::model::inputs::{CarIx, Inputs, Site};
use crate::quantity::Feet;
use crate::{rate, screen};

/// The span at a site.
#[must_use]
pub fn span_of(inputs: &Inputs, site: Site) -> Feet {
    let crossing: &Crossing = inputs.crossing(site.crossing);
    crossing.layouts[site.layout].spans[site.span]
}

/// Every screening and rating check of one car on one span.
#[must_use]
pub fn checks(inputs: &Inputs, car: CarIx, site: Site) -> Vec<Check> {
    let mut checks = screen::screen(inputs, car, site);
    let crossing = inputs.crossing(site.crossing);
    checks.extend(rate::rate_checks(
        inputs.car(car),
        crossing,
        span_of(inputs, site),
        &inputs.rules,
    ));
    checks
}
