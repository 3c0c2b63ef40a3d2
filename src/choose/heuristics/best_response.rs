//! The cheapest decks of one crossing while all others keep theirs: what is used stays used, lots
//! and trips already paid for cost nothing more, others are charged in full.

use std::collections::BinaryHeap;

use crate::choose::clock::Clock;
use crate::choose::decks::column::{Column, column};
use crate::choose::decks::extension::Found;
use crate::choose::decks::pricing::{DeckSearch, Weights};
use crate::choose::plan::fund;
use crate::choose::plan::ledger::Ledger;
use crate::choose::plan::served::Served;
use crate::choose::problem::group::{ByGroup, Group};
use crate::choose::problem::{INFINITE, Problem};
use crate::choose::tuning::{DECKS_BETWEEN_LOOKS, DECKS_PER_SPAN_TRIED};

/// Answers for one crossing at a time, with the memory it reuses.
pub struct Responder<'a> {
    problem: &'a Problem,
    finders: Vec<DeckSearch>,
    charge: ByGroup<i64>,
    paid: ByGroup<i64>,
    left: Vec<u32>,
    nothing: Vec<i64>,
    /// Most decks tried in each span but the last of a layout.
    pub width: usize,
    /// Says when to stop with the best answer so far; none: never.
    clock: Option<&'a Clock<'a>>,
}

/// What a response has to keep to.
#[derive(Clone, Copy, Default)]
pub struct Terms<'a> {
    /// Per item what it is worth to others: added to its cost when comparing.
    pub bias: Option<&'a [i64]>,
    /// A lot that must not be used.
    pub without_lot: Option<usize>,
    /// A lot that counts as bought.
    pub with_lot: Option<usize>,
    /// Lots that count as bought, by lot.
    pub with_lots: Option<&'a [bool]>,
    /// Decks that are no answer: the same layout with the same cars, on whichever of its spans.
    pub except: Option<&'a Served>,
    /// Compare what is paid now instead of net cost.
    pub paid: bool,
    /// Look only for answers that weigh less than this; none: for any.
    pub below: Option<i64>,
}

/// What the spans decked so far cost.
#[derive(Clone, Copy)]
struct Paid {
    outlay: i64,
    /// What the crossing's fund is charged.
    charge: i64,
}

/// A deck kept.
#[derive(PartialEq, Eq, PartialOrd, Ord)]
struct Light {
    weight: i64,
    /// Of decks that weigh the same the one found first is lighter.
    number: usize,
    cands: Vec<u32>,
    joints: i64,
}

/// The lightest decks of those found, up to a number; the heaviest on top.
struct Lightest {
    most: usize,
    found: usize,
    kept: BinaryHeap<Light>,
}

impl Lightest {
    fn new(most: usize) -> Self {
        Self { most, found: 0, kept: BinaryHeap::new() }
    }

    /// Takes a deck in, which weighs no more than the threshold.
    fn take(&mut self, deck: &Found) {
        self.found += 1;
        self.kept.push(Light {
            weight: deck.weight,
            number: self.found,
            cands: deck.cands.to_vec(),
            joints: deck.joints,
        });
        if self.kept.len() > self.most {
            self.kept.pop();
        }
    }

    /// What a further deck may weigh at most, were there room for any up to the limit.
    fn threshold(&self, limit: i64) -> i64 {
        let heaviest = self.kept.peek().filter(|_| self.kept.len() >= self.most);
        heaviest.map_or(limit, |deck| deck.weight - 1)
    }

    fn rising(self) -> Vec<Light> {
        self.kept.into_sorted_vec()
    }
}

/// The best answer so far.
struct Best {
    weight: i64,
    served: Option<Served>,
}

impl<'a> Responder<'a> {
    pub fn new(problem: &'a Problem) -> Self {
        Self {
            problem,
            finders: Vec::new(),
            charge: problem.zero_by_group(),
            paid: problem.zero_by_group(),
            left: Vec::new(),
            nothing: vec![0; problem.items.len()],
            width: DECKS_PER_SPAN_TRIED,
            clock: None,
        }
    }

    /// The same, but answers end when this clock is up.
    pub fn until(problem: &'a Problem, clock: &'a Clock<'a>) -> Self {
        Self { clock: Some(clock), ..Self::new(problem) }
    }

    /// The cheapest decks of a crossing, given what the others take (`ledger`, without the
    /// crossing), or none that can be had and afforded.
    pub fn respond(&mut self, ledger: &Ledger, crossing: usize, terms: &Terms) -> Option<Served> {
        let mut best = Best { weight: terms.below.unwrap_or(INFINITE), served: None };
        for layout in self.problem.crossings[crossing].layouts.clone() {
            let spans = self.problem.layouts[layout].spans.clone();
            while self.finders.len() < spans.len() {
                self.finders.push(DeckSearch::default());
            }
            let mut state = ledger.clone_for_search();
            let fixed = self.problem.layouts[layout].fixed;
            // Least weight of the spans after each, charges apart.
            let mut rest = vec![0_i64; spans.len()];
            for (place, span) in spans.clone().enumerate().skip(1).rev() {
                let least = self.least(&state, span, terms);
                rest[place - 1] = rest[place].saturating_add(least);
            }
            self.layout(
                &mut state,
                layout,
                0,
                fixed,
                Paid { outlay: fixed, charge: fixed },
                &rest,
                &mut Vec::new(),
                terms,
                &mut best,
            );
        }
        best.served
    }

    /// Least weight of a deck of one span when lots and trips are free.
    fn least(&mut self, state: &Ledger, span: usize, terms: &Terms) -> i64 {
        let mut least = INFINITE;
        let mut finder = std::mem::take(&mut self.finders[0]);
        let negative: i64 = self.problem.lots.iter().map(|lot| lot.net.min(0)).sum();
        self.set_left(state, terms);
        let weights = Weights { charge: None, ..self.weights(terms) };
        finder.search(self.problem, span, &weights, INFINITE, |found| {
            least = found.weight;
            Some(found.weight - 1)
        });
        self.finders[0] = finder;
        least.saturating_add(negative)
    }

    /// Whether a span has a deck at all.
    pub fn has_deck(&mut self, span: usize) -> bool {
        if self.finders.is_empty() {
            self.finders.push(DeckSearch::default());
        }
        let empty = Ledger::empty(self.problem);
        let mut finder = std::mem::take(&mut self.finders[0]);
        self.set_left(&empty, &Terms::default());
        let weights = Weights { charge: None, ..self.weights(&Terms::default()) };
        let mut found = false;
        finder.search(self.problem, span, &weights, INFINITE / 2, |_| {
            found = true;
            None
        });
        self.finders[0] = finder;
        found
    }

    fn weights<'b>(&'b self, terms: &Terms<'b>) -> Weights<'b> {
        Weights {
            net: i64::from(!terms.paid),
            outlay: i64::from(terms.paid),
            item: terms.bias.unwrap_or(&self.nothing),
            charge: Some(&self.charge),
            reward: self.charge.values().map(|charge| (*charge).min(0)).sum(),
            left: &self.left,
            penalties: None,
            limits: &[],
        }
    }

    fn set_left(&mut self, state: &Ledger, terms: &Terms) {
        let left = |(item, used): (&crate::choose::problem::Item, &u32)| {
            if terms.without_lot.is_some() && terms.without_lot == item.lot {
                0
            } else {
                item.quantity.saturating_sub(*used)
            }
        };
        self.left.clear();
        self.left.extend(self.problem.items.iter().zip(&state.used).map(left));
    }

    /// Decks one span of a layout after the other.
    #[allow(clippy::too_many_arguments)]
    fn layout(
        &mut self,
        state: &mut Ledger,
        layout: usize,
        place: usize,
        weight: i64,
        paid: Paid,
        rest: &[i64],
        decks: &mut Vec<Column>,
        terms: &Terms,
        best: &mut Best,
    ) {
        let (problem, clock) = (self.problem, self.clock);
        if self.is_late() {
            return;
        }
        let spans = problem.layouts[layout].spans.clone();
        let span = spans.start + place;
        let last = place + 1 == spans.len();
        self.set_charges(state, terms);
        let room = problem.budget.map(|budget| budget - state.outlay - paid.outlay);
        let fund = state.funds.may_cost(problem, problem.fund_of(span));
        let fund = fund.map(|left| left - paid.charge);
        let keep = if last { 1 } else { self.width };
        let mut kept = Lightest::new(keep);
        let mut looks = 0_usize;
        let mut finder = std::mem::take(&mut self.finders[place]);
        let limit =
            best.weight.saturating_sub(weight).saturating_sub(rest[place]).saturating_sub(1);
        // What the last deck would have to hold for the cars to be the excepted ones.
        let barred = terms.except.filter(|served| last && served.layout == layout);
        let barred = barred.and_then(|served| {
            let mut cars = items(problem, &served.decks);
            for item in items(problem, decks) {
                cars.remove(cars.binary_search(&item).ok()?);
            }
            Some(cars)
        });
        self.set_left(state, terms);
        let weights = self.weights(terms);
        finder.search(problem, span, &weights, limit, |found| {
            looks += 1;
            if looks.is_multiple_of(DECKS_BETWEEN_LOOKS) && clock.is_some_and(Clock::up) {
                return None;
            }
            if let Some(barred) = &barred {
                let cands = &problem.spans[span].cands;
                let mut cars: Vec<usize> =
                    found.cands.iter().map(|cand| cands[*cand as usize].item).collect();
                cars.sort_unstable();
                if cars == *barred {
                    return Some(kept.threshold(limit));
                }
            }
            if room.is_some() || fund.is_some() {
                let deck = column(problem, span, found.cands, found.joints);
                let groups: i64 = deck.groups.iter().map(|group| self.paid[*group]).sum();
                let beyond = |room: Option<i64>, cost: i64| room.is_some_and(|room| cost > room);
                if beyond(room, deck.outlay + groups) || beyond(fund, fund::charge(problem, &deck))
                {
                    return Some(kept.threshold(limit));
                }
            }
            kept.take(found);
            Some(kept.threshold(limit))
        });
        self.finders[place] = finder;
        for Light { weight: deck_weight, cands, joints, .. } in kept.rising() {
            let total = weight + deck_weight;
            if total.saturating_add(rest[place]) >= best.weight {
                break;
            }
            let deck = column(problem, span, &cands, joints);
            decks.push(deck);
            if last {
                best.weight = total;
                best.served = Some(Served { layout, decks: decks.clone() });
            } else {
                let charge = paid.charge + fund::charge(problem, &decks[place]);
                let outlay = paid.outlay + self.pay(state, &decks[place], true);
                self.layout(
                    state,
                    layout,
                    place + 1,
                    total,
                    Paid { outlay, charge },
                    rest,
                    decks,
                    terms,
                    best,
                );
                self.pay(state, &decks[place], false);
            }
            decks.pop();
        }
    }

    /// Charges of lots and trips not yet paid for.
    fn set_charges(&mut self, state: &Ledger, terms: &Terms) {
        for (lot, record) in self.problem.lots.iter().enumerate() {
            let paid = state.lots[lot] > 0
                || terms.with_lot == Some(lot)
                || terms.with_lots.is_some_and(|lots| lots[lot]);
            (self.charge.lots[lot], self.paid.lots[lot]) =
                if paid { (0, 0) } else { (record.net, record.price) };
        }
        for (yard, trip) in self.problem.trips.iter().enumerate() {
            let trip = if state.yards[yard] > 0 { 0 } else { *trip };
            (self.charge.yards[yard], self.paid.yards[yard]) = (trip, trip);
        }
    }

    /// Whether the time is up.
    pub fn is_late(&self) -> bool {
        self.clock.is_some_and(Clock::up)
    }

    /// Marks a deck's cars used, or free again; returns what is paid for it.
    fn pay(&self, state: &mut Ledger, deck: &Column, place: bool) -> i64 {
        let mut paid = deck.outlay;
        for &group in &deck.groups {
            match group {
                Group::Lot(lot) if state.lots[lot] == 0 => paid += self.problem.lots[lot].price,
                Group::Yard(yard) if state.yards[yard] == 0 => paid += self.problem.trips[yard],
                Group::Lot(_) | Group::Yard(_) => {}
            }
        }
        for (item, count) in deck.items(self.problem) {
            let record = &self.problem.items[item];
            let change = |value: &mut u32| {
                *value = if place { *value + count } else { *value - count };
            };
            change(&mut state.used[item]);
            change(&mut state.yards[record.yard]);
            if let Some(lot) = record.lot.map(|lot| &mut state.lots[lot]) {
                change(lot);
            }
        }
        paid
    }
}

/// The items of the cars of some decks, rising, once per car.
fn items(problem: &Problem, decks: &[Column]) -> Vec<usize> {
    let mut items: Vec<usize> = decks
        .iter()
        .flat_map(|deck| {
            let cands = &problem.spans[deck.span].cands;
            deck.cands.iter().map(move |cand| cands[*cand as usize].item)
        })
        .collect();
    items.sort_unstable();
    items
}
