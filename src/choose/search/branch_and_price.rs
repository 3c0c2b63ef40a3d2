//! Branch and bound over the linear program by columns: every branch is closed by an integer bound
//! over all decks, not only those known, so what it proves it proves.

use std::cmp::Reverse;
use std::collections::{BTreeMap, BinaryHeap};

use crate::choose::bound::ascent::{Ascent, Climb, keep};
use crate::choose::bound::cuts::{self, Cut};
use crate::choose::bound::listed;
use crate::choose::bound::master::{Duals, Master, Relaxed, Touch};
use crate::choose::bound::node::{Node, Role, Stage};
use crate::choose::bound::pricing::{Evaluation, HUGE, Lens, Pricer};
use crate::choose::decks::columns::Column;
use crate::choose::heuristics::best_response::Terms;
use crate::choose::heuristics::improvement;
use crate::choose::heuristics::neighborhoods::Around;
use crate::choose::plan::ledger::{Ledger, Plan, Served};
use crate::choose::problem::{NONE, Problem};
use crate::choose::search::branching::{self, Decision};
use crate::choose::search::clock::Clock;

/// A touch row is added when it is violated by more than this.
const VIOLATED: f64 = 1e-3;
/// A deck counts as chosen in a solution above this share.
const CHOSEN: f64 = 0.5;

/// Rounds of new rows at the root and at any other node, and how many of them may in turn raise the
/// bound by less than this share of the gap.
const ROUNDS: (usize, usize) = (40, 3);
const IN_VAIN: (usize, usize) = (3, 1);
const RISE: f64 = 0.02;

/// One in so many parts of the gap does not pay another linear program.
const NEARLY: i64 = 200;

/// So often the climb goes on with further rows in turn, and in so many turns with searches around the
/// plan, as long as a turn closes this share of the gap.
const REFINED: usize = 2;
const TURNS: usize = 6;
const WORTH: f64 = 0.05;

/// The first linear program begins with so many decks per span on average.
const PER_SPAN: usize = 30;

/// No more decks than this are listed.
const LISTED: usize = 50_000;

/// So many columns of each span are kept when there are too many.
const KEPT: usize = 12;

/// A search around the best plan ends when trying every crossing saved less than this share …
const SOME: f64 = 2e-4;
/// … or, in the end, this one.
const LITTLE: f64 = 1e-5;

/// With fewer candidates linear programs are quick.
const MANY: usize = 20_000;

/// Eighths of the best multipliers in those tried next.
const NEAR: i64 = 5;

/// Where a solution pays a fee instead of keeping the rules, the fee grows by this factor, …
const DEARER: f64 = 30.0;
/// … up to this many times the first.
const DEAREST: f64 = 1e5;

/// The search of one stage.
pub struct Tree<'a> {
    problem: &'a Problem,
    stage: &'a Stage,
    master: &'a mut Master,
    pricer: Pricer,
    clock: &'a Clock<'a>,
    /// The best plan so far, and its value in the stage.
    plan: Plan,
    value: i64,
    /// No plan outside the node in hand is below this.
    rest: i64,
    /// The multipliers of the best bound at the root of a large search, and that bound.
    center: Option<(Duals, i64)>,
    /// Nodes looked at in the end.
    nodes: usize,
    /// Whether the nodes are not limited.
    whole: bool,
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
    /// The best multipliers so far with their bound, where somebody wants them.
    kept: Option<(Duals, i64)>,
}

/// What a search has found and proven.
pub struct Outcome {
    pub plan: Plan,
    pub value: i64,
    /// No plan of the stage has a value below this; at most `value`.
    pub bound: i64,
}

/// What became of a node.
enum Fate {
    /// No better plan in it.
    Closed,
    /// Not taken further; no plan in it is below this.
    Left(i64),
    Split(i64, Decision),
}

/// How far it pays to add rows at a node.
struct Rounds {
    done: usize,
    most: usize,
    in_vain: usize,
    most_in_vain: usize,
    /// The bound that the next one must rise above.
    mark: i64,
}

impl Rounds {
    fn new(root: bool) -> Self {
        let of = |pair: (usize, usize)| if root { pair.0 } else { pair.1 };
        Self { done: 0, most: of(ROUNDS), in_vain: 0, most_in_vain: of(IN_VAIN), mark: i64::MIN }
    }

    /// Whether one more round pays at this bound and gap.
    fn more(&mut self, bound: i64, gap: i64) -> bool {
        self.in_vain = if bound > self.mark { 0 } else { self.in_vain + 1 };
        self.done += 1;
        self.mark = bound + (gap as f64 * RISE) as i64;
        self.done <= self.most && self.in_vain < self.most_in_vain
    }
}

impl<'a> Tree<'a> {
    /// Starts from a plan that is valid in the stage.
    pub fn new(
        problem: &'a Problem,
        stage: &'a Stage,
        master: &'a mut Master,
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
        Self {
            problem,
            stage,
            master,
            pricer: Pricer::new(problem),
            clock,
            plan,
            value,
            rest: HUGE,
            nodes: usize::MAX,
            whole: true,
            rows: true,
            large: problem.spans.iter().map(|span| span.cands.len()).sum::<usize>() >= MANY,
            listed: None,
            slack: 0,
            center: None,
            kept: None,
        }
    }

    /// The same search without rows and lists.
    #[cfg(test)]
    pub fn without_rows(self) -> Self {
        Self { rows: false, whole: false, ..self }
    }

    /// The same search, but over no more nodes than this, and without the means against size.
    pub fn at_most(self, nodes: usize, slack: i64) -> Self {
        Self { nodes, slack, whole: false, ..self }
    }

    /// The same search with the means for a large problem.
    #[cfg(test)]
    pub fn taken_for_large(self) -> Self {
        Self { large: true, ..self }
    }

    /// The best multipliers that the ascent and the linear programs at the root come to.
    pub fn root_duals(mut self) -> Duals {
        let bound = self.ascend();
        self.kept = self.center.clone();
        (self.whole, self.rows) = (false, false);
        self.process(&mut Node::root(self.problem), bound, true);
        self.kept.map_or_else(Duals::default, |(duals, _)| duals)
    }

    /// Searches until the plan is proven best or the clock is up.
    pub fn run(mut self) -> Outcome {
        let mut open: BinaryHeap<Reverse<(i64, usize)>> = BinaryHeap::new();
        let mut nodes: BTreeMap<usize, Node> = BTreeMap::new();
        let floor = if self.stage.counted.is_some() { 0 } else { -HUGE };
        let large = self.stage.counted.is_none() && self.whole;
        let floor = if large { floor.max(self.ascend()) } else { floor };
        nodes.insert(0, Node::root(self.problem));
        open.push(Reverse((floor, 0)));
        let mut next = 1;
        let mut left = HUGE;
        while let Some(Reverse((bound, number))) = open.pop() {
            let Some(mut node) = nodes.remove(&number) else { continue };
            if self.closes(bound) {
                continue;
            }
            let others = open.peek().map_or(HUGE, |Reverse((bound, _))| *bound);
            self.rest = others.min(left);
            if self.nodes == 0 {
                left = left.min(bound);
                continue;
            }
            self.nodes -= 1;
            match self.process(&mut node, bound, number == 0) {
                Fate::Closed => {}
                Fate::Left(bound) => left = left.min(bound),
                Fate::Split(bound, decision) => {
                    for child in decision.children(self.problem, &node) {
                        nodes.insert(next, child);
                        open.push(Reverse((bound, next)));
                        next += 1;
                    }
                }
            }
        }
        let bound =
            if left >= HUGE { self.value } else { self.stage.in_value(left).min(self.value) };
        Outcome { plan: self.plan, value: self.value, bound }
    }

    /// A first bound, good plans, and the columns for the first linear program. Before one that is
    /// large, plans are made as good as they get without it.
    fn ascend(&mut self) -> i64 {
        let first = self.climb(None);
        self.follow(&first);
        if self.large {
            self.look_around(&first.duals, first.bound, SOME);
        }
        let second = self.climb(Some(&first));
        self.enrich(&second.duals, second.bound);
        self.follow(&second);
        let mut reached = second;
        for _ in 0..if self.large { TURNS } else { 0 } {
            let before = self.gap(reached.bound);
            reached = self.refine(reached);
            self.look_around(&reached.duals, reached.bound, LITTLE);
            if self.clock.up() || self.gap(reached.bound) as f64 > before as f64 * (1.0 - WORTH) {
                break;
            }
        }
        let bound = reached.bound;
        self.center = Some((reached.duals, bound));
        bound
    }

    /// By how much the best plan is above a bound.
    fn gap(&self, bound: i64) -> i64 {
        self.value.saturating_mul(self.stage.scale) - bound
    }

    /// Climbs further with the rows that linear programs show to be broken, over the decks nearest to
    /// the bound: none need be solved until no deck pays any more.
    fn refine(&mut self, reached: Ascent) -> Ascent {
        let mut reached = reached;
        let root = Node::root(self.problem);
        for _ in 0..REFINED {
            if self.clock.up() || self.closes(reached.bound) {
                break;
            }
            let (fee, left) = (self.fee(), self.clock.left());
            let relaxed = self.master.solve(self.problem, self.stage, &root, fee, left);
            let Some(relaxed) = relaxed else { break };
            let broken = cuts::broken(self.problem, &self.master.columns, &relaxed);
            if !self.separate(&relaxed) && broken.is_empty() {
                break;
            }
            self.round(&relaxed);
            self.master.cuts.extend(broken);
            let before = reached.bound;
            reached = self.climb(Some(&reached));
            let binds: Vec<bool> = reached.duals.cut.iter().map(|dual| *dual > 0).collect();
            keep(&mut self.master.cuts, &binds);
            keep(&mut reached.duals.cut, &binds);
            self.enrich(&reached.duals, reached.bound);
            if reached.bound - before < (self.gap(reached.bound) as f64 * RISE) as i64 {
                break;
            }
        }
        reached
    }

    /// Takes in the decks that come nearest to the bound: as many as a linear program can be begun
    /// with.
    fn enrich(&mut self, duals: &Duals, bound: i64) {
        let gap = self.gap(bound);
        let lens =
            Lens::new(self.problem, self.stage, self.master, &Node::root(self.problem), duals);
        let most = PER_SPAN * self.problem.spans.len();
        let found = (2..12).find_map(|half| {
            let mut root = Node::root(self.problem);
            let target = bound + (gap >> half);
            listed::list(&lens, self.master, &mut self.pricer, &mut root, target, most)
        });
        self.take_columns(found.into_iter().flatten().flatten().collect());
    }

    /// Climbs toward the best plan so far, and keeps the best of the columns found on the way.
    fn climb(&mut self, from: Option<&Ascent>) -> Ascent {
        let (problem, stage, clock) = (self.problem, self.stage, self.clock);
        let best = (self.value, self.plan.served());
        // The rows kept of the climb before may give less at first than it reached.
        let least = from.map_or(i64::MIN, |from| from.bound);
        let mut tell =
            |bound: i64| clock.bound(bound.max(least).div_euclid(stage.scale).min(best.0));
        let climbed = Climb { problem, stage, clock, best, from }.run(
            self.master,
            &mut self.pricer,
            &mut tell,
        );
        let root = Node::root(problem);
        let lens = Lens::new(problem, stage, self.master, &root, &climbed.duals);
        let decks: Vec<Column> =
            self.plan.crossings.iter().flatten().flat_map(|s| s.decks.clone()).collect();
        let weights: Vec<i64> = self.master.columns.iter().map(|c| lens.column(c)).collect();
        let kept = if self.master.cuts.is_empty() { KEPT } else { PER_SPAN };
        self.master.keep_lightest(&weights, kept, &decks);
        match from {
            Some(from) if from.bound >= climbed.bound => Ascent { bound: from.bound, ..climbed },
            _ => climbed,
        }
    }

    /// Makes plans at the prices that the multipliers put on cars, with the lots bought that were
    /// bought more often than not.
    fn follow(&mut self, climbed: &Ascent) {
        let problem = self.problem;
        let bias: Vec<i64> =
            climbed.duals.item.iter().map(|dual| dual / self.stage.scale).collect();
        for often in [0.7, 0.5, 0.3] {
            let lots: Vec<bool> = climbed.lots.iter().map(|share| *share > often).collect();
            for order in improvement::orders(problem) {
                let mut plan = Plan::empty(problem);
                let terms = Terms { bias: Some(&bias), with_lots: Some(&lots), ..Terms::default() };
                improvement::fill_on(problem, &mut plan, &order, &terms);
                self.offer(plan, true);
            }
        }
    }

    /// Looks for better plans around the best one.
    fn look_around(&mut self, duals: &Duals, bound: i64, worth: f64) {
        if !Around::pays(self.problem) {
            return;
        }
        let root = Node::root(self.problem);
        let lens = Lens::new(self.problem, self.stage, self.master, &root, duals);
        let mut around = Around::new(self.problem, &lens);
        let mut plan = self.plan.clone();
        let clock = self.clock;
        let bound = self.stage.in_value(bound);
        around.improve(&mut plan, self.master, clock, worth, &mut |plan, net| {
            clock.best(plan.served(), net);
            clock.bound(bound.min(net));
            net <= bound
        });
        self.offer(plan, false);
    }

    /// Whether no plan under this bound is better than the best.
    fn closes(&self, bound: i64) -> bool {
        bound >= HUGE || self.stage.in_value(bound) >= self.value - self.slack
    }

    /// Bounds a node, looks for plans in it, and says how to go on.
    fn process(&mut self, node: &mut Node, bound: i64, root: bool) -> Fate {
        let mut bound = bound;
        self.list_again();
        let mut rounds = Rounds::new(root);
        let mut looked = false;
        let mut fee = self.fee();
        loop {
            self.tell(bound);
            if self.clock.up() {
                return Fate::Left(bound);
            }
            let relaxed = self.master.solve(self.problem, self.stage, node, fee, self.clock.left());
            let duals = relaxed.as_ref().map_or_else(|| self.no_duals(), |r| r.duals.clone());
            let (mut new, mut gain) = (false, 0);
            if let Some((center, best)) = self.center.take() {
                // Between the best multipliers and the program's: less to and fro.
                let between = center.toward(&duals, NEAR);
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
                return Fate::Closed;
            }
            let Some(relaxed) = relaxed else {
                return self.split(node, bound, None);
            };
            let early = self.whole && root;
            let tied = early && self.separate(&relaxed);
            if new && gain > self.enough(bound) || tied {
                continue;
            }
            if !early && self.separate(&relaxed) {
                continue;
            }
            if relaxed.evaded > VIOLATED && fee < self.fee() * DEAREST {
                fee *= DEARER;
                continue;
            }
            self.center = None;
            self.round(&relaxed);
            if self.whole && root && rounds.done == 0 && !self.large {
                self.look_around(&relaxed.duals, bound, LITTLE);
            }
            if self.closes(bound) {
                return Fate::Closed;
            }
            if self.rows && (root || self.master.listed.is_some()) {
                let gap = self.gap(bound);
                let mut broken = Vec::new();
                if rounds.more(bound, gap) {
                    broken = cuts::broken(self.problem, &self.master.columns, &relaxed);
                }
                if root && broken.is_empty() && !looked && self.large {
                    looked = true;
                    self.look_around(&relaxed.duals, bound, LITTLE);
                    if self.closes(bound) {
                        return Fate::Closed;
                    }
                }
                let unlisted = self.master.listed.is_none();
                if root && (unlisted || !broken.is_empty()) {
                    self.list(node, &relaxed.duals);
                }
                if unlisted && self.master.listed.is_some() || !broken.is_empty() {
                    self.cut(broken, root.then_some(&relaxed.duals));
                    continue;
                }
            }
            let fate = self.split(node, bound, Some(&relaxed));
            if root && self.master.listed.is_some() {
                self.list(node, &relaxed.duals);
            }
            return fate;
        }
    }

    /// A program whose value is no more than this above the bound has the columns it needs. Where decks
    /// are not listed, nothing is proven by it alone.
    fn enough(&self, bound: i64) -> i64 {
        let exact = self.stage.scale / 4;
        if !self.whole || self.master.listed.is_some() || self.stage.counted.is_some() {
            return exact;
        }
        exact.max(self.gap(bound) / NEARLY)
    }

    /// Adds rows; where multipliers are given, those go whose multiplier is zero.
    fn cut(&mut self, broken: Vec<Cut>, duals: Option<&Duals>) {
        if let Some(duals) = duals {
            let kept: Vec<bool> = duals.cut.iter().map(|dual| *dual > 0).collect();
            keep(&mut self.master.cuts, &kept);
            if let Some((duals, _, _)) = &mut self.listed {
                keep(&mut duals.cut, &kept);
            }
        }
        self.master.cuts.extend(broken);
    }

    /// Lists the decks that a better plan can use, as far as the multipliers tell.
    fn list(&mut self, node: &mut Node, duals: &Duals) {
        let lens = Lens::new(self.problem, self.stage, self.master, node, duals);
        let target = (self.value - self.slack - 1).saturating_mul(self.stage.scale);
        let listed = listed::list(&lens, self.master, &mut self.pricer, node, target, LISTED);
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
        let lens = Lens::new(self.problem, self.stage, self.master, node, duals);
        let found = self.pricer.evaluate(&lens, self.master, node);
        if self.kept.as_ref().is_some_and(|(_, bound)| found.bound > *bound) {
            self.kept = Some((duals.clone(), found.bound));
        }
        found
    }

    /// Takes columns in; whether one of them is new.
    fn take_columns(&mut self, columns: Vec<Column>) -> bool {
        columns.into_iter().fold(false, |new, column| self.master.add(column) | new)
    }

    /// Tells what is proven: of the node in hand this bound.
    fn tell(&self, bound: i64) {
        let least = self.stage.in_value(bound.min(self.rest)).min(self.value);
        if self.stage.counted.is_none() && least > self.stage.in_value(-HUGE) {
            self.clock.bound(least);
        }
    }

    fn split(&self, node: &Node, bound: i64, relaxed: Option<&Relaxed>) -> Fate {
        let (problem, master) = (self.problem, &*self.master);
        relaxed
            .and_then(|relaxed| {
                branching::fractional(problem, self.stage, master, node, relaxed).or_else(|| {
                    let plan = self.favored(relaxed);
                    branching::from_plan(problem, self.stage, node, &plan)
                })
            })
            .or_else(|| branching::from_plan(problem, self.stage, node, &self.plan))
            .map_or(Fate::Left(bound), |decision| Fate::Split(bound, decision))
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
        Duals {
            item: vec![0; self.problem.items.len()],
            touch: vec![0; self.master.touches.len()],
            rank: vec![0; self.problem.ranks.len()],
            level: vec![0; self.problem.levels.len()],
            ..Duals::default()
        }
    }

    /// Adds the touch rows that a solution breaks: per crossing and group, of each layout the span
    /// whose decks touch the group most.
    fn separate(&mut self, relaxed: &Relaxed) -> bool {
        let problem = self.problem;
        let mut touched: BTreeMap<(usize, usize), Vec<(usize, f64)>> = BTreeMap::new();
        for &(index, value) in &relaxed.columns {
            let column = &self.master.columns[index];
            let crossing = problem.spans[column.span].crossing;
            for &group in &column.groups {
                let spans = touched.entry((crossing, group)).or_default();
                match spans.iter_mut().find(|(span, _)| *span == column.span) {
                    Some((_, sum)) => *sum += value,
                    None => spans.push((column.span, value)),
                }
            }
        }
        let mut added = false;
        for ((crossing, group), spans) in touched {
            let mut sum = 0.0;
            let mut row = Touch { group, spans: Vec::new() };
            for layout in problem.crossings[crossing].layouts.clone() {
                let of_layout =
                    spans.iter().filter(|(span, _)| problem.spans[*span].layout == layout);
                let most = of_layout.max_by(|a, b| a.1.total_cmp(&b.1).then(b.0.cmp(&a.0)));
                if let Some((span, value)) = most {
                    sum += value;
                    row.spans.push(*span);
                }
            }
            let whole = match group.checked_sub(problem.lots.len()) {
                None => relaxed.lots[group],
                Some(yard) => relaxed.yards[yard],
            };
            if sum > whole + VIOLATED && !self.master.touches.contains(&row) {
                self.master.touches.push(row);
                added = true;
            }
        }
        added
    }

    /// The layouts and decks that a solution favors, surest first.
    fn sure(&self, relaxed: &Relaxed) -> Vec<Served> {
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
            if share > CHOSEN {
                let decks = decks.into_iter().map(|(_, at)| self.master.columns[at].clone());
                sure.push((share, Served { layout, decks: decks.collect() }));
            }
        }
        sure.sort_by(|a, b| b.0.total_cmp(&a.0).then(a.1.layout.cmp(&b.1.layout)));
        sure.into_iter().map(|(_, served)| served).collect()
    }

    /// The plan that a solution favors, valid or not.
    fn favored(&self, relaxed: &Relaxed) -> Plan {
        let mut plan = Plan::empty(self.problem);
        for served in self.sure(relaxed) {
            let crossing = self.problem.layouts[served.layout].crossing;
            if plan.crossings[crossing].is_none() {
                plan.crossings[crossing] = Some(served);
            }
        }
        plan
    }

    /// Makes a plan of a solution: the decks it favors, then the other crossings at true cost.
    fn round(&mut self, relaxed: &Relaxed) {
        let problem = self.problem;
        if problem.has_levels() {
            // Two crossings may make up a least order that neither does alone.
            self.offer(self.favored(relaxed), false);
        }
        let mut plan = Plan::empty(problem);
        let mut ledger = Ledger::empty(problem);
        for served in self.sure(relaxed) {
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
        self.offer(plan.clone(), false);
        let order: Vec<usize> = improvement::orders(problem)
            .swap_remove(0)
            .into_iter()
            .filter(|crossing| self.stage.role(problem, *crossing) != Role::Absent)
            .collect();
        let scale = self.stage.scale;
        let bias: Vec<i64> = problem
            .items
            .iter()
            .zip(&relaxed.duals.item)
            .map(|(item, dual)| if item.lot == NONE { dual / scale } else { 0 })
            .collect();
        let bias = self.stage.counted.is_none().then_some(&bias[..]);
        improvement::fill(problem, &mut plan, &order, bias);
        self.offer(plan, true);
    }

    /// Takes a plan if it is better.
    fn offer(&mut self, mut plan: Plan, polish: bool) {
        if polish && self.stage.counted.is_none() {
            improvement::polish(self.problem, &mut plan, self.clock);
        }
        if let Some(value) = plan.value(self.problem, self.stage)
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
