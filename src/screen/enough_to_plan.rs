//! S26: what decides about the car is known well enough to plan with.

use itertools::Itertools;

use super::Pair;
use crate::check::{Check, Code, Limit, Outcome, Value};
use crate::evidence::{Decisive, below_plan};

/// S26: asked of cars that have a fact below what the rules ask.
pub fn enough(pair: &Pair) -> Option<Check> {
    let below = below_plan(pair.car, pair.crossing, pair.rules);
    if below.is_empty() {
        return None;
    }
    let words = |fact: &Decisive| {
        let known = fact.grade.map_or("unknown", |grade| grade.words());
        format!("{} {known}", fact.column.fact().label)
    };
    let needed = |fact: &Decisive| {
        let least = pair.rules.evidence.to_plan.of(fact.kind);
        format!("{} {least}", fact.kind)
    };
    let measured = Value::Text(below.iter().map(words).join(", "));
    let limit = Limit::words(below.iter().map(needed).unique().join(", "));
    let note = "rules evidence.to_plan, the least to plan with";
    Some(Check::new(Code::EvidenceToPlan, measured, limit, Outcome::Unknown).note(note))
}
