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

use crate::choose::bound::cuts::Penalties;
use crate::choose::bound::node::Limit;
use crate::choose::problem::{Cand, Count, Problem, Span};
use crate::group::DeckState;

/// A deck of one span, as a column of the program.
#[derive(Clone, Debug, PartialEq, Eq)]
pub struct Column {
    pub span: usize,
    /// Candidates of the span in rising order, once per car.
    pub cands: Vec<u32>,
    /// Net cost of its cars, their loads and joints.
    pub net: i64,
    /// What is paid for its cars, their loads and joints.
    pub outlay: i64,
    /// The groups its cars belong to, each once.
    pub groups: Vec<usize>,
}

impl Column {
    /// Cost of its joints.
    pub fn joints(&self, problem: &Problem) -> i64 {
        let span = &problem.spans[self.span];
        let cars: i64 = self.cands.iter().map(|cand| span.cands[*cand as usize].net).sum();
        self.net - cars - span.beyond_shares(|place| self.cands[place], self.cands.len())
    }

    /// The items of its cars with their number, in rising order of candidates.
    pub fn items<'a>(
        &'a self,
        problem: &'a Problem,
    ) -> impl Iterator<Item = (usize, u32)> + Clone + 'a {
        runs(&problem.spans[self.span], &self.cands)
    }
}

/// The items of candidates in rising order, with their number.
fn runs<'a>(span: &'a Span, cands: &'a [u32]) -> impl Iterator<Item = (usize, u32)> + Clone + 'a {
    let run = |run: &[u32]| (span.cands[run[0] as usize].item, run.len() as u32);
    cands.chunk_by(|a, b| a == b).map(run)
}

/// What a search goes by. A car weighs `net` times its net cost and `outlay` times what is paid for
/// it, and what its item weighs beyond; joints, and what loads cost beyond the cars' shares of them,
/// weigh both alike.
#[derive(Clone, Copy)]
pub struct Weights<'a> {
    pub net: i64,
    pub outlay: i64,
    /// Weight of one car beyond its cost, by item.
    pub item: &'a [i64],
    /// Weight of touching a group, once per deck; by group. Empty: none weighs anything.
    pub charge: &'a [i64],
    /// The sum of the charges below zero: what touching groups can take off a deck at most.
    pub reward: i64,
    /// Cars that can be had, by item.
    pub left: &'a [u32],
    /// What decks weigh beyond, none of it below zero.
    pub penalties: Option<&'a Penalties<'a>>,
    /// Candidates that the deck must hold at least, or may hold at most, so often.
    pub limits: &'a [Limit],
}

impl Weights<'_> {
    fn charge(&self, group: Option<usize>) -> i64 {
        group.and_then(|group| self.charge.get(group)).copied().unwrap_or(0)
    }
}

/// A deck found.
pub struct Found<'a> {
    /// Its candidates in rising order, once per car.
    pub cands: &'a [u32],
    pub weight: i64,
    /// Cost of its joints.
    pub joints: i64,
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

/// A candidate in a search.
#[derive(Clone, Copy)]
struct Entry {
    /// Weight with its share of the charges of its groups: what `k` such cars together never weigh
    /// less than `k` times, for no more cars than the deck has can share a charge.
    low: i64,
    weight: i64,
    /// Charges of its lot and yard.
    charges: (i64, i64),
    groups: (u32, u32),
    cand: u32,
    most: u32,
    /// From here on: least weight, charges and haul apart, for a trailer may have room for the car;
    /// greatest and least width.
    lightest: i64,
    widest: f64,
    narrowest: f64,
}

/// Marks "no group".
const NO_GROUP: u32 = u32::MAX;

/// The search, with the memory it reuses.
#[derive(Default)]
pub struct Finder {
    /// Weights of the candidates of the section in hand.
    weights: Vec<i64>,
    all: Vec<Entry>,
    entries: Vec<Entry>,
    deck: Vec<Entry>,
    sorted: Vec<u32>,
}

/// A deck under construction.
#[derive(Clone, Copy)]
struct Partial {
    /// Its cars, as far as they must match.
    state: DeckState,
    /// Sum of the entries' low weights.
    low: i64,
    /// Weight of its cars, of the groups they touch and of their loads.
    weight: i64,
    /// What its loads cost beyond the shares that its cars' own costs hold.
    beyond: i64,
}

const EMPTY: Partial = Partial { state: DeckState::EMPTY, low: 0, weight: 0, beyond: 0 };

/// One run of the search over one section and one number of cars.
struct Run<'a, F> {
    number: usize,
    span: &'a Span,
    penalties: Option<&'a Penalties<'a>>,
    limits: &'a [Limit],
    entries: &'a [Entry],
    deck: &'a mut Vec<Entry>,
    sorted: &'a mut Vec<u32>,
    count: Count,
    /// Weight of one cent of joints or loads.
    per_cent: i64,
    /// Least weight of the joints.
    joints: i64,
    threshold: i64,
    visit: F,
}

impl Finder {
    /// Shows `visit` every deck whose weight is at most the threshold, which starts as given and
    /// becomes what `visit` returns. Each deck is shown once.
    pub fn search<F: FnMut(&Found) -> i64>(
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
                let mut run = Run {
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
            let number = |group: Option<usize>| group.map_or(NO_GROUP, |group| group as u32);
            self.all.push(Entry {
                low: 0,
                weight,
                charges: (weights.charge(lot), weights.charge(yard)),
                groups: (number(lot), number(yard)),
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

impl<F: FnMut(&Found) -> i64> Run<'_, F> {
    fn start(&mut self) {
        self.deck.clear();
        let mut partial = EMPTY;
        for limit in self.limits.iter().filter(|limit| limit.least > 0) {
            let Some(entry) = self.entries.iter().find(|entry| entry.cand == limit.cand) else {
                return;
            };
            if entry.most < limit.least {
                return;
            }
            for _ in 0..limit.least {
                match self.with(&partial, entry) {
                    Some(next) => partial = next,
                    None => return,
                }
                self.deck.push(*entry);
            }
        }
        match partial.state.cars.cmp(&self.count.cars) {
            std::cmp::Ordering::Less => self.extend(0, &partial),
            std::cmp::Ordering::Equal => self.finish(&partial),
            std::cmp::Ordering::Greater => {}
        }
    }

    /// The deck with one more car, unless the car does not match.
    fn with(&self, partial: &Partial, entry: &Entry) -> Option<Partial> {
        let car = |entry: &Entry| &self.span.cands[entry.cand as usize].fit;
        let deck = self.deck.iter().map(car);
        let state = self.span.rule.with(&partial.state, deck, car(entry))?;
        let mut weight = partial.weight.saturating_add(entry.weight);
        if entry.charges.0 != 0 && self.deck.iter().all(|car| car.groups.0 != entry.groups.0) {
            weight = weight.saturating_add(entry.charges.0);
        }
        if entry.charges.1 != 0 && self.deck.iter().all(|car| car.groups.1 != entry.groups.1) {
            weight = weight.saturating_add(entry.charges.1);
        }
        let cand = |place: usize| self.deck.get(place).map_or(entry.cand, |car| car.cand);
        let beyond = self.span.beyond_shares(cand, state.cars);
        let more = (beyond - partial.beyond).saturating_mul(self.per_cent);
        weight = weight.saturating_add(more);
        Some(Partial { state, low: partial.low.saturating_add(entry.low), weight, beyond })
    }

    /// Adds the missing cars from the entries at `from` on.
    fn extend(&mut self, from: usize, partial: &Partial) {
        let missing = (self.count.cars - partial.state.cars) as i64;
        for at in from..self.entries.len() {
            let entry = self.entries[at];
            let most = self.threshold.saturating_sub(self.joints);
            let low = partial.low.saturating_add(entry.low.saturating_mul(missing));
            let light = partial.weight.saturating_add(entry.lightest.saturating_mul(missing));
            if low > most || light > most {
                return;
            }
            let cars = missing as f64;
            let (least, greatest) = self.count.width;
            let widths = partial.state.widths.0;
            if widths + entry.widest * cars < least || widths + entry.narrowest * cars > greatest {
                return;
            }
            let here = self.deck.iter().filter(|car| car.cand == entry.cand).count() as u32;
            if here >= entry.most {
                continue;
            }
            let Some(next) = self.with(partial, &entry) else { continue };
            let rest = entry.lightest.saturating_mul(missing - 1);
            if next.weight.saturating_add(rest) > most {
                continue;
            }
            self.deck.push(entry);
            if missing == 1 {
                self.finish(&next);
            } else {
                self.extend(at, &next);
            }
            self.deck.pop();
        }
    }

    /// Shows the deck if some joint fits and it is light enough.
    fn finish(&mut self, partial: &Partial) {
        let state = &partial.state;
        if state.widths.0 < self.count.width.0
            || state.widths.0 > self.count.width.1
            || partial.weight.saturating_add(self.joints) > self.threshold
        {
            return;
        }
        self.sorted.clear();
        self.sorted.extend(self.deck.iter().map(|car| car.cand));
        self.sorted.sort_unstable();
        // Widths are added in the order of the cars, as a later check of the deck adds them.
        let widths = self.sorted.iter().map(|cand| self.span.cands[*cand as usize].fit.width).sum();
        let choice = self.span.rule.joint_for(state.cars, widths, state.shallowest);
        let Some(choice) = choice else { return };
        let joints = choice.cost.0.saturating_mul(self.per_cent);
        let mut weight = partial.weight.saturating_add(joints);
        if let Some(penalties) = self.penalties {
            weight = weight.saturating_add(penalties.of(self.number, runs(self.span, self.sorted)));
        }
        if weight <= self.threshold {
            let found = Found { cands: self.sorted, weight, joints: choice.cost.0 };
            self.threshold = (self.visit)(&found).min(self.threshold);
        }
    }
}

/// The column of a deck.
pub fn column(problem: &Problem, span: usize, cands: &[u32], joints: i64) -> Column {
    let all = &problem.spans[span].cands;
    let sum = |figure: fn(&Cand) -> i64| {
        cands.iter().map(|cand| figure(&all[*cand as usize])).sum::<i64>()
    };
    let beyond = joints + problem.spans[span].beyond_shares(|place| cands[place], cands.len());
    let mut groups = Vec::new();
    for &cand in cands {
        let item = all[cand as usize].item;
        for group in [problem.lot_group(item), problem.yard_group(item)].into_iter().flatten() {
            if !groups.contains(&group) {
                groups.push(group);
            }
        }
    }
    Column {
        span,
        cands: cands.to_vec(),
        net: sum(|cand| cand.net) + beyond,
        outlay: sum(|cand| cand.outlay) + beyond,
        groups,
    }
}
