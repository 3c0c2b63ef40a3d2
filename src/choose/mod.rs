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
use search::service;

pub use effort::{Effort, Progress, Watch};
pub use heuristics::site_by_site::site_by_site;
pub use market::{
    Choice, ChosenLayout, Demand, Grant, LayoutDemand, Market, Offer, Quote, SpanDemand,
};
pub use plan::merit::{Merit, merit};
pub use plan::totals::{Totals, totals};
pub use questions::all_served::all_served;
pub use questions::alternative::{Other, cheapest_other, with_others};
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
    let clock = Clock::new(effort);
    let mut problem = Problem::new(market);
    service::close_infeasible(&mut problem);
    let from = from.map(|choice| Plan::left_of(&problem, choice));
    let result = service::solve(&problem, &clock, from);
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
