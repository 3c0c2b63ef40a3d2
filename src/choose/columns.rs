//! The search for decks of one span: the cheapest for given weights, or all below a threshold.
//!
//! Cars of one section are tried in order of rising weight, depth first. As weights only rise, a
//! branch ends as soon as the cars still missing, at the weight of the next one, pass the
//! threshold; so the search looks at few decks beyond the ones it returns. Weights are integers:
//! what the search returns is exact, and so are the bounds built on it.

use super::problem::{Cand, Count, Problem, Span};
use crate::check::TOLERANCE;

/// A deck of one span, as a column of the program.
#[derive(Clone, Debug, PartialEq, Eq)]
pub(super) struct Column {
    pub span: usize,
    /// Candidates of the span in rising order, once per car.
    pub cands: Vec<u32>,
    /// Net cost of its cars and joints.
    pub net: i64,
    /// What is paid for its cars and joints.
    pub outlay: i64,
    /// The groups its cars belong to, each once.
    pub groups: Vec<usize>,
}

impl Column {
    /// The items of its cars with their number, in rising order of candidates.
    pub fn items<'a>(&'a self, problem: &'a Problem) -> impl Iterator<Item = (usize, u32)> + 'a {
        let cands = &problem.spans[self.span].cands;
        self.cands
            .chunk_by(|a, b| a == b)
            .map(move |run| (cands[run[0] as usize].item, run.len() as u32))
    }
}

/// What a search goes by.
pub(super) struct Weights<'a> {
    /// Weight of one car of a candidate.
    pub car: &'a dyn Fn(&Cand) -> i64,
    /// Weight of one cent of joints.
    pub joint: i64,
    /// Weight of touching a group, once per deck; by group.
    pub charge: &'a [i64],
    /// Most cars of a candidate (by its index) that the deck may hold.
    pub most: &'a dyn Fn(usize, &Cand) -> u32,
    /// Candidates that the deck must hold at least so often.
    pub need: &'a [(u32, u32)],
}

/// A deck found.
pub(super) struct Found<'a> {
    /// Its candidates in rising order, once per car.
    pub cands: &'a [u32],
    pub weight: i64,
    /// Cost of its joints.
    pub joints: i64,
}

#[derive(Clone, Copy)]
struct Entry {
    weight: i64,
    cand: u32,
    most: u32,
    /// Greatest and least width from here on.
    widest: f64,
    narrowest: f64,
}

/// The search, with the memory it reuses.
#[derive(Default)]
pub(super) struct Finder {
    entries: Vec<Entry>,
    deck: Vec<u32>,
    sorted: Vec<u32>,
}

/// A deck under construction.
#[derive(Clone, Copy)]
struct Partial {
    cars: usize,
    weight: i64,
    width: f64,
    depth: f64,
    camber: (f64, f64),
    centres: (f64, f64),
}

const EMPTY: Partial = Partial {
    cars: 0,
    weight: 0,
    width: 0.0,
    depth: f64::INFINITY,
    camber: (f64::INFINITY, f64::NEG_INFINITY),
    centres: (f64::INFINITY, f64::NEG_INFINITY),
};

/// One run of the search over one section and one number of cars.
struct Run<'a, F> {
    problem: &'a Problem,
    span: &'a Span,
    weights: &'a Weights<'a>,
    entries: &'a [Entry],
    deck: &'a mut Vec<u32>,
    sorted: &'a mut Vec<u32>,
    count: Count,
    /// Never more than the weight still to come from joints and charges.
    slack: i64,
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
        let span = &problem.spans[span];
        let reward: i64 = weights.charge.iter().map(|charge| (*charge).min(0)).sum();
        let mut threshold = threshold;
        for section in &span.sections {
            let needed = weights.need.first();
            if needed.is_some_and(|(cand, _)| !section.contains(&(*cand as usize))) {
                continue;
            }
            self.gather(span, section.clone(), weights);
            let Some(cheapest) = self.entries.first().map(|entry| entry.weight) else { continue };
            for count in &span.counts {
                let slack = count.joints.saturating_mul(weights.joint).saturating_add(reward);
                if weights.need.is_empty()
                    && cheapest.saturating_mul(count.cars as i64).saturating_add(slack) > threshold
                {
                    continue;
                }
                let mut run = Run {
                    problem,
                    span,
                    weights,
                    entries: &self.entries,
                    deck: &mut self.deck,
                    sorted: &mut self.sorted,
                    count: *count,
                    slack,
                    threshold,
                    visit: &mut visit,
                };
                run.start();
                threshold = run.threshold;
            }
        }
    }

    /// Fills the entries of one section, by rising weight.
    fn gather(&mut self, span: &Span, section: std::ops::Range<usize>, weights: &Weights) {
        self.entries.clear();
        for index in section {
            let cand = &span.cands[index];
            let most = (weights.most)(index, cand);
            if most > 0 {
                self.entries.push(Entry {
                    weight: (weights.car)(cand),
                    cand: index as u32,
                    most,
                    widest: cand.width,
                    narrowest: cand.width,
                });
            }
        }
        self.entries.sort_unstable_by_key(|entry| (entry.weight, entry.cand));
        for at in (1..self.entries.len()).rev() {
            let next = self.entries[at];
            let entry = &mut self.entries[at - 1];
            entry.widest = entry.widest.max(next.widest);
            entry.narrowest = entry.narrowest.min(next.narrowest);
        }
    }
}

impl<F: FnMut(&Found) -> i64> Run<'_, F> {
    fn start(&mut self) {
        self.deck.clear();
        let mut partial = EMPTY;
        for &(cand, times) in self.weights.need {
            let Some(entry) = self.entries.iter().find(|entry| entry.cand == cand) else { return };
            if entry.most < times {
                return;
            }
            for _ in 0..times {
                match self.with(&partial, cand, entry.weight) {
                    Some(next) => partial = next,
                    None => return,
                }
                self.deck.push(cand);
            }
        }
        match partial.cars.cmp(&self.count.cars) {
            std::cmp::Ordering::Less => self.extend(0, &partial),
            std::cmp::Ordering::Equal => self.finish(&partial),
            std::cmp::Ordering::Greater => {}
        }
    }

    /// The deck with one more car, unless the car does not match.
    fn with(&self, partial: &Partial, cand: u32, weight: i64) -> Option<Partial> {
        let car = &self.span.cands[cand as usize];
        let camber = (partial.camber.0.min(car.camber), partial.camber.1.max(car.camber));
        let centres = (partial.centres.0.min(car.centres), partial.centres.1.max(car.centres));
        let rule = &self.span.rule;
        (camber.1 - camber.0 <= rule.camber_tolerance.0 + TOLERANCE
            && centres.1 - centres.0 <= rule.centres_tolerance.0 + TOLERANCE)
            .then(|| Partial {
                cars: partial.cars + 1,
                weight: partial.weight.saturating_add(weight),
                width: partial.width + car.width,
                depth: partial.depth.min(car.depth),
                camber,
                centres,
            })
    }

    /// Adds the missing cars from the entries at `from` on.
    fn extend(&mut self, from: usize, partial: &Partial) {
        let missing = (self.count.cars - partial.cars) as i64;
        for at in from..self.entries.len() {
            let entry = self.entries[at];
            let least = partial.weight.saturating_add(entry.weight.saturating_mul(missing));
            if least.saturating_add(self.slack) > self.threshold {
                return;
            }
            let cars = missing as f64;
            let (least, most) = self.count.width;
            if partial.width + entry.widest * cars < least
                || partial.width + entry.narrowest * cars > most
            {
                return;
            }
            let here = self.deck.iter().filter(|cand| **cand == entry.cand).count() as u32;
            if here >= entry.most {
                continue;
            }
            let Some(next) = self.with(partial, entry.cand, entry.weight) else { continue };
            self.deck.push(entry.cand);
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
        if partial.width < self.count.width.0 || partial.width > self.count.width.1 {
            return;
        }
        let mut weight = partial.weight;
        if !self.weights.charge.is_empty() {
            weight = weight.saturating_add(self.charges());
        }
        let joints = self.count.joints.saturating_mul(self.weights.joint);
        if weight.saturating_add(joints) > self.threshold {
            return;
        }
        self.sorted.clear();
        self.sorted.extend_from_slice(self.deck);
        self.sorted.sort_unstable();
        // Widths are added in the order of the cars, as a later check of the deck adds them.
        let widths = self.sorted.iter().map(|cand| self.span.cands[*cand as usize].width).sum();
        let Some(choice) = self.span.joint(widths, partial.depth, partial.cars) else { return };
        let weight = weight.saturating_add(choice.cost.0.saturating_mul(self.weights.joint));
        if weight <= self.threshold {
            let found = Found { cands: self.sorted, weight, joints: choice.cost.0 };
            self.threshold = (self.visit)(&found).min(self.threshold);
        }
    }

    /// Weight of the groups that the deck touches, each once.
    fn charges(&self) -> i64 {
        let item = |cand: u32| self.span.cands[cand as usize].item;
        let mut total: i64 = 0;
        for (place, cand) in self.deck.iter().enumerate() {
            let earlier = &self.deck[..place];
            for group_of in [Problem::lot_group, Problem::yard_group] {
                let group = group_of(self.problem, item(*cand));
                if let Some(group) = group
                    && earlier
                        .iter()
                        .all(|other| group_of(self.problem, item(*other)) != Some(group))
                {
                    total = total.saturating_add(self.weights.charge[group]);
                }
            }
        }
        total
    }
}

/// The column of a deck.
pub(super) fn column(problem: &Problem, span: usize, cands: &[u32], joints: i64) -> Column {
    let all = &problem.spans[span].cands;
    let sum = |figure: fn(&Cand) -> i64| {
        cands.iter().map(|cand| figure(&all[*cand as usize])).sum::<i64>()
    };
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
        net: sum(|cand| cand.net) + joints,
        outlay: sum(|cand| cand.outlay) + joints,
        groups,
    }
}
