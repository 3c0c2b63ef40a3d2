//! Better plans around the best one: a few crossings that want the same cars are decided again
//! together, exactly, while all others keep their decks; and so on all over the map.

use crate::choose::bound::master::Master;
use crate::choose::bound::reduced_costs::ReducedCosts;
use crate::choose::heuristics::draw::Draw;
use crate::choose::heuristics::part::{Incumbent, Solver, take};
use crate::choose::plan::Plan;
use crate::choose::plan::ledger::Ledger;
use crate::choose::plan::served::Served;
use crate::choose::problem::group::Group;
use crate::choose::problem::{INFINITE, Problem};
use crate::choose::tuning::{
    CANDIDATES_PER_SPAN, JUDGED_ONE_IN, NEIGHBORHOOD, NEIGHBORHOODS_AT_ONCE,
};

use crate::choose::clock::Clock;

/// The parts of a problem, by the weights that the multipliers give.
pub struct CostNeighborhoods<'a> {
    problem: &'a Problem,
    /// Per span the candidates that light decks are made of, rising.
    promising: Vec<Vec<u32>>,
    /// Per crossing the others by number of promising items in common.
    rivals: Vec<Vec<(usize, u32)>>,
    /// Per lot the crossings by number of its items that are promising there.
    takers: Vec<Vec<(usize, u32)>>,
    draw: Draw,
    /// Decides a part.
    solver: Solver,
}

/// Where a part begins.
#[derive(Clone, Copy)]
enum First {
    Crossing(usize),
    Lot(usize),
}

impl<'a> CostNeighborhoods<'a> {
    /// Whether a problem is so large that parts of it are worth while. Where the number of cars
    /// bought at a yard makes their price, no part can be told from the rest.
    pub fn pays(problem: &Problem) -> bool {
        !problem.has_levels()
            && problem.crossings.iter().filter(|c| !c.layouts.is_empty()).count() > 2 * NEIGHBORHOOD
    }

    pub fn new(problem: &'a Problem, reduced_costs: &ReducedCosts, solver: Solver) -> Self {
        let promising: Vec<Vec<u32>> =
            (0..problem.spans.len()).map(|span| promising(problem, reduced_costs, span)).collect();
        let mut wanted: Vec<Vec<usize>> = vec![Vec::new(); problem.items.len()];
        let mut wants: Vec<Vec<usize>> = vec![Vec::new(); problem.crossings.len()];
        for (span, cands) in problem.spans.iter().zip(&promising) {
            for cand in cands {
                let item = span.cands[*cand as usize].item;
                if wanted[item].last() != Some(&span.crossing) {
                    wanted[item].push(span.crossing);
                    wants[span.crossing].push(item);
                }
            }
        }
        let mut rivals = Vec::new();
        let mut common = vec![0_u32; problem.crossings.len()];
        for (crossing, items) in wants.iter().enumerate() {
            common.fill(0);
            for other in items.iter().flat_map(|item| &wanted[*item]) {
                common[*other] += 1;
            }
            common[crossing] = 0;
            rivals.push(
                (0..common.len()).filter(|c| common[*c] > 0).map(|c| (c, common[c])).collect(),
            );
        }
        let mut takers: Vec<Vec<(usize, u32)>> = vec![Vec::new(); problem.lots.len()];
        for (crossing, items) in wants.iter().enumerate() {
            for lot in items.iter().filter_map(|item| problem.items[*item].lot) {
                match takers[lot].last_mut().filter(|(last, _)| *last == crossing) {
                    Some((_, common)) => *common += 1,
                    None => takers[lot].push((crossing, 1)),
                }
            }
        }
        Self { problem, promising, rivals, takers, draw: Draw::new(), solver }
    }

    /// A crossing and some of those that want the same cars, or those that use a lot and some of those
    /// that might, none of them among those taken.
    fn choose(&mut self, first: First, plan: &Plan, taken: &mut [bool]) -> Vec<usize> {
        let (others, mut chosen) = match first {
            First::Crossing(crossing) => (self.rivals[crossing].clone(), vec![crossing]),
            First::Lot(lot) => {
                let uses =
                    |s: &Served| s.decks.iter().any(|deck| deck.groups.contains(&Group::Lot(lot)));
                let users = (0..plan.crossings.len())
                    .filter(|crossing| plan.crossings[*crossing].as_ref().is_some_and(uses));
                (self.takers[lot].clone(), users.collect())
            }
        };
        chosen.retain(|crossing| !taken[*crossing]);
        let more = NEIGHBORHOOD.saturating_sub(chosen.len());
        let free = |other: usize| !taken[other] && !chosen.contains(&other);
        let drawn = self.draw.some(&others, free, more);
        chosen.extend(drawn);
        chosen.iter().for_each(|crossing| taken[*crossing] = true);
        chosen.sort_unstable();
        chosen
    }

    /// Improves the plan until trying every crossing saves no more than a share of the cost, or until
    /// told to stop.
    pub fn improve(
        &mut self,
        plan: &mut Plan,
        master: &Master,
        clock: &Clock,
        worth: f64,
        better: &mut dyn FnMut(&Plan, i64) -> bool,
    ) {
        let problem = self.problem;
        if self.rivals.iter().all(Vec::is_empty) {
            return;
        }
        let crossings = (0..problem.crossings.len()).filter(|c| !self.rivals[*c].is_empty());
        let lots = (0..problem.lots.len()).filter(|lot| self.takers[*lot].len() > 1);
        let mut order: Vec<First> =
            crossings.map(First::Crossing).chain(lots.map(First::Lot)).collect();
        for place in (1..order.len()).rev() {
            let other = (self.draw.number() % (place as u64 + 1)) as usize;
            order.swap(place, other);
        }
        let mut ledger = plan.ledger(problem);
        let (mut next, mut before) = (0, ledger.net);
        while !clock.up() {
            if next >= order.len().div_ceil(JUDGED_ONE_IN) {
                if (before - ledger.net) as f64 <= worth * before as f64 {
                    return;
                }
                order.rotate_left(next);
                (next, before) = (0, ledger.net);
            }
            let mut taken = vec![false; problem.crossings.len()];
            let mut parts = Vec::new();
            for _ in 0..NEIGHBORHOODS_AT_ONCE {
                let first = order[next % order.len()];
                next += 1;
                if !matches!(first, First::Crossing(crossing) if taken[crossing]) {
                    let part = self.choose(first, plan, &mut taken);
                    if !part.is_empty() {
                        parts.push(part);
                    }
                }
            }
            let around = Incumbent {
                problem,
                plan,
                ledger: &ledger,
                master,
                stage: None,
                solver: self.solver,
            };
            let promising = |_: &Ledger, span: usize| self.promising[span].clone();
            for change in around.decide(&parts, clock, &promising).into_iter().flatten() {
                if take(problem, plan, &mut ledger, change) && better(plan, ledger.net) {
                    return;
                }
            }
        }
    }
}

/// The candidates of a span that stand lightest in a deck, rising by number.
fn promising(problem: &Problem, reduced_costs: &ReducedCosts, span: usize) -> Vec<u32> {
    let record = &problem.spans[span];
    let mut light: Vec<(i64, u32)> = Vec::new();
    for section in &record.sections {
        let least = record.cands[section.cands.clone()]
            .iter()
            .map(|cand| reduced_costs.car(span, cand))
            .min();
        let Some(least) = least else { continue };
        for cand in section.cands.clone() {
            let weight = reduced_costs.car(span, &record.cands[cand]);
            let with = |count: &crate::choose::problem::Count| {
                weight
                    + least * (count.cars as i64 - 1)
                    + reduced_costs.per_cent(span) * count.joints
            };
            let deck = section.counts.iter().map(with).min().unwrap_or(INFINITE);
            if deck < INFINITE {
                light.push((deck, cand as u32));
            }
        }
    }
    if light.len() > CANDIDATES_PER_SPAN {
        light.select_nth_unstable(CANDIDATES_PER_SPAN);
        light.truncate(CANDIDATES_PER_SPAN);
    }
    let mut cands: Vec<u32> = light.into_iter().map(|(_, cand)| cand).collect();
    cands.sort_unstable();
    cands
}
