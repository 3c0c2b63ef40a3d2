//! Whether cars in hand can be laid so that every crossing has its decks, whatever it costs.
//!
//! The cars of a deck are of one section. So the spans are shared out among sections, and each
//! section is asked whether its cars make decks for its spans; what one was asked before, it remembers.

use std::collections::{HashMap, HashSet};

use itertools::Itertools;

use crate::choose::{Market, SpanDemand};
use crate::group::{Candidate, DeckState};

/// A deck: its offers, with the number of cars of each.
type Deck = Vec<(usize, u32)>;

/// Decks of one span and section that hold no smaller one.
struct Ways {
    section: u32,
    decks: Vec<Deck>,
}

/// Crossings, their layouts, and the spans of these.
pub(super) struct Lay {
    crossings: Vec<Vec<Vec<Vec<Ways>>>>,
    /// Cars that all crossings take together at least.
    least: usize,
}

/// A span by crossing, layout, and its number there; and which of its sections.
type Place = (usize, usize, usize, usize);

/// More decks of one span than this are not listed; other means are better then.
const DECKS: usize = 3_000;
/// Nor are more sets of cars tried for one span and section.
const TRIED: usize = 50_000;
/// Room for rounding, so that no deck is overlooked.
const WIDTH_ROOM: f64 = 1e-6;
/// Steps after which a question is given up.
const STEPS: usize = 20_000;

impl Lay {
    /// The decks that so many cars of each offer make at all crossings that are served; none where there are
    /// too many.
    pub fn new(market: &Market, served: &[bool], cars: &[u32]) -> Option<Self> {
        let mut crossings = Vec::new();
        let mut least = 0;
        for (demand, _) in market.crossings.iter().zip(served).filter(|(_, served)| **served) {
            let mut layouts = Vec::new();
            for layout in &demand.layouts {
                let spans: Option<Vec<Vec<Ways>>> =
                    layout.spans.iter().map(|span| ways(span, cars)).collect();
                layouts.push(spans?);
            }
            let of_layouts = layouts.iter().filter_map(|spans| fewest_cars(spans));
            least += of_layouts.min().unwrap_or(usize::MAX / 1_000);
            crossings.push(layouts);
        }
        Some(Self { crossings, least })
    }

    /// Whether so many cars of each offer make decks for every crossing; `None` when that takes too
    /// long to say.
    pub fn possible(&self, cars: &[u32]) -> Option<bool> {
        if self.least > cars.iter().map(|count| *count as usize).sum() {
            return Some(false);
        }
        let room = |layouts: &Vec<Vec<Vec<Ways>>>| -> usize {
            layouts.iter().map(|spans| spans.iter().map(Vec::len).product::<usize>()).sum()
        };
        let mut order: Vec<usize> = (0..self.crossings.len()).collect();
        order.sort_by_key(|crossing| room(&self.crossings[*crossing]));
        let mut search = Search { lay: self, cars, order, known: HashMap::new(), steps: STEPS };
        search.crossing(0, &mut HashMap::new())
    }

    fn decks(&self, (crossing, layout, span, way): Place) -> &[Deck] {
        &self.crossings[crossing][layout][span][way].decks
    }
}

/// The fewest cars with which a layout is decked; none where a span of it has no deck.
fn fewest_cars(spans: &[Vec<Ways>]) -> Option<usize> {
    let cars = |deck: &Deck| deck.iter().map(|(_, count)| *count as usize).sum::<usize>();
    let of_span = |ways: &Vec<Ways>| ways.iter().flat_map(|ways| &ways.decks).map(cars).min();
    spans.iter().map(of_span).sum()
}

/// The decks of a span, section by section, of so many cars of each offer.
fn ways(span: &SpanDemand, cars: &[u32]) -> Option<Vec<Ways>> {
    let sections = span.candidates.iter().map(|candidate| candidate.fit.section).sorted().dedup();
    let mut all = Vec::new();
    for section in sections {
        let alike = span
            .candidates
            .iter()
            .filter(|candidate| candidate.fit.section == section && cars[candidate.offer] > 0);
        let alike: Vec<&Candidate> = alike.collect();
        let mut making = Making { span, cars, alike, tried: 0, found: Vec::new() };
        making.extend(0, DeckState::EMPTY, &mut Vec::new())?;
        let decks = smallest(making.found);
        if !decks.is_empty() {
            all.push(Ways { section, decks });
        }
    }
    Some(all)
}

/// Of decks those that hold no other one.
fn smallest(mut found: Vec<Deck>) -> Vec<Deck> {
    let cars = |deck: &Deck| deck.iter().map(|(_, count)| count).sum::<u32>();
    found.sort_by_key(cars);
    let mut decks: Vec<Deck> = Vec::new();
    for deck in found {
        let size = cars(&deck);
        let holds = |less: &Deck| {
            let has = |(o, n): &(usize, u32)| deck.iter().any(|(p, m)| o == p && n <= m);
            less.iter().all(has)
        };
        // Of decks of one size none holds another.
        if !decks.iter().take_while(|less| cars(less) < size).any(holds) {
            decks.push(deck);
        }
    }
    decks
}

/// The decks of one section, made car by car.
struct Making<'a> {
    span: &'a SpanDemand,
    cars: &'a [u32],
    alike: Vec<&'a Candidate>,
    tried: usize,
    found: Vec<Deck>,
}

impl<'a> Making<'a> {
    /// Finds the decks with these cars and others from this one on; none: there are too many.
    fn extend(
        &mut self,
        from: usize,
        state: DeckState,
        deck: &mut Vec<&'a Candidate>,
    ) -> Option<()> {
        let rule = &self.span.rule;
        for place in from..self.alike.len() {
            let car = self.alike[place];
            let there = deck.iter().filter(|other| other.offer == car.offer).count();
            if there >= self.cars[car.offer] as usize {
                continue;
            }
            let with = rule.with(&state, deck.iter().map(|other| &other.fit), &car.fit);
            // Gaps only add to the width.
            let Some(with) = with.filter(|with| with.widths.0 <= rule.width_most.0 + WIDTH_ROOM)
            else {
                continue;
            };
            self.tried += 1;
            deck.push(car);
            if rule.admits(deck).is_some() {
                let counts = deck.iter().map(|car| car.offer).dedup_with_count();
                self.found.push(counts.map(|(count, offer)| (offer, count as u32)).collect());
            } else if deck.len() < rule.most_abreast {
                self.extend(place, with, deck)?;
            }
            deck.pop();
            if self.tried > TRIED || self.found.len() > DECKS {
                return None;
            }
        }
        Some(())
    }
}

struct Search<'a> {
    lay: &'a Lay,
    cars: &'a [u32],
    order: Vec<usize>,
    /// What sections have been asked.
    known: HashMap<Vec<Place>, bool>,
    steps: usize,
}

impl Search<'_> {
    /// Finds layouts and sections for the crossings from this one on.
    fn crossing(&mut self, at: usize, shares: &mut HashMap<u32, Vec<Place>>) -> Option<bool> {
        let Some(&crossing) = self.order.get(at) else { return Some(true) };
        for layout in 0..self.lay.crossings[crossing].len() {
            if self.span(at, (crossing, layout, 0), shares)? {
                return Some(true);
            }
        }
        Some(false)
    }

    /// Finds sections for the spans of a layout from this one on, then for the crossings after it.
    fn span(
        &mut self,
        at: usize,
        (crossing, layout, span): (usize, usize, usize),
        shares: &mut HashMap<u32, Vec<Place>>,
    ) -> Option<bool> {
        let lay = self.lay;
        let Some(ways) = lay.crossings[crossing][layout].get(span) else {
            return self.crossing(at + 1, shares);
        };
        for (way, of_section) in ways.iter().enumerate() {
            shares.entry(of_section.section).or_default().push((crossing, layout, span, way));
            let share = shares[&of_section.section].clone();
            let found =
                self.section(share)? && self.span(at, (crossing, layout, span + 1), shares)?;
            if found {
                return Some(true);
            }
            shares.entry(of_section.section).and_modify(|share| {
                share.pop();
            });
        }
        Some(false)
    }

    /// Whether the cars of one section make decks for its share of the spans.
    fn section(&mut self, mut share: Vec<Place>) -> Option<bool> {
        share.sort_unstable();
        if let Some(known) = self.known.get(&share) {
            return Some(*known);
        }
        let mut spans: Vec<Vec<Deck>> = Vec::new();
        for place in &share {
            let decks = self.lay.decks(*place).iter();
            spans.push(decks.filter(|deck| within(deck, self.cars)).cloned().collect());
        }
        spans.sort_by_key(Vec::len);
        let mut left = self.cars.to_vec();
        let mut offers: Vec<usize> =
            spans.iter().flatten().flatten().map(|(offer, _)| *offer).collect();
        offers.sort_unstable();
        offers.dedup();
        let found = self.lay_spans(&spans, &offers, &mut left, &mut HashSet::new())?;
        self.known.insert(share, found);
        Some(found)
    }

    /// Lays decks on these spans with what is left.
    fn lay_spans(
        &mut self,
        spans: &[Vec<Deck>],
        offers: &[usize],
        left: &mut [u32],
        hopeless: &mut HashSet<(usize, Vec<u32>)>,
    ) -> Option<bool> {
        let Some((first, rest)) = spans.split_first() else { return Some(true) };
        self.steps = self.steps.checked_sub(1)?;
        let state = (spans.len(), offers.iter().map(|offer| left[*offer]).collect::<Vec<u32>>());
        if hopeless.contains(&state) {
            return Some(false);
        }
        for deck in first {
            if !within(deck, left) {
                continue;
            }
            deck.iter().for_each(|(offer, count)| left[*offer] -= count);
            let found = self.lay_spans(rest, offers, left, hopeless)?;
            deck.iter().for_each(|(offer, count)| left[*offer] += count);
            if found {
                return Some(true);
            }
        }
        hopeless.insert(state);
        Some(false)
    }
}

fn within(deck: &Deck, cars: &[u32]) -> bool {
    deck.iter().all(|(offer, count)| cars[*offer] >= *count)
}
