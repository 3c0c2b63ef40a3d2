//! The search for decks of one span: the cheapest for given weights, or all below a threshold.
//!
//! Cars of one section are tried in order of rising weight, depth first. As weights only rise, a
//! branch ends as soon as the cars still missing, at the weight of the next one, pass the
//! threshold; so the search looks at few decks beyond the ones it returns. Weights are integers:
//! what the search returns is exact, and so are the bounds built on it.
//!
//! Where cars share trailers, the cost of a deck is no sum over its cars. A car then weighs the least
//! share of its haul, and what the loads of the cars so far cost beyond their shares is added as
//! cars come in: it is exact once the deck is full, and before that one more car never makes cars
//! and loads together lighter.

use std::ops::Range;

use crate::choose::decks::column::Limit;
use crate::choose::decks::cuts::Penalties;
use crate::choose::decks::extension::{DepthFirst, Entry, Found};
use crate::choose::problem::group::{ByGroup, Group};
use crate::choose::problem::{Problem, Span};

/// What a search goes by. A car weighs `net` times its net cost and `outlay` times what is paid for
/// it, and what its item weighs beyond; joints, and what loads cost beyond the cars' shares of them,
/// weigh both alike.
#[derive(Clone, Copy)]
pub struct Weights<'a> {
    pub net: i64,
    pub outlay: i64,
    /// Weight of one car beyond its cost, by item.
    pub item: &'a [i64],
    /// Weight of using a group, once per deck; by group. None: no group weighs anything.
    pub charge: Option<&'a ByGroup<i64>>,
    /// The sum of the charges below zero: what using groups can take off a deck at most.
    pub reward: i64,
    /// Cars that can be had, by item.
    pub left: &'a [u32],
    /// What decks weigh beyond, none of it below zero.
    pub penalties: Option<&'a Penalties<'a>>,
    /// Candidates that the deck must hold at least, or may hold at most, so often.
    pub limits: &'a [Limit],
}

impl Weights<'_> {
    fn charge(&self, group: Option<Group>) -> i64 {
        self.charge.zip(group).map_or(0, |(charge, group)| charge[group])
    }
}

/// The limits of a search with the cars that its span must hold in any case, rising.
fn with_holds(limits: &[Limit], holds: &[(u32, u32)]) -> Vec<Limit> {
    let mut all = limits.to_vec();
    for &(cand, least) in holds {
        let at = all.partition_point(|limit| limit.cand < cand);
        match all.get_mut(at).filter(|limit| limit.cand == cand) {
            Some(limit) => limit.least = limit.least.max(least),
            None => all.insert(at, Limit { cand, least, most: u32::MAX }),
        }
    }
    all
}

/// The search, with the memory it reuses.
#[derive(Default)]
pub struct DeckSearch {
    /// Weights of the candidates of the section in hand.
    weights: Vec<i64>,
    all: Vec<Entry>,
    entries: Vec<Entry>,
    deck: Vec<Entry>,
    sorted: Vec<u32>,
}

impl DeckSearch {
    /// Shows `visit` every deck whose weight is at most the threshold, which starts as given and
    /// becomes what `visit` returns; none ends the search. Each deck is shown once.
    pub fn search<F: FnMut(&Found) -> Option<i64>>(
        &mut self,
        problem: &Problem,
        span: usize,
        weights: &Weights,
        threshold: i64,
        mut visit: F,
    ) {
        let (number, span) = (span, &problem.spans[span]);
        let held = with_holds(weights.limits, &span.holds);
        let weights = &Weights { limits: &held, ..*weights };
        let mut threshold = threshold;
        let needed = weights.limits.iter().find(|limit| limit.least > 0);
        for section in &span.sections {
            if needed.is_some_and(|limit| !section.cands.contains(&(limit.cand as usize))) {
                continue;
            }
            let least = self.weigh(span, section.cands.clone(), weights);
            for count in &section.counts {
                let per_cent = weights.net.saturating_add(weights.outlay);
                let joints = count.joints.saturating_mul(per_cent);
                let room = threshold.saturating_sub(joints);
                if least.saturating_mul(count.cars as i64) > room && needed.is_none() {
                    continue;
                }
                let most = room.saturating_sub(least.saturating_mul(count.cars as i64 - 1));
                let most = if needed.is_some() { i64::MAX } else { most };
                self.gather(problem, span, section.cands.clone(), weights, most);
                let share = |cand: u32| span.share(cand).saturating_mul(per_cent);
                if !self.sort(count.cars as i64, room, needed.is_some(), share) {
                    continue;
                }
                let mut run = DepthFirst {
                    number,
                    span,
                    penalties: weights.penalties,
                    limits: weights.limits,
                    entries: &self.entries,
                    deck: &mut self.deck,
                    sorted: &mut self.sorted,
                    count: *count,
                    per_cent,
                    joints,
                    threshold,
                    visit: &mut visit,
                };
                run.start();
                threshold = run.threshold;
            }
        }
    }

    /// Weighs the candidates of one section, charges apart; returns what none of them, with rewards,
    /// weighs less than. Most are passed over for their weight alone.
    fn weigh(&mut self, span: &Span, section: Range<usize>, weights: &Weights) -> i64 {
        let reward: i64 = weights.reward;
        self.weights.clear();
        let mut least = i64::MAX;
        for cand in &span.cands[section] {
            let weight =
                weights.net * cand.net + weights.outlay * cand.outlay + weights.item[cand.item];
            let weight = if weights.left[cand.item] == 0 { i64::MAX } else { weight + reward };
            least = least.min(weight);
            self.weights.push(weight);
        }
        least
    }

    /// The candidates of one section, as weighed, that can be had and weigh no more than given.
    fn gather(
        &mut self,
        problem: &Problem,
        span: &Span,
        section: Range<usize>,
        weights: &Weights,
        heaviest: i64,
    ) {
        self.all.clear();
        let mut limits = weights.limits;
        let start = section.start;
        for index in section {
            let weight = self.weights[index - start];
            if weight > heaviest || weight == i64::MAX {
                continue;
            }
            let weight = weight - weights.reward;
            let cand = &span.cands[index];
            let mut most = weights.left[cand.item];
            while limits.first().is_some_and(|limit| (limit.cand as usize) < index) {
                limits = &limits[1..];
            }
            if let Some(limit) = limits.first().filter(|limit| limit.cand as usize == index) {
                most = most.min(limit.most);
            }
            if most == 0 {
                continue;
            }
            let (lot, yard) = (problem.lot_group(cand.item), problem.yard_group(cand.item));
            self.all.push(Entry {
                low: 0,
                weight,
                charges: (weights.charge(lot), weights.charge(yard)),
                groups: (lot, yard),
                cand: index as u32,
                most,
                lightest: 0,
                widest: cand.fit.width.0,
                narrowest: cand.fit.width.0,
            });
        }
    }

    /// Fills the entries for decks of so many cars that may weigh so much: those that can be part of
    /// one, by rising low weight. False: there is no such deck.
    ///
    /// The low weight stays a bound where cars share trailers: it holds the least share of the haul.
    fn sort(&mut self, cars: i64, threshold: i64, needed: bool, haul: impl Fn(u32) -> i64) -> bool {
        let share = |charge: i64| if charge > 0 { charge / cars } else { charge };
        let mut least = i64::MAX;
        for entry in &mut self.all {
            entry.low =
                entry.weight.saturating_add(share(entry.charges.0) + share(entry.charges.1));
            least = least.min(entry.low);
        }
        self.entries.clear();
        if self.all.is_empty() {
            return false;
        }
        let others = least.saturating_mul(cars - 1);
        if !needed && others.saturating_add(least) > threshold {
            return false;
        }
        let light = |entry: &&Entry| needed || entry.low.saturating_add(others) <= threshold;
        self.entries.extend(self.all.iter().filter(light));
        self.entries.sort_unstable_by_key(|entry| (entry.low, entry.cand));
        let mut after = Entry {
            lightest: i64::MAX,
            widest: f64::NEG_INFINITY,
            narrowest: f64::INFINITY,
            ..self.entries[0]
        };
        for entry in self.entries.iter_mut().rev() {
            let alone = entry.weight.saturating_sub(haul(entry.cand));
            let alone = alone.saturating_add(entry.charges.0.min(0) + entry.charges.1.min(0));
            entry.lightest = after.lightest.min(alone);
            entry.widest = after.widest.max(entry.widest);
            entry.narrowest = after.narrowest.min(entry.narrowest);
            after = *entry;
        }
        true
    }
}
