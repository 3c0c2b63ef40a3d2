//! Decks of one section and number of cars, extended car by car, depth first.

use crate::choose::decks::column::{Limit, runs};
use crate::choose::decks::cuts::Penalties;
use crate::choose::problem::group::Group;
use crate::choose::problem::{Count, Span};
use crate::group::DeckState;

/// A deck found.
pub struct Found<'a> {
    /// Its candidates in rising order, once per car.
    pub cands: &'a [u32],
    pub weight: i64,
    /// Cost of its joints and rails.
    pub joints: i64,
}

/// A candidate in a search.
#[derive(Clone, Copy)]
pub struct Entry {
    /// Weight with its share of the charges of its groups: what `k` such cars together never weigh
    /// less than `k` times, for no more cars than the deck has can share a charge.
    pub low: i64,
    pub weight: i64,
    /// Charges of its lot and yard.
    pub charges: (i64, i64),
    pub groups: (Option<Group>, Option<Group>),
    pub cand: u32,
    pub most: u32,
    /// From here on: least weight, charges and haul apart, for a trailer may have room for the car;
    /// greatest and least width.
    pub lightest: i64,
    pub widest: f64,
    pub narrowest: f64,
}

/// A deck under construction.
#[derive(Clone, Copy)]
pub struct Partial {
    /// Its cars, as far as they must match.
    pub state: DeckState,
    /// Sum of the entries' low weights.
    pub low: i64,
    /// Weight of its cars, of the groups they use and of their loads.
    pub weight: i64,
    /// What its loads cost beyond the shares that its cars' own costs hold.
    pub beyond: i64,
}

const EMPTY: Partial = Partial { state: DeckState::EMPTY, low: 0, weight: 0, beyond: 0 };

/// One run of the search over one section and one number of cars.
pub struct DepthFirst<'a, F> {
    pub number: usize,
    pub span: &'a Span,
    pub penalties: Option<&'a Penalties<'a>>,
    pub limits: &'a [Limit],
    pub entries: &'a [Entry],
    pub deck: &'a mut Vec<Entry>,
    pub sorted: &'a mut Vec<u32>,
    pub count: Count,
    /// Weight of one cent of joints or loads.
    pub per_cent: i64,
    /// Least weight of the joints.
    pub joints: i64,
    pub threshold: i64,
    pub visit: F,
}

impl<F: FnMut(&Found) -> Option<i64>> DepthFirst<'_, F> {
    pub fn start(&mut self) {
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
        let choice = self.span.rule.joint_for(state.cars, widths, state.shallowest, state.longest);
        let Some(choice) = choice else { return };
        let fit = |cand: &u32| &self.span.cands[*cand as usize].fit;
        if !self.span.rule.steps_kept(self.sorted.iter().map(fit)) {
            return;
        }
        let joints = choice.cost.0.saturating_mul(self.per_cent);
        let mut weight = partial.weight.saturating_add(joints);
        if let Some(penalties) = self.penalties {
            weight = weight.saturating_add(penalties.of(self.number, runs(self.span, self.sorted)));
        }
        if weight <= self.threshold {
            let found = Found { cands: self.sorted, weight, joints: choice.cost.0 };
            // Once told to stop, no deck is light enough.
            let next = (self.visit)(&found).unwrap_or(i64::MIN);
            self.threshold = next.min(self.threshold);
        }
    }
}
