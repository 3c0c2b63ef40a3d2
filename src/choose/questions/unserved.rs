//! Why the choice leaves a crossing without a bridge.

use crate::choose::clock::Clock;
use crate::choose::effort::Effort;
use crate::choose::heuristics::best_response::{Responder, Terms};
use crate::choose::market::{Choice, Market};
use crate::choose::plan::Plan;
use crate::choose::plan::ledger::Ledger;
use crate::choose::problem::Problem;

use crate::quantity::Cents;

/// Why a crossing goes without. Of several layouts the one that comes furthest is named.
#[derive(Clone, Copy, Debug, PartialEq, Eq)]
pub enum WhyUnserved {
    /// Every layout has a span for which no car can be had that passes its checks.
    NoCandidates {
        /// Index of the layout.
        layout: usize,
        /// Index of its first such span.
        span: usize,
    },
    /// Cars pass, but on some span of each layout no set of them makes a deck; or its decks need
    /// the same cars.
    NoDeck {
        /// Index of the layout.
        layout: usize,
        /// Index of its first such span, or of its last where the decks need the same cars.
        span: usize,
    },
    /// There are decks, but the other crossings' decks leave too few cars for any.
    CarsTaken,
    /// There are decks, but a yard that they need does not have the cars for its minimum order.
    OrderTooSmall,
    /// The cars are there, but the fund of the crossing does not reach.
    OverFund {
        /// By how much, with the other crossings as chosen.
        short_by: Cents,
    },
    /// The cars are there, but the budget does not reach.
    OverBudget {
        /// By how much, with the other crossings as chosen.
        short_by: Cents,
    },
    /// The time was up before it was looked into.
    NotLookedInto,
}

/// Why a crossing that the choice does not serve goes without.
#[must_use]
pub fn explain_unserved(market: &Market, choice: &Choice, crossing: usize) -> WhyUnserved {
    let clock = Clock::new(&Effort::default());
    explain(&mut Problem::new(market), market, choice, crossing, &clock)
}

/// [`explain_unserved`] for every crossing without a bridge, in less time than one by one; none for
/// those that have one. It takes a short time after a search of this effort, and no more.
#[must_use]
pub fn explain_all_unserved(
    market: &Market,
    choice: &Choice,
    effort: &Effort,
) -> Vec<Option<WhyUnserved>> {
    reasons_of(&mut Problem::new(market), market, choice, effort)
}

/// [`explain_all_unserved`], where the market is compiled.
pub fn reasons_of(
    problem: &mut Problem,
    market: &Market,
    choice: &Choice,
    effort: &Effort,
) -> Vec<Option<WhyUnserved>> {
    let effort = effort.explaining(choice.stopped);
    let clock = Clock::new(&effort);
    let crossings = choice.crossings.iter().enumerate();
    crossings
        .map(|(crossing, served)| match served {
            Some(_) => None,
            None => Some(explain(problem, market, choice, crossing, &clock)),
        })
        .collect()
}

fn explain(
    problem: &mut Problem,
    market: &Market,
    choice: &Choice,
    crossing: usize,
    clock: &Clock,
) -> WhyUnserved {
    let (budget, funds) = (problem.budget.take(), std::mem::take(&mut problem.funds));
    let why = match short_of_cars(problem, market, choice, crossing, clock) {
        Err(why) => why,
        Ok(plan) => {
            problem.funds = funds.clone();
            short_of_money(problem, &plan, crossing, budget)
        }
    };
    (problem.budget, problem.funds) = (budget, funds);
    why
}

/// Why the cars do not reach where money is no object; else a plan that serves the crossing too.
fn short_of_cars(
    problem: &Problem,
    market: &Market,
    choice: &Choice,
    crossing: usize,
    clock: &Clock,
) -> Result<Plan, WhyUnserved> {
    let Some(record) = problem.crossings.get(crossing) else { return Err(WhyUnserved::CarsTaken) };
    if record.layouts.is_empty() {
        let (layout, span) = without_candidates(problem, market, crossing);
        return Err(WhyUnserved::NoCandidates { layout, span });
    }
    if clock.up() {
        return Err(WhyUnserved::NotLookedInto);
    }
    let mut responder = Responder::until(problem, clock);
    let empty = Ledger::empty(problem);
    if responder.respond(&empty, crossing, &Terms::default()).is_none() {
        let (layout, span) = without_deck(problem, &mut responder, crossing);
        let late = responder.is_late();
        return Err(if late {
            WhyUnserved::NotLookedInto
        } else {
            WhyUnserved::NoDeck { layout, span }
        });
    }
    let Some(mut plan) = Plan::from_choice(problem, choice) else {
        return Err(WhyUnserved::CarsTaken);
    };
    plan.crossings[crossing] = None;
    let ledger = plan.ledger(problem);
    let terms = Terms { paid: true, ..Terms::default() };
    let Some(served) = responder.respond(&ledger, crossing, &terms) else {
        let late = responder.is_late();
        return Err(if late { WhyUnserved::NotLookedInto } else { WhyUnserved::CarsTaken });
    };
    if !ledger.with(problem, &served).holds(problem) {
        return Err(WhyUnserved::OrderTooSmall);
    }
    plan.crossings[crossing] = Some(served);
    Ok(plan)
}

/// What this plan is short of: the fund of the crossing, or the budget.
fn short_of_money(
    problem: &mut Problem,
    plan: &Plan,
    crossing: usize,
    budget: Option<i64>,
) -> WhyUnserved {
    let fund = problem.crossings[crossing].fund;
    if let Some(short_by) = plan.ledger(problem).funds.short_by(problem, fund) {
        return WhyUnserved::OverFund { short_by: Cents(short_by) };
    }
    let Some(budget) = budget else { return WhyUnserved::CarsTaken };
    // A budget that nothing keeps makes the price levels those of least outlay.
    problem.budget = Some(i64::MIN / 8);
    let outlay = plan.ledger(problem).outlay;
    WhyUnserved::OverBudget { short_by: Cents((outlay - budget).max(0)) }
}

/// The layout that has candidates for most of its first spans, and its first span without.
fn without_candidates(problem: &Problem, market: &Market, crossing: usize) -> (usize, usize) {
    let has = |span: &crate::choose::market::SpanDemand| {
        span.candidates.iter().any(|c| problem.item_of.get(c.offer).is_some_and(Option::is_some))
    };
    let layouts = market.crossings[crossing].layouts.iter().enumerate();
    let first = |layout: &crate::choose::market::LayoutDemand| {
        layout.spans.iter().take_while(|s| has(s)).count()
    };
    let furthest = layouts.map(|(number, layout)| (number, first(layout)));
    furthest.fold((0, 0), |best, next| if next.1 > best.1 { next } else { best })
}

/// The layout that has a deck for most of its first spans, and its first span without.
fn without_deck(problem: &Problem, responder: &mut Responder, crossing: usize) -> (usize, usize) {
    let mut best = (0, 0);
    for (place, layout) in problem.crossings[crossing].layouts.clone().enumerate() {
        let record = &problem.layouts[layout];
        let first = record.spans.clone().take_while(|span| responder.has_deck(*span)).count();
        let first = first.min(record.spans.len() - 1);
        if place == 0 || first > best.1 {
            best = (record.number, first);
        }
    }
    best
}
