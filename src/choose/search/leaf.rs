//! What is left of a node of which a solution asks nothing more.
//!
//! A linear program sees money only to a tolerance. Where its solution is whole and yet no plan (it
//! passes the budget by a cent, or pays a fee), the bound of the node stays below the best plan, and no
//! share is left to split by. The node is then taken apart in whole numbers: by the next crossing, layout
//! or car that tells two of its plans apart, until one plan remains, which counts at its own cost.

use crate::choose::bound::duals::Duals;
use crate::choose::bound::lagrangian::Pricer;
use crate::choose::bound::master::Master;
use crate::choose::bound::node::Node;
use crate::choose::bound::reduced_costs::ReducedCosts;
use crate::choose::decks::column::{Column, column};
use crate::choose::plan::Plan;
use crate::choose::plan::served::Served;
use crate::choose::problem::stage::{Role, Stage};
use crate::choose::problem::{INFINITE, Problem};
use crate::choose::search::branching::Decision;

/// The plans of a node.
pub enum Remains {
    /// There are none.
    Nothing,
    /// There is one.
    One(Plan),
    /// A question that tells two of them apart.
    Several(Decision),
}

/// What plans a node holds.
pub fn remains(
    problem: &Problem,
    stage: &Stage,
    master: &Master,
    pricer: &mut Pricer,
    node: &Node,
) -> Remains {
    let duals = Duals::zero(problem, master.linking_rows.len(), master.cuts.len());
    let reduced_costs = ReducedCosts::new(problem, stage, master, node, &duals);
    let mut plan = Plan::empty(problem);
    for (crossing, record) in problem.crossings.iter().enumerate() {
        let role = stage.role(problem, crossing);
        if role == Role::Absent || node.served[crossing] == Some(false) {
            continue;
        }
        if role != Role::Must && node.served[crossing].is_none() {
            return Remains::Several(Decision::Serve(crossing));
        }
        let mut open = record.layouts.clone().filter(|l| node.layout_open(problem, *l));
        let Some(layout) = open.next() else { return Remains::Nothing };
        if open.next().is_some() {
            return Remains::Several(Decision::Layout(layout));
        }
        let mut decks = Vec::new();
        for span in problem.layouts[layout].spans.clone() {
            let mut found = first_two(&reduced_costs, master, pricer, node, span);
            match (found.pop(), found.pop()) {
                (None, _) => return Remains::Nothing,
                (Some(only), None) => decks.push(only),
                (Some(one), Some(other)) => return Remains::Several(apart(&one, &other)),
            }
        }
        plan.crossings[crossing] = Some(Served { layout, decks });
    }
    Remains::One(plan)
}

/// Two decks of a span that the node allows, if there are as many.
fn first_two(
    reduced_costs: &ReducedCosts,
    master: &Master,
    pricer: &mut Pricer,
    node: &Node,
    span: usize,
) -> Vec<Column> {
    let mut found = Vec::new();
    pricer.each_deck(reduced_costs, master, node, span, INFINITE / 2, |deck| {
        found.push(column(reduced_costs.problem, span, deck.cands, deck.joints));
        (found.len() < 2).then_some(INFINITE / 2)
    });
    found.truncate(2);
    found
}

/// How many cars of a candidate tell two decks of one span apart.
fn apart(one: &Column, other: &Column) -> Decision {
    let count = |deck: &Column, cand: u32| deck.cands.iter().filter(|c| **c == cand).count() as u32;
    let all = || one.cands.iter().chain(&other.cands).copied();
    let differs = |cand: &u32| count(one, *cand) != count(other, *cand);
    let cand = all().find(differs).unwrap_or(0);
    let least = count(one, cand).max(count(other, cand));
    Decision::Cars { span: one.span, cand, least }
}
