//! Applies what was decided since the plan to the inputs: a pure function from inputs and decisions
//! to inputs, before anything is screened.
//!
//! What is bought becomes the agency's own, its price a sum already paid. What is sold to others or
//! refused stays in the list and is barred, so that its fate is reported where the car is. Measured
//! values replace the dealer's. Nothing is guessed: decisions that contradict each other, or name
//! what no file has, are conflicts, and none of them is applied then.

mod changed;
mod desk;
mod measured;

use crate::check::Code;
use crate::model::decision::Decision;
use crate::model::inputs::Inputs;
use crate::read::{self, Checked, Problems, Reading, Sources};
use jiff::civil::Date;

/// Why a decision cannot be obeyed.
#[derive(Clone, Debug, PartialEq, Eq)]
pub struct Conflict {
    /// Index of the decision.
    pub decision: usize,
    /// The key at fault.
    pub key: &'static str,
    /// Which kind of fault.
    pub code: Code,
    /// What is wrong, as the end of a sentence that begins with the value of the key.
    pub wrong: String,
    /// What to write instead, as an order.
    pub instead: String,
}

/// The inputs after these decisions.
///
/// # Errors
/// Every conflict, in the order of the decisions.
pub fn apply(inputs: &Inputs, decisions: &[Decision]) -> Result<Inputs, Vec<Conflict>> {
    let mut desk = desk::Desk::new(inputs.clone(), decisions);
    for number in 0..decisions.len() {
        desk.crossing(number);
    }
    for number in 0..decisions.len() {
        desk.goods(number);
    }
    for number in 0..decisions.len() {
        desk.built(number);
    }
    desk.finish()
}

/// What was read, with its decisions applied. Where they contradict each other or the files, that is
/// a problem like any other, and there are no inputs.
#[must_use]
pub fn decided(checked: Checked) -> Checked {
    let Checked { inputs, decisions, mut problems, .. } = checked;
    let inputs = match inputs.map(|inputs| apply(&inputs, &decisions.list)) {
        Some(Ok(inputs)) => Some(inputs),
        None => None,
        Some(Err(conflicts)) => {
            problems.0.extend(conflicts.into_iter().filter_map(|conflict| {
                let Conflict { decision, key, code, wrong, instead } = conflict;
                decisions.problem(decision, key, code, wrong, instead)
            }));
            None
        }
    };
    Checked { inputs, decisions, problems, ..checked }
}

/// Reads all files and applies what was decided.
///
/// # Errors
/// All problems of all files, and the conflicts of the decisions.
pub fn read(sources: &Sources, today: Date) -> Result<Reading, Problems> {
    decided(read::examine(sources, today)).into_reading()
}
