//! Branch and bound over the linear program by columns: every branch is closed by an integer bound
//! over all decks, not only those known, so what it proves it proves.

mod linking;
mod open_nodes;
mod resumed;
mod root;
mod rounding;

use open_nodes::{NodeEnd, OpenNodes};

use crate::choose::bound::ascent::keep;
use crate::choose::bound::duals::Duals;
use crate::choose::bound::lagrangian::{Evaluation, Pricer};
use crate::choose::bound::listed;
use crate::choose::bound::master::Master;
use crate::choose::bound::node::Node;
use crate::choose::bound::reduced_costs::ReducedCosts;
use crate::choose::bound::separation;
use crate::choose::decks::column::Column;
use crate::choose::decks::cuts::Cut;
use crate::choose::plan::Plan;
use crate::choose::problem::stage::Stage;
use crate::choose::problem::{INFINITE, NO_BOUND, Problem};
use crate::choose::tuning::{
    EIGHTHS_OF_BEST, FEE_GROWTH, FEE_GROWTH_MOST, GAP_PARTS_NOT_WORTH, LARGE_FROM_CANDIDATES,
    LINKING_ROW_BROKEN, LISTED_DECKS_MOST, ROUND_SAVES_LATER,
};

use crate::choose::heuristics::part::Search;

use crate::choose::clock::Clock;
use crate::choose::search::rounds::Rounds;

/// The search of one stage.
pub struct BranchAndPrice<'a> {
    problem: &'a Problem,
    stage: Stage,
    master: Master,
    pricer: Pricer,
    clock: &'a Clock<'a>,
    /// The best plan so far, and its value in the stage.
    plan: Plan,
    value: i64,
    /// No plan outside the node in hand is below this.
    rest: i64,
    /// The multipliers of the best bound at the root of a large search, and that bound.
    center: Option<(Duals, i64)>,
    /// Nodes that may still be looked at; none: any number.
    nodes: Option<usize>,
    /// Whether the nodes are not limited.
    complete: bool,
    /// Whether rows are added and decks listed.
    rows: bool,
    /// Whether there are so many candidates that plans and bound are made as good as they get before
    /// the first linear program is solved to the end.
    large: bool,
    /// The multipliers at the root by which decks were listed, the best value then, and what was
    /// decided there.
    listed: Option<(Duals, i64, Node)>,
    /// A better plan is looked for only if it can be better by more than this.
    slack: i64,
    /// The best multipliers so far, where somebody wants them.
    best_duals: Option<resumed::RootDuals>,
    /// Whether decks are listed, and plans looked for at the root, as far as that pays.
    lists: bool,
    /// Multipliers that were good for a problem much like this one.
    warm: Option<Duals>,
    /// Whether the search went on from such, so that the plan is near the best.
    resumed: bool,
    /// No plan is below this, in units; known from elsewhere.
    known: i64,
    /// Where the search stands; none: it has not begun.
    open_nodes: Option<OpenNodes>,
    /// Candidates of all spans.
    candidates: usize,
    /// Work done so far: columns and candidates gone through, so that it does not depend on the machine.
    work: u64,
}

/// What a search has found and proven.
pub struct Outcome {
    pub plan: Plan,
    pub value: i64,
    /// No plan of the stage has a value below this; at most `value`.
    pub bound: i64,
    /// The decks and rows found, for another search.
    pub master: Master,
}

/// Searches a part of a problem: no more than some nodes of it, for plans that are better by more
/// than the slack.
pub fn solve_part(part: Search) -> (Plan, i64) {
    let Search { problem, stage, master, clock, plan, value, nodes, slack } = part;
    let tree = BranchAndPrice::new(problem, stage, std::mem::take(master), clock, plan, value);
    let outcome = tree.at_most(nodes, slack).run();
    (outcome.plan, outcome.value)
}

impl<'a> BranchAndPrice<'a> {
    /// Starts from a plan that is valid in the stage.
    pub fn new(
        problem: &'a Problem,
        stage: &Stage,
        mut master: Master,
        clock: &'a Clock<'a>,
        plan: Plan,
        value: i64,
    ) -> Self {
        // What was listed holds for one stage.
        master.listed = None;
        master.cuts.clear();
        for served in plan.crossings.iter().flatten() {
            for column in &served.decks {
                master.add(column.clone());
            }
        }
        let candidates = problem.spans.iter().map(|span| span.cands.len()).sum::<usize>();
        Self {
            problem,
            stage: stage.clone(),
            master,
            pricer: Pricer::new(problem),
            clock,
            plan,
            value,
            rest: INFINITE,
            nodes: None,
            complete: true,
            rows: true,
            large: candidates >= LARGE_FROM_CANDIDATES,
            candidates,
            listed: None,
            slack: 0,
            center: None,
            best_duals: None,
            lists: true,
            warm: None,
            resumed: false,
            known: NO_BOUND,
            open_nodes: None,
            work: 0,
        }
    }

    /// The same search without rows and lists.
    #[cfg(test)]
    pub fn without_rows(self) -> Self {
        Self { rows: false, complete: false, ..self }
    }

    /// The same search, but over no more nodes than this, and without the means against size.
    pub fn at_most(self, nodes: usize, slack: i64) -> Self {
        Self { nodes: Some(nodes), slack, complete: false, ..self }
    }

    /// The same search with the means for a large problem.
    #[cfg(test)]
    pub fn taken_for_large(self) -> Self {
        Self { large: true, ..self }
    }

    /// Searches until the plan is proven best or the clock is up.
    pub fn run(mut self) -> Outcome {
        self.go_on(u64::MAX);
        self.outcome()
    }

    /// What the search has come to.
    pub fn outcome(self) -> Outcome {
        let bound = self.bound();
        Outcome { plan: self.plan, value: self.value, bound, master: self.master }
    }

    /// No plan of the stage has a value below this; at most that of the best plan.
    pub fn bound(&self) -> i64 {
        match self.open_nodes.as_ref().map_or(NO_BOUND, OpenNodes::bound) {
            bound if bound >= INFINITE => self.value,
            bound => self.stage.in_value(bound).min(self.value),
        }
    }

    /// The best plan so far, and its value.
    pub fn best(&self) -> (&Plan, i64) {
        (&self.plan, self.value)
    }

    /// The decks and rows found so far.
    pub fn master(&self) -> &Master {
        &self.master
    }

    /// Whether linear programs take long.
    pub fn is_large(&self) -> bool {
        self.large
    }

    /// Takes in a plan found elsewhere, if it is better.
    pub fn update_incumbent_from(&mut self, plan: Plan) {
        self.update_incumbent(plan, false);
    }

    /// Whether the whole question of a service stage is for plans that serve more.
    fn serves(&self) -> bool {
        self.stage.counted.is_some()
    }

    /// Whether no plan under this bound is better than the best.
    fn closes(&self, bound: i64) -> bool {
        bound >= INFINITE || self.stage.in_value(bound) >= self.value - self.slack
    }

    /// Bounds a node, looks for plans in it, and says how to go on.
    fn process(&mut self, node: &mut Node, bound: i64, root: bool) -> NodeEnd {
        let mut bound = bound;
        self.list_again();
        let mut rounds = Rounds::new(root);
        let mut looked = false;
        let mut fee = self.fee();
        loop {
            self.tell(bound);
            if self.clock.up() {
                return NodeEnd::Paused(bound);
            }
            self.work += (self.master.columns.len() + self.candidates) as u64;
            let (problem, left) = (self.problem, self.clock.left());
            let relaxed = self.master.solve(problem, &self.stage, node, fee, left);
            let duals = relaxed.as_ref().map_or_else(|| self.no_duals(), |r| r.duals.clone());
            let (mut new, mut gain) = (false, 0);
            if let Some((center, best)) = self.center.take() {
                // Between the best multipliers and the program's: less to and fro.
                let between = center.toward(&duals, EIGHTHS_OF_BEST);
                let found = self.evaluate(&between, node);
                gain = found.gain;
                new = self.take_columns(found.fresh);
                let better = found.bound > best;
                bound = bound.max(found.bound);
                self.center = Some(if better { (between, found.bound) } else { (center, best) });
                new &= better || gain > best / 1_000;
            }
            if !new {
                let found = self.evaluate(&duals, node);
                gain = found.gain;
                new = self.take_columns(found.fresh);
                bound = bound.max(found.bound);
                if self.center.as_ref().is_some_and(|(_, best)| found.bound > *best) {
                    self.center = Some((duals, found.bound));
                }
            }
            if self.closes(bound) {
                return NodeEnd::Closed;
            }
            let Some(relaxed) = relaxed else {
                return self.split(node, bound, None);
            };
            let early = self.complete && root;
            let tied = early && self.separate(&relaxed);
            if new && gain > self.enough(bound) || tied {
                continue;
            }
            if !early && self.separate(&relaxed) {
                continue;
            }
            if relaxed.evaded > LINKING_ROW_BROKEN && fee < self.fee() * FEE_GROWTH_MOST {
                fee *= FEE_GROWTH;
                continue;
            }
            self.center = None;
            self.round_solution(&relaxed);
            let around = self.complete && self.lists && !self.resumed && !self.large;
            if around && root && rounds.done == 0 {
                self.search_neighborhoods(&relaxed.duals, bound, ROUND_SAVES_LATER);
            }
            if self.closes(bound) {
                return NodeEnd::Closed;
            }
            if self.rows && (root || self.master.listed.is_some()) {
                let gap = self.gap(bound);
                let mut broken = Vec::new();
                if rounds.more(bound, gap) {
                    broken = separation::broken(self.problem, &self.master.columns, &relaxed);
                }
                if root && broken.is_empty() && !looked && self.large && self.lists {
                    looked = true;
                    self.search_neighborhoods(&relaxed.duals, bound, ROUND_SAVES_LATER);
                    if self.closes(bound) {
                        return NodeEnd::Closed;
                    }
                }
                let unlisted = self.master.listed.is_none();
                if root && self.lists && (unlisted || !broken.is_empty()) {
                    self.list(node, &relaxed.duals);
                }
                if unlisted && self.master.listed.is_some() || !broken.is_empty() {
                    self.cut(broken, root.then_some(&relaxed.duals));
                    continue;
                }
            }
            let end = self.split(node, bound, Some(&relaxed));
            if root && self.master.listed.is_some() {
                self.list(node, &relaxed.duals);
            }
            return end;
        }
    }

    /// A program whose value is no more than this above the bound has the columns it needs. Where decks
    /// are not listed, nothing is proven by it alone.
    fn enough(&self, bound: i64) -> i64 {
        let exact = self.stage.scale / 4;
        if !self.complete || self.master.listed.is_some() || self.stage.counted.is_some() {
            return exact;
        }
        exact.max(self.gap(bound) / GAP_PARTS_NOT_WORTH)
    }

    /// Adds rows; where multipliers are given, those go whose multiplier is zero.
    fn cut(&mut self, broken: Vec<Cut>, duals: Option<&Duals>) {
        if let Some(duals) = duals {
            let kept: Vec<bool> = duals.rows.cut.iter().map(|dual| *dual > 0).collect();
            keep(&mut self.master.cuts, &kept);
            if let Some((duals, _, _)) = &mut self.listed {
                keep(&mut duals.rows.cut, &kept);
            }
        }
        self.master.cuts.extend(broken);
    }

    /// Lists the decks that a better plan can use, as far as the multipliers tell.
    fn list(&mut self, node: &mut Node, duals: &Duals) {
        let reduced_costs = ReducedCosts::new(self.problem, &self.stage, &self.master, node, duals);
        let target = (self.value - self.slack - 1).saturating_mul(self.stage.scale);
        let listed = listed::list(
            &reduced_costs,
            &self.master,
            &mut self.pricer,
            node,
            target,
            LISTED_DECKS_MOST,
        );
        if let Some(listed) = listed {
            self.listed = Some((duals.clone(), self.value, node.clone()));
            self.master.list(listed);
        }
    }

    /// With a better plan fewer decks are needed.
    fn list_again(&mut self) {
        if self.listed.as_ref().is_some_and(|(_, value, _)| self.value < *value)
            && let Some((duals, _, mut node)) = self.listed.take()
        {
            self.list(&mut node, &duals);
        }
    }

    fn evaluate(&mut self, duals: &Duals, node: &Node) -> Evaluation {
        let reduced_costs = ReducedCosts::new(self.problem, &self.stage, &self.master, node, duals);
        let found = self.pricer.evaluate(&reduced_costs, &self.master, node);
        self.keep_duals(duals, found.bound);
        found
    }

    /// Takes columns in; whether one of them is new.
    fn take_columns(&mut self, columns: Vec<Column>) -> bool {
        columns.into_iter().fold(false, |new, column| self.master.add(column) | new)
    }

    /// Tells what is proven: of the node in hand this bound.
    fn tell(&self, bound: i64) {
        let least = self.stage.in_value(bound.min(self.rest)).min(self.value);
        if self.stage.counted.is_none() && least > self.stage.in_value(NO_BOUND) {
            self.clock.bound(least);
        }
    }

    /// A fee that no better plan could pay: lots that earn money left over can lower the rest of a
    /// plan below zero by what they earn.
    fn fee(&self) -> f64 {
        let earned: i64 = self.problem.lots.iter().map(|lot| -lot.net.min(0)).sum();
        match self.stage.counted {
            None => (self.value.max(0) + earned) as f64 + 1.0,
            Some(_) => self.problem.crossings.iter().map(|c| c.points as f64).sum::<f64>() + 1.0,
        }
    }

    fn no_duals(&self) -> Duals {
        Duals::zero(self.problem, self.master.linking_rows.len(), 0)
    }
}
