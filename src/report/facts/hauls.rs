//! What the hauls of a plan come to, and which of them are quoted and which estimated.

use std::collections::BTreeMap;

use itertools::Itertools;

use crate::model::inputs::{CarIx, Inputs};
use crate::model::plan::{CostItem, Deck, Plan};
use crate::price;
use crate::quantity::Cents;
use crate::report::facts::totals;

/// Haul, permit and escort of a plan, by what they rest on.
#[derive(Clone, Debug, Default, PartialEq)]
pub struct Hauls {
    /// What is quoted.
    pub quoted: Cents,
    /// What is estimated by distance and rules.
    pub estimated: Cents,
    /// The loads of which something is estimated: yards, each with its crossings.
    pub estimates: Vec<(String, Vec<String>)>,
}

/// The loads of a deck, a car alone for itself.
fn loads(deck: &Deck) -> Vec<Vec<CarIx>> {
    let shared: Vec<usize> = deck.loads.iter().flatten().copied().collect();
    let alone = (0..deck.cars.len()).filter(|place| !shared.contains(place));
    let alone = alone.map(|place| vec![deck.cars[place].car]);
    deck.loads.iter().map(|load| deck.load(load)).chain(alone).collect()
}

/// The hauls of a plan.
#[must_use]
pub fn hauls(inputs: &Inputs, plan: &Plan) -> Hauls {
    let mut hauls = Hauls::default();
    let items = [CostItem::Haul, CostItem::Permit, CostItem::Escort];
    let mut estimates: BTreeMap<String, Vec<String>> = BTreeMap::new();
    for planned in &plan.crossings {
        let crossing = &inputs.crossing(planned.crossing).id;
        for deck in planned.served().iter().flat_map(|served| &served.decks) {
            for load in loads(deck) {
                for line in price::load_lines(inputs, &load, deck.site).unwrap_or_default() {
                    if price::is_quoted(inputs, &load, deck.site, line.item) {
                        hauls.quoted += line.amount;
                        continue;
                    }
                    hauls.estimated += line.amount;
                    let yard = load.first().map(|car| inputs.yard(inputs.car(*car).yard));
                    let crossings =
                        estimates.entry(yard.map_or_else(String::new, |y| y.name.clone()));
                    let crossings = crossings.or_default();
                    if !crossings.contains(crossing) {
                        crossings.push(crossing.clone());
                    }
                }
            }
        }
    }
    hauls.estimates = estimates.into_iter().collect();
    let sums = totals::by_item(plan).into_iter();
    let all: Cents = sums.filter(|(item, _)| items.contains(item)).map(|(_, sum)| sum).sum();
    // What no load accounts for is taken for an estimate.
    hauls.estimated = all - hauls.quoted;
    hauls
}

impl Hauls {
    /// What the hauls come to and rest on, in a sentence; none where there are none.
    #[must_use]
    pub fn sentence(&self) -> Option<String> {
        let (all, estimated) = (self.quoted + self.estimated, self.estimated);
        let start = format!("Hauls with permits and escorts, {all} in all, are");
        let from = |(yard, crossings): &(String, Vec<String>)| {
            format!("{yard} to {}", crossings.iter().join(", "))
        };
        match (self.quoted, estimated) {
            (Cents::ZERO, Cents::ZERO) => None,
            (Cents::ZERO, _) => Some(format!("{start} estimated by distance, not quoted.")),
            (_, Cents::ZERO) => Some(format!("{start} quoted.")),
            (quoted, _) => Some(format!(
                "Hauls with permits and escorts: {quoted} quoted, {estimated} in all estimated, not \
                 quoted: {}.",
                self.estimates.iter().map(from).join("; ")
            )),
        }
    }
}
