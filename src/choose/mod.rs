//! Chooses for all crossings at once: which decks, which single cars, which lots, for the least net
//! cost among the plans that serve most, by priority.
//!
//! This stage knows neither steel nor files. It sees a [`Market`] of numbers that the earlier stages
//! made, and returns a [`Choice`] with a proven bound; `verify` recomputes it from the inputs.

mod bound;
mod clock;
mod decks;
mod effort;
mod heuristics;
mod market;
mod plan;
mod problem;
mod questions;
mod search;
mod tuning;

#[cfg(test)]
#[path = "../../tests/choose/inside.rs"]
mod inside;

use crate::model::plan::Stop;
use crate::quantity::Cents;
use clock::Clock;
use plan::Plan;
use problem::Problem;
use questions::by_name::first_by_name;
use search::service::{self, Known};

pub use effort::{Effort, Progress, Watch};
pub use heuristics::site_by_site::site_by_site;
pub use market::{
    Choice, ChosenLayout, Demand, Grant, LayoutDemand, Market, Offer, Quote, SpanDemand,
};
pub use plan::merit::{Merit, merit};
pub use plan::totals::{Totals, totals};
pub use questions::all_served::all_served;
pub use questions::alternative::{Other, cheapest_other, with_others};
pub use questions::beside::{Beside, beside};
pub use questions::floor::Floor;
pub use questions::refused::{Refused, if_refused};
pub use questions::unserved::{WhyUnserved, explain_all_unserved, explain_unserved};

/// Chooses decks, single cars and lots for all crossings of the market.
///
/// Most crossings served by priority come first, least net cost second. The choice is proven, unless
/// the effort ends the search before; then it is the best found so far, with a bound that holds.
#[must_use]
pub fn choose(market: &Market, effort: &Effort) -> Choice {
    choose_from(market, effort, None)
}

/// As [`choose`], beginning with what is left of the choice of a market that differs in a few
/// offers; what is proven does not depend on it.
#[must_use]
pub fn choose_from(market: &Market, effort: &Effort, from: Option<&Choice>) -> Choice {
    let before = from.map(|choice| Before { choice, serves_most: false, costs_least: false });
    choose_knowing(market, effort, before)
}

/// The choice of another market with the same crossings, and what it tells of this one.
#[derive(Clone, Copy, Debug)]
pub struct Before<'a> {
    /// The choice.
    pub choice: &'a Choice,
    /// Whether no plan of this market serves more than the best of that one.
    pub serves_most: bool,
    /// Whether no plan of this market costs less than the cheapest of that one that serves the same.
    pub costs_least: bool,
}

/// As [`choose`], beginning with what is left of the choice of another market and with what was proven
/// of that.
#[must_use]
pub fn choose_knowing(market: &Market, effort: &Effort, before: Option<Before<'_>>) -> Choice {
    let clock = Clock::new(effort);
    let mut problem = Problem::new(market);
    service::close_infeasible(&mut problem);
    let known = before.map(|before| known(&problem, &before)).unwrap_or_default();
    let result = service::solve(&problem, &clock, known);
    let mut choice = result.plan.into_choice(&problem, market);
    // Which of equal plans a search that was cut short comes to hangs on the time anyway.
    if !matches!(result.stopped, Some(Stop::TimeLimit | Stop::Interrupt)) {
        choice = first_by_name(market, choice, &clock);
    }
    choice.bound = Cents(result.bound);
    choice.cheapest = result.cheapest;
    choice.service = result.service;
    choice.stopped = result.stopped;
    debug_assert_eq!(totals(market, &choice).map(|totals| totals.net), Some(choice.net));
    choice
}

/// What the choice of another market tells of a problem.
fn known(problem: &Problem, before: &Before<'_>) -> Known {
    let choice = before.choice;
    // Crossings that have become infeasible would be counted there and not here.
    let counted = |(crossing, chosen): (&problem::Crossing, &Option<ChosenLayout>)| {
        chosen.is_none() || !crossing.layouts.is_empty()
    };
    let same = problem.crossings.iter().zip(&choice.crossings).all(counted);
    let unserved = (before.serves_most && choice.service && same).then(|| {
        let mut unserved = vec![0; problem.ranks.len()];
        for (record, chosen) in problem.crossings.iter().zip(&choice.crossings) {
            if chosen.is_none() && !record.layouts.is_empty() {
                unserved[record.rank] += record.points;
            }
        }
        unserved
    });
    let bound = unserved.as_ref().filter(|_| before.costs_least).map(|_| choice.bound.0);
    Known { plan: Some(Plan::left_of(problem, choice)), unserved, bound }
}
