//! Haul, permit and escort of a crossing's loads, added up by hand from quotes, distances and rules.

use super::quote::quote;
use super::reckon::{laid, to_places};
use super::trim;
use crate::model::inputs::{CarIx, Inputs, Site};
use crate::model::plan::{CostItem, CostLine, Served};
use crate::model::rules::Laid;
use crate::quantity::Cents;

/// Rounding noise allowed in a comparison, in feet or kips.
const NOISE: f64 = 1e-6;

/// What is wrong with the sums of haul, permit and escort.
pub(super) fn faults(inputs: &Inputs, served: &Served) -> Vec<String> {
    let mut sums = [0_i64; 3];
    for deck in &served.decks {
        let together = deck.loads.iter().map(|load| deck.load(load));
        let shared: Vec<usize> = deck.loads.iter().flatten().copied().collect();
        let alone = (0..deck.cars.len()).filter(|place| !shared.contains(place));
        let loads = together.chain(alone.map(|place| vec![deck.cars[place].car]));
        for load in loads {
            let mut dearest = [0_i64; 3];
            for car in &load {
                let Some(parts) = parts(inputs, *car, deck.site, load.len()) else {
                    return vec!["a measure of a load is not known".to_owned()];
                };
                for (dearest, part) in dearest.iter_mut().zip(parts) {
                    *dearest = (*dearest).max(part);
                }
            }
            sums.iter_mut().zip(dearest).for_each(|(sum, part)| *sum += part);
        }
    }
    let of = |item: CostItem| {
        let lines = served.lines.iter().filter(|line: &&CostLine| line.item == item);
        lines.map(|line| line.amount.0).sum::<i64>()
    };
    let items = [CostItem::Haul, CostItem::Permit, CostItem::Escort];
    let off = items.into_iter().zip(sums).filter(|(item, sum)| of(*item) != *sum);
    off.map(|(item, sum)| {
        let (found, sum) = (Cents(of(item)), Cents(sum));
        format!("{} comes to {sum}, not {found}", item.word())
    })
    .collect()
}

/// Haul, permit and escort of a load of so many cars like this one, in cents.
fn parts(inputs: &Inputs, ix: CarIx, site: Site, cars: usize) -> Option<[i64; 3]> {
    let (car, rules) = (inputs.car(ix), &inputs.rules.haul);
    let from = inputs.yard(car.yard).position;
    let straight = from.distance(inputs.crossing(site.crossing).position).0;
    let miles = to_places(straight * rules.road_factor, 10.0);
    let by_mile = |rate: f64| Cents::from_dollars(rate * miles).0;
    let mut length = car.length?.0;
    if trim::at_yard(inputs, ix, site)? {
        length = length.min(laid(inputs, site, car)?.0);
    }
    let count = cars as f64;
    let rule = rules.truckload.iter().filter(|rule| rule.cars as usize >= cars);
    let rule = rule.min_by_key(|rule| rule.cars).filter(|_| cars > 1);
    if rule.is_none_or(|rule| rule.laid == Laid::EndToEnd) {
        length *= count;
    }
    let (weight, width) = (car.weight?.0 * 1000.0 * count, car.width_on_road()?.0);
    let wide = width > rules.permit_over_width_ft.0 + NOISE;
    let heavy = weight > rules.permit_over_weight_lb.0 + 1000.0 * NOISE;
    let permit = wide || heavy || length > rules.permit_over_length_ft.0 + NOISE;
    let escort = length > rules.escort_over_length_ft.0 + NOISE
        || width > rules.escort_over_width_ft.0 + NOISE;
    let rate = rules.escort_usd_per_mile.0;
    let quote = quote(inputs, ix, site);
    let permit = match quote.and_then(|quote| quote.permit) {
        Some(quoted) => quoted.0,
        None if permit => rules.permit_usd.0,
        None => 0,
    };
    let escort = match quote.and_then(|quote| quote.escort) {
        Some(quoted) => quoted.0,
        None if escort => by_mile(rate).max(rules.escort_minimum_usd.0),
        None => 0,
    };
    let haul = match quote {
        Some(quote) => quote.haul.0,
        None => by_mile(rules.usd_per_mile.0).max(rules.minimum_usd.0),
    };
    Some([haul, permit, escort])
}
