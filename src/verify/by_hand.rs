//! Some cost items once more by hand: the sum of their lines at each crossing, from the inputs alone.

use std::collections::BTreeMap;

use crate::model::car::Car;
use crate::model::inputs::{Inputs, Site};
use crate::model::plan::{CostItem, Served};
use crate::quantity::Cents;

/// What is wrong with the sums of a crossing's items.
pub(super) fn faults(inputs: &Inputs, served: &Served) -> Vec<String> {
    let Some(expected) = sums(inputs, served) else {
        return vec!["a measure that is priced is not known".to_owned()];
    };
    let mut faults = Vec::new();
    for (item, expected) in expected {
        let lines = served.lines.iter().filter(|line| line.item == item);
        let found: i64 = lines.map(|line| line.amount.0).sum();
        if found != expected {
            let (found, expected) = (Cents(found), Cents(expected));
            faults.push(format!("{} comes to {expected}, not {found}", item.word()));
        }
    }
    faults
}

/// The sums in cents, by item; none: a measure is not known.
fn sums(inputs: &Inputs, served: &Served) -> Option<BTreeMap<CostItem, i64>> {
    let rules = &inputs.rules;
    let mut sums = BTreeMap::new();
    let mut add = |item: CostItem, dollars: f64| {
        *sums.entry(item).or_insert(0) += Cents::from_dollars(dollars).0;
    };
    for deck in &served.decks {
        let crossing = inputs.crossing(deck.site.crossing);
        let system = rules.deck.iter().find(|system| system.name == crossing.deck_system)?;
        let mut longest = 0.0_f64;
        for placed in &deck.cars {
            let car = inputs.car(placed.car);
            let laid = laid(inputs, deck.site, car)?;
            longest = longest.max(laid);
            let area = to_places(car.width?.0 * laid, 10.0);
            add(CostItem::Deck, system.usd_per_sqft.0 * area);
        }
        add(CostItem::Rail, rules.rail.usd_per_ft.0 * longest * 2.0);
        for _ in 1..deck.cars.len() {
            let joint = deck.joint.as_ref()?;
            let joint = rules.joint.iter().find(|kind| kind.name == joint.name)?;
            add(CostItem::Joint, joint.usd_per_ft.0 * longest);
        }
    }
    Some(sums)
}

/// How many feet of a car lie on a span: the span and, at each side, the end as it comes, or as it is cut
/// for the abutment, for the next span's car on a pier, or behind its bolster, whichever leaves least.
fn laid(inputs: &Inputs, site: Site, car: &Car) -> Option<f64> {
    let crossing = inputs.crossing(site.crossing);
    let rules = &inputs.rules.screen;
    let spans = &crossing.layouts[site.layout].spans;
    let span = spans[site.span].0;
    let bearings = crossing.pier_bearings.unwrap_or(rules.pier_bearings_ft).0;
    let over_pier = (bearings - rules.pier_gap_in.0 / 12.0) / 2.0;
    let mut whole = span;
    for at_pier in [site.span != 0, site.span + 1 != spans.len()] {
        let mut end = (car.length?.0 - span) / 2.0;
        end = end.min(rules.max_overhang_ft.0);
        end = end.min((car.truck_centers?.0 - span) / 2.0 + rules.end_behind_bolster_ft.0);
        if at_pier {
            end = end.min(over_pier);
        }
        whole += end.max(0.0);
    }
    Some(to_places(whole, 100.0))
}

/// Rounded to one part of so many, halves up, with a hair for the halves that binary misses.
fn to_places(quantity: f64, parts: f64) -> f64 {
    (quantity * parts + 1e-7).round() / parts
}
