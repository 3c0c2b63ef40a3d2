//! What decks, lots and yards weigh under given multipliers.

use crate::choose::bound::duals::Duals;
use crate::choose::bound::master::Master;
use crate::choose::bound::node::Node;
use crate::choose::problem::{Cand, Problem};

use crate::choose::decks::column::Column;
use crate::choose::decks::cuts::Penalties;
use crate::choose::problem::group::Group;
use crate::choose::problem::stage::{Role, Stage};

/// The weights under given multipliers.
pub struct ReducedCosts<'a> {
    pub problem: &'a Problem,
    pub stage: &'a Stage,
    pub duals: &'a Duals,
    /// Multiplier of the linking rows, per span and group.
    pub charges: Vec<Vec<(Group, i64)>>,
    /// Per item what one car weighs beyond its cost: its multiplier, and its yard's price level.
    items: Vec<i64>,
    /// The same at the crossings of each fund, which also pays a share of its lot.
    fund_items: Vec<Vec<i64>>,
    pub penalties: Penalties<'a>,
}

impl<'a> ReducedCosts<'a> {
    pub fn new(
        problem: &'a Problem,
        stage: &'a Stage,
        master: &'a Master,
        node: &Node,
        duals: &'a Duals,
    ) -> Self {
        let mut charges: Vec<Vec<(Group, i64)>> = vec![Vec::new(); problem.spans.len()];
        let mut add = |span: usize, group: Group, amount: i64| {
            if amount == 0 {
                return;
            }
            match charges[span].iter_mut().find(|(other, _)| *other == group) {
                Some((_, sum)) => *sum += amount,
                None => charges[span].push((group, amount)),
            }
        };
        for (row, &dual) in master.linking_rows.iter().zip(&duals.rows.linking) {
            for &span in &row.spans {
                add(span, row.group, dual);
            }
        }
        for (&lot, &dual) in &duals.idle {
            for span in 0..problem.spans.len() {
                add(span, Group::Lot(lot), -dual);
            }
        }
        let mut new = Self {
            problem,
            stage,
            duals,
            charges,
            items: Vec::new(),
            fund_items: Vec::new(),
            penalties: Penalties::new(problem, &master.cuts, &duals.rows.cut),
        };
        new.items = new.beyond_cost(node, None);
        let funds = 0..problem.funds.weights.len();
        new.fund_items = funds.map(|fund| new.beyond_cost(node, Some(fund))).collect();
        new
    }

    /// Per item what one car weighs beyond its cost at the crossings of a fund, or of none.
    fn beyond_cost(&self, node: &Node, fund: Option<usize>) -> Vec<i64> {
        let (problem, duals) = (self.problem, self.duals);
        let mut items = duals.rows.item.clone();
        let of_fund = duals.fund(problem, fund);
        if of_fund != 0 {
            for (weight, item) in items.iter_mut().zip(&problem.items) {
                *weight += of_fund * item.share;
            }
        }
        if problem.has_levels() {
            let per_cent = self.stage.per_cent() + duals.budget + of_fund;
            for (index, item) in problem.items.iter().enumerate() {
                let counts = if item.lot.is_none() { duals.level[item.yard] } else { 0 };
                items[index] += per_cent * node.surcharge(problem, index) - counts;
            }
        }
        items
    }

    /// Per item what one car weighs on a span beyond its cost.
    pub fn items(&self, span: usize) -> &[i64] {
        self.problem.fund_of(span).and_then(|fund| self.fund_items.get(fund)).unwrap_or(&self.items)
    }

    /// Units of one cent paid on a span.
    pub fn outlay(&self, span: usize) -> i64 {
        self.duals.budget + self.duals.fund(self.problem, self.problem.fund_of(span))
    }

    /// Units of one cent of joints on a span, or of its layout's fixed cost.
    pub fn per_cent(&self, span: usize) -> i64 {
        self.stage.per_cent() + self.outlay(span)
    }

    /// Weight of one car on a span.
    pub fn car(&self, span: usize, cand: &Cand) -> i64 {
        self.stage.per_cent() * cand.net
            + self.outlay(span) * cand.outlay
            + self.items(span)[cand.item]
    }

    /// Weight of a column.
    pub fn column(&self, column: &Column) -> i64 {
        let (cands, items) = (&self.problem.spans[column.span].cands, self.items(column.span));
        let mut weight =
            self.stage.per_cent() * column.net + self.outlay(column.span) * column.outlay;
        for &cand in &column.cands {
            weight += items[cands[cand as usize].item];
        }
        let charges = &self.charges[column.span];
        if !charges.is_empty() {
            for group in &column.groups {
                weight += charges.iter().find(|(other, _)| other == group).map_or(0, |(_, c)| *c);
            }
        }
        weight + self.penalties.of(column.span, column.items(self.problem))
    }

    /// What the bound holds apart from crossings, lots and yards, and what each lot and yard weighs.
    pub fn purchases(&self, master: &Master, node: &Node) -> (i64, Vec<i64>, Vec<i64>) {
        let (problem, duals) = (self.problem, self.duals);
        let mut total: i64 = -duals.budget * problem.budget.unwrap_or(0);
        for (dual, limit) in duals.fund.iter().zip(&problem.funds.limits) {
            total -= dual * limit;
        }
        for (rank, allowed) in self.stage.allowed.iter().enumerate() {
            total -= duals.rows.rank[rank] * allowed.unwrap_or(0) as i64;
        }
        let mut lots: Vec<i64> = problem
            .lots
            .iter()
            .map(|lot| self.stage.per_cent() * lot.net + duals.budget * lot.price)
            .collect();
        let mut yards: Vec<i64> = problem
            .trips
            .iter()
            .map(|trip| (self.stage.per_cent() + duals.budget) * trip)
            .collect();
        for (item, terms) in problem.items.iter().enumerate() {
            let all = duals.rows.item[item] * i64::from(terms.quantity);
            match terms.lot.map(|lot| &mut lots[lot]) {
                Some(lot) => *lot -= all,
                None => total -= all,
            }
        }
        for (row, &dual) in master.linking_rows.iter().zip(&duals.rows.linking) {
            match row.group {
                Group::Lot(lot) => lots[lot] -= dual,
                Group::Yard(yard) => yards[yard] -= dual,
            }
        }
        for (cut, &dual) in master.cuts.iter().zip(&duals.rows.cut) {
            total -= dual * cut.most;
            if let Some(lot) = cut.lot.map(|lot| &mut lots[lot]) {
                *lot -= dual * cut.per_lot;
            }
        }
        for (&(lot, yard), &dual) in &duals.trip {
            lots[lot] += dual;
            yards[yard] -= dual;
        }
        for (&lot, &dual) in &duals.idle {
            lots[lot] += dual;
        }
        for (yard, &dual) in duals.level.iter().enumerate() {
            yards[yard] += dual * i64::from(node.at_least(problem, yard));
        }
        for (lot, record) in problem.lots.iter().enumerate() {
            for (&yard, &cars) in record.yards.iter().zip(&record.cars) {
                lots[lot] -= duals.level[yard] * i64::from(cars);
            }
        }
        total += self.spares(node);
        (total, lots, yards)
    }

    /// What the bound holds apart from the crossings.
    pub fn constant(&self, master: &Master, node: &Node) -> i64 {
        let problem = self.problem;
        let (mut total, lots, yards) = self.purchases(master, node);
        let taken = |(value, state): (&i64, &Option<bool>)| match state {
            None => (*value).min(0),
            Some(true) => *value,
            Some(false) => 0,
        };
        for (lot, record) in problem.lots.iter().enumerate() {
            if record.useful {
                total += taken((&lots[lot], &node.lots[lot]));
            }
        }
        total + yards.iter().zip(&node.yards).map(taken).sum::<i64>()
    }

    /// What the spares of all yards weigh: each is bought if that is below zero.
    fn spares(&self, node: &Node) -> i64 {
        let (problem, duals) = (self.problem, self.duals);
        let mut total = 0;
        for (yard, levels) in problem.levels.iter().enumerate() {
            if levels.is_plain() || node.yards[yard] == Some(false) {
                continue;
            }
            let (_, highest) = node.levels[yard];
            for spare in &levels.spares {
                let (net, outlay) = spare.costs[highest];
                let weight = self.stage.per_cent() * net + duals.budget * outlay
                    - duals.level[yard]
                    + spare.item.map_or(0, |item| duals.rows.item[item]);
                total += weight.min(0) * i64::from(spare.quantity);
            }
        }
        total
    }

    /// What leaving a crossing unserved weighs; none: it must be served.
    pub fn unserved(&self, node: &Node, crossing: usize) -> Option<i64> {
        if node.served[crossing] == Some(true) {
            return None;
        }
        let record = &self.problem.crossings[crossing];
        let points = record.points as i64;
        match self.stage.role(self.problem, crossing) {
            Role::Counted => Some(self.stage.scale * points),
            Role::Shared => Some(self.duals.rows.rank[record.rank] * points),
            Role::Must | Role::Absent => None,
        }
    }
}
