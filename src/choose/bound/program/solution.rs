//! The solution of the linear program, and its duals as whole multipliers.

use std::time::Duration;

use good_lp::solvers::clarabel::clarabel;
use good_lp::{Constraint, DualValues, Solution, SolutionWithDual, SolverModel, Variable};

use super::{Assembly, Purchase, Row, size, unit};
use crate::choose::bound::duals::Duals;
use crate::choose::bound::relaxed::Relaxed;
use crate::choose::tuning::{COARSE_ABOVE_COLUMNS, MULTIPLIER_MOST, ZERO_BELOW};

impl Assembly<'_> {
    #[cfg(all(test, feature = "highs"))]
    pub(super) fn least_by(mut self, solver: impl good_lp::Solver) -> Option<f64> {
        let rows = self.rows();
        let vars = std::mem::take(&mut self.vars);
        let mut model = vars.minimise(&self.objective).using(solver);
        for (_, row) in rows {
            model.add_constraint(row);
        }
        Some(model.solve().ok()?.eval(&self.objective))
    }

    pub(super) fn solve(mut self, within: Option<Duration>) -> Option<Relaxed> {
        if self.vars.is_empty() {
            return None;
        }
        let (kinds, rows): (Vec<Row>, Vec<Constraint>) = self.rows().into_iter().unzip();
        let vars = std::mem::take(&mut self.vars);
        let mut model = vars.minimise(&self.objective).using(clarabel);
        // Duals need be no more exact than one pass makes them: the bound is exact whatever they are.
        model.settings().iterative_refinement_max_iter(1);
        if let Some(within) = within {
            model.settings().time_limit(within.as_secs_f64());
        }
        if self.used.len() > COARSE_ABOVE_COLUMNS && self.master.listed.is_none() {
            // The bound is exact whatever the duals are, and the next columns change them anyway.
            model.settings().tol_gap_rel(1e-5).tol_gap_abs(1e-2).tol_feas(1e-6);
        }
        let references: Vec<_> = rows.into_iter().map(|row| model.add_constraint(row)).collect();
        let mut solution = model.solve().ok()?;
        let value = |var: &Option<Variable>| var.map_or(0.0, |var| solution.value(var));
        let share = |purchase: &Purchase| match purchase {
            Purchase::Out => 0.0,
            Purchase::In => 1.0,
            Purchase::Open(var) => solution.value(*var),
        };
        let mut relaxed = Relaxed {
            columns: self
                .used
                .iter()
                .map(|&(index, var)| (index, solution.value(var)))
                .filter(|(_, value)| *value > ZERO_BELOW)
                .collect(),
            lots: self.lots.iter().map(share).collect(),
            yards: self.yards.iter().map(share).collect(),
            bought: (0..self.yards.len())
                .map(|yard| {
                    if self.problem.levels[yard].is_plain() {
                        return 0.0;
                    }
                    let (constant, sum) = self.bought(yard);
                    constant + solution.eval(&sum)
                })
                .collect(),
            layouts: self.layouts.iter().map(value).collect(),
            unserved: self.unserved.iter().map(value).collect(),
            evaded: self.fees.iter().map(|var| solution.value(*var)).sum(),
            duals: Duals::zero(
                self.problem,
                self.master.linking_rows.len(),
                self.master.cuts.len(),
            ),
        };
        let per_unit = self.stage.scale as f64 / unit(self.stage);
        let dual = solution.compute_dual();
        // Every row is `≤` with a non-positive dual, the rows `Other` apart.
        let raw: Vec<f64> = references.into_iter().map(|row| -dual.dual(row)).collect();
        for (kind, raw) in kinds.into_iter().zip(raw) {
            let multiplier = |per: f64| {
                let scaled = (raw * per).round();
                if scaled.is_finite() { scaled.clamp(0.0, MULTIPLIER_MOST) as i64 } else { 0 }
            };
            let duals = &mut relaxed.duals;
            match kind {
                Row::Other => {}
                Row::Item(item) => duals.rows.item[item] = multiplier(per_unit),
                Row::Linking(row) => duals.rows.linking[row] = multiplier(per_unit),
                Row::Cut(cut) => duals.rows.cut[cut] = multiplier(per_unit),
                Row::Trip(lot, yard) => {
                    duals.trip.insert((lot, yard), multiplier(per_unit));
                }
                Row::Idle(lot) => {
                    duals.idle.insert(lot, multiplier(per_unit));
                }
                Row::Level(yard) => duals.level[yard] = multiplier(per_unit),
                Row::Budget => {
                    let size = size(self.problem.budget.unwrap_or(0));
                    duals.budget = multiplier(per_unit / size);
                }
                Row::Fund(fund) => {
                    duals.fund[fund] = multiplier(per_unit / size(self.problem.funds.limits[fund]));
                }
                Row::Rank(rank) => duals.rows.rank[rank] = multiplier(per_unit),
            }
        }
        Some(relaxed)
    }
}
