//! What is told of a choice beside the choice itself, from one compiled market and in a short time.

use crate::choose::clock::Clock;
use crate::choose::effort::Effort;
use crate::choose::heuristics::site_by_site::in_turn;
use crate::choose::market::{Choice, Market};
use crate::choose::problem::Problem;
use crate::choose::questions::alternative::{Other, others_of};
use crate::choose::questions::refused::{Refused, refused_of};
use crate::choose::questions::unserved::{WhyUnserved, reasons_of};
use crate::quantity::Cents;

/// What is told of a choice, crossing by crossing; of those missing nothing is known.
#[derive(Clone, Debug, Default, PartialEq)]
pub struct Beside {
    /// The cheapest other decks of each crossing.
    pub others: Vec<Other>,
    /// What takes the place of each car refused.
    pub refused: Vec<Vec<Refused>>,
    /// Why it goes without, of those that do.
    pub why: Vec<Option<WhyUnserved>>,
    /// How many a purchase site by site serves, and its net cost; none: there was no time for it.
    pub site_by_site: Option<(usize, Cents)>,
}

/// The choice, with cheaper decks taken in unless it is to be `kept` (see
/// [`with_others`](crate::choose::with_others)), and what is told of it, in a short time after a search of
/// this effort.
#[must_use]
pub fn beside(market: &Market, choice: Choice, effort: &Effort, kept: bool) -> (Choice, Beside) {
    let mut problem = Problem::new(market);
    let (choice, others) = others_of(&problem, market, choice, effort, kept);
    let refused = refused_of(&problem, market, &choice, effort);
    let site_by_site = compared(&problem, &effort.explaining(choice.stopped));
    let why = reasons_of(&mut problem, market, &choice, effort);
    (choice, Beside { others, refused, why, site_by_site })
}

/// What a purchase site by site comes to.
fn compared(problem: &Problem, effort: &Effort) -> Option<(usize, Cents)> {
    let clock = Clock::new(effort);
    let (plan, whole) = in_turn(problem, &clock);
    whole.then(|| (plan.served(), Cents(plan.ledger(problem).net)))
}
