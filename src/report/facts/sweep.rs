//! What money buys: the plan at one budget after the other.

use itertools::Itertools;

use crate::model::inputs::Inputs;
use crate::model::plan::Plan;
use crate::quantity::Cents;
use crate::report::facts::other_bridge::{Against, against};

/// The plan at one budget.
#[derive(Clone, Debug, PartialEq)]
pub struct Point {
    /// The budget.
    pub budget: Cents,
    /// Per priority: the priority, crossings served, all.
    pub service: Vec<(u8, usize, usize)>,
    /// Crossings that go without.
    pub unserved: Vec<String>,
    /// What must be paid.
    pub outlay: Cents,
    /// Net cost.
    pub net: Cents,
    /// What the flat cars save against other bridges, where those are stated and flat cars are laid; none where
    /// that is nowhere.
    pub saves: Option<Cents>,
    /// Crossings where the other bridge is cheaper: no flat cars are laid there.
    pub left_to_other: Vec<String>,
    /// Whether it is proven that none serves more, and none of the same service costs less.
    pub proven: bool,
}

impl Point {
    /// Of a plan.
    #[must_use]
    pub fn of(inputs: &Inputs, budget: Cents, plan: &Plan) -> Self {
        let priority = |at: usize| inputs.crossing(plan.crossings[at].crossing).priority;
        let served = |at: &usize| plan.crossings[*at].served().is_some();
        let all = 0..plan.crossings.len();
        let priorities = all.clone().map(priority).unique().sorted();
        let service = priorities.map(|rank| {
            let of_rank = all.clone().filter(|at| priority(*at) == rank);
            (rank, of_rank.clone().filter(served).count(), of_rank.count())
        });
        let without = all.clone().filter(|at| !served(at));
        let all_against: Vec<Against> =
            plan.crossings.iter().filter_map(|planned| against(inputs, planned)).collect();
        let left = all_against.iter().filter(|one| one.left_to_other);
        Self {
            saves: all_against.iter().filter_map(Against::saves).reduce(|a, b| a + b),
            left_to_other: left.map(|one| one.crossing.clone()).collect(),
            budget,
            service: service.collect(),
            unserved: without
                .map(|at| inputs.crossing(plan.crossings[at].crossing).id.clone())
                .collect(),
            outlay: plan.totals.outlay,
            net: plan.totals.net,
            proven: plan.proof.cheapest && plan.proof.service,
        }
    }

    /// `flat cars save $157,629; cheaper at B-12: the other bridge`; none where no other bridge is stated.
    #[must_use]
    pub fn against_words(&self) -> Option<String> {
        let saves = self.saves.map(|saves| match saves {
            saves if saves < Cents::ZERO => format!("flat cars cost {:.0} more", -saves),
            saves => format!("flat cars save {saves:.0}"),
        });
        let left = self.left_to_other.join(" ");
        let left = (!left.is_empty()).then(|| format!("the other bridge is cheaper at {left}"));
        let said: Vec<String> = saves.into_iter().chain(left).collect();
        (!said.is_empty()).then(|| said.join("; "))
    }

    /// Crossings served.
    #[must_use]
    pub fn served(&self) -> usize {
        self.service.iter().map(|(_, served, _)| served).sum()
    }

    /// Crossings asked for.
    #[must_use]
    pub fn crossings(&self) -> usize {
        self.service.iter().map(|(_, _, all)| all).sum()
    }
}
