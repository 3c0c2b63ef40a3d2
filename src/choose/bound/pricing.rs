//! A lower bound from any multipliers, exact in integers.
//!
//! The rows that tie crossings together are taken into the objective with multipliers at or above
//! zero. What is left falls apart: each crossing takes its cheapest layout with the lightest deck
//! per span, or stays unserved; each lot and yard is bought if its reduced price is below zero. The
//! multipliers come from a solver in floating point and are rounded to integers before use, and the
//! lightest decks are found over all decks, not over those known; so the bound holds whatever the
//! solver returned.

use crate::choose::bound::cuts::Penalties;
use crate::choose::bound::master::{Duals, Master};
use crate::choose::bound::node::{Node, Role, Stage};
use crate::choose::decks::columns::{Column, Finder, Weights, column};
use crate::choose::problem::{Cand, NONE, Problem};

/// More than any sum that occurs, with room to add some.
pub const HUGE: i64 = i64::MAX / 8;

/// Decks taken in per span and round.
const FRESH: usize = 4;

/// What the multipliers prove under the decisions of a node.
pub struct Evaluation {
    /// No plan of the node is below this, in units of the stage; [`HUGE`] or more: there is none.
    pub bound: i64,
    /// Decks lighter than every known one of their span.
    pub fresh: Vec<Column>,
    /// How much the fresh decks lower the bound that the known decks alone would give.
    pub gain: i64,
    /// Weight of the lightest deck per span; [`HUGE`]: none.
    pub lightest: Vec<i64>,
    /// The decks that each crossing takes; none where it stays unserved.
    pub decks: Vec<Vec<Column>>,
}

impl Evaluation {
    /// Weight of a layout with the lightest deck on each of its spans; [`HUGE`]: one has none.
    pub fn layout(&self, lens: &Lens, layout: usize) -> i64 {
        let record = &lens.problem.layouts[layout];
        let fixed = lens.per_cent(record.spans.start) * record.fixed;
        let lightest = record.spans.clone().map(|span| self.lightest[span]);
        lightest.fold(fixed, |sum, weight| sum.saturating_add(weight).min(HUGE))
    }

    /// What a crossing adds to the bound: its lightest open layout, or its place among the unserved.
    pub fn share(&self, lens: &Lens, node: &Node, crossing: usize) -> i64 {
        let layouts = lens.problem.crossings[crossing].layouts.clone();
        let open = layouts.filter(|layout| node.layout_open(lens.problem, *layout));
        let least = open.map(|layout| self.layout(lens, layout)).min().unwrap_or(HUGE);
        least.min(lens.unserved(node, crossing).unwrap_or(HUGE))
    }
}

/// The lightest deck of a span.
struct Lightest {
    /// Its weight; [`HUGE`]: there is none.
    weight: i64,
    /// Weight of the lightest known deck.
    known: i64,
    deck: Option<Column>,
}

/// Evaluates multipliers, with the memory it reuses.
pub struct Pricer {
    /// One for each thread.
    workers: Vec<Worker>,
}

/// The memory of one thread.
struct Worker {
    finder: Finder,
    charge: Vec<i64>,
}

/// What one crossing adds to an evaluation.
struct Share {
    crossing: usize,
    least: i64,
    /// The same over the known decks.
    known: i64,
    decks: Vec<Column>,
    fresh: Vec<Column>,
    lightest: Vec<(usize, i64)>,
}

/// Everything that an evaluation goes by.
#[derive(Clone, Copy)]
struct Terms<'a> {
    lens: &'a Lens<'a>,
    master: &'a Master,
    node: &'a Node,
    /// Cars that can be had, by item.
    left: &'a [u32],
}

/// With fewer candidates than this, threads cost more than they save.
const MANY_CANDIDATES: usize = 20_000;
/// More threads than this are never started.
const MOST_THREADS: usize = 8;

/// The weights under given multipliers.
pub struct Lens<'a> {
    pub problem: &'a Problem,
    pub stage: &'a Stage,
    pub duals: &'a Duals,
    /// Multiplier of the touch rows, per span and group.
    charges: Vec<Vec<(usize, i64)>>,
    /// Per item what one car weighs beyond its cost: its multiplier, and its yard's price level.
    items: Vec<i64>,
    /// The same at the crossings of each fund, which also pays a share of its lot.
    fund_items: Vec<Vec<i64>>,
    penalties: Penalties<'a>,
}

impl<'a> Lens<'a> {
    pub fn new(
        problem: &'a Problem,
        stage: &'a Stage,
        master: &'a Master,
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
        let mut new = Self {
            problem,
            stage,
            duals,
            charges,
            items: Vec::new(),
            fund_items: Vec::new(),
            penalties: Penalties::new(problem, &master.cuts, &duals.cut),
        };
        new.items = new.beyond_cost(node, NONE);
        let funds = 0..problem.funds.len();
        new.fund_items = funds.map(|fund| new.beyond_cost(node, fund)).collect();
        new
    }

    /// Per item what one car weighs beyond its cost at the crossings of a fund, or of none.
    fn beyond_cost(&self, node: &Node, fund: usize) -> Vec<i64> {
        let (problem, duals) = (self.problem, self.duals);
        let mut items = duals.item.clone();
        let of_fund = duals.fund(fund);
        if of_fund != 0 {
            for (weight, item) in items.iter_mut().zip(&problem.items) {
                *weight += of_fund * item.share;
            }
        }
        if problem.has_levels() {
            let per_cent = self.stage.per_cent() + duals.budget + of_fund;
            for (index, item) in problem.items.iter().enumerate() {
                let counts = if item.lot == NONE { duals.level[item.yard] } else { 0 };
                items[index] += per_cent * node.dearer(problem, index) - counts;
            }
        }
        items
    }

    /// Per item what one car weighs on a span beyond its cost.
    fn items(&self, span: usize) -> &[i64] {
        self.fund_items.get(self.problem.fund_of(span)).unwrap_or(&self.items)
    }

    /// Units of one cent paid on a span.
    fn outlay(&self, span: usize) -> i64 {
        self.duals.budget + self.duals.fund(self.problem.fund_of(span))
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
    pub fn wholes(&self, master: &Master, node: &Node) -> (i64, Vec<i64>, Vec<i64>) {
        let (problem, duals) = (self.problem, self.duals);
        let mut total: i64 = -duals.budget * problem.budget.unwrap_or(0);
        for (fund, limit) in problem.funds.iter().enumerate() {
            total -= duals.fund(fund) * limit;
        }
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
        for (cut, &dual) in master.cuts.iter().zip(&duals.cut) {
            total -= dual * cut.most;
            if let Some(lot) = lots.get_mut(cut.lot) {
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
    fn constant(&self, master: &Master, node: &Node) -> i64 {
        let problem = self.problem;
        let (mut total, lots, yards) = self.wholes(master, node);
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
    pub fn unserved(&self, node: &Node, crossing: usize) -> Option<i64> {
        if node.served[crossing] == Some(true) {
            return None;
        }
        let record = &self.problem.crossings[crossing];
        let points = record.points as i64;
        match self.stage.role(self.problem, crossing) {
            Role::Counted => Some(self.stage.scale * points),
            Role::Shared => Some(self.duals.rank[record.rank] * points),
            Role::Must | Role::Absent => None,
        }
    }
}

impl Pricer {
    pub fn new(problem: &Problem) -> Self {
        let candidates: usize = problem.spans.iter().map(|span| span.cands.len()).sum();
        let threads = match std::thread::available_parallelism() {
            Ok(threads) if candidates >= MANY_CANDIDATES => threads.get().min(MOST_THREADS),
            _ => 1,
        };
        let worker = || Worker { finder: Finder::default(), charge: vec![0; problem.groups()] };
        Self { workers: (0..threads).map(|_| worker()).collect() }
    }

    /// The bound that the multipliers give under the decisions of a node. It does not depend on the
    /// number of threads.
    pub fn evaluate(&mut self, lens: &Lens, master: &Master, node: &Node) -> Evaluation {
        let problem = lens.problem;
        let left = node.left(problem);
        let terms = Terms { lens, master, node, left: &left };
        let mut found = Evaluation {
            bound: lens.constant(master, node),
            fresh: Vec::new(),
            gain: 0,
            lightest: vec![HUGE; problem.spans.len()],
            decks: vec![Vec::new(); problem.crossings.len()],
        };
        for share in self.shares(&terms) {
            found.gain = found.gain.saturating_add(share.known - share.least);
            found.bound = found.bound.saturating_add(share.least).min(HUGE);
            found.decks[share.crossing] = share.decks;
            found.fresh.extend(share.fresh);
            for (span, lightest) in share.lightest {
                found.lightest[span] = lightest;
            }
        }
        found
    }

    /// Shows every deck of a span that the node allows and that weighs no more than the threshold,
    /// which what is told each deck may lower.
    pub fn each_deck<F: FnMut(&crate::choose::decks::columns::Found) -> i64>(
        &mut self,
        lens: &Lens,
        master: &Master,
        node: &Node,
        span: usize,
        threshold: i64,
        visit: F,
    ) {
        let left = node.left(lens.problem);
        let terms = Terms { lens, master, node, left: &left };
        self.workers[0].search(&terms, span, threshold, visit);
    }

    /// The shares of the crossings, in their order.
    fn shares(&mut self, terms: &Terms) -> Vec<Share> {
        let problem = terms.lens.problem;
        let crossings: Vec<usize> = (0..problem.crossings.len())
            .filter(|crossing| terms.lens.stage.role(problem, *crossing) != Role::Absent)
            .collect();
        let threads = self.workers.len();
        if threads == 1 {
            let worker = &mut self.workers[0];
            return crossings.iter().map(|crossing| worker.share(terms, *crossing)).collect();
        }
        // By turns, for neighbors in the list are often alike in size.
        let by_thread: Vec<Vec<Share>> = std::thread::scope(|scope| {
            let mut running = Vec::new();
            for (number, worker) in self.workers.iter_mut().enumerate() {
                let mine = crossings.iter().skip(number).step_by(threads);
                running.push(
                    scope.spawn(move || mine.map(|c| worker.share(terms, *c)).collect::<Vec<_>>()),
                );
            }
            running
                .into_iter()
                .map(|thread| {
                    thread.join().unwrap_or_else(|panic| std::panic::resume_unwind(panic))
                })
                .collect()
        });
        let mut shares: Vec<Share> = by_thread.into_iter().flatten().collect();
        shares.sort_by_key(|share| share.crossing);
        shares
    }
}

impl Worker {
    fn share(&mut self, terms: &Terms, crossing: usize) -> Share {
        let Terms { lens, node, .. } = *terms;
        let problem = lens.problem;
        let unserved = lens.unserved(node, crossing).unwrap_or(HUGE);
        let mut share = Share {
            crossing,
            least: unserved,
            known: unserved,
            decks: Vec::new(),
            fresh: Vec::new(),
            lightest: Vec::new(),
        };
        for layout in problem.crossings[crossing].layouts.clone() {
            if !node.layout_open(problem, layout) {
                continue;
            }
            let spans = problem.layouts[layout].spans.clone();
            let fixed = lens.per_cent(spans.start) * problem.layouts[layout].fixed;
            let (mut all, mut old) = (fixed, fixed);
            let mut decks = Vec::new();
            for span in spans {
                let lightest = self.lightest(terms, span, &mut share.fresh);
                share.lightest.push((span, lightest.weight));
                all = all.saturating_add(lightest.weight).min(HUGE);
                old = old.saturating_add(lightest.known).min(HUGE);
                decks.extend(lightest.deck);
            }
            if all < share.least {
                share.least = all;
                share.decks = decks;
            }
            share.known = share.known.min(old);
        }
        share
    }

    /// The lightest deck of a span, and the lightest known one.
    fn lightest(&mut self, terms: &Terms, span: usize, fresh: &mut Vec<Column>) -> Lightest {
        let Terms { lens, master, node, .. } = *terms;
        let known = master.by_span[span]
            .iter()
            .map(|index| &master.columns[*index])
            .filter(|column| node.allows(lens.problem, column))
            .map(|column| (lens.column(column), column))
            .min_by_key(|(weight, _)| *weight);
        let limit = known.map_or(HUGE, |(weight, _)| weight) - 1;
        if let Some(listed) = &master.listed {
            return self.lightest_listed(terms, &listed[span], known, fresh);
        }
        let mut best: Vec<(i64, Vec<u32>, i64)> = Vec::new();
        self.search(terms, span, limit, |found| {
            let place = best.partition_point(|(weight, _, _)| *weight <= found.weight);
            best.insert(place, (found.weight, found.cands.to_vec(), found.joints));
            best.truncate(FRESH);
            if best.len() < FRESH { limit } else { best[FRESH - 1].0 - 1 }
        });
        let weight = best.first().map_or(limit + 1, |(weight, _, _)| *weight);
        let first = fresh.len();
        fresh.extend(
            best.into_iter().map(|(_, cands, joints)| column(lens.problem, span, &cands, joints)),
        );
        let deck = fresh.get(first).or(known.map(|(_, column)| column)).cloned();
        Lightest { weight, known: limit + 1, deck }
    }

    /// The same where the decks are listed.
    fn lightest_listed(
        &mut self,
        terms: &Terms,
        listed: &[Column],
        known: Option<(i64, &Column)>,
        fresh: &mut Vec<Column>,
    ) -> Lightest {
        let Terms { lens, node, .. } = *terms;
        let limit = known.map_or(HUGE, |(weight, _)| weight);
        let mut best: Vec<(i64, &Column)> = listed
            .iter()
            .map(|column| (lens.column(column), column))
            .filter(|(weight, column)| *weight < limit && node.allows(lens.problem, column))
            .collect();
        best.sort_by_key(|(weight, _)| *weight);
        best.truncate(FRESH);
        let weight = best.first().map_or(limit, |(weight, _)| *weight);
        let deck = best.first().map(|(_, column)| *column).or(known.map(|(_, column)| column));
        let deck = deck.cloned();
        fresh.extend(best.into_iter().map(|(_, column)| column.clone()));
        Lightest { weight, known: limit, deck }
    }

    /// Shows every deck of a span that the node allows and that weighs no more than the threshold.
    fn search<F: FnMut(&crate::choose::decks::columns::Found) -> i64>(
        &mut self,
        terms: &Terms,
        span: usize,
        threshold: i64,
        visit: F,
    ) {
        let lens = terms.lens;
        let charges = &lens.charges[span];
        for &(group, amount) in charges {
            self.charge[group] = amount;
        }
        let weights = Weights {
            net: lens.stage.per_cent(),
            outlay: lens.outlay(span),
            item: lens.items(span),
            charge: if charges.is_empty() { &[] } else { &self.charge },
            reward: charges.iter().map(|(_, amount)| (*amount).min(0)).sum(),
            left: terms.left,
            penalties: (!lens.penalties.is_empty()).then_some(&lens.penalties),
            limits: terms.node.limits(span),
        };
        self.finder.search(lens.problem, span, &weights, threshold, visit);
        for &(group, _) in charges {
            self.charge[group] = 0;
        }
    }
}
