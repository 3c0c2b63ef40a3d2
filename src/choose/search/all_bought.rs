//! The same crossings with every car at hand.
//!
//! Where no budget holds, what is bought decides nothing about who can be served: every yard may be used
//! and every lot bought, and least orders are met by buying all there is. The question of service is then
//! one of cars alone, without lots, trips and price levels, and much smaller. Funds pay for no trip and for
//! no car left over, so that they change nothing here, except where price levels make what they pay.

use crate::choose::decks::column::column;
use crate::choose::plan::Plan;
use crate::choose::plan::served::Served;
use crate::choose::problem::Problem;
use crate::choose::problem::levels::Levels;

/// The problem with all of its cars bought; none where money may decide who is served.
pub fn all_bought(problem: &Problem) -> Option<Problem> {
    if problem.budget.is_some() || !problem.funds.limits.is_empty() && problem.has_levels() {
        return None;
    }
    let closed = closed(problem)?;
    let mut supply = problem.clone();
    for item in &mut supply.items {
        if closed[item.yard] {
            item.quantity = 0;
        }
        item.lot = None;
        item.surcharge.clear();
    }
    supply.lots.clear();
    supply.trips.fill(0);
    supply.levels.fill(Levels::default());
    Some(supply)
}

/// The yards that sell nothing, since all their cars are fewer than their least order. None where a lot
/// that fits somewhere counts for a least order and may not be bought just to reach it.
fn closed(problem: &Problem) -> Option<Vec<bool>> {
    let mut closed = Vec::with_capacity(problem.levels.len());
    for (yard, levels) in problem.levels.iter().enumerate() {
        let least = levels.at_least.first().copied().unwrap_or(0);
        if least <= 1 {
            closed.push(false);
            continue;
        }
        let singles: u32 = levels.spares.iter().map(|spare| spare.quantity).sum();
        let mut in_lots = 0;
        for lot in problem.lots.iter().filter(|lot| lot.useful && lot.yards.contains(&yard)) {
            // Only its use would tell.
            if !lot.fills {
                return None;
            }
            in_lots += lot.cars.iter().sum::<u32>();
        }
        closed.push(singles + in_lots < least);
    }
    Some(closed)
}

/// A plan as one of a problem that differs in what is bought with the cars.
pub fn turned(to: &Problem, plan: &Plan, from: &Problem) -> Plan {
    let served = |served: &Served| Served {
        layout: served.layout,
        decks: served
            .decks
            .iter()
            .map(|deck| column(to, deck.span, &deck.cands, deck.joints(from)))
            .collect(),
    };
    Plan { crossings: plan.crossings.iter().map(|s| s.as_ref().map(served)).collect() }
}

/// The same, if the plan then holds.
pub fn turned_back(to: &Problem, plan: &Plan, from: &Problem) -> Option<Plan> {
    let plan = turned(to, plan, from);
    plan.ledger(to).holds(to).then_some(plan)
}
