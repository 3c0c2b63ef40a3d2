//! What money buys: the plan at one budget after the other.

use itertools::Itertools;

use crate::model::inputs::Inputs;
use crate::model::plan::Plan;
use crate::quantity::Cents;

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
        Self {
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
