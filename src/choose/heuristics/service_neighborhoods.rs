//! More crossings served, around one that goes without: it and some that want the same cars are decided
//! again together while all others keep their decks.
//!
//! The bounds of a service stage are mostly as good as the best plan, and say nothing about where it is.
//! Few crossings hang together closely enough to make room for one more, and a search over them alone is
//! quick.

use crate::choose::bound::master::Master;
use crate::choose::clock::Clock;
use crate::choose::heuristics::part::{Change, Part, Solver, take, taken_up};
use crate::choose::plan::Plan;
use crate::choose::plan::ledger::Ledger;
use crate::choose::problem::Problem;
use crate::choose::problem::stage::{Role, Stage};
use crate::choose::tuning::{
    NEIGHBORHOODS_AT_ONCE, SERVICE_CANDIDATES_PER_SPAN, SERVICE_CARS_COMPARED, SERVICE_IDLE_ROUNDS,
    SERVICE_IDLE_ROUNDS_OF_MANY, SERVICE_MANY_CROSSINGS, SERVICE_NEIGHBORHOOD,
};
use crate::parallel;

/// Who competes with whom.
pub struct ServiceNeighborhoods<'a> {
    problem: &'a Problem,
    /// Per crossing the others by number of items in common.
    rivals: Vec<Vec<(usize, u32)>>,
    /// Per item the crossings that it fits at.
    wanted: Vec<u32>,
    random: u64,
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
        Self { problem, rivals, wanted, random: 0x9e37_79b9_7f4a_7c15, next: 0, solver }
    }

    fn random(&mut self) -> u64 {
        self.random ^= self.random << 13;
        self.random ^= self.random >> 7;
        self.random ^= self.random << 17;
        self.random
    }

    /// A crossing and some that want the same cars, none of them taken.
    fn choose(&mut self, first: usize, taken: &mut [bool]) -> Vec<usize> {
        let mut drawn: Vec<(f64, usize)> = Vec::new();
        for (other, common) in self.rivals[first].clone() {
            let luck = (self.random() >> 11) as f64 / (1_u64 << 53) as f64;
            if !taken[other] {
                drawn.push((luck.powf(1.0 / f64::from(common)), other));
            }
        }
        drawn.sort_by(|a, b| b.0.total_cmp(&a.0).then(a.1.cmp(&b.1)));
        let others = drawn.into_iter().map(|(_, other)| other).take(SERVICE_NEIGHBORHOOD);
        let mut chosen: Vec<usize> = std::iter::once(first).chain(others).collect();
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
            let deadline = clock.deadline();
            let decide = |crossings: &Vec<usize>| {
                self.decide(stage, plan, &ledger, crossings, master, &Clock::of_part(deadline))
            };
            for change in parallel::map(&parts, decide, &|_, _| {}).into_iter().flatten() {
                if take(problem, plan, &mut ledger, change) {
                    idle = 0;
                }
            }
        }
    }

    fn decide(
        &self,
        stage: &Stage,
        plan: &Plan,
        ledger: &Ledger,
        crossings: &[usize],
        master: &Master,
        clock: &Clock,
    ) -> Option<Change> {
        let problem = self.problem;
        let (ledger, present) = taken_up(problem, plan, ledger, crossings);
        let kept = |span: usize| {
            let all = &problem.spans[span].cands;
            let item = |cand: &u32| all[*cand as usize].item;
            let free = |cand: &u32| ledger.used[item(cand)] < problem.items[item(cand)].quantity;
            let mut cands: Vec<u32> = (0..all.len() as u32).filter(free).collect();
            if cands.len() > SERVICE_CANDIDATES_PER_SPAN {
                cands.sort_by_key(|cand| (self.wanted[item(cand)], *cand));
                cands.truncate(SERVICE_CANDIDATES_PER_SPAN);
                cands.extend(present.iter().filter(|(s, _)| *s == span).map(|(_, cand)| *cand));
                cands.sort_unstable();
                cands.dedup();
            }
            cands
        };
        Part::cut(problem, &ledger, crossings, &kept).serve_more(
            problem,
            plan,
            stage,
            master,
            clock,
            self.solver,
        )
    }
}
