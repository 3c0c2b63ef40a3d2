//! All decks that a better plan can use.
//!
//! From one set of multipliers a bound on the plans that lay a certain deck is known at once: only the
//! share of its crossing changes, to that layout with that deck. Where that is no better than the best
//! plan, the deck is out for good. Once the rest can be listed, no search for decks is needed any more,
//! and every further row costs nothing to keep.

use crate::choose::bound::lagrangian::Pricer;
use crate::choose::bound::master::Master;
use crate::choose::bound::node::Node;
use crate::choose::bound::reduced_costs::ReducedCosts;
use crate::choose::decks::column::{Column, column};
use crate::choose::problem::stage::Role;

/// Per span all decks under the node that a plan can hold whose value in units is at most the target,
/// or none if they are more than `most`. Layouts, lots and yards that are the same in all such plans are
/// decided in the node. With decks listed before, those that are still worth keeping.
pub fn list(
    reduced_costs: &ReducedCosts,
    master: &Master,
    pricer: &mut Pricer,
    node: &mut Node,
    target: i64,
    most: usize,
) -> Option<Vec<Vec<Column>>> {
    let (problem, stage) = (reduced_costs.problem, reduced_costs.stage);
    let found = pricer.evaluate(reduced_costs, master, node);
    let room = target - found.bound;
    let mut listed: Vec<Vec<Column>> = vec![Vec::new(); problem.spans.len()];
    let mut decided = node.clone();
    let mut count = 0;
    for (crossing, record) in problem.crossings.iter().enumerate() {
        if stage.role(problem, crossing) == Role::Absent {
            continue;
        }
        let share = found.share(reduced_costs, node, crossing);
        let open = record.layouts.clone().filter(|layout| node.layout_open(problem, *layout));
        for layout in open {
            let beyond = found.layout(reduced_costs, layout) - share;
            if beyond > room {
                decided.set_layout(problem, layout, false);
                continue;
            }
            for span in problem.layouts[layout].spans.clone() {
                let heaviest = found.lightest[span] + room - beyond;
                if let Some(before) = &master.listed {
                    let light = |deck: &&Column| reduced_costs.column(deck) <= heaviest;
                    listed[span].extend(before[span].iter().filter(light).cloned());
                    continue;
                }
                pricer.each_deck(reduced_costs, master, node, span, heaviest, |deck| {
                    count += 1;
                    if count > most {
                        return None;
                    }
                    listed[span].push(column(problem, span, deck.cands, deck.joints));
                    Some(heaviest)
                });
                if count > most {
                    return None;
                }
            }
        }
    }
    let (_, lots, yards) = reduced_costs.purchases(master, node);
    for (lot, &weight) in lots.iter().enumerate() {
        if decided.lots[lot].is_none() && problem.lots[lot].useful && weight.abs() > room {
            decided.set_lot(problem, lot, weight < 0);
        }
    }
    for (yard, &weight) in yards.iter().enumerate() {
        if decided.yards[yard].is_none() && weight.abs() > room {
            decided.set_yard(problem, yard, weight < 0);
        }
    }
    *node = decided;
    Some(listed)
}
