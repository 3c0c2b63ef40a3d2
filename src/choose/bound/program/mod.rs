//! The linear program over the columns of the master, under the decisions of a node.

mod rows;
mod solution;

use std::time::Duration;

#[cfg(all(test, feature = "highs"))]
use good_lp::solvers::clarabel::clarabel;
use good_lp::{Expression, ProblemVariables, Variable, variable};

use crate::choose::bound::master::Master;
use crate::choose::bound::node::Node;
use crate::choose::bound::relaxed::Relaxed;
use crate::choose::decks::column::Column;
use crate::choose::plan::fund;
use crate::choose::problem::Problem;
use crate::choose::problem::stage::{Role, Stage};
use crate::choose::tuning::FEES_FOR_WHOLE_BUDGET;

impl Master {
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
enum Purchase {
    /// Not bought, not used.
    #[default]
    Out,
    /// Decided: bought, used. Fixed values stay out of the program, for its solver needs room
    /// between bounds.
    In,
    Open(Variable),
}

impl Purchase {
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
    /// What counts in each row of the funds.
    funds: Vec<Expression>,
    used: Vec<(usize, Variable)>,
    lots: Vec<Purchase>,
    yards: Vec<Purchase>,
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
    Linking(usize),
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
            funds: vec![Expression::default(); problem.funds.limits.len()],
            used: Vec::new(),
            lots: vec![Purchase::Out; problem.lots.len()],
            yards: vec![Purchase::Out; problem.trips.len()],
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
    fn charged(&mut self, fund: Option<usize>, amount: i64, var: Variable) {
        for &(row, weight) in self.problem.funds.of_fund(fund) {
            self.funds[row].add_mul((amount * weight) as f64, var);
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
            self.objective.add_mul(fee * FEES_FOR_WHOLE_BUDGET, var);
            self.overspent = Some(var);
            self.fees.push(var);
        }
        for _ in &problem.funds.limits {
            let var = self.vars.add(variable().min(0.0));
            self.objective.add_mul(fee * FEES_FOR_WHOLE_BUDGET, var);
            self.overdrawn.push(var);
            self.fees.push(var);
        }
        for (index, column) in self.master.columns.iter().enumerate() {
            let layout = problem.spans[column.span].layout;
            if self.layouts[layout].is_some() && self.node.allows(problem, column) {
                let surcharge = self.surcharge(column);
                let (net, outlay) = (column.net + surcharge, column.outlay + surcharge);
                let var = self.priced((0.0, f64::INFINITY), net, outlay);
                let fund = problem.fund_of(column.span);
                if fund.is_some() {
                    self.charged(fund, fund::charge(problem, column) + surcharge, var);
                }
                self.used.push((index, var));
            }
        }
        for (lot, record) in problem.lots.iter().enumerate() {
            if record.useful {
                self.lots[lot] = self.purchase(self.node.lots[lot], record.net, record.price);
            }
            if problem.needs_a_car(lot) && !matches!(self.lots[lot], Purchase::Out) {
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
                self.yards[yard] = self.purchase(self.node.yards[yard], trip, trip);
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
    fn surcharge(&self, column: &Column) -> i64 {
        if !self.problem.has_levels() {
            return 0;
        }
        let items = column.items(self.problem);
        items.map(|(item, n)| self.node.surcharge(self.problem, item) * i64::from(n)).sum()
    }

    fn purchase(&mut self, state: Option<bool>, net: i64, outlay: i64) -> Purchase {
        match state {
            Some(false) => Purchase::Out,
            Some(true) => {
                self.spent += outlay as f64;
                Purchase::In
            }
            None => Purchase::Open(self.priced((0.0, 1.0), net, outlay)),
        }
    }
}
