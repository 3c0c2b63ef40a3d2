//! Replanning with least change: of the plans whose cost lies within a tolerance of the cheapest,
//! one that changes the fewest assignments of a previous plan.
//!
//! An assignment is one car at one crossing; a change is one given up or one new. Service comes
//! first and cost second, as in every plan; change decides only among plans that serve as many, by
//! priority, within the tolerance.
//!
//! The market is chosen from again with a price on change: each car that lies where it lay is given a
//! bounty, each other pays the same as a fee. With the right price the choice slides from the
//! cheapest plan to the one that changes least. Each such choice has a proven bound, and any
//! bound at any price says how many changes every plan within the tolerance has at least; where the
//! best plan found has no more, it is proven. Where it has more, plans are told apart by one car: it
//! stays where it lay, or it does not (`branch`).

mod branch;
mod previous;
mod priced;

use crate::assemble::{PlanOptions, Solved, planned};
use crate::choose::{Choice, Effort, Market};
use crate::model::inputs::Inputs;
use crate::model::plan::Plan;
use crate::quantity::{Cents, Percent};
use crate::survey::Survey;
use crate::verify::Rejected;

use branch::Search;
pub use previous::{Assignment, Previous};
use priced::Priced;

/// A choice near the cheapest that changes little.
#[derive(Clone, Debug, PartialEq)]
pub struct LeastChange {
    /// The choice, of the market that was given.
    pub choice: Choice,
    /// Its changes: assignments given up, and new ones.
    pub changes: usize,
    /// No plan that serves as many within the tolerance has fewer.
    pub at_least: usize,
    /// What the cheapest plan costs.
    pub cheapest: Cents,
    /// Its changes.
    pub cheapest_changes: usize,
    /// The most that a plan might cost.
    pub limit: Cents,
}

impl LeastChange {
    /// Whether no plan within the tolerance changes less.
    #[must_use]
    pub fn is_proven(&self) -> bool {
        self.changes == self.at_least
    }
}

/// The least change from a previous plan, near the cheapest choice of a market.
#[must_use]
pub fn least_change(
    inputs: &Inputs,
    market: &Market,
    cheapest: &Choice,
    previous: &Previous,
    tolerance: Percent,
    effort: &Effort,
) -> LeastChange {
    let priced = Priced::new(inputs, market, previous);
    let within = Cents::from_dollars(cheapest.net.as_dollars() * tolerance.fraction());
    let changes = priced.changes(cheapest);
    let best = LeastChange {
        changes,
        at_least: 0,
        cheapest: cheapest.net,
        cheapest_changes: changes,
        choice: cheapest.clone(),
        limit: cheapest.net + within.max(Cents::ZERO),
    };
    Search::new(market, cheapest, &priced, effort, best).run()
}

/// The verified plan near the cheapest that changes least of a previous one, and what it changes. The
/// effort is what the search for the cheapest has left.
///
/// # Errors
/// [`Rejected`]: a defect of this program, as in [`solve`](crate::assemble::solve).
pub fn replanned(
    inputs: &Inputs,
    survey: &Survey,
    solved: Solved,
    previous: &Previous,
    tolerance: Percent,
    options: &PlanOptions,
) -> Result<(Plan, LeastChange), Rejected> {
    let Solved { market, choice, .. } = solved;
    let least = least_change(inputs, &market, &choice, previous, tolerance, &options.effort);
    let made = planned(inputs, survey, market, least.choice.clone(), options)?;
    Ok((made.plan, least))
}
