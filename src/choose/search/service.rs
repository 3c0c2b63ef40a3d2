//! Serve first, then cost: one search per rank, then one for the money.

use crate::choose::bound::master::Master;
use crate::choose::heuristics::best_response::Responder;
use crate::choose::heuristics::improvement::{fill, key, orders, polish};
use crate::choose::plan::Plan;
use crate::choose::problem::Problem;
use crate::choose::problem::stage::{Role, Stage};
use crate::choose::tuning::SERVICE_TIME_ONE_IN;

use crate::choose::clock::Clock;
use crate::choose::search::branch_and_price::Tree;
use crate::model::plan::Stop;

/// The end of all searches.
pub struct Result {
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
pub fn start(problem: &Problem, clock: &Clock) -> Plan {
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

/// Closes the crossings that have no deck at all on some span of each layout, so that no search need
/// prove it.
pub fn close_hopeless(problem: &mut Problem) {
    let mut responder = Responder::new(problem);
    let hopeless: Vec<usize> = (0..problem.crossings.len())
        .filter(|crossing| {
            let mut layouts = problem.crossings[*crossing].layouts.clone();
            !layouts.any(|l| problem.layouts[l].spans.clone().all(|s| responder.has_deck(s)))
        })
        .collect();
    for crossing in hopeless {
        problem.crossings[crossing].layouts = 0..0;
    }
}

/// A plan made good again of which some crossings may be open.
fn mended(problem: &Problem, mut plan: Plan, clock: &Clock) -> Plan {
    fill(problem, &mut plan, &orders(problem).swap_remove(0), None);
    polish(problem, &mut plan, clock);
    plan
}

/// Solves the problem, beginning with this plan if there is one.
pub fn solve(problem: &Problem, clock: &Clock, from: Option<Plan>) -> Result {
    let mut best = match from {
        Some(plan) => mended(problem, plan, clock),
        None => start(problem, clock),
    };
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
        clock.grant(SERVICE_TIME_ONE_IN);
        let outcome = Tree::new(problem, &stage, &mut master, clock, trimmed, value).run();
        clock.grant(1);
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
        // A stage that its own share of the time stopped was stopped by the limit as well.
        stopped: (!(service && cheapest)).then(|| clock.stopped().unwrap_or(Stop::TimeLimit)),
    }
}
