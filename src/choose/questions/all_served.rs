//! Whether every crossing can be served, whatever it costs.

use crate::choose::bound::master::Master;
use crate::choose::market::Market;
use crate::choose::problem::Problem;
use crate::choose::problem::stage::Stage;

use crate::choose::clock::Clock;
use crate::choose::effort::Effort;
use crate::choose::search::branch_and_price::BranchAndPrice;
use crate::choose::search::service;

/// Whether every crossing of the market that has a layout can be served; `None` when the effort
/// ended the search before that was known, or so many nodes of it were not enough. Ranks do not matter, nor does what it costs.
///
/// Much faster than [`choose`](crate::choose::choose), which would go on to prove how many can be served
/// instead, and at what cost.
#[must_use]
pub fn all_served(market: &Market, effort: &Effort, nodes: usize) -> Option<bool> {
    let mut market = market.clone();
    market.crossings.retain(|demand| !demand.layouts.is_empty());
    for demand in &mut market.crossings {
        (demand.priority, demand.points) = (1, 1);
    }
    if market.crossings.is_empty() {
        return Some(true);
    }
    let clock = Clock::new(effort);
    let mut problem = Problem::new(&market);
    service::close_infeasible(&mut problem);
    if problem.crossings.iter().any(|crossing| crossing.layouts.is_empty()) {
        return Some(false);
    }
    let mut plan = service::start(&problem, &clock);
    let mut master = Master::new(&problem);
    let stage = Stage::serve(&problem, 0, &[]);
    loop {
        let missing = plan.unserved(&problem)[0] as i64;
        if missing == 0 {
            return Some(true);
        }
        let trimmed = plan.trimmed(&problem, &stage);
        // Only a plan that misses none is looked for: by one less is not better.
        let outcome = BranchAndPrice::new(&problem, &stage, master, &clock, trimmed, missing)
            .at_most(nodes, missing - 1)
            .run();
        if clock.stopped().is_some() {
            return (outcome.value == 0).then_some(true);
        }
        if outcome.value == missing {
            return (outcome.bound > 0).then_some(false);
        }
        (plan, master) = (outcome.plan, outcome.master);
    }
}
