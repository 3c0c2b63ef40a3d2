//! Good plans without proof: crossing by crossing at true cost, then changes that pay.

use crate::choose::heuristics::best_response::{Responder, Terms};
use crate::choose::plan::Plan;
use crate::choose::plan::ledger::Ledger;
use crate::choose::plan::served::Served;
use crate::choose::problem::Problem;
use crate::choose::problem::group::Group;
use crate::choose::tuning::LOT_TRIALS_MOST;

use crate::choose::clock::Clock;

/// A plan's rank among plans: unserved crossings by priority, then net cost. Less is better.
pub fn objective(problem: &Problem, plan: &Plan) -> (Vec<usize>, i64) {
    (plan.unserved(problem), plan.ledger(problem).net)
}

/// Serves the crossings that the plan leaves open, in the order given, each at its cheapest, until the
/// time is up.
pub fn serve_greedily(
    problem: &Problem,
    plan: &mut Plan,
    order: &[usize],
    bias: Option<&[i64]>,
    clock: &Clock,
) {
    serve_greedily_on(problem, plan, order, &Terms { bias, ..Terms::default() }, clock);
}

/// [`serve_greedily`] on further terms.
pub fn serve_greedily_on(
    problem: &Problem,
    plan: &mut Plan,
    order: &[usize],
    terms: &Terms,
    clock: &Clock,
) {
    let mut responder = Responder::until(problem, clock);
    let mut ledger = plan.ledger(problem);
    for &crossing in order {
        if clock.up() {
            return;
        }
        if plan.crossings[crossing].is_none()
            && let Some(served) = responder.respond(&ledger, crossing, terms)
        {
            ledger.place(problem, &served);
            if ledger.holds(problem) {
                plan.crossings[crossing] = Some(served);
            } else {
                ledger.remove(problem, &served);
            }
        }
    }
}

/// Orders to try at the start: by priority first, then in the order given, by rising and by falling
/// number of candidates.
pub fn orders(problem: &Problem) -> Vec<Vec<usize>> {
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
pub fn local_search(problem: &Problem, plan: &mut Plan, clock: &Clock) {
    let mut search = LocalSearch {
        problem,
        responder: Responder::until(problem, clock),
        ledger: plan.ledger(problem),
        plan,
        clock,
    };
    if problem.lots.len() * problem.crossings.len() <= LOT_TRIALS_MOST {
        search.run();
    } else {
        search.respond_in_turn();
    }
}

struct LocalSearch<'a> {
    problem: &'a Problem,
    responder: Responder<'a>,
    ledger: Ledger,
    plan: &'a mut Plan,
    clock: &'a Clock<'a>,
}

impl LocalSearch<'_> {
    fn run(&mut self) {
        loop {
            self.respond_in_turn();
            let mut changed = false;
            for lot in 0..self.problem.lots.len() {
                if self.clock.up() {
                    return;
                }
                if self.ledger.lots[lot] > 0 {
                    changed |= self.drop_lot(lot);
                } else if self.problem.lots[lot].useful && self.gain(lot) > 0 {
                    changed |= self.add_lot(lot);
                }
            }
            if !changed || self.clock.up() {
                return;
            }
        }
    }

    fn take_out(&mut self, crossing: usize) -> Option<Served> {
        let old = self.plan.crossings[crossing].take();
        if let Some(old) = &old {
            self.ledger.remove(self.problem, old);
        }
        old
    }

    fn put_in(&mut self, crossing: usize, served: Option<Served>) {
        if let Some(served) = &served {
            self.ledger.place(self.problem, served);
        }
        self.plan.crossings[crossing] = served;
    }

    /// Each crossing in turn at its cheapest while the others keep theirs, until nothing changes.
    fn respond_in_turn(&mut self) {
        let crossings = self.problem.crossings.len();
        let (mut at, mut unchanged) = (0, 0);
        while unchanged < crossings && !self.clock.up() {
            unchanged = if self.better(at, &Terms::default()) { 0 } else { unchanged + 1 };
            at = (at + 1) % crossings;
        }
    }

    /// Puts one crossing at its cheapest; says whether that changed anything.
    fn better(&mut self, crossing: usize, terms: &Terms) -> bool {
        let before = self.ledger.net;
        let old = self.take_out(crossing);
        let below = old.is_some().then(|| before - self.ledger.net);
        let Some(new) = self.responder.respond(&self.ledger, crossing, &Terms { below, ..*terms })
        else {
            self.put_in(crossing, old);
            return false;
        };
        self.put_in(crossing, Some(new));
        // What price levels and minimum orders make of it shows only now.
        let counts = terms.with_lot.is_some() || old.is_none() || self.ledger.net < before;
        let better = counts && self.ledger.holds(self.problem);
        if !better {
            self.take_out(crossing);
            self.put_in(crossing, old);
        }
        better
    }

    /// What a lot not bought would save, if each crossing could have its cars for itself.
    fn gain(&mut self, lot: usize) -> i64 {
        let mut gain = -self.problem.lots[lot].net;
        for crossing in self.problem.lots[lot].crossings.clone() {
            let before = self.ledger.net;
            let Some(old) = self.take_out(crossing) else {
                // It might serve one more.
                return 1;
            };
            let now = before - self.ledger.net;
            let terms = Terms { with_lot: Some(lot), below: Some(now), ..Terms::default() };
            if let Some(new) = self.responder.respond(&self.ledger, crossing, &terms) {
                let with = self.ledger.with(self.problem, &new);
                gain += now - (with.net - self.ledger.net - self.problem.lots[lot].net).min(now);
            }
            self.put_in(crossing, Some(old));
        }
        gain
    }

    /// Gives up a lot if that pays.
    fn drop_lot(&mut self, lot: usize) -> bool {
        let uses = |served: &Served| {
            served.decks.iter().any(|deck| deck.groups.contains(&Group::Lot(lot)))
        };
        let users = (0..self.plan.crossings.len())
            .filter(|crossing| self.plan.crossings[*crossing].as_ref().is_some_and(uses))
            .collect::<Vec<_>>();
        let terms = Terms { without_lot: Some(lot), ..Terms::default() };
        self.change(&users, &terms)
    }

    /// Takes up a lot if that pays.
    fn add_lot(&mut self, lot: usize) -> bool {
        let users = self.problem.lots[lot].crossings.clone();
        self.change(&users, &Terms { with_lot: Some(lot), ..Terms::default() })
    }

    /// Serves some crossings anew, one after the other, and keeps that if it is better.
    fn change(&mut self, crossings: &[usize], terms: &Terms) -> bool {
        let before = objective(self.problem, self.plan);
        let (plan, ledger) = (self.plan.clone(), self.ledger.clone());
        if terms.without_lot.is_some() {
            for &crossing in crossings {
                self.take_out(crossing);
            }
        }
        for &crossing in crossings {
            self.better(crossing, terms);
        }
        if terms.with_lot.is_some() {
            for &crossing in crossings {
                self.better(crossing, &Terms::default());
            }
        }
        let better = self.ledger.holds(self.problem) && objective(self.problem, self.plan) < before;
        if !better {
            *self.plan = plan;
            self.ledger = ledger;
        }
        better
    }
}
