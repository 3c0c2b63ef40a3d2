//! What was decided since the plan, and what of it the plan leaves over.

use crate::model::inputs::{CarIx, Inputs};
use crate::model::plan::{CarCount, CrossingPlan, Plan};
use crate::quantity::Cents;

/// The decisions that a plan obeys.
#[derive(Clone, Debug, PartialEq)]
pub struct Obeyed {
    /// Each decision with its place.
    pub decisions: Vec<(String, String)>,
    /// What is paid already.
    pub paid: Cents,
    /// Cars of the agency's own, bought by decision or not, that go to no crossing.
    pub in_stock: Vec<CarCount>,
}

/// The decisions that a plan obeys; none where nothing was decided.
#[must_use]
pub fn obeyed(inputs: &Inputs, plan: &Plan) -> Option<Obeyed> {
    let decided = &inputs.decided;
    let decisions = decided.list.iter().map(|d| (d.sentence(), d.place.to_string()));
    (!decided.is_empty()).then(|| Obeyed {
        decisions: decisions.collect(),
        paid: decided.paid,
        in_stock: in_stock(inputs, plan),
    })
}

fn in_stock(inputs: &Inputs, plan: &Plan) -> Vec<CarCount> {
    let decks = plan.crossings.iter().filter_map(CrossingPlan::served).flat_map(|s| &s.decks);
    let placed: Vec<CarIx> = decks.flat_map(|deck| &deck.cars).map(|placed| placed.car).collect();
    let gone = |car: &CarIx| inputs.decided.of_car(*car).is_some_and(|(fate, _)| fate.is_gone());
    inputs
        .car_indices()
        .filter(|car| inputs.car(*car).owned && !gone(car))
        .map(|car| {
            let used = placed.iter().filter(|other| **other == car).count() as u32;
            CarCount { car, count: inputs.car(car).quantity.saturating_sub(used) }
        })
        .filter(|left| left.count > 0)
        .collect()
}
