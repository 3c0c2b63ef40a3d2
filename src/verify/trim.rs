//! Ends cut at the yard, decided a second time with arithmetic of its own.

use super::quote::quote;
use super::reckon::{laid, overhead};
use crate::model::inputs::{CarIx, Inputs, Site};
use crate::price;
use crate::quantity::{Cents, Pounds};

/// Rounding noise allowed in a comparison, in feet or kips.
const NOISE: f64 = 1e-6;

/// Whether the ends of a car are cut at the yard: the route takes it only so, or the permit and the escort
/// that it saves, hauled alone, cost more than the cuts there cost beyond those at the site; none: a measure
/// is not known.
pub(super) fn at_yard(inputs: &Inputs, ix: CarIx, site: Site) -> Option<bool> {
    let (car, crossing) = (inputs.car(ix), inputs.crossing(site.crossing));
    let (left, cuts) = laid(inputs, site, car)?;
    let length = car.length?.0;
    if !inputs.rules.trim.at_yard || cuts == 0 {
        return Some(false);
    }
    if let Some(most) = crossing.haul_length_limit
        && length > most.0 + NOISE
    {
        return Some(left <= most.0 + NOISE);
    }
    let at = |length: f64, each: Cents| {
        let cutting = each.0 * i64::from(cuts);
        let credit = scrap(inputs, ix, left, cutting);
        Some(road(inputs, ix, site, length)? + cutting + overhead(inputs, cutting) - credit)
    };
    let trim = &inputs.rules.trim;
    Some(at(left.min(length), trim.at_yard_usd_per_end)? < at(length, trim.usd_per_end)?)
}

/// What is paid for the ends cut off a car, in cents: at most what cutting them costs.
pub(super) fn scrap(inputs: &Inputs, ix: CarIx, left: f64, cutting: i64) -> i64 {
    let car = inputs.car(ix);
    let (Some(length), Some(weight)) = (car.length, car.weight) else { return 0 };
    if left >= length.0 {
        return 0;
    }
    let pounds = (weight.0 * 1000.0).round();
    let off = Pounds((pounds * (length.0 - left) / length.0).round());
    cutting.min((inputs.rules.purchase.scrap_usd_per_lb * off).0)
}

/// Permit and escort of a car alone on its trailer, in cents, with contingency and engineering.
fn road(inputs: &Inputs, ix: CarIx, site: Site, length: f64) -> Option<i64> {
    let (car, rules) = (inputs.car(ix), &inputs.rules.haul);
    let from = inputs.yard(car.yard).position;
    let miles = price::road_miles(from, inputs.crossing(site.crossing).position, rules);
    let (weight, width) = (car.weight?.0 * 1000.0, car.width_on_road()?.0);
    let permit = length > rules.permit_over_length_ft.0 + NOISE
        || weight > rules.permit_over_weight_lb.0 + 1000.0 * NOISE
        || width > rules.permit_over_width_ft.0 + NOISE;
    let escort = length > rules.escort_over_length_ft.0 + NOISE
        || width > rules.escort_over_width_ft.0 + NOISE;
    let quote = quote(inputs, ix, site);
    let permit = match quote.and_then(|quote| quote.permit) {
        Some(quoted) => quoted.0,
        None if permit => rules.permit_usd.0,
        None => 0,
    };
    let by_mile = (rules.escort_usd_per_mile * miles).0;
    let escort = match quote.and_then(|quote| quote.escort) {
        Some(quoted) => quoted.0,
        None if escort => by_mile.max(rules.escort_minimum_usd.0),
        None => 0,
    };
    Some(permit + overhead(inputs, permit) + escort + overhead(inputs, escort))
}
