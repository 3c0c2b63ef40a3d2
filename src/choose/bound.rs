//! A lower bound from any multipliers, exact in integers.
//!
//! The rows that tie crossings together are taken into the objective with multipliers at or above
//! zero. What is left falls apart: each crossing takes its cheapest layout with the lightest deck
//! per span, or stays unserved; each lot and yard is bought if its reduced price is below zero. The
//! multipliers come from a solver in floating point and are rounded to integers before use, and the
//! lightest decks are found over all decks, not over those known; so the bound holds whatever the
//! solver returned.

use super::columns::{Column, Finder, Weights, column};
use super::master::{Duals, Master};
use super::node::{Node, Role, Stage};
use super::problem::{Cand, NONE, Problem};

/// More than any sum that occurs, with room to add some.
pub(super) const HUGE: i64 = i64::MAX / 8;

/// Decks taken in per span and round.
const FRESH: usize = 4;

/// What the multipliers prove under the decisions of a node.
pub(super) struct Evaluation {
    /// No plan of the node is below this, in units of the stage; [`HUGE`] or more: there is none.
    pub bound: i64,
    /// Decks lighter than every known one of their span.
    pub fresh: Vec<Column>,
    /// How much the fresh decks lower the bound that the known decks alone would give.
    pub gain: i64,
    /// Weight of the lightest deck per span; [`HUGE`]: none.
    pub lightest: Vec<i64>,
    /// What each crossing adds to the bound.
    pub share: Vec<i64>,
}

/// Evaluates multipliers, with the memory it reuses.
pub(super) struct Pricer {
    finder: Finder,
    charge: Vec<i64>,
}

/// The weights under given multipliers.
pub(super) struct Lens<'a> {
    pub problem: &'a Problem,
    pub stage: &'a Stage,
    pub duals: &'a Duals,
    /// Multiplier of the touch rows, per span and group.
    charges: Vec<Vec<(usize, i64)>>,
    /// Per item what one car weighs more for its yard's price level; empty: nothing.
    level: Vec<i64>,
}

impl<'a> Lens<'a> {
    pub fn new(
        problem: &'a Problem,
        stage: &'a Stage,
        master: &Master,
        node: &Node,
        duals: &'a Duals,
    ) -> Self {
        let mut charges: Vec<Vec<(usize, i64)>> = vec![Vec::new(); problem.spans.len()];
        let mut add = |span: usize, group: usize, amount: i64| {
            if amount == 0 {
                return;
            }
            match charges[span].iter_mut().find(|(other, _)| *other == group) {
                Some((_, sum)) => *sum += amount,
                None => charges[span].push((group, amount)),
            }
        };
        for (touch, &dual) in master.touches.iter().zip(&duals.touch) {
            for &span in &touch.spans {
                add(span, touch.group, dual);
            }
        }
        for (&lot, &dual) in &duals.idle {
            for span in 0..problem.spans.len() {
                add(span, lot, -dual);
            }
        }
        let mut new = Self { problem, stage, duals, charges, level: Vec::new() };
        if problem.has_levels() {
            let items = problem.items.iter().enumerate().map(|(index, item)| {
                let counts = if item.lot == NONE { duals.level[item.yard] } else { 0 };
                new.per_cent() * node.dearer(problem, index) - counts
            });
            new.level = items.collect();
        }
        new
    }

    /// Units of one cent of joints or of a layout's fixed cost.
    pub fn per_cent(&self) -> i64 {
        self.stage.per_cent() + self.duals.budget
    }

    /// Weight of one car.
    pub fn car(&self, cand: &Cand) -> i64 {
        self.stage.per_cent() * cand.net
            + self.duals.budget * cand.outlay
            + self.duals.item[cand.item]
            + self.level.get(cand.item).copied().unwrap_or(0)
    }

    /// Weight of a column.
    pub fn column(&self, column: &Column) -> i64 {
        let cands = &self.problem.spans[column.span].cands;
        let mut weight = self.stage.per_cent() * column.net + self.duals.budget * column.outlay;
        for &cand in &column.cands {
            let item = cands[cand as usize].item;
            weight += self.duals.item[item] + self.level.get(item).copied().unwrap_or(0);
        }
        let charges = &self.charges[column.span];
        if !charges.is_empty() {
            for group in &column.groups {
                weight += charges.iter().find(|(other, _)| other == group).map_or(0, |(_, c)| *c);
            }
        }
        weight
    }

    /// What the bound holds apart from the crossings.
    fn constant(&self, master: &Master, node: &Node) -> i64 {
        let (problem, duals) = (self.problem, self.duals);
        let mut total: i64 = -duals.budget * problem.budget.unwrap_or(0);
        for (rank, allowed) in self.stage.allowed.iter().enumerate() {
            total -= duals.rank[rank] * allowed.unwrap_or(0) as i64;
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
            let all = duals.item[item] * i64::from(terms.quantity);
            match lots.get_mut(terms.lot) {
                Some(lot) => *lot -= all,
                None => total -= all,
            }
        }
        for (touch, &dual) in master.touches.iter().zip(&duals.touch) {
            match touch.group.checked_sub(lots.len()) {
                None => lots[touch.group] -= dual,
                Some(yard) => yards[yard] -= dual,
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
                    + duals.item.get(spare.item).copied().unwrap_or(0);
                total += weight.min(0) * i64::from(spare.quantity);
            }
        }
        total
    }

    /// What leaving a crossing unserved weighs; none: it must be served.
    fn unserved(&self, node: &Node, crossing: usize) -> Option<i64> {
        if node.served[crossing] == Some(true) {
            return None;
        }
        match self.stage.role(self.problem, crossing) {
            Role::Counted => Some(self.stage.scale),
            Role::Shared => Some(self.duals.rank[self.problem.crossings[crossing].rank]),
            Role::Must | Role::Absent => None,
        }
    }
}

impl Pricer {
    pub fn new(problem: &Problem) -> Self {
        Self { finder: Finder::default(), charge: vec![0; problem.groups()] }
    }

    /// The bound that the multipliers give under the decisions of a node.
    pub fn evaluate(&mut self, lens: &Lens, master: &Master, node: &Node) -> Evaluation {
        let problem = lens.problem;
        let mut found = Evaluation {
            bound: lens.constant(master, node),
            fresh: Vec::new(),
            gain: 0,
            lightest: vec![HUGE; problem.spans.len()],
            share: vec![0; problem.crossings.len()],
        };
        for crossing in 0..problem.crossings.len() {
            if lens.stage.role(problem, crossing) == Role::Absent {
                continue;
            }
            let unserved = lens.unserved(node, crossing).unwrap_or(HUGE);
            let (mut least, mut known) = (unserved, unserved);
            for layout in problem.crossings[crossing].layouts.clone() {
                if !node.layout_open(problem, layout) {
                    continue;
                }
                let fixed = lens.per_cent() * problem.layouts[layout].fixed;
                let (mut all, mut old) = (fixed, fixed);
                for span in problem.layouts[layout].spans.clone() {
                    let (lightest, before) =
                        self.lightest(lens, master, node, span, &mut found.fresh);
                    found.lightest[span] = lightest;
                    all = all.saturating_add(lightest).min(HUGE);
                    old = old.saturating_add(before).min(HUGE);
                }
                least = least.min(all);
                known = known.min(old);
            }
            found.share[crossing] = least;
            found.gain = found.gain.saturating_add(known - least);
            found.bound = found.bound.saturating_add(least).min(HUGE);
        }
        found
    }

    /// Weight of the lightest deck of a span, and of the lightest known one.
    fn lightest(
        &mut self,
        lens: &Lens,
        master: &Master,
        node: &Node,
        span: usize,
        fresh: &mut Vec<Column>,
    ) -> (i64, i64) {
        let known = master.by_span[span]
            .iter()
            .map(|index| &master.columns[*index])
            .filter(|column| node.allows(lens.problem, column))
            .map(|column| lens.column(column))
            .min()
            .unwrap_or(HUGE);
        let mut best: Vec<(i64, Vec<u32>, i64)> = Vec::new();
        self.search(lens, node, span, known - 1, |found| {
            let place = best.partition_point(|(weight, _, _)| *weight <= found.weight);
            best.insert(place, (found.weight, found.cands.to_vec(), found.joints));
            best.truncate(FRESH);
            if best.len() < FRESH { known - 1 } else { best[FRESH - 1].0 - 1 }
        });
        let lightest = best.first().map_or(known, |(weight, _, _)| *weight);
        fresh.extend(
            best.into_iter().map(|(_, cands, joints)| column(lens.problem, span, &cands, joints)),
        );
        (lightest, known)
    }

    /// Shows every deck of a span that the node allows and that weighs no more than the threshold.
    pub fn search<F: FnMut(&super::columns::Found) -> i64>(
        &mut self,
        lens: &Lens,
        node: &Node,
        span: usize,
        threshold: i64,
        visit: F,
    ) {
        let charges = &lens.charges[span];
        for &(group, amount) in charges {
            self.charge[group] = amount;
        }
        let weights = Weights {
            car: &|cand| lens.car(cand),
            joint: lens.per_cent(),
            charge: if charges.is_empty() { &[] } else { &self.charge },
            most: &|index, cand| node.most(lens.problem, span, index, cand),
            need: &node.need(span),
        };
        self.finder.search(lens.problem, span, &weights, threshold, visit);
        for &(group, _) in charges {
            self.charge[group] = 0;
        }
    }
}
