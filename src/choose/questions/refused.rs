//! What stands in for a car of the plan that is refused, all other crossings' decks as they are.

use itertools::Itertools;

use crate::choose::clock::Clock;
use crate::choose::effort::Effort;
use crate::choose::heuristics::best_response::{Responder, Terms};
use crate::choose::market::{Choice, ChosenLayout, Market};
use crate::choose::plan::Plan;
use crate::choose::plan::ledger::Ledger;
use crate::choose::plan::served::Served;
use crate::choose::problem::Problem;
use crate::choose::questions::alternative::Other;
use crate::choose::tuning::{ALTERNATIVE_DECKS_MOST, DECKS_PER_SPAN_TRIED};
use crate::quantity::Cents;

/// One car of a crossing's decks refused.
#[derive(Clone, Debug, PartialEq, Eq)]
pub struct Refused {
    /// Its offer.
    pub offer: usize,
    /// The cheapest decks of the crossing without it, and what the plan costs more with them.
    pub other: Other,
    /// What the plan costs more, mostly less than nothing, if the crossing goes without; none where
    /// that leaves an order too small.
    pub without: Option<Cents>,
}

/// For each crossing of the choice, each offer in its decks with what takes its place if one car of it
/// is refused: other crossings keep their decks, and of several identical cars the others stay. A
/// refused car of a lot that is bought all the same counts as one left over. As far
/// as a short time after a search of this effort allows; what was not looked into has no decks and is
/// not proven.
#[must_use]
pub fn if_refused(market: &Market, choice: &Choice, effort: &Effort) -> Vec<Vec<Refused>> {
    refused_of(&Problem::new(market), market, choice, effort)
}

/// [`if_refused`], where the market is compiled.
pub fn refused_of(
    problem: &Problem,
    market: &Market,
    choice: &Choice,
    effort: &Effort,
) -> Vec<Vec<Refused>> {
    let effort = effort.afterwards(choice.stopped);
    let clock = Clock::new(&effort);
    let offers_of = |chosen: &Option<ChosenLayout>| -> Vec<usize> {
        let cars = chosen.iter().flat_map(|chosen| chosen.decks.iter().flatten());
        cars.copied().sorted_unstable().dedup().collect()
    };
    let offers = choice.crossings.iter().map(offers_of);
    let unknown = |offer| Refused { offer, other: NOT_LOOKED, without: None };
    let Some(plan) = Plan::from_choice(problem, choice) else {
        return offers.map(|offers| offers.into_iter().map(unknown).collect()).collect();
    };
    let ledger = plan.ledger(problem);
    let mut responder = Responder::until(problem, &clock);
    let mut answers = Vec::new();
    for ((crossing, offers), present) in offers.enumerate().zip(&plan.crossings) {
        let one = |offer| match present {
            Some(present) if !clock.up() => {
                answer(market, choice, problem, &ledger, &mut responder, crossing, present, offer)
            }
            _ => unknown(offer),
        };
        answers.push(offers.into_iter().map(one).collect());
    }
    answers
}

const NOT_LOOKED: Other = Other { decks: None, proven: false };

#[allow(clippy::too_many_arguments)]
fn answer(
    market: &Market,
    choice: &Choice,
    problem: &Problem,
    ledger: &Ledger,
    responder: &mut Responder<'_>,
    crossing: usize,
    present: &Served,
    offer: usize,
) -> Refused {
    let mut rest = ledger.clone();
    rest.remove(problem, present);
    let without = rest.holds(problem).then(|| Cents(rest.net - ledger.net));
    let Some(item) = problem.item_of.get(offer).copied().flatten() else {
        return Refused { offer, other: NOT_LOOKED, without };
    };
    // A refused car is one that somebody else has taken.
    let mut taken = rest.clone();
    taken.used[item] += 1;
    let several = problem.layouts[problem.crossings[crossing].layouts.clone()]
        .iter()
        .any(|layout| layout.spans.len() > 1);
    responder.width = if several { ALTERNATIVE_DECKS_MOST } else { DECKS_PER_SPAN_TRIED };
    let served = responder.respond(&taken, crossing, &Terms::default());
    responder.width = DECKS_PER_SPAN_TRIED;
    let served = served.filter(|served| taken.with(problem, served).holds(problem));
    let decks = served.map(|served| {
        let extra = rest.with(problem, &served).net - ledger.net;
        let mut left: Vec<u32> = market.offers.iter().map(|offer| offer.quantity).collect();
        for (number, chosen) in choice.crossings.iter().enumerate() {
            let elsewhere = chosen.iter().filter(|_| number != crossing);
            for &offer in elsewhere.flat_map(|chosen| chosen.decks.iter().flatten()) {
                left[offer] = left[offer].saturating_sub(1);
            }
        }
        left[offer] = left[offer].saturating_sub(1);
        (served.chosen(problem, &mut left), Cents(extra))
    });
    Refused { offer, other: Other { decks, proven: !responder.is_late() }, without }
}
