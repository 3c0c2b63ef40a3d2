//! Trailers: which cars of a deck come on one, written out a second time.

use super::reckon::{laid, overhead};
use super::trim;
use crate::model::inputs::{CarIx, Inputs, Site};
use crate::model::plan::{CostLine, Deck};
use crate::model::rules::Laid;
use crate::price;
use crate::quantity::{Cents, Feet};

/// Rounding noise allowed in a comparison, in feet or kips.
const NOISE: f64 = 1e-6;

/// What is wrong with the loads of a deck: cars that may not share a trailer, or a cheaper way to
/// make up the loads.
pub(super) fn faults(inputs: &Inputs, deck: &Deck) -> Vec<String> {
    if inputs.rules.haul.truckload.is_empty() && deck.loads.is_empty() {
        return Vec::new();
    }
    let mut faults = Vec::new();
    let mut places: Vec<usize> = deck.loads.iter().flatten().copied().collect();
    places.sort_unstable();
    if places.windows(2).any(|pair| pair[0] == pair[1])
        || places.last().is_some_and(|place| *place >= deck.cars.len())
        || deck.loads.iter().any(|load| load.len() < 2)
    {
        faults.push("its loads do not fit its cars".to_owned());
        return faults;
    }
    let mut loads: Vec<Vec<CarIx>> = deck.loads.iter().map(|load| deck.load(load)).collect();
    for load in &loads {
        if !may_share(inputs, load, deck.site) {
            let first = inputs.car(load[0]).name();
            faults.push(format!(
                "{first} comes on a trailer with cars that it may not share it with"
            ));
        }
    }
    let alone = |place: &usize| places.binary_search(place).is_err();
    loads.extend((0..deck.cars.len()).filter(alone).map(|place| vec![deck.cars[place].car]));
    let cars: Vec<CarIx> = deck.cars.iter().map(|placed| placed.car).collect();
    let (cost, least) = (cost(inputs, &loads, deck.site), least(inputs, &cars, deck.site));
    if cost != least {
        faults.push(match (cost, least) {
            (Some(cost), Some(least)) => format!("its loads cost {cost}, and could cost {least}"),
            _ => "what its loads cost is not known".to_owned(),
        });
    }
    faults
}

/// Whether these cars may go on one trailer to a site.
fn may_share(inputs: &Inputs, cars: &[CarIx], site: Site) -> bool {
    if cars.len() < 2 {
        return true;
    }
    let count = cars.len() as f64;
    let mut rules = inputs.rules.haul.truckload.clone();
    rules.sort_by_key(|rule| rule.cars);
    let Some(rule) = rules.iter().find(|rule| f64::from(rule.cars) >= count) else { return false };
    let crossing = inputs.crossing(site.crossing);
    let (Some(route_ft), Some(route_kip)) =
        (crossing.haul_length_limit, crossing.haul_weight_limit)
    else {
        return false;
    };
    let in_line = if rule.laid == Laid::EndToEnd { count } else { 1.0 };
    let fits = |ix: &CarIx| {
        let car = inputs.car(*ix);
        let (Some(length), Some(weight)) = (car.length, car.weight) else { return false };
        let Some(at_yard) = trim::at_yard(inputs, *ix, site) else { return false };
        let left = laid(inputs, site, car).map_or(length.0, |(left, _)| left);
        let length = Feet(if at_yard { left.min(length.0) } else { length.0 });
        weight.pounds() <= rule.each_at_most_lb.0 + 1000.0 * NOISE
            && length.0 <= rule.each_at_most_ft.0 + NOISE
            && weight.0 * count <= route_kip.0 + count * NOISE
            && length.0 * in_line <= route_ft.0 + count * NOISE
    };
    let yard = inputs.car(cars[0]).yard;
    cars.iter().all(|car| inputs.car(*car).yard == yard && fits(car))
}

/// What loads cost on the road, contingency and engineering included; `None`: it is not known.
fn cost(inputs: &Inputs, loads: &[Vec<CarIx>], site: Site) -> Option<Cents> {
    let lines = |load: &Vec<CarIx>| price::load_lines(inputs, load, site);
    let lines: Option<Vec<_>> = loads.iter().map(lines).collect();
    let with_overhead = |line: &CostLine| Cents(line.amount.0 + overhead(inputs, line.amount.0));
    Some(lines?.iter().flatten().map(with_overhead).sum())
}

/// The least cost of bringing these cars, by trying every way to put them on trailers: each car goes
/// on one of the trailers so far or on a new one.
fn least(inputs: &Inputs, cars: &[CarIx], site: Site) -> Option<Cents> {
    fn put(
        inputs: &Inputs,
        cars: &[CarIx],
        site: Site,
        loads: &mut Vec<Vec<CarIx>>,
        least: &mut Option<Cents>,
    ) {
        let Some((car, rest)) = cars.split_first() else {
            let allowed = loads.iter().all(|load| may_share(inputs, load, site));
            if let Some(cost) = cost(inputs, loads, site).filter(|_| allowed) {
                *least = Some(least.map_or(cost, |least| least.min(cost)));
            }
            return;
        };
        for place in 0..loads.len() {
            loads[place].push(*car);
            put(inputs, rest, site, loads, least);
            loads[place].pop();
        }
        loads.push(vec![*car]);
        put(inputs, rest, site, loads, least);
        loads.pop();
    }
    let mut least = None;
    put(inputs, cars, site, &mut Vec::new(), &mut least);
    least
}
