//! Plans made of a solution of the linear program.

use super::BranchAndPrice;
use crate::choose::bound::relaxed::Relaxed;
use crate::choose::heuristics::improvement;
use crate::choose::plan::Plan;
use crate::choose::plan::ledger::Ledger;
use crate::choose::plan::served::Served;
use crate::choose::problem::stage::Role;
use crate::choose::tuning::CHOSEN_ABOVE;

impl BranchAndPrice<'_> {
    /// The layouts and decks that a solution favors, surest first.
    pub(super) fn favored_decks(&self, relaxed: &Relaxed) -> Vec<Served> {
        let problem = self.problem;
        let mut favored: Vec<Option<(f64, usize)>> = vec![None; problem.spans.len()];
        for &(index, value) in &relaxed.columns {
            let best = &mut favored[self.master.columns[index].span];
            if best.is_none_or(|(most, _)| value > most) {
                *best = Some((value, index));
            }
        }
        let mut sure: Vec<(f64, Served)> = Vec::new();
        for (layout, record) in problem.layouts.iter().enumerate() {
            let decks: Option<Vec<(f64, usize)>> =
                favored[record.spans.clone()].iter().copied().collect();
            let Some(decks) = decks else { continue };
            let share = decks.iter().map(|(share, _)| *share).fold(1.0, f64::min);
            if share > CHOSEN_ABOVE {
                let decks = decks.into_iter().map(|(_, at)| self.master.columns[at].clone());
                sure.push((share, Served { layout, decks: decks.collect() }));
            }
        }
        sure.sort_by(|a, b| b.0.total_cmp(&a.0).then(a.1.layout.cmp(&b.1.layout)));
        sure.into_iter().map(|(_, served)| served).collect()
    }

    /// The plan that a solution favors, valid or not.
    pub(super) fn favored_plan(&self, relaxed: &Relaxed) -> Plan {
        let mut plan = Plan::empty(self.problem);
        for served in self.favored_decks(relaxed) {
            let crossing = self.problem.layouts[served.layout].crossing;
            if plan.crossings[crossing].is_none() {
                plan.crossings[crossing] = Some(served);
            }
        }
        plan
    }

    /// Makes a plan of a solution: the decks it favors, then the other crossings at true cost.
    pub(super) fn round_solution(&mut self, relaxed: &Relaxed) {
        let problem = self.problem;
        if problem.has_levels() {
            // Two crossings may make up a least order that neither does alone.
            self.update_incumbent(self.favored_plan(relaxed), false);
        }
        let mut plan = Plan::empty(problem);
        let mut ledger = Ledger::empty(problem);
        for served in self.favored_decks(relaxed) {
            let crossing = problem.layouts[served.layout].crossing;
            if plan.crossings[crossing].is_some() {
                continue;
            }
            ledger.place(problem, &served);
            if ledger.holds(problem) {
                plan.crossings[crossing] = Some(served);
            } else {
                ledger.remove(problem, &served);
            }
        }
        self.update_incumbent(plan.clone(), false);
        let order: Vec<usize> = improvement::orders(problem)
            .swap_remove(0)
            .into_iter()
            .filter(|crossing| self.stage.role(problem, *crossing) != Role::Absent)
            .collect();
        let scale = self.stage.scale;
        let bias: Vec<i64> = problem
            .items
            .iter()
            .zip(&relaxed.duals.rows.item)
            .map(|(item, dual)| if item.lot.is_none() { dual / scale } else { 0 })
            .collect();
        let bias = self.stage.counted.is_none().then_some(&bias[..]);
        improvement::serve_greedily(problem, &mut plan, &order, bias, self.clock);
        self.update_incumbent(plan, true);
    }

    /// Takes a plan if it is better.
    pub(super) fn update_incumbent(&mut self, mut plan: Plan, polish: bool) {
        if polish && self.stage.counted.is_none() {
            improvement::local_search(self.problem, &mut plan, self.clock);
        }
        if let Some(value) = plan.value(self.problem, &self.stage)
            && value < self.value
        {
            for column in plan.crossings.iter().flatten().flat_map(|served| &served.decks) {
                self.master.add(column.clone());
            }
            if self.stage.counted.is_none() {
                self.clock.best(plan.served(), value);
            }
            (self.plan, self.value) = (plan, value);
        }
    }
}
