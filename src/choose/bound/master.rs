//! The program over the columns found so far, as a linear program with duals.

use std::collections::BTreeMap;
use std::collections::HashSet;
use std::time::Duration;

use good_lp::solvers::clarabel::clarabel;
use good_lp::{
    Constraint, DualValues, Expression, ProblemVariables, Solution, SolutionWithDual, SolverModel,
    Variable, variable,
};

use crate::choose::bound::cuts::Cut;
use crate::choose::bound::node::{Node, Role, Stage};
use crate::choose::decks::columns::Column;
use crate::choose::problem::fund;
use crate::choose::problem::{NONE, Problem};

/// At most one deck of these spans can exist (one per layout of a crossing), so their decks that
/// touch a group, together, need the group bought as a whole: Σ λ ≤ x.
#[derive(Clone, Debug, PartialEq, Eq, PartialOrd, Ord)]
pub struct Touch {
    pub group: usize,
    pub spans: Vec<usize>,
}

/// Multipliers of the rows, in integer units of the stage. All at least zero.
#[derive(Clone, Debug, Default)]
pub struct Duals {
    /// Per item: its quantity.
    pub item: Vec<i64>,
    /// Per [`Touch`] row.
    pub touch: Vec<i64>,
    /// Per [`Cut`]; those that are missing are zero.
    pub cut: Vec<i64>,
    /// Per lot and yard of it: a lot bought needs the trip.
    pub trip: BTreeMap<(usize, usize), i64>,
    /// Per lot that may pay left over as a whole: it is bought only for a car.
    pub idle: BTreeMap<usize, i64>,
    /// Per yard: the least number of cars bought.
    pub level: Vec<i64>,
    /// Of the budget, per cent.
    pub budget: i64,
    /// Per fund, per cent; empty: zero.
    pub fund: Vec<i64>,
    /// Per rank with a number unserved.
    pub rank: Vec<i64>,
}

impl Duals {
    /// The multiplier of a fund; of none, zero.
    pub fn fund(&self, fund: usize) -> i64 {
        self.fund.get(fund).copied().unwrap_or(0)
    }

    /// Between these and others: so many eighths of these.
    pub fn toward(&self, others: &Self, eighths: i64) -> Self {
        let one = |a: i64, b: i64| (a / 8) * eighths + (b / 8) * (8 - eighths);
        let all = |a: &[i64], b: &[i64]| {
            let at = |values: &[i64], place: usize| values.get(place).copied().unwrap_or(0);
            (0..a.len().max(b.len())).map(|place| one(at(a, place), at(b, place))).collect()
        };
        let mut trip: BTreeMap<(usize, usize), i64> = BTreeMap::new();
        for (key, value) in &self.trip {
            *trip.entry(*key).or_default() += one(*value, 0);
        }
        for (key, value) in &others.trip {
            *trip.entry(*key).or_default() += one(0, *value);
        }
        let mut idle: BTreeMap<usize, i64> = BTreeMap::new();
        for (key, value) in &self.idle {
            *idle.entry(*key).or_default() += one(*value, 0);
        }
        for (key, value) in &others.idle {
            *idle.entry(*key).or_default() += one(0, *value);
        }
        Self {
            item: all(&self.item, &others.item),
            touch: all(&self.touch, &others.touch),
            cut: all(&self.cut, &others.cut),
            trip,
            idle,
            budget: one(self.budget, others.budget),
            fund: all(&self.fund, &others.fund),
            rank: all(&self.rank, &others.rank),
            level: all(&self.level, &others.level),
        }
    }
}

/// A solution of the linear program.
#[derive(Clone, Debug, Default)]
pub struct Relaxed {
    /// Columns above zero.
    pub columns: Vec<(usize, f64)>,
    pub lots: Vec<f64>,
    pub yards: Vec<f64>,
    /// Cars bought, per yard with price levels.
    pub bought: Vec<f64>,
    pub layouts: Vec<f64>,
    pub unserved: Vec<f64>,
    /// How far it pays fees: crossings left out that must be served, numbers, budget and funds
    /// passed, least orders missed, lots bought for nothing.
    pub evaded: f64,
    pub duals: Duals,
}

/// Values below this count as zero.
pub const SMALL: f64 = 1e-6;

/// Programs of more columns than this are solved less finely.
const LARGE: usize = 1_000;

/// Multipliers are cut off here, so that sums of them stay within their integers.
const LARGEST: f64 = 1e16;

/// Passing the budget by its whole size costs so many fees.
const OVERSPENT: f64 = 1000.0;

/// The columns found so far, and the rows beyond the plain ones.
#[derive(Clone, Debug, Default)]
pub struct Master {
    pub columns: Vec<Column>,
    pub by_span: Vec<Vec<usize>>,
    pub touches: Vec<Touch>,
    pub cuts: Vec<Cut>,
    /// Per span all decks that a better plan can use, where they have been listed.
    pub listed: Option<Vec<Vec<Column>>>,
    known: HashSet<(usize, Vec<u32>)>,
}

impl Master {
    pub fn new(problem: &Problem) -> Self {
        Self { by_span: vec![Vec::new(); problem.spans.len()], ..Self::default() }
    }

    /// Takes a column in, unless it is known.
    pub fn add(&mut self, column: Column) -> bool {
        let new = self.known.insert((column.span, column.cands.clone()));
        if new {
            self.by_span[column.span].push(self.columns.len());
            self.columns.push(column);
        }
        new
    }

    /// Keeps of each span so many columns, the lightest by the weights given, and those of the decks
    /// given.
    pub fn keep_lightest(&mut self, weights: &[i64], most: usize, also: &[Column]) {
        let mut kept = Vec::new();
        for of_span in &self.by_span {
            let mut order: Vec<(i64, usize)> =
                of_span.iter().map(|index| (weights[*index], *index)).collect();
            order.sort_unstable();
            kept.extend(order.into_iter().take(most).map(|(_, index)| index));
        }
        self.keep(kept);
        for column in also {
            self.add(column.clone());
        }
    }

    /// Lists the decks that a better plan can use, and keeps only columns that are listed.
    pub fn list(&mut self, listed: Vec<Vec<Column>>) {
        let mut kept = Vec::new();
        for (decks, of_span) in listed.iter().zip(&self.by_span) {
            let known: HashSet<&Vec<u32>> = decks.iter().map(|deck| &deck.cands).collect();
            let here = |index: &&usize| known.contains(&self.columns[**index].cands);
            kept.extend(of_span.iter().filter(here));
        }
        self.keep(kept);
        self.listed = Some(listed);
    }

    /// Keeps only these columns.
    fn keep(&mut self, kept: Vec<usize>) {
        let mut columns: Vec<Option<Column>> =
            std::mem::take(&mut self.columns).into_iter().map(Some).collect();
        for of_span in &mut self.by_span {
            of_span.clear();
        }
        self.known.clear();
        for index in kept {
            if let Some(column) = columns[index].take() {
                self.add(column);
            }
        }
    }

    /// Solves the program of a stage under the decisions of a node. So that there always is a
    /// solution, a crossing that must be served may be left out for a `fee` (in cents, or
    /// crossings), and numbers unserved and the budget may be passed and least orders missed for such
    /// fees.
    pub fn solve(
        &self,
        problem: &Problem,
        stage: &Stage,
        node: &Node,
        fee: f64,
        within: Option<Duration>,
    ) -> Option<Relaxed> {
        Assembly::new(self, problem, stage, node, fee).solve(within)
    }

    /// The least of the same program by the solver that is used and by another one, in dollars or
    /// crossings.
    #[cfg(all(test, feature = "highs"))]
    pub fn least_by_both(
        &self,
        problem: &Problem,
        stage: &Stage,
        node: &Node,
        fee: f64,
    ) -> Option<(f64, f64)> {
        let program = || Assembly::new(self, problem, stage, node, fee);
        let other = program().least_by(good_lp::solvers::highs::highs)?;
        Some((program().least_by(clarabel)?, other))
    }
}

/// The amount by which the row of a limit is divided.
fn size(limit: i64) -> f64 {
    (limit as f64).abs().max(1.0)
}

/// Objective in dollars or crossings.
fn unit(stage: &Stage) -> f64 {
    if stage.counted.is_none() { 0.01 } else { 1.0 }
}

/// A lot or yard in the program.
#[derive(Clone, Copy, Default)]
enum Whole {
    /// Not bought, not used.
    #[default]
    Out,
    /// Decided: bought, used. Fixed values stay out of the program, for its solver needs room
    /// between bounds.
    In,
    Open(Variable),
}

impl Whole {
    /// Adds this to a sum, with a factor; returns the constant part.
    fn add_to(self, sum: &mut Expression, factor: f64) -> f64 {
        match self {
            Self::Out => 0.0,
            Self::In => factor,
            Self::Open(var) => {
                sum.add_mul(factor, var);
                0.0
            }
        }
    }
}

struct Assembly<'a> {
    master: &'a Master,
    problem: &'a Problem,
    stage: &'a Stage,
    node: &'a Node,
    vars: ProblemVariables,
    objective: Expression,
    outlay: Expression,
    /// What each fund pays.
    funds: Vec<Expression>,
    used: Vec<(usize, Variable)>,
    lots: Vec<Whole>,
    yards: Vec<Whole>,
    /// Number bought of each spare, per yard.
    spares: Vec<Vec<Variable>>,
    /// By how much the row of each lot that needs a car is passed.
    idle: Vec<Option<Variable>>,
    /// By how many cars the least order of each yard is missed.
    short: Vec<Option<Variable>>,
    /// What the decided lots and trips cost.
    spent: f64,
    layouts: Vec<Option<Variable>>,
    unserved: Vec<Option<Variable>>,
    /// By how much each rank's number unserved is passed.
    beyond: Vec<Option<Variable>>,
    /// By what share the budget is passed.
    overspent: Option<Variable>,
    /// By what share each fund is passed.
    overdrawn: Vec<Variable>,
    /// Every variable that stands for a fee.
    fees: Vec<Variable>,
}

/// What a row of the program stands for.
enum Row {
    Other,
    Item(usize),
    Touch(usize),
    Cut(usize),
    Trip(usize, usize),
    Idle(usize),
    Level(usize),
    Budget,
    Fund(usize),
    Rank(usize),
}

impl<'a> Assembly<'a> {
    fn new(
        master: &'a Master,
        problem: &'a Problem,
        stage: &'a Stage,
        node: &'a Node,
        fee: f64,
    ) -> Self {
        let mut new = Self {
            master,
            problem,
            stage,
            node,
            vars: ProblemVariables::new(),
            objective: Expression::default(),
            outlay: Expression::default(),
            funds: vec![Expression::default(); problem.funds.len()],
            used: Vec::new(),
            lots: vec![Whole::Out; problem.lots.len()],
            yards: vec![Whole::Out; problem.trips.len()],
            spares: vec![Vec::new(); problem.trips.len()],
            idle: vec![None; problem.lots.len()],
            short: vec![None; problem.trips.len()],
            spent: 0.0,
            layouts: vec![None; problem.layouts.len()],
            unserved: vec![None; problem.crossings.len()],
            beyond: vec![None; problem.ranks.len()],
            overspent: None,
            overdrawn: Vec::new(),
            fees: Vec::new(),
        };
        new.variables(fee * unit(stage));
        new
    }

    /// A variable with what it adds to net cost and outlay, in cents.
    fn priced(&mut self, bounds: (f64, f64), net: i64, outlay: i64) -> Variable {
        let definition = variable().min(bounds.0);
        let definition = if bounds.1.is_finite() { definition.max(bounds.1) } else { definition };
        let var = self.vars.add(definition);
        if self.stage.counted.is_none() {
            self.objective.add_mul(net as f64 * unit(self.stage), var);
        }
        self.outlay.add_mul(outlay as f64, var);
        var
    }

    /// Notes what a variable costs a fund, in cents.
    fn charged(&mut self, fund: usize, amount: i64, var: Variable) {
        if let Some(sum) = self.funds.get_mut(fund) {
            sum.add_mul(amount as f64, var);
        }
    }

    fn variables(&mut self, fee: f64) {
        let problem = self.problem;
        for (crossing, record) in problem.crossings.iter().enumerate() {
            let role = self.stage.role(problem, crossing);
            if role == Role::Absent {
                continue;
            }
            for layout in record.layouts.clone() {
                if self.node.layout_open(problem, layout) {
                    let fixed = problem.layouts[layout].fixed;
                    let var = self.priced((0.0, f64::INFINITY), fixed, fixed);
                    self.charged(record.fund, fixed, var);
                    self.layouts[layout] = Some(var);
                }
            }
            let weight = match role {
                _ if self.node.served[crossing] == Some(true) => fee,
                Role::Counted => record.points as f64,
                Role::Shared => 0.0,
                _ => fee,
            };
            let var = self.vars.add(variable().min(0.0));
            self.objective.add_mul(weight, var);
            if weight == fee {
                self.fees.push(var);
            }
            self.unserved[crossing] = Some(var);
        }
        for (rank, allowed) in self.stage.allowed.iter().enumerate() {
            if allowed.is_some_and(|allowed| allowed > 0) {
                let var = self.vars.add(variable().min(0.0));
                self.objective.add_mul(fee, var);
                self.beyond[rank] = Some(var);
                self.fees.push(var);
            }
        }
        if problem.budget.is_some() {
            let var = self.vars.add(variable().min(0.0));
            self.objective.add_mul(fee * OVERSPENT, var);
            self.overspent = Some(var);
            self.fees.push(var);
        }
        for _ in &problem.funds {
            let var = self.vars.add(variable().min(0.0));
            self.objective.add_mul(fee * OVERSPENT, var);
            self.overdrawn.push(var);
            self.fees.push(var);
        }
        for (index, column) in self.master.columns.iter().enumerate() {
            let layout = problem.spans[column.span].layout;
            if self.layouts[layout].is_some() && self.node.allows(problem, column) {
                let dearer = self.dearer(column);
                let (net, outlay) = (column.net + dearer, column.outlay + dearer);
                let var = self.priced((0.0, f64::INFINITY), net, outlay);
                let fund = problem.fund_of(column.span);
                if fund != NONE {
                    self.charged(fund, fund::charge(problem, column) + dearer, var);
                }
                self.used.push((index, var));
            }
        }
        for (lot, record) in problem.lots.iter().enumerate() {
            if record.useful {
                self.lots[lot] = self.whole(self.node.lots[lot], record.net, record.price);
            }
            if problem.needs_a_car(lot) && !matches!(self.lots[lot], Whole::Out) {
                // Without a way out, the multipliers of a lot whose car is forced from both sides
                // would grow without end together.
                let idle = self.vars.add(variable().min(0.0));
                self.objective.add_mul(fee, idle);
                self.idle[lot] = Some(idle);
                self.fees.push(idle);
            }
        }
        for (yard, &trip) in problem.trips.iter().enumerate() {
            if !problem.free_trip(yard) {
                self.yards[yard] = self.whole(self.node.yards[yard], trip, trip);
            }
        }
        for (yard, levels) in problem.levels.iter().enumerate() {
            let (_, highest) = self.node.levels[yard];
            if levels.is_plain() || self.node.yards[yard] == Some(false) {
                continue;
            }
            let short = self.vars.add(variable().min(0.0));
            self.objective.add_mul(fee, short);
            self.short[yard] = Some(short);
            self.fees.push(short);
            for spare in &levels.spares {
                let (net, outlay) = spare.costs[highest];
                let var = self.priced((0.0, f64::from(spare.quantity)), net, outlay);
                self.spares[yard].push(var);
            }
        }
    }

    /// What the cars of a column cost more at the levels of the node than at their lowest prices.
    fn dearer(&self, column: &Column) -> i64 {
        if !self.problem.has_levels() {
            return 0;
        }
        let items = column.items(self.problem);
        items.map(|(item, n)| self.node.dearer(self.problem, item) * i64::from(n)).sum()
    }

    fn whole(&mut self, state: Option<bool>, net: i64, outlay: i64) -> Whole {
        match state {
            Some(false) => Whole::Out,
            Some(true) => {
                self.spent += outlay as f64;
                Whole::In
            }
            None => Whole::Open(self.priced((0.0, 1.0), net, outlay)),
        }
    }

    fn rows(&self) -> Vec<(Row, Constraint)> {
        let problem = self.problem;
        let mut rows = Vec::new();
        let mut by_span: Vec<Vec<Variable>> = vec![Vec::new(); problem.spans.len()];
        let mut by_item: Vec<Vec<(usize, Variable, u32)>> = vec![Vec::new(); problem.items.len()];
        let mut spare_of: Vec<Option<Variable>> = vec![None; problem.items.len()];
        for (levels, vars) in problem.levels.iter().zip(&self.spares) {
            for (spare, var) in levels.spares.iter().zip(vars) {
                if let Some(slot) = spare_of.get_mut(spare.item) {
                    *slot = Some(*var);
                }
            }
        }
        let mut by_group: BTreeMap<(usize, usize), Vec<Variable>> = BTreeMap::new();
        for &(index, var) in &self.used {
            let column = &self.master.columns[index];
            by_span[column.span].push(var);
            for (item, count) in column.items(problem) {
                by_item[item].push((column.span, var, count));
            }
            if !self.master.touches.is_empty() {
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
            if uses.is_empty() || (alone && terms.lot == NONE && spare.is_none()) {
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
            let most = match self.lots.get(terms.lot) {
                Some(lot) => -lot.add_to(&mut sum, -quantity),
                None => quantity,
            };
            rows.push((Row::Item(item), sum.leq(most)));
        }
        for (index, touch) in self.master.touches.iter().enumerate() {
            let mut sum = Expression::default();
            for span in &touch.spans {
                for var in by_group.get(&(*span, touch.group)).into_iter().flatten() {
                    sum.add_mul(1.0, *var);
                }
            }
            let whole = match touch.group.checked_sub(problem.lots.len()) {
                None => self.lots[touch.group],
                Some(yard) => self.yards[yard],
            };
            if let Whole::Open(_) = whole {
                whole.add_to(&mut sum, -1.0);
                rows.push((Row::Touch(index), sum.leq(0.0)));
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
        for (fund, (limit, paid)) in problem.funds.iter().zip(&self.funds).enumerate() {
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
            let mut touched: Vec<usize> =
                column.items(problem).flat_map(|(item, _)| by_item[item].iter().copied()).collect();
            touched.sort_unstable();
            touched.dedup();
            for cut in touched {
                let taken = cuts[cut].taken(column.span, column.items(problem));
                if taken > 0 {
                    sums[cut].add_mul(taken as f64, var);
                }
            }
        }
        for (index, (cut, mut sum)) in cuts.iter().zip(sums).enumerate() {
            let mut most = cut.most as f64;
            if let Some(lot) = self.lots.get(cut.lot) {
                most -= lot.add_to(&mut sum, -(cut.per_lot as f64));
            }
            rows.push((Row::Cut(index), sum.leq(most)));
        }
    }

    /// Lots need trips, and lots that would earn money left over need a car placed.
    fn purchase_rows(&self, rows: &mut Vec<(Row, Constraint)>) {
        for (lot, record) in self.problem.lots.iter().enumerate() {
            if let Whole::Open(bought) = self.lots[lot] {
                for &yard in &record.yards {
                    if let Whole::Open(trip) = self.yards[yard] {
                        rows.push((Row::Trip(lot, yard), (bought - trip).leq(0.0)));
                    }
                }
            }
            if self.problem.needs_a_car(lot) && !matches!(self.lots[lot], Whole::Out) {
                let mut sum = Expression::default();
                let bought = self.lots[lot].add_to(&mut sum, 1.0);
                if let Some(idle) = self.idle[lot] {
                    sum.add_mul(-1.0, idle);
                }
                for &(index, var) in &self.used {
                    if self.master.columns[index].groups.contains(&lot) {
                        sum.add_mul(-1.0, var);
                    }
                }
                rows.push((Row::Idle(lot), sum.leq(-bought)));
            }
        }
    }

    /// The cars bought at a yard: a constant and a sum.
    fn bought(&self, yard: usize) -> (f64, Expression) {
        let problem = self.problem;
        let mut sum = Expression::default();
        let mut constant = 0.0;
        for &(index, var) in &self.used {
            let items = self.master.columns[index].items(problem);
            let here = items.filter(|(item, _)| {
                let item = &problem.items[*item];
                item.yard == yard && item.lot == NONE
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
            if least <= 1.0 || matches!(self.yards[yard], Whole::Out) {
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

    #[cfg(all(test, feature = "highs"))]
    fn least_by(mut self, solver: impl good_lp::Solver) -> Option<f64> {
        let rows = self.rows();
        let vars = std::mem::take(&mut self.vars);
        let mut model = vars.minimise(&self.objective).using(solver);
        for (_, row) in rows {
            model.add_constraint(row);
        }
        Some(model.solve().ok()?.eval(&self.objective))
    }

    fn solve(mut self, within: Option<Duration>) -> Option<Relaxed> {
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
        if self.used.len() > LARGE && self.master.listed.is_none() {
            // The bound is exact whatever the duals are, and the next columns change them anyway.
            model.settings().tol_gap_rel(1e-5).tol_gap_abs(1e-2).tol_feas(1e-6);
        }
        let references: Vec<_> = rows.into_iter().map(|row| model.add_constraint(row)).collect();
        let mut solution = model.solve().ok()?;
        let value = |var: &Option<Variable>| var.map_or(0.0, |var| solution.value(var));
        let whole = |whole: &Whole| match whole {
            Whole::Out => 0.0,
            Whole::In => 1.0,
            Whole::Open(var) => solution.value(*var),
        };
        let mut relaxed = Relaxed {
            columns: self
                .used
                .iter()
                .map(|&(index, var)| (index, solution.value(var)))
                .filter(|(_, value)| *value > SMALL)
                .collect(),
            lots: self.lots.iter().map(whole).collect(),
            yards: self.yards.iter().map(whole).collect(),
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
            duals: Duals {
                item: vec![0; self.problem.items.len()],
                touch: vec![0; self.master.touches.len()],
                cut: vec![0; self.master.cuts.len()],
                rank: vec![0; self.problem.ranks.len()],
                level: vec![0; self.problem.levels.len()],
                fund: vec![0; self.problem.funds.len()],
                ..Duals::default()
            },
        };
        let per_unit = self.stage.scale as f64 / unit(self.stage);
        let dual = solution.compute_dual();
        // Every row is `≤` with a non-positive dual, the rows `Other` apart.
        let raw: Vec<f64> = references.into_iter().map(|row| -dual.dual(row)).collect();
        for (kind, raw) in kinds.into_iter().zip(raw) {
            let whole = |per: f64| {
                let scaled = (raw * per).round();
                if scaled.is_finite() { scaled.clamp(0.0, LARGEST) as i64 } else { 0 }
            };
            let duals = &mut relaxed.duals;
            match kind {
                Row::Other => {}
                Row::Item(item) => duals.item[item] = whole(per_unit),
                Row::Touch(touch) => duals.touch[touch] = whole(per_unit),
                Row::Cut(cut) => duals.cut[cut] = whole(per_unit),
                Row::Trip(lot, yard) => {
                    duals.trip.insert((lot, yard), whole(per_unit));
                }
                Row::Idle(lot) => {
                    duals.idle.insert(lot, whole(per_unit));
                }
                Row::Level(yard) => duals.level[yard] = whole(per_unit),
                Row::Budget => {
                    let size = size(self.problem.budget.unwrap_or(0));
                    duals.budget = whole(per_unit / size);
                }
                Row::Fund(fund) => {
                    duals.fund[fund] = whole(per_unit / size(self.problem.funds[fund]));
                }
                Row::Rank(rank) => duals.rank[rank] = whole(per_unit),
            }
        }
        Some(relaxed)
    }
}
