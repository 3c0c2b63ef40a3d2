//! What there is to say of a plan, picked and merged once for all output formats.

pub mod answers;
pub mod ask;
pub mod board;
pub mod change;
pub mod compare;
pub mod confirm;
pub mod decisions;
pub mod expiring;
pub mod funds;
pub mod hauls;
pub mod headline;
pub mod holdings;
pub mod limits;
pub mod matching;
pub mod nearest;
pub mod other_bridge;
pub mod passing;
pub mod prices;
pub mod purchases;
pub mod reasons;
pub mod refusals;
pub mod rules_in_force;
pub mod sign;
pub mod spares;
pub mod structure;
pub mod substitutes;
pub mod sweep;
pub mod totals;
pub mod want;

use crate::model::inputs::Inputs;
use crate::model::plan::Plan;
use crate::read::FileRead;
use matching::Matching;

/// Everything a report of a plan is made from.
#[derive(Clone, Copy, Debug)]
pub struct PlanReport<'a> {
    /// The validated inputs.
    pub inputs: &'a Inputs,
    /// The verified plan.
    pub plan: &'a Plan,
    /// Every car against every crossing.
    pub matching: &'a Matching<'a>,
    /// The files read.
    pub files: &'a [FileRead],
}

/// Number of things with its noun: `1 car`, `3 cars`.
#[must_use]
pub fn count(n: usize, noun: &str) -> String {
    if n == 1 { format!("1 {noun}") } else { format!("{n} {noun}s") }
}
