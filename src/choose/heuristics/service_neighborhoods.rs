//! More crossings served, around one that goes without: it and some that want the same cars are decided
//! again together while all others keep their decks.
//!
//! The bounds of a service stage are mostly as good as the best plan, and say nothing about where it is.
//! Few crossings hang together closely enough to make room for one more, and a search over them alone is
//! quick.

use crate::choose::bound::master::Master;
use crate::choose::clock::Clock;
use crate::choose::heuristics::draw::Draw;
use crate::choose::heuristics::part::{Incumbent, Solver, take};
use crate::choose::plan::Plan;
use crate::choose::plan::ledger::Ledger;
use crate::choose::problem::Problem;
use crate::choose::problem::stage::{Role, Stage};
use crate::choose::tuning::{
    NEIGHBORHOODS_AT_ONCE, SERVICE_CANDIDATES_PER_SPAN, SERVICE_CARS_COMPARED, SERVICE_IDLE_ROUNDS,
    SERVICE_IDLE_ROUNDS_OF_MANY, SERVICE_MANY_CROSSINGS, SERVICE_NEIGHBORHOOD,
};

/// Who competes with whom.
pub struct ServiceNeighborhoods<'a> {
    problem: &'a Problem,
    /// Per crossing the others by number of items in common.
    rivals: Vec<Vec<(usize, u32)>>,
    /// Per item the crossings that it fits at.
    wanted: Vec<u32>,
    draw: Draw,
    /// The left-out crossing whose turn is next.
    next: usize,
    /// Decides a part.
    solver: Solver,
}

impl<'a> ServiceNeighborhoods<'a> {
    /// Whether parts can be told from the rest: where the number of cars bought at a yard counts, none can.
    pub fn pays(problem: &Problem) -> bool {
        !problem.has_levels()
    }

    pub fn new(problem: &'a Problem, stage: &Stage, solver: Solver) -> Self {
        let mut wants: Vec<Vec<usize>> = vec![Vec::new(); problem.crossings.len()];
        for span in problem.spans.iter() {
            if stage.role(problem, span.crossing) != Role::Absent {
                wants[span.crossing].extend(span.cands.iter().map(|cand| cand.item));
            }
        }
        let mut wanted = vec![0; problem.items.len()];
        let mut wanting: Vec<Vec<usize>> = vec![Vec::new(); problem.items.len()];
        for (crossing, items) in wants.iter_mut().enumerate() {
            items.sort_unstable();
            items.dedup();
            for &item in &*items {
                wanted[item] += 1;
                wanting[item].push(crossing);
            }
        }
        let mut common = vec![0_u32; problem.crossings.len()];
        let rivals = wants.iter().enumerate().map(|(crossing, items)| {
            common.fill(0);
            for item in items.iter().step_by(items.len() / SERVICE_CARS_COMPARED + 1) {
                wanting[*item].iter().for_each(|other| common[*other] += 1);
            }
            common[crossing] = 0;
            (0..common.len()).filter(|c| common[*c] > 0).map(|c| (c, common[c])).collect()
        });
        let rivals = rivals.collect();
        Self { problem, rivals, wanted, draw: Draw::new(), next: 0, solver }
    }

    /// A crossing and some that want the same cars, none of them taken.
    fn choose(&mut self, first: usize, taken: &mut [bool]) -> Vec<usize> {
        let free = |other: usize| !taken[other];
        let mut chosen = self.draw.some(&self.rivals[first], free, SERVICE_NEIGHBORHOOD);
        chosen.push(first);
        chosen.iter().for_each(|crossing| taken[*crossing] = true);
        chosen.sort_unstable();
        chosen
    }

    /// Looks for plans that serve more, until rounds bring nothing more, no more than `least` is left
    /// out, or the clock is up.
    pub fn run(
        &mut self,
        stage: &Stage,
        plan: &mut Plan,
        master: &Master,
        clock: &Clock,
        least: i64,
    ) {
        let problem = self.problem;
        let counted = |c: &usize| stage.role(problem, *c) == Role::Counted;
        let count = (0..problem.crossings.len()).filter(counted).count();
        let most_idle = if count > SERVICE_MANY_CROSSINGS {
            SERVICE_IDLE_ROUNDS_OF_MANY
        } else {
            SERVICE_IDLE_ROUNDS
        };
        let mut ledger = plan.ledger(problem);
        let mut idle = 0;
        while idle < most_idle && !clock.up() {
            let out = |c: &usize| {
                counted(c) && plan.crossings[*c].is_none() && !self.rivals[*c].is_empty()
            };
            let out: Vec<usize> = (0..problem.crossings.len()).filter(out).collect();
            let left = stage.counted.map_or(0, |rank| plan.unserved(problem)[rank]);
            if out.is_empty() || left as i64 <= least {
                return;
            }
            let mut taken = vec![false; problem.crossings.len()];
            let mut parts = Vec::new();
            for _ in 0..NEIGHBORHOODS_AT_ONCE {
                let first = out[self.next % out.len()];
                self.next += 1;
                if !taken[first] {
                    parts.push(self.choose(first, &mut taken));
                }
            }
            idle += 1;
            let around = Incumbent {
                problem,
                plan,
                ledger: &ledger,
                master,
                stage: Some(stage),
                solver: self.solver,
            };
            let candidates = |ledger: &Ledger, span: usize| self.candidates(ledger, span);
            for change in around.decide(&parts, clock, &candidates).into_iter().flatten() {
                if take(problem, plan, &mut ledger, change) {
                    idle = 0;
                }
            }
        }
    }

    /// The candidates of a span that take part: of those whose cars are free the ones that fewest
    /// crossings want.
    fn candidates(&self, ledger: &Ledger, span: usize) -> Vec<u32> {
        let all = &self.problem.spans[span].cands;
        let item = |cand: &u32| all[*cand as usize].item;
        let free = |cand: &u32| ledger.used[item(cand)] < self.problem.items[item(cand)].quantity;
        let mut cands: Vec<u32> = (0..all.len() as u32).filter(free).collect();
        if cands.len() > SERVICE_CANDIDATES_PER_SPAN {
            cands.sort_by_key(|cand| (self.wanted[item(cand)], *cand));
            cands.truncate(SERVICE_CANDIDATES_PER_SPAN);
        }
        cands
    }
}
