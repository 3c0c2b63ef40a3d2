//! Serve first, then cost: one search per rank, then one for the money.

use super::clock::Clock;
use super::exact::Tree;
use super::improve::{fill, key, orders, polish};
use super::ledger::Plan;
use super::master::Master;
use super::node::{Role, Stage};
use super::problem::Problem;
use crate::model::plan::Stop;

/// The end of all searches.
pub(super) struct Result {
    pub plan: Plan,
    /// No plan that serves the same costs less.
    pub bound: i64,
    /// Whether no plan serves more.
    pub service: bool,
    /// Whether no plan that serves the same costs less than this one.
    pub cheapest: bool,
    pub stopped: Option<Stop>,
}

/// The best of a few plans made crossing by crossing.
fn start(problem: &Problem, clock: &Clock) -> Plan {
    let mut best = Plan::empty(problem);
    for order in orders(problem) {
        let mut plan = Plan::empty(problem);
        fill(problem, &mut plan, &order, None);
        polish(problem, &mut plan, clock);
        if key(problem, &plan) < key(problem, &best) {
            best = plan;
            clock.best(best.served(), key(problem, &best).1);
        }
        if clock.up() {
            break;
        }
    }
    best
}

/// Solves the problem.
pub(super) fn solve(problem: &Problem, clock: &Clock) -> Result {
    let mut best = start(problem, clock);
    let mut master = Master::new(problem);
    let mut service = true;
    let mut unserved = best.unserved(problem);
    for rank in 0..problem.ranks.len() {
        if unserved[rank] == 0 {
            continue;
        }
        let stage = Stage::serve(problem, rank, &unserved[..rank]);
        let trimmed = best.trimmed(problem, &stage);
        let value = unserved[rank] as i64;
        let outcome = Tree::new(problem, &stage, &mut master, clock, trimmed, value).run();
        if outcome.value < value {
            let mut plan = outcome.plan;
            let order: Vec<usize> = orders(problem)
                .swap_remove(0)
                .into_iter()
                .filter(|crossing| stage.role(problem, *crossing) == Role::Absent)
                .collect();
            fill(problem, &mut plan, &order, None);
            best = plan;
            unserved = best.unserved(problem);
            clock.best(best.served(), key(problem, &best).1);
        }
        service &= outcome.bound >= outcome.value;
    }
    let stage = Stage::cost(&unserved);
    polish(problem, &mut best, clock);
    let net = key(problem, &best).1;
    clock.best(best.served(), net);
    let outcome = Tree::new(problem, &stage, &mut master, clock, best, net).run();
    let cheapest = outcome.bound >= outcome.value;
    Result {
        plan: outcome.plan,
        bound: outcome.bound,
        service,
        cheapest,
        stopped: clock.stopped().filter(|_| !(service && cheapest)),
    }
}
