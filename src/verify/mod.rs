//! Recomputes a finished plan from the inputs alone, rule by rule and cent by cent.
//!
//! Nothing here calls `group`, `choose` or `assemble`: the deck rules are written out a second time
//! in `decks`, the sums in `money`. What it does share with the making of the plan are the
//! stages before the choice, screening, rating and the single cost lines, each of which has its own
//! outside tests.

mod by_hand;
mod confirmed;
mod decided;
mod decks;
mod funds;
mod hauls;
mod loads;
mod money;
mod orders;
mod quote;
mod reckon;
mod seasons;
mod stock;
mod tax;
mod trim;

use std::fmt;

use crate::check::{Check, Outcome, all_pass};
use crate::model::inputs::Inputs;
use crate::model::plan::Plan;

/// A plan that does not stand up: the failed checks. A defect of this program, not of the inputs.
#[derive(Clone, Debug, PartialEq)]
pub struct Rejected(pub Vec<Check>);

impl fmt::Display for Rejected {
    fn fmt(&self, f: &mut fmt::Formatter<'_>) -> fmt::Result {
        writeln!(
            f,
            "the plan failed its verification and is not shown; this is a defect of spanyard"
        )?;
        self.0.iter().try_for_each(|check| writeln!(f, "  {}", check.sentence()))
    }
}

impl std::error::Error for Rejected {}

/// Every check of the verification, passed or not, in the order of the registry.
#[must_use]
pub fn checks(inputs: &Inputs, plan: &Plan) -> Vec<Check> {
    vec![
        stock::cars_once(inputs, plan),
        stock::lots_whole(inputs, plan),
        decks::cars_suitable(inputs, plan),
        decks::decks_valid(inputs, plan),
        decks::spans_served(inputs, plan),
        money::cost_lines(inputs, plan),
        money::totals(plan),
        money::within_budget(inputs, plan),
        money::bound_honest(plan),
        stock::nothing_lost(inputs, plan),
        orders::orders_kept(inputs, plan),
        decided::decisions_kept(inputs, plan),
        funds::within_funds(inputs, plan),
        confirmed::confirmed(inputs, plan),
    ]
}

/// Verifies a plan and returns its checks.
///
/// # Errors
/// [`Rejected`] with the checks that failed.
pub fn verify(inputs: &Inputs, plan: &Plan) -> Result<Vec<Check>, Rejected> {
    let checks = checks(inputs, plan);
    if all_pass(&checks) {
        return Ok(checks);
    }
    Err(Rejected(checks.into_iter().filter(|check| check.outcome != Outcome::Pass).collect()))
}

/// A check over many things: passes when there is no fault, else fails with the first fault as its
/// note and the number of faults as what was measured.
fn no_faults(code: crate::check::Code, faults: Vec<String>) -> Check {
    use crate::check::Value;
    let count = Value::Count(faults.len() as i64);
    let check = Check::at_most(code, count, Value::Count(0));
    match faults.into_iter().next() {
        None => check,
        Some(first) => check.note(format!("faults found, the first: {first}")),
    }
}
