//! S21: nobody else has the car, and nobody refused it.

use crate::check::{Check, Code, Limit};
use crate::model::inputs::{CarIx, Inputs};

/// S21: asked of cars of which something was decided, with the decision as its note.
pub fn still_to_be_had(inputs: &Inputs, car: CarIx) -> Option<Check> {
    let (fate, decision) = inputs.decided.of_car(car)?;
    let limit = Limit::words("neither sold to others nor refused");
    let check = Check::words(Code::StillToBeHad, fate.word(), limit, !fate.is_gone());
    let why = decision.note.as_deref().unwrap_or_default();
    let colon = if why.is_empty() { "" } else { ": " };
    Some(check.note(format!("decided at {}{colon}{why}", decision.place)))
}
