//! The rows of the linear program.

use std::collections::BTreeMap;

use good_lp::{Constraint, Expression, Variable};

use super::{Assembly, Purchase, Row, size};
use crate::choose::problem::group::Group;
use crate::choose::problem::stage::Role;

impl Assembly<'_> {
    pub(super) fn rows(&self) -> Vec<(Row, Constraint)> {
        let problem = self.problem;
        let mut rows = Vec::new();
        let mut by_span: Vec<Vec<Variable>> = vec![Vec::new(); problem.spans.len()];
        let mut by_item: Vec<Vec<(usize, Variable, u32)>> = vec![Vec::new(); problem.items.len()];
        let mut spare_of: Vec<Option<Variable>> = vec![None; problem.items.len()];
        for (levels, vars) in problem.levels.iter().zip(&self.spares) {
            for (spare, var) in levels.spares.iter().zip(vars) {
                if let Some(slot) = spare.item.and_then(|item| spare_of.get_mut(item)) {
                    *slot = Some(*var);
                }
            }
        }
        let mut by_group: BTreeMap<(usize, Group), Vec<Variable>> = BTreeMap::new();
        for &(index, var) in &self.used {
            let column = &self.master.columns[index];
            by_span[column.span].push(var);
            for (item, count) in column.items(problem) {
                by_item[item].push((column.span, var, count));
            }
            if !self.master.linking_rows.is_empty() {
                for &group in &column.groups {
                    by_group.entry((column.span, group)).or_default().push(var);
                }
            }
        }
        for (crossing, record) in problem.crossings.iter().enumerate() {
            let Some(unserved) = self.unserved[crossing] else { continue };
            let mut sum = Expression::from(unserved);
            for layout in record.layouts.clone() {
                if let Some(layout) = self.layouts[layout] {
                    sum.add_mul(1.0, layout);
                }
            }
            rows.push((Row::Other, sum.geq(1.0)));
        }
        for (index, span) in problem.spans.iter().enumerate() {
            let Some(layout) = self.layouts[span.layout] else { continue };
            let mut sum: Expression = by_span[index].iter().copied().sum();
            sum.add_mul(-1.0, layout);
            rows.push((Row::Other, sum.geq(0.0)));
        }
        for (item, uses) in by_item.iter().enumerate() {
            let terms = &problem.items[item];
            let alone = uses.iter().all(|(span, _, _)| *span == uses[0].0);
            let spare = spare_of[item];
            if uses.is_empty() || (alone && terms.lot.is_none() && spare.is_none()) {
                continue;
            }
            let mut sum = Expression::with_capacity(uses.len() + 1);
            if let Some(spare) = spare {
                sum.add_mul(1.0, spare);
            }
            for (_, var, count) in uses {
                sum.add_mul(f64::from(*count), *var);
            }
            let quantity = f64::from(terms.quantity);
            let most = match terms.lot.map(|lot| self.lots[lot]) {
                Some(lot) => -lot.add_to(&mut sum, -quantity),
                None => quantity,
            };
            rows.push((Row::Item(item), sum.leq(most)));
        }
        for (index, linking) in self.master.linking_rows.iter().enumerate() {
            let mut sum = Expression::default();
            for span in &linking.spans {
                for var in by_group.get(&(*span, linking.group)).into_iter().flatten() {
                    sum.add_mul(1.0, *var);
                }
            }
            let bought = match linking.group {
                Group::Lot(lot) => self.lots[lot],
                Group::Yard(yard) => self.yards[yard],
            };
            if let Purchase::Open(_) = bought {
                bought.add_to(&mut sum, -1.0);
                rows.push((Row::Linking(index), sum.leq(0.0)));
            }
        }
        self.cut_rows(&mut rows);
        self.purchase_rows(&mut rows);
        self.level_rows(&mut rows);
        if let Some(budget) = problem.budget {
            let size = size(budget);
            let mut sum = self.outlay.clone() * (1.0 / size);
            if let Some(overspent) = self.overspent {
                sum.add_mul(-1.0, overspent);
            }
            rows.push((Row::Budget, sum.leq((budget as f64 - self.spent) / size)));
        }
        for (fund, (limit, paid)) in problem.funds.limits.iter().zip(&self.funds).enumerate() {
            let size = size(*limit);
            let mut sum = paid.clone() * (1.0 / size);
            if let Some(overdrawn) = self.overdrawn.get(fund) {
                sum.add_mul(-1.0, *overdrawn);
            }
            rows.push((Row::Fund(fund), sum.leq(*limit as f64 / size)));
        }
        for (rank, allowed) in self.stage.allowed.iter().enumerate() {
            let Some(allowed) = allowed.filter(|allowed| *allowed > 0) else { continue };
            let mut sum = Expression::default();
            for (crossing, record) in problem.crossings.iter().enumerate() {
                let shared = self.stage.role(problem, crossing) == Role::Shared;
                if let Some(var) = self.unserved[crossing].filter(|_| shared && record.rank == rank)
                {
                    sum.add_mul(record.points as f64, var);
                }
            }
            if let Some(beyond) = self.beyond[rank] {
                sum.add_mul(-1.0, beyond);
            }
            rows.push((Row::Rank(rank), sum.leq(allowed as f64)));
        }
        rows
    }

    fn cut_rows(&self, rows: &mut Vec<(Row, Constraint)>) {
        let (problem, cuts) = (self.problem, &self.master.cuts);
        if cuts.is_empty() {
            return;
        }
        let mut by_item: Vec<Vec<usize>> = vec![Vec::new(); problem.items.len()];
        for (index, cut) in cuts.iter().enumerate() {
            cut.items.iter().for_each(|item| by_item[*item].push(index));
        }
        let mut sums = vec![Expression::default(); cuts.len()];
        for &(index, var) in &self.used {
            let column = &self.master.columns[index];
            let mut in_cuts: Vec<usize> =
                column.items(problem).flat_map(|(item, _)| by_item[item].iter().copied()).collect();
            in_cuts.sort_unstable();
            in_cuts.dedup();
            for cut in in_cuts {
                let taken = cuts[cut].taken(column.span, column.items(problem));
                if taken > 0 {
                    sums[cut].add_mul(taken as f64, var);
                }
            }
        }
        for (index, (cut, mut sum)) in cuts.iter().zip(sums).enumerate() {
            let mut most = cut.most as f64;
            if let Some(lot) = cut.lot.map(|lot| self.lots[lot]) {
                most -= lot.add_to(&mut sum, -(cut.per_lot as f64));
            }
            rows.push((Row::Cut(index), sum.leq(most)));
        }
    }

    /// Lots need trips, and lots that would earn money left over need a car placed.
    fn purchase_rows(&self, rows: &mut Vec<(Row, Constraint)>) {
        for (lot, record) in self.problem.lots.iter().enumerate() {
            if let Purchase::Open(bought) = self.lots[lot] {
                for &yard in &record.yards {
                    if let Purchase::Open(trip) = self.yards[yard] {
                        rows.push((Row::Trip(lot, yard), (bought - trip).leq(0.0)));
                    }
                }
            }
            if self.problem.needs_a_car(lot) && !matches!(self.lots[lot], Purchase::Out) {
                let mut sum = Expression::default();
                let bought = self.lots[lot].add_to(&mut sum, 1.0);
                if let Some(idle) = self.idle[lot] {
                    sum.add_mul(-1.0, idle);
                }
                for &(index, var) in &self.used {
                    if self.master.columns[index].groups.contains(&Group::Lot(lot)) {
                        sum.add_mul(-1.0, var);
                    }
                }
                rows.push((Row::Idle(lot), sum.leq(-bought)));
            }
        }
    }

    /// The cars bought at a yard: a constant and a sum.
    pub(super) fn bought(&self, yard: usize) -> (f64, Expression) {
        let problem = self.problem;
        let mut sum = Expression::default();
        let mut constant = 0.0;
        for &(index, var) in &self.used {
            let items = self.master.columns[index].items(problem);
            let here = items.filter(|(item, _)| {
                let item = &problem.items[*item];
                item.yard == yard && item.lot.is_none()
            });
            let cars: u32 = here.map(|(_, count)| count).sum();
            if cars > 0 {
                sum.add_mul(f64::from(cars), var);
            }
        }
        for (lot, record) in problem.lots.iter().enumerate() {
            for (_, cars) in record.yards.iter().zip(&record.cars).filter(|(y, _)| **y == yard) {
                constant += self.lots[lot].add_to(&mut sum, f64::from(*cars));
            }
        }
        for &spare in &self.spares[yard] {
            sum.add_mul(1.0, spare);
        }
        (constant, sum)
    }

    /// A yard that is used sells no fewer cars than its level asks for.
    fn level_rows(&self, rows: &mut Vec<(Row, Constraint)>) {
        for yard in 0..self.problem.levels.len() {
            let least = f64::from(self.node.at_least(self.problem, yard));
            if least <= 1.0 || matches!(self.yards[yard], Purchase::Out) {
                continue;
            }
            let (constant, bought) = self.bought(yard);
            let mut sum = bought * -1.0;
            if let Some(short) = self.short[yard] {
                sum.add_mul(-1.0, short);
            }
            let used = self.yards[yard].add_to(&mut sum, least);
            rows.push((Row::Level(yard), sum.leq(constant - used)));
        }
    }
}
