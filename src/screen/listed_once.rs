//! S30: no other dealer lists the same car.

use crate::check::{Check, Code, Limit, Outcome, Value};
use crate::model::inputs::{CarIx, Inputs};

/// S30: asked of cars that another dealer seems to list too.
pub fn once(inputs: &Inputs, ix: CarIx) -> Option<Check> {
    let counts = inputs.decided.twins.get(&ix);
    let other = match counts {
        Some(counts) => inputs.car(*counts),
        None => {
            let (other, _) = inputs.decided.twins.iter().find(|(_, counts)| **counts == ix)?;
            inputs.car(*other)
        }
    };
    let measured = Value::Text(format!("{} lists it too, as {}", other.dealer, other.id));
    let limit = Limit::words("one offer for one car");
    let (outcome, note) = match counts {
        Some(_) => (Outcome::Unknown, "that offer counts; if they are two cars, say so"),
        None => (Outcome::Caution, "this offer counts, the other does not"),
    };
    Some(Check::new(Code::ListedOnce, measured, limit, outcome).note(note))
}
