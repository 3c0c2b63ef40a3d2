//! What has to be confirmed of the cars of a deck before money is paid for them, and the value that
//! each fact must have for the car to lie where it lies.

mod modulus;
mod thickness;
mod value;
mod webs;

use crate::evidence::to_confirm;
use crate::model::inputs::{CarIx, Inputs};
use crate::model::plan::{Confirmation, Deck};
use value::Place;

pub use modulus::{least_modulus, least_of_member};
pub use thickness::{LeastThickness, PlateOf, least_thicknesses};
pub use value::camber_window;
pub use webs::{LeastWebs, greatest_unbraced, least_webs};

/// The facts of a deck's cars that are not enough to pay on, each row once.
#[must_use]
pub fn confirmations(inputs: &Inputs, deck: &Deck) -> Vec<Confirmation> {
    let crossing = inputs.crossing(deck.site.crossing);
    let mut seen: Vec<CarIx> = Vec::new();
    let mut all = Vec::new();
    let mut loads = None;
    for (place, placed) in deck.cars.iter().enumerate() {
        if seen.contains(&placed.car) {
            continue;
        }
        seen.push(placed.car);
        let facts = to_confirm(inputs.car(placed.car), crossing, &inputs.rules);
        if facts.is_empty() {
            continue;
        }
        let loads = loads.get_or_insert_with(|| modulus::loads(inputs, deck.site));
        let place = Place::new(inputs, deck, place, loads);
        for fact in facts {
            let Some(needed) = inputs.rules.evidence.to_pay.of(fact.kind).grade() else { continue };
            all.push(Confirmation {
                span: deck.site.span,
                car: placed.car,
                kind: fact.kind,
                fact: fact.column,
                now: fact.grade,
                needed,
                value: place.value(fact.column),
            });
        }
    }
    all
}
