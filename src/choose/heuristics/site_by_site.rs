//! What a buyer gets who goes through the crossings one after the other.

use crate::choose::clock::Clock;
use crate::choose::effort::Effort;
use crate::choose::heuristics::improvement::serve_greedily;
use crate::choose::market::{Choice, Market};
use crate::choose::plan::Plan;
use crate::choose::problem::Problem;

/// The purchase made site by site: by priority, then in the order given, each crossing takes its
/// cheapest decks from what is left, lots and trips paid by those before it free of further charge.
/// Nothing is proven of it, and its bound is its own cost; it is there to be compared with.
#[must_use]
pub fn site_by_site(market: &Market) -> Choice {
    let problem = Problem::new(market);
    let clock = Clock::new(&Effort::default());
    in_turn(&problem, &clock).0.into_choice(&problem, market)
}

/// The plan that serves each crossing in turn, and whether there was time for all of them.
pub fn in_turn(problem: &Problem, clock: &Clock) -> (Plan, bool) {
    let mut order: Vec<usize> = (0..problem.crossings.len()).collect();
    order.sort_by_key(|crossing| problem.crossings[*crossing].rank);
    let mut plan = Plan::empty(problem);
    serve_greedily(problem, &mut plan, &order, None, clock);
    (plan, !clock.up())
}
