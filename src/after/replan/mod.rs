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
//! best plan found has no more, it is proven.

mod previous;
mod priced;

use crate::assemble::{PlanOptions, Solved, planned};
use crate::choose::{Choice, Effort, Market, totals};
use crate::model::inputs::Inputs;
use crate::model::plan::Plan;
use crate::quantity::{Cents, Percent};
use crate::survey::Survey;
use crate::verify::Rejected;

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

/// Searches at most so many prices of change.
const PRICES: usize = 16;

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
    let changes = |choice: &Choice| priced.changes(choice);
    let within = Cents::from_dollars(cheapest.net.as_dollars() * tolerance.fraction());
    let limit = cheapest.net + within.max(Cents::ZERO);
    let mut best = LeastChange {
        changes: changes(cheapest),
        at_least: 0,
        cheapest: cheapest.net,
        cheapest_changes: changes(cheapest),
        choice: cheapest.clone(),
        limit,
    };
    // A plan that changes less and costs too much.
    let mut beyond: Option<(Cents, usize)> = None;
    let mut price = priced.deciding_price(cheapest.net, limit);
    let end = effort.deadline();
    for _ in 0..PRICES {
        if best.is_proven() || price < 1 || end.has_passed() || effort.is_interrupted() {
            break;
        }
        let effort = Effort { time_limit: end.left(), ..*effort };
        let (mut found, bound) = priced.choose(price, &effort);
        best.at_least = best.at_least.max(priced.least(price, bound, limit).min(best.changes));
        let same_service =
            market.crossings.iter().map(|demand| demand.priority).all(|priority| {
                served(market, &found, priority) == served(market, cheapest, priority)
            });
        let Some(net) = totals(market, &found).map(|totals| totals.net).filter(|_| same_service)
        else {
            break;
        };
        let found_changes = changes(&found);
        if net <= limit {
            if (found_changes, net) >= (best.changes, best.choice.net) {
                break;
            }
            found.net = net;
            found.bound = cheapest.bound;
            found.cheapest = cheapest.cheapest && net == cheapest.net;
            found.service = cheapest.service;
            (best.choice, best.changes) = (found, found_changes);
        } else if beyond.is_some_and(|(cost, fewest)| (net, found_changes) == (cost, fewest)) {
            break;
        } else {
            beyond = Some((net, found_changes));
        }
        let Some((cost, fewest)) = beyond else { break };
        if fewest >= best.changes {
            break;
        }
        price = priced.price_between((best.choice.net, best.changes), (cost, fewest));
    }
    best
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

/// Points of the crossings of a priority that a choice serves.
fn served(market: &Market, choice: &Choice, priority: u8) -> u32 {
    let pairs = market.crossings.iter().zip(&choice.crossings);
    let here = pairs.filter(|(demand, chosen)| demand.priority == priority && chosen.is_some());
    here.map(|(demand, _)| demand.points.max(1)).sum()
}
