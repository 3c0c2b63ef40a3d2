//! Good plans without proof: crossing by crossing at true cost, then changes that pay.

use super::clock::Clock;
use super::ledger::{Ledger, Plan};
use super::problem::Problem;
use super::respond::{Responder, Terms};

/// A plan's rank among plans: unserved crossings by priority, then net cost. Less is better.
pub(super) fn key(problem: &Problem, plan: &Plan) -> (Vec<usize>, i64) {
    (plan.unserved(problem), Ledger::of(problem, plan).net)
}

/// Serves the crossings that the plan leaves open, in the order given, each at its cheapest.
pub(super) fn fill(problem: &Problem, plan: &mut Plan, order: &[usize], bias: Option<&[i64]>) {
    let mut responder = Responder::new(problem);
    let mut ledger = Ledger::of(problem, plan);
    for &crossing in order {
        if plan.crossings[crossing].is_none() {
            let terms = Terms { bias, ..Terms::default() };
            if let Some(served) = responder.respond(&ledger, crossing, &terms) {
                ledger.place(problem, &served);
                if ledger.holds(problem) {
                    plan.crossings[crossing] = Some(served);
                } else {
                    ledger.remove(problem, &served);
                }
            }
        }
    }
}

/// Orders to try at the start: by priority first, then in the order given, by rising and by falling
/// number of candidates.
pub(super) fn orders(problem: &Problem) -> Vec<Vec<usize>> {
    let count = |crossing: &usize| -> usize {
        let layouts = problem.crossings[*crossing].layouts.clone();
        layouts
            .flat_map(|l| problem.layouts[l].spans.clone())
            .map(|s| problem.spans[s].cands.len())
            .sum()
    };
    let plain: Vec<usize> = (0..problem.crossings.len()).collect();
    let (mut rising, mut falling) = (plain.clone(), plain.clone());
    rising.sort_by_key(count);
    falling.sort_by_key(|crossing| std::cmp::Reverse(count(crossing)));
    let mut orders = vec![rising, plain, falling];
    for order in &mut orders {
        order.sort_by_key(|crossing| problem.crossings[*crossing].rank);
    }
    orders
}

/// Changes the plan while that pays: one crossing again at its cheapest, a lot given up, a lot
/// taken up.
pub(super) fn polish(problem: &Problem, plan: &mut Plan, clock: &Clock) {
    loop {
        let before = key(problem, plan);
        again(problem, plan, None, clock);
        for lot in 0..problem.lots.len() {
            if clock.up() {
                return;
            }
            if problem.lots[lot].useful {
                try_lot(problem, plan, lot, clock);
            }
        }
        if clock.up() || key(problem, plan) >= before {
            return;
        }
    }
}

/// Each crossing in turn at its cheapest while the others keep theirs, until nothing changes.
fn again(problem: &Problem, plan: &mut Plan, with_lot: Option<usize>, clock: &Clock) {
    let mut responder = Responder::new(problem);
    let mut ledger = Ledger::of(problem, plan);
    let mut best = (plan.unserved(problem), ledger.net);
    let mut with_lot = with_lot;
    loop {
        let mut changed = false;
        for crossing in 0..problem.crossings.len() {
            if clock.up() {
                return;
            }
            let old = plan.crossings[crossing].take();
            if let Some(old) = &old {
                ledger.remove(problem, old);
            }
            let new = responder.respond(&ledger, crossing, &Terms { with_lot, ..Terms::default() });
            if let Some(new) = &new {
                ledger.place(problem, new);
            }
            plan.crossings[crossing] = new;
            let now = (plan.unserved(problem), ledger.net);
            if now < best && ledger.holds(problem) {
                best = now;
                changed = true;
            } else if with_lot.is_none() || !ledger.holds(problem) {
                if let Some(new) = plan.crossings[crossing].take() {
                    ledger.remove(problem, &new);
                }
                if let Some(old) = &old {
                    ledger.place(problem, old);
                }
                plan.crossings[crossing] = old;
            }
        }
        if !changed && with_lot.is_none() {
            return;
        }
        if with_lot.take().is_some() {
            best = (plan.unserved(problem), ledger.net);
        }
    }
}

/// Gives up a lot that is bought, or takes up one that is not, and keeps what is better.
fn try_lot(problem: &Problem, plan: &mut Plan, lot: usize, clock: &Clock) {
    let before = key(problem, plan);
    let mut other = plan.clone();
    let uses =
        |served: &super::ledger::Served| served.decks.iter().any(|d| d.groups.contains(&lot));
    let users: Vec<usize> = (0..plan.crossings.len())
        .filter(|crossing| plan.crossings[*crossing].as_ref().is_some_and(uses))
        .collect();
    if users.is_empty() {
        again(problem, &mut other, Some(lot), clock);
    } else {
        let mut ledger = Ledger::of(problem, &other);
        for &crossing in &users {
            if let Some(old) = other.crossings[crossing].take() {
                ledger.remove(problem, &old);
            }
        }
        let mut responder = Responder::new(problem);
        let terms = Terms { without_lot: Some(lot), ..Terms::default() };
        for &crossing in &users {
            if let Some(served) = responder.respond(&ledger, crossing, &terms) {
                ledger.place(problem, &served);
                other.crossings[crossing] = Some(served);
            }
        }
    }
    if key(problem, &other) < before && Ledger::of(problem, &other).holds(problem) {
        *plan = other;
    }
}
