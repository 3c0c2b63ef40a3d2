//! What is done at the root before the first linear program: subgradient ascent, and plans that
//! follow its multipliers.

use super::{BranchAndPrice, solve_part};
use crate::choose::bound::ascent::{AscentEnd, SubgradientAscent, keep};
use crate::choose::bound::duals::Duals;
use crate::choose::bound::listed;
use crate::choose::bound::node::Node;
use crate::choose::bound::reduced_costs::ReducedCosts;
use crate::choose::bound::separation;
use crate::choose::decks::column::Column;
use crate::choose::heuristics::best_response::Terms;
use crate::choose::heuristics::improvement;
use crate::choose::heuristics::neighborhoods::CostNeighborhoods;
use crate::choose::plan::Plan;
use crate::choose::tuning::{
    CUT_ASCENTS_PER_TURN, FIRST_COLUMNS_PER_SPAN, KEPT_COLUMNS_PER_SPAN, LOTS_BOUGHT_ABOVE,
    ROUND_SAVES_AT_FIRST, ROUND_SAVES_LATER, TURN_CLOSES, TURNS_MOST, WORTHWHILE_RISE,
};

impl BranchAndPrice<'_> {
    /// A first bound, good plans, and the columns for the first linear program. Before one that is
    /// large, plans are made as good as they get without it.
    pub(super) fn ascend(&mut self) -> i64 {
        let first = self.ascend_from(None);
        self.follow_multipliers(&first);
        if self.large {
            self.search_neighborhoods(&first.duals, first.bound, ROUND_SAVES_AT_FIRST);
        }
        let second = self.ascend_from(Some(&first));
        self.add_near_columns(&second.duals, second.bound);
        self.follow_multipliers(&second);
        let mut reached = second;
        for _ in 0..if self.large { TURNS_MOST } else { 0 } {
            let before = self.gap(reached.bound);
            reached = self.refine(reached);
            self.search_neighborhoods(&reached.duals, reached.bound, ROUND_SAVES_LATER);
            if self.clock.up()
                || self.gap(reached.bound) as f64 > before as f64 * (1.0 - TURN_CLOSES)
            {
                break;
            }
        }
        let bound = reached.bound;
        self.center = Some((reached.duals, bound));
        bound
    }

    /// By how much the best plan is above a bound.
    pub(super) fn gap(&self, bound: i64) -> i64 {
        self.value.saturating_mul(self.stage.scale) - bound
    }

    /// Climbs further with the rows that linear programs show to be broken, over the decks nearest to
    /// the bound: none need be solved until no deck pays any more.
    pub(super) fn refine(&mut self, reached: AscentEnd) -> AscentEnd {
        let mut reached = reached;
        let root = Node::root(self.problem);
        for _ in 0..CUT_ASCENTS_PER_TURN {
            if self.clock.up() || self.closes(reached.bound) {
                break;
            }
            let (fee, left) = (self.fee(), self.clock.left());
            let relaxed = self.master.solve(self.problem, &self.stage, &root, fee, left);
            let Some(relaxed) = relaxed else { break };
            let broken = separation::broken(self.problem, &self.master.columns, &relaxed);
            if !self.separate(&relaxed) && broken.is_empty() {
                break;
            }
            self.round_solution(&relaxed);
            self.master.cuts.extend(broken);
            let before = reached.bound;
            reached = self.ascend_from(Some(&reached));
            let binds: Vec<bool> = reached.duals.rows.cut.iter().map(|dual| *dual > 0).collect();
            keep(&mut self.master.cuts, &binds);
            keep(&mut reached.duals.rows.cut, &binds);
            self.add_near_columns(&reached.duals, reached.bound);
            if reached.bound - before < (self.gap(reached.bound) as f64 * WORTHWHILE_RISE) as i64 {
                break;
            }
        }
        reached
    }

    /// Takes in the decks that come nearest to the bound: as many as a linear program can be begun
    /// with.
    pub(super) fn add_near_columns(&mut self, duals: &Duals, bound: i64) {
        let gap = self.gap(bound);
        let reduced_costs = ReducedCosts::new(
            self.problem,
            &self.stage,
            &self.master,
            &Node::root(self.problem),
            duals,
        );
        let most = FIRST_COLUMNS_PER_SPAN * self.problem.spans.len();
        let found = (2..12).find_map(|half| {
            let mut root = Node::root(self.problem);
            let target = bound + (gap >> half);
            listed::list(&reduced_costs, &self.master, &mut self.pricer, &mut root, target, most)
        });
        self.take_columns(found.into_iter().flatten().flatten().collect());
    }

    /// Climbs toward the best plan so far, and keeps the best of the columns found on the way.
    pub(super) fn ascend_from(&mut self, from: Option<&AscentEnd>) -> AscentEnd {
        let (problem, stage, clock) = (self.problem, &self.stage, self.clock);
        let best = (self.value, self.plan.served());
        // The rows kept of the climb before may give less at first than it reached.
        let least = from.map_or(i64::MIN, |from| from.bound);
        let mut tell =
            |bound: i64| clock.bound(bound.max(least).div_euclid(stage.scale).min(best.0));
        let reached = SubgradientAscent { problem, stage, clock, best, from }.run(
            &mut self.master,
            &mut self.pricer,
            &mut tell,
        );
        let root = Node::root(problem);
        let reduced_costs = ReducedCosts::new(problem, stage, &self.master, &root, &reached.duals);
        let decks: Vec<Column> =
            self.plan.crossings.iter().flatten().flat_map(|s| s.decks.clone()).collect();
        let weights: Vec<i64> =
            self.master.columns.iter().map(|c| reduced_costs.column(c)).collect();
        let kept = if self.master.cuts.is_empty() {
            KEPT_COLUMNS_PER_SPAN
        } else {
            FIRST_COLUMNS_PER_SPAN
        };
        self.master.keep_lightest(&weights, kept, &decks);
        match from {
            Some(from) if from.bound >= reached.bound => AscentEnd { bound: from.bound, ..reached },
            _ => reached,
        }
    }

    /// Makes plans at the prices that the multipliers put on cars, with the lots bought that were
    /// bought more often than not.
    pub(super) fn follow_multipliers(&mut self, reached: &AscentEnd) {
        let problem = self.problem;
        let bias: Vec<i64> =
            reached.duals.rows.item.iter().map(|dual| dual / self.stage.scale).collect();
        for often in LOTS_BOUGHT_ABOVE {
            if self.clock.up() {
                return;
            }
            let lots: Vec<bool> = reached.lots.iter().map(|share| *share > often).collect();
            for order in improvement::orders(problem) {
                let mut plan = Plan::empty(problem);
                let terms = Terms { bias: Some(&bias), with_lots: Some(&lots), ..Terms::default() };
                improvement::serve_greedily_on(problem, &mut plan, &order, &terms, self.clock);
                self.update_incumbent(plan, true);
            }
        }
    }

    /// Looks for better plans around the best one.
    pub(super) fn search_neighborhoods(&mut self, duals: &Duals, bound: i64, worth: f64) {
        if !CostNeighborhoods::pays(self.problem) {
            return;
        }
        let root = Node::root(self.problem);
        let reduced_costs =
            ReducedCosts::new(self.problem, &self.stage, &self.master, &root, duals);
        let mut neighborhoods = CostNeighborhoods::new(self.problem, &reduced_costs, solve_part);
        let mut plan = self.plan.clone();
        let clock = self.clock;
        let bound = self.stage.in_value(bound);
        neighborhoods.improve(&mut plan, &self.master, clock, worth, &mut |plan, net| {
            clock.best(plan.served(), net);
            clock.bound(bound.min(net));
            net <= bound
        });
        self.update_incumbent(plan, false);
    }
}
