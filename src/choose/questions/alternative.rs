//! The cheapest other decks of one crossing, all other crossings' decks as they are: what the
//! chosen decks are better than.

use crate::choose::heuristics::best_response::{Responder, Terms};
use crate::choose::market::{Choice, ChosenLayout, Market};
use crate::choose::plan::Plan;
use crate::choose::problem::Problem;
use crate::choose::tuning::ALTERNATIVE_DECKS_MOST;

use crate::quantity::Cents;

/// The cheapest other decks of a served crossing and what they would cost more, net.
///
/// Other decks: another layout, or other cars. Identical cars, and the same cars changed about
/// between the spans, are not other cars. Free for them are cars that no other crossing uses; lots
/// and trips that the other crossings need anyway cost nothing more, those that only this crossing
/// needs are given back, new ones are paid in full less the stock value of what is left over. A
/// budget holds for them too. None: the crossing is not served, or there are no others.
///
/// Where yards have price levels, other decks are compared at the lowest prices, so that cheaper ones
/// may exist; what they cost more is exact.
///
/// The cost is less than zero only if the choice is not the cheapest, or if other decks would serve
/// as many for less.
#[must_use]
pub fn cheapest_other(
    market: &Market,
    choice: &Choice,
    crossing: usize,
) -> Option<(ChosenLayout, Cents)> {
    let problem = Problem::new(market);
    let plan = Plan::from_choice(&problem, choice)?;
    other(&problem, market, choice, &plan, crossing)
}

/// [`cheapest_other`] for every crossing, in less time than one by one.
#[must_use]
pub fn cheapest_others(market: &Market, choice: &Choice) -> Vec<Option<(ChosenLayout, Cents)>> {
    let problem = Problem::new(market);
    let Some(plan) = Plan::from_choice(&problem, choice) else {
        return vec![None; market.crossings.len()];
    };
    let crossings = 0..market.crossings.len();
    crossings.map(|crossing| other(&problem, market, choice, &plan, crossing)).collect()
}

fn other(
    problem: &Problem,
    market: &Market,
    choice: &Choice,
    plan: &Plan,
    crossing: usize,
) -> Option<(ChosenLayout, Cents)> {
    let present = plan.crossings.get(crossing)?.as_ref()?;
    let mut ledger = plan.ledger(problem);
    let before = ledger.net;
    ledger.remove(problem, present);
    let mut responder = Responder::new(problem);
    let terms = Terms { except: Some(present), ..Terms::default() };
    let mut best = responder.respond(&ledger, crossing, &terms);
    let mut net = best.as_ref().map(|served| ledger.with(problem, served).net);
    if problem.crossings[crossing].layouts.clone().any(|l| problem.layouts[l].spans.len() > 1) {
        // With several spans only the first decks of each were tried; now all that could be better.
        responder.width = ALTERNATIVE_DECKS_MOST;
        let below = net.map(|net| net - ledger.net);
        if let Some(served) = responder.respond(&ledger, crossing, &Terms { below, ..terms }) {
            net = Some(ledger.with(problem, &served).net);
            best = Some(served);
        }
    }
    let best = best.filter(|served| ledger.with(problem, served).holds(problem))?;
    let net = net?;
    let mut left: Vec<u32> = market.offers.iter().map(|offer| offer.quantity).collect();
    for (number, chosen) in choice.crossings.iter().enumerate() {
        for offer in chosen.iter().filter(|_| number != crossing).flat_map(|c| c.decks.concat()) {
            left[offer] = left[offer].saturating_sub(1);
        }
    }
    Some((best.chosen(problem, &mut left), Cents(net - before)))
}
