//! Arithmetic that several checks by hand need.

use crate::model::car::Car;
use crate::model::inputs::{Inputs, Site};
use crate::quantity::Cents;

/// So many per cent of an amount, to the cent.
pub(super) fn per_cent(amount: i64, percent: f64) -> i64 {
    Cents::from_dollars(amount as f64 * percent / 10_000.0).0
}

/// Contingency and engineering on one line of work.
pub(super) fn overhead(inputs: &Inputs, amount: i64) -> i64 {
    let rules = &inputs.rules.overhead;
    per_cent(amount, rules.contingency_pct.0) + per_cent(amount, rules.engineering_pct.0)
}

/// How many feet of a car lie on a span, and how many of its ends are cut: the span and, at each side, the end
/// as it comes, or as it is cut for the abutment, for the next span's car on a pier, or behind its bolster,
/// whichever leaves least.
pub(super) fn laid(inputs: &Inputs, site: Site, car: &Car) -> Option<(f64, u8)> {
    let crossing = inputs.crossing(site.crossing);
    let rules = &inputs.rules.screen;
    let spans = &crossing.layouts[site.layout].spans;
    let span = spans[site.span].0;
    let bearings = crossing.pier_bearings.unwrap_or(rules.pier_bearings_ft).0;
    let over_pier = (bearings - rules.pier_gap_in.0 / 12.0) / 2.0;
    let (mut whole, mut cuts) = (span, 0);
    for at_pier in [site.span != 0, site.span + 1 != spans.len()] {
        let comes = (car.length?.0 - span) / 2.0;
        let behind = (car.truck_centers?.0 - span) / 2.0 + rules.end_behind_bolster_ft.0;
        let mut most = rules.max_overhang_ft.0.min(behind);
        if at_pier {
            most = most.min(over_pier.max(0.0));
        }
        cuts += u8::from(comes > most + 1e-9);
        whole += comes.min(most).max(0.0);
    }
    Some((to_places(whole, 100.0), cuts))
}

/// Rounded to one part of so many, halves up, with a hair for the halves that binary misses.
pub(super) fn to_places(quantity: f64, parts: f64) -> f64 {
    (quantity * parts + 1e-7).round() / parts
}
