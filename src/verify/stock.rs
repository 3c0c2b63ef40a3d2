//! Cars and lots: nothing placed twice, nothing bought by halves, nothing lost.

use std::collections::BTreeMap;

use super::no_faults;
use crate::check::{Check, Code};
use crate::model::inputs::{CarIx, Inputs, LotIx};
use crate::model::plan::{CarCount, CrossingPlan, LotPurchase, Plan};

/// How often each car stands in a deck.
fn placed(plan: &Plan) -> BTreeMap<CarIx, u32> {
    let mut counts = BTreeMap::new();
    let served = plan.crossings.iter().filter_map(CrossingPlan::served);
    for car in served.flat_map(|s| &s.decks).flat_map(|deck| &deck.cars) {
        *counts.entry(car.car).or_insert(0) += 1;
    }
    counts
}

/// V01: no car is placed more often than it is on offer.
pub fn cars_once(inputs: &Inputs, plan: &Plan) -> Check {
    let faults = placed(plan)
        .into_iter()
        .filter(|(car, count)| *count > inputs.car(*car).quantity)
        .map(|(car, count)| {
            let car = inputs.car(car);
            format!("{} is placed {count} times, {} on offer", car.name(), car.quantity)
        })
        .collect();
    no_faults(Code::CarsOnce, [faults, twice_listed(inputs, plan)].concat())
}

/// Cars of two dealers that are bought or laid and have one ID, written one way or another.
fn twice_listed(inputs: &Inputs, plan: &Plan) -> Vec<String> {
    let plain = |id: &str| -> String {
        let letters = id.chars().filter(char::is_ascii_alphanumeric);
        letters
            .map(|c| match c.to_ascii_uppercase() {
                'O' => '0',
                'I' | 'L' => '1',
                c => c,
            })
            .collect()
    };
    let laid: Vec<CarIx> = placed(plan).into_keys().collect();
    let mut faults = Vec::new();
    for (at, &a) in laid.iter().enumerate() {
        for &b in &laid[..at] {
            let (one, other) = (inputs.car(a), inputs.car(b));
            let told = |ix| inputs.decided.different.contains_key(ix);
            let lengths = one.length.zip(other.length);
            let measures = lengths.is_some_and(|(a, b)| (a.0 - b.0).abs() <= 0.1)
                && (one.section == other.section
                    || one.section.is_none()
                    || other.section.is_none())
                && (one.year_built == other.year_built
                    || one.year_built.is_none()
                    || other.year_built.is_none());
            let same = one.dealer != other.dealer && plain(&one.id) == plain(&other.id);
            if same && !plain(&one.id).is_empty() && measures && !told(&a) && !told(&b) {
                faults.push(format!("{} and {} are one car", one.name(), other.name()));
            }
        }
    }
    faults
}

/// V02: every lot with a placed car is bought, once, with all its cars, at its price, and no lot is
/// bought of which no car is placed, unless it makes up a minimum order or a price level.
pub fn lots_whole(inputs: &Inputs, plan: &Plan) -> Check {
    let placed = placed(plan);
    let mut faults = Vec::new();
    for (index, lot) in inputs.lots.iter().enumerate() {
        let bought: Vec<&LotPurchase> = purchases(plan).filter(|p| p.lot == LotIx(index)).collect();
        let used = lot.cars.iter().any(|car| placed.contains_key(car));
        let name = format!("lot {} of {}", lot.name, lot.dealer);
        match bought.as_slice() {
            [] if used => faults.push(format!("{name} has placed cars and is not bought")),
            [] => {}
            [_] if !used && !makes_up(inputs, plan, LotIx(index)) => {
                faults.push(format!("{name} is bought and none of its cars placed"));
            }
            [one] => {
                if lot.unread_rows > 0 {
                    faults.push(format!("{name} has rows that cannot be read"));
                }
                if lot.price != Some(one.price) {
                    faults.push(format!("{name} is bought at {}", one.price));
                }
                for car in &lot.cars {
                    let accounted = count(&one.placed, *car) + count(&one.left_over, *car);
                    if accounted != inputs.car(*car).quantity {
                        faults.push(format!("{name}: {} not whole", inputs.car(*car).name()));
                    }
                    if count(&one.placed, *car) != placed.get(car).copied().unwrap_or(0) {
                        faults.push(format!("{name}: {} miscounted", inputs.car(*car).name()));
                    }
                }
            }
            _ => faults.push(format!("{name} is bought more than once")),
        }
    }
    no_faults(Code::LotsWhole, faults)
}

/// Whether the cars bought at the yard of a lot that are not bought just to be counted, some of which
/// there must be, are too few for the level taken there; and the lot's quotes hold on the day of the order.
fn makes_up(inputs: &Inputs, plan: &Plan, lot: LotIx) -> bool {
    let placed = placed(plan);
    let yard = inputs.lot(lot).yard;
    let Some(purchase) = plan.purchases.iter().find(|purchase| purchase.yard == yard) else {
        return false;
    };
    let mut cars: u32 = purchase.singles.iter().map(|single| single.count).sum();
    for other in &purchase.lots {
        let of_lot = &inputs.lot(other.lot).cars;
        if of_lot.iter().any(|car| placed.contains_key(car)) {
            cars += of_lot.iter().map(|car| inputs.car(*car).quantity).sum::<u32>();
        }
    }
    let least = inputs.yard(yard).levels.get(purchase.level).map_or(0, |level| level.at_least);
    let holds =
        |car: &CarIx| inputs.car(*car).quote_expires.is_some_and(|last| last >= inputs.order_date);
    cars > 0 && cars < least && inputs.lot(lot).cars.iter().all(holds)
}

/// V10: the shopping list holds every placed single car, no other, at its own yard; what the agency
/// owns among own stock, never among what is bought.
pub fn nothing_lost(inputs: &Inputs, plan: &Plan) -> Check {
    let mut expected: BTreeMap<CarIx, u32> = placed(plan);
    expected.retain(|car, _| inputs.car(*car).lot.is_none());
    let mut listed = BTreeMap::new();
    let mut faults = Vec::new();
    for yard in &plan.purchases {
        let bought = yard.singles.iter().map(|single| (single, false));
        for (single, own) in bought.chain(yard.own.iter().map(|single| (single, true))) {
            if inputs.car(single.car).owned != own {
                let name = inputs.car(single.car).name();
                faults.push(format!("{name} is listed as {}", if own { "own" } else { "bought" }));
            }
            *listed.entry(single.car).or_insert(0) += single.count;
            if inputs.car(single.car).yard != yard.yard {
                faults.push(format!("{} is listed at another yard", inputs.car(single.car).name()));
            }
        }
        for lot in &yard.lots {
            if inputs.lot(lot.lot).yard != yard.yard {
                faults.push(format!("lot {} is listed at another yard", inputs.lot(lot.lot).name));
            }
        }
    }
    if listed != expected {
        faults.push("the cars listed singly are not the single cars placed".to_owned());
    }
    no_faults(Code::LeftOver, faults)
}

fn purchases(plan: &Plan) -> impl Iterator<Item = &LotPurchase> {
    plan.purchases.iter().flat_map(|yard| &yard.lots)
}

fn count(counts: &[CarCount], car: CarIx) -> u32 {
    counts.iter().filter(|c| c.car == car).map(|c| c.count).sum()
}
