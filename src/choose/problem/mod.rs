//! The market made ready for search: cars that cannot be bought are gone, identical cars are
//! counted together, candidates stand in arrays by section, and money is plain integer cents.

pub mod fund;
pub mod levels;

use std::collections::HashMap;
use std::ops::Range;

use crate::choose::market::{Market, SpanDemand};
use crate::choose::problem::levels::Levels;
use crate::group::{Candidate, DeckRule, Fit, SharedHaul, WidthRange, least_cost};
use crate::price::LoadCost;
use crate::quantity::{Cents, Feet};

/// Marks "no lot".
pub const NONE: usize = usize::MAX;

/// Room added to a width window so that rounding never hides a deck; `joint_for` decides.
const WIDTH_ROOM: f64 = 1e-6;

/// Identical cars: the same terms and the same figures on every span.
#[derive(Clone, Debug)]
pub struct Item {
    /// Offers of these cars in rising order.
    pub offers: Vec<usize>,
    /// Cars of all these offers.
    pub quantity: u32,
    /// Lowest price of one car; zero for a car of a lot.
    pub price: i64,
    /// How much more one car costs at each price level of its yard; empty: never more.
    pub dearer: Vec<i64>,
    /// Worth of one left-over car; zero for a car sold singly.
    pub stock: i64,
    /// What a fund pays for one placed car as its share of the lot; zero for a car sold singly.
    pub share: i64,
    /// Yard, as in the market.
    pub yard: usize,
    /// Lot, as in the market, or [`NONE`].
    pub lot: usize,
}

/// One lot.
#[derive(Clone, Debug)]
pub struct Lot {
    /// Price of the whole lot.
    pub price: i64,
    /// Price less the stock value of all its cars: each placed car gives its stock value back.
    pub net: i64,
    /// Its items.
    pub items: Vec<usize>,
    /// Yards its cars stand in: one, in real inputs.
    pub yards: Vec<usize>,
    /// Its cars, per entry of `yards`.
    pub cars: Vec<u32>,
    /// Whether it can be bought and has a car that fits somewhere.
    pub useful: bool,
    /// Crossings that its cars fit at.
    pub crossings: Vec<usize>,
}

/// A candidate of one span.
#[derive(Clone, Debug)]
pub struct Cand {
    /// Its item.
    pub item: usize,
    /// Net cost when placed: landed and built, and price or the stock value forgone. Of a haul that
    /// may be shared it holds the least share; the deck pays the rest.
    pub net: i64,
    /// What is paid when placed: landed and built, and price; of a shared haul the least share.
    pub outlay: i64,
    /// What decides which others it can lie beside.
    pub fit: Fit,
}

/// How many cars abreast, and what that asks of their widths.
#[derive(Clone, Copy, Debug)]
pub struct Count {
    pub cars: usize,
    /// Least and greatest sum of widths for which some joint can do, a little wide.
    pub width: (f64, f64),
    /// Least cost of the joints.
    pub joints: i64,
}

/// One span to be decked.
#[derive(Clone, Debug)]
pub struct Span {
    pub layout: usize,
    pub crossing: usize,
    pub rule: DeckRule,
    /// By section, then in the order of the market.
    pub cands: Vec<Cand>,
    pub sections: Vec<Section>,
    /// Haul of each candidate, as far as it may be shared; empty where none may.
    pub hauls: Vec<Haul>,
    /// Candidates that every deck must hold at least so often, rising.
    pub holds: Vec<(u32, u32)>,
}

/// The haul of a candidate, as far as it may be shared.
#[derive(Clone, Debug)]
pub struct Haul {
    terms: SharedHaul,
    /// The least share of it, which the candidate's own cost holds.
    share: i64,
}

impl Haul {
    /// Of a candidate that goes alone all of it is in its own cost.
    fn of(candidate: &Candidate) -> Self {
        let alone = SharedHaul { from: u32::MAX, alone: LoadCost::default(), shared: Vec::new() };
        let terms = candidate.haul.clone().unwrap_or(alone);
        Self { share: terms.least_share().0, terms }
    }
}

/// The candidates of one section.
#[derive(Clone, Debug)]
pub struct Section {
    /// Where they stand in [`Span::cands`].
    pub cands: Range<usize>,
    /// The numbers of them abreast that can make the width.
    pub counts: Vec<Count>,
}

impl Section {
    fn new(cands: Range<usize>, widths: impl Iterator<Item = f64>, counts: &[Count]) -> Self {
        let (least, most) = widths.fold((f64::INFINITY, f64::NEG_INFINITY), |(least, most), w| {
            (least.min(w), most.max(w))
        });
        let can = |count: &&Count| {
            let cars = count.cars as f64;
            most * cars >= count.width.0 - WIDTH_ROOM && least * cars <= count.width.1 + WIDTH_ROOM
        };
        Self { cands, counts: counts.iter().filter(can).copied().collect() }
    }
}

impl Span {
    /// The share of its haul that a candidate's own cost holds.
    pub fn share(&self, cand: u32) -> i64 {
        self.hauls.get(cand as usize).map_or(0, |haul| haul.share)
    }

    /// What the loads of so many cars cost beyond the shares that the cars' own costs hold. Never
    /// below zero; and of a car more, loads and shares together never cost less.
    pub fn beyond_shares(&self, cand: impl Fn(usize) -> u32 + Copy, cars: usize) -> i64 {
        if self.hauls.is_empty() {
            return 0;
        }
        let haul = |place: usize| &self.hauls[cand(place) as usize];
        let shares: i64 = (0..cars).map(|place| haul(place).share).sum();
        least_cost(|place| &haul(place).terms, cars).0 - shares
    }
}

/// One layout.
#[derive(Clone, Debug)]
pub struct Layout {
    pub crossing: usize,
    /// Index within the crossing in the market.
    pub number: usize,
    /// Everything it costs whatever its cars.
    pub fixed: i64,
    /// Its spans, as indices into [`Problem::spans`].
    pub spans: Range<usize>,
}

/// One crossing.
#[derive(Clone, Debug)]
pub struct Crossing {
    /// Index into [`Problem::ranks`].
    pub rank: usize,
    /// What it counts in its rank.
    pub points: usize,
    /// Index into [`Problem::funds`], or [`NONE`].
    pub fund: usize,
    /// Its layouts of which every span has a candidate.
    pub layouts: Range<usize>,
}

/// The market, made ready.
#[derive(Clone, Debug)]
pub struct Problem {
    pub items: Vec<Item>,
    /// Item of each offer, or [`NONE`].
    pub item_of: Vec<usize>,
    pub lots: Vec<Lot>,
    /// Cost of the trip to each yard.
    pub trips: Vec<i64>,
    /// Price levels, per yard.
    pub levels: Vec<Levels>,
    pub crossings: Vec<Crossing>,
    pub layouts: Vec<Layout>,
    pub spans: Vec<Span>,
    /// The priorities that occur, rising.
    pub ranks: Vec<u8>,
    pub budget: Option<i64>,
    /// The most that each fund may pay.
    pub funds: Vec<i64>,
}

impl Problem {
    /// Compiles the market.
    pub fn new(market: &Market) -> Self {
        let usable: Vec<bool> = market
            .offers
            .iter()
            .map(|offer| {
                offer.quantity > 0
                    && offer.lot.is_none_or(|lot| market.lots.get(lot).is_some_and(Option::is_some))
            })
            .collect();
        let (items, item_of) = merge_identical(market, &usable);
        let mut lots: Vec<Lot> = market
            .lots
            .iter()
            .map(|price| Lot {
                price: price.map_or(0, |p| p.0),
                net: price.map_or(0, |p| p.0),
                items: Vec::new(),
                yards: Vec::new(),
                cars: Vec::new(),
                useful: false,
                crossings: Vec::new(),
            })
            .collect();
        for (index, item) in items.iter().enumerate() {
            if item.lot != NONE {
                lots[item.lot].items.push(index);
            }
        }
        for (lot, record) in lots.iter_mut().enumerate() {
            for offer in market.offers.iter().filter(|offer| offer.lot == Some(lot)) {
                record.net -= offer.stock_value.0 * i64::from(offer.quantity);
                match record.yards.iter().position(|yard| *yard == offer.yard) {
                    Some(place) => record.cars[place] += offer.quantity,
                    None => {
                        record.yards.push(offer.yard);
                        record.cars.push(offer.quantity);
                    }
                }
            }
        }
        let mut ranks: Vec<u8> = market.crossings.iter().map(|c| c.priority).collect();
        ranks.sort_unstable();
        ranks.dedup();
        let mut problem = Self {
            levels: Levels::all(market, &item_of),
            items,
            item_of,
            lots,
            trips: market.trips.iter().map(|trip| trip.0).collect(),
            crossings: Vec::new(),
            layouts: Vec::new(),
            spans: Vec::new(),
            ranks,
            budget: market.budget.map(|budget| budget.0),
            funds: market.funds.iter().map(|limit| limit.0).collect(),
        };
        for demand in &market.crossings {
            let crossing = problem.crossings.len();
            let first = problem.layouts.len();
            for (number, layout) in demand.layouts.iter().enumerate() {
                let at = problem.spans.len();
                let spans: Vec<Span> = layout
                    .spans
                    .iter()
                    .map(|span| problem.compile_span(span, crossing, problem.layouts.len()))
                    .collect();
                if spans.is_empty() || spans.iter().any(|span| span.cands.is_empty()) {
                    continue;
                }
                problem.spans.extend(spans);
                problem.layouts.push(Layout {
                    crossing,
                    number,
                    fixed: layout.fixed.0
                        + layout.spans.iter().map(|span| span.fixed.0).sum::<i64>(),
                    spans: at..problem.spans.len(),
                });
            }
            let rank = problem.ranks.binary_search(&demand.priority).unwrap_or(0);
            problem.crossings.push(Crossing {
                rank,
                points: demand.points.max(1) as usize,
                fund: demand.fund.filter(|fund| *fund < market.funds.len()).unwrap_or(NONE),
                layouts: first..problem.layouts.len(),
            });
        }
        for span in &problem.spans {
            for cand in &span.cands {
                if let Some(lot) = problem.lots.get_mut(problem.items[cand.item].lot) {
                    lot.useful = true;
                    if lot.crossings.last() != Some(&span.crossing) {
                        lot.crossings.push(span.crossing);
                    }
                }
            }
        }
        problem
    }

    fn compile_span(&self, demand: &SpanDemand, crossing: usize, layout: usize) -> Span {
        let (candidates, rule) = (&demand.candidates, &demand.rule);
        let mut kept: Vec<(u32, Cand, Haul)> = Vec::new();
        let mut seen = vec![false; if candidates.is_empty() { 0 } else { self.items.len() }];
        for candidate in candidates {
            let item = self.item_of.get(candidate.offer).copied().unwrap_or(NONE);
            if item == NONE || seen[item] || !candidate.fit.is_known() {
                continue;
            }
            seen[item] = true;
            let terms = &self.items[item];
            let haul = Haul::of(candidate);
            let outlay = candidate.cost.0 + haul.share + terms.price;
            kept.push((
                candidate.fit.section,
                Cand { item, net: outlay + terms.stock, outlay, fit: candidate.fit },
                haul,
            ));
        }
        kept.sort_by_key(|(section, cand, _)| (*section, cand.item));
        let counts = counts(rule);
        let mut sections: Vec<Section> = Vec::new();
        let mut start = 0;
        for chunk in kept.chunk_by(|a, b| a.0 == b.0) {
            let widths = chunk.iter().map(|(_, cand, _)| cand.fit.width.0);
            sections.push(Section::new(start..start + chunk.len(), widths, &counts));
            start += chunk.len();
        }
        let shared = kept.iter().any(|(_, _, haul)| !haul.terms.shared.is_empty());
        let (mut cands, mut hauls): (Vec<Cand>, Vec<Haul>) =
            kept.into_iter().map(|(_, cand, haul)| (cand, haul)).unzip();
        if !shared {
            hauls.clear();
        }
        let holds = self.holds(demand, &cands).unwrap_or_else(|| {
            // Without the cars that it must hold the span has no deck.
            cands.clear();
            sections.clear();
            Vec::new()
        });
        Span { layout, crossing, rule: rule.clone(), cands, sections, hauls, holds }
    }

    /// The candidates that a span must hold, or none if one of them is not there.
    fn holds(&self, demand: &SpanDemand, cands: &[Cand]) -> Option<Vec<(u32, u32)>> {
        let mut holds: Vec<(u32, u32)> = Vec::new();
        for offer in &demand.holds {
            let item = *self.item_of.get(*offer)?;
            let cand = cands.iter().position(|cand| cand.item == item)? as u32;
            match holds.iter_mut().find(|(other, _)| *other == cand) {
                Some((_, times)) => *times += 1,
                None => holds.push((cand, 1)),
            }
        }
        holds.sort_unstable();
        Some(holds)
    }

    /// Whether trips to this yard cost nothing and any number is sold, so that nothing hangs on it.
    pub fn free_trip(&self, yard: usize) -> bool {
        self.trips.get(yard).is_none_or(|trip| *trip == 0)
            && self.levels.get(yard).is_none_or(Levels::is_plain)
    }

    /// Whether some yard has price levels or a minimum order.
    pub fn has_levels(&self) -> bool {
        self.levels.iter().any(|levels| !levels.is_plain())
    }

    /// Whether a lot might pay with all its cars left over, by its stock value or for a price level.
    pub fn needs_a_car(&self, lot: usize) -> bool {
        let lot = &self.lots[lot];
        lot.net < 0 || lot.yards.iter().any(|yard| !self.levels[*yard].is_plain())
    }

    /// The fund of a span's crossing, or [`NONE`].
    pub fn fund_of(&self, span: usize) -> usize {
        self.crossings[self.spans[span].crossing].fund
    }

    /// Number of groups: things that are paid for as a whole when one car of theirs is placed.
    pub fn groups(&self) -> usize {
        self.lots.len() + self.trips.len()
    }

    /// The group of an item's lot, if it has one.
    pub fn lot_group(&self, item: usize) -> Option<usize> {
        let lot = self.items[item].lot;
        (lot != NONE).then_some(lot)
    }

    /// The group of an item's yard, if its trip costs anything.
    pub fn yard_group(&self, item: usize) -> Option<usize> {
        let yard = self.items[item].yard;
        (!self.free_trip(yard)).then_some(self.lots.len() + yard)
    }
}

/// The numbers of cars abreast that a rule allows, with their windows.
fn counts(rule: &DeckRule) -> Vec<Count> {
    let range = rule.widths();
    let room = Feet(WIDTH_ROOM);
    let range = WidthRange { least: range.least - room, most: range.most + room };
    let mut counts = Vec::new();
    for cars in 1..=rule.most_abreast {
        if cars == 1 {
            counts.push(Count { cars, width: (range.least.0, range.most.0), joints: 0 });
            continue;
        }
        let windows = || rule.joints.iter().map(|joint| range.of_cars(cars, joint.gaps()));
        let low = windows().map(|window| window.least.0).fold(f64::INFINITY, f64::min);
        let high = windows().map(|window| window.most.0).fold(f64::NEG_INFINITY, f64::max);
        let Some(cheapest) = rule.joints.iter().map(|j| j.cost.0).min() else { break };
        counts.push(Count { cars, width: (low, high), joints: cheapest * (cars as i64 - 1) });
    }
    counts
}

/// The figures of a candidate in a form that compares exactly, but for what its loads cost.
fn print(span: usize, candidate: &Candidate) -> impl Iterator<Item = u64> + '_ {
    let words = [span as u64, candidate.cost.0 as u64].into_iter().chain(candidate.fit.bits());
    let haul = candidate.haul.as_ref();
    words.chain([
        haul.map_or(u64::MAX, |haul| u64::from(haul.from)),
        haul.map_or(0, |haul| haul.shared.len() as u64),
    ])
}

/// The price at the last level.
fn lowest(offer: &crate::choose::market::Offer) -> Cents {
    offer.quotes.last().map_or(offer.price, |quote| quote.price)
}

/// Counts together offers that no plan can tell apart. Offers that fit nowhere get no item.
fn merge_identical(market: &Market, usable: &[bool]) -> (Vec<Item>, Vec<usize>) {
    let spans =
        || market.crossings.iter().flat_map(|c| &c.layouts).flat_map(|l| &l.spans).enumerate();
    // A digest of all figures sorts offers apart; equal digests are compared in full.
    let mut digest = vec![0xcbf2_9ce4_8422_2325_u64; market.offers.len()];
    let mut places: Vec<Vec<(u32, u32)>> = vec![Vec::new(); market.offers.len()];
    for (number, span) in spans() {
        for (at, candidate) in span.candidates.iter().enumerate() {
            if !usable.get(candidate.offer).copied().unwrap_or(false) {
                continue;
            }
            places[candidate.offer].push((number as u32, at as u32));
            for figure in print(number, candidate) {
                let mixed = (digest[candidate.offer] ^ figure).wrapping_mul(0x9e37_79b9_7f4a_7c15);
                digest[candidate.offer] = mixed ^ (mixed >> 29);
            }
        }
    }
    let all: Vec<&crate::choose::market::SpanDemand> = spans().map(|(_, span)| span).collect();
    let same = |a: usize, b: usize| {
        let (x, y) = (&market.offers[a], &market.offers[b]);
        (x.yard, x.lot, x.price, x.stock_value) == (y.yard, y.lot, y.price, y.stock_value)
            && x.quotes == y.quotes
            && places[a].len() == places[b].len()
            && places[a].iter().zip(&places[b]).all(|(p, q)| {
                let of = |place: &(u32, u32)| &all[place.0 as usize].candidates[place.1 as usize];
                let figures = |place: &(u32, u32)| print(place.0 as usize, of(place));
                figures(p).eq(figures(q)) && of(p).haul == of(q).haul
            })
    };
    // A car that must lie somewhere cannot be exchanged for one like it.
    let mut held = vec![false; market.offers.len()];
    for offer in all.iter().flat_map(|span| &span.holds) {
        held[*offer] = true;
    }
    let shares = fund::lot_shares(market);
    let mut items: Vec<Item> = Vec::new();
    let mut item_of = vec![NONE; market.offers.len()];
    let mut by_digest: HashMap<u64, Vec<usize>> = HashMap::new();
    for (offer, terms) in market.offers.iter().enumerate() {
        if places[offer].is_empty() {
            continue;
        }
        let alike = by_digest.entry(digest[offer]).or_default();
        let twin = alike.iter().copied().filter(|_| !held[offer]);
        if let Some(item) = twin.into_iter().find(|&item| same(items[item].offers[0], offer)) {
            items[item].offers.push(offer);
            items[item].quantity += terms.quantity;
            item_of[offer] = item;
            continue;
        }
        if !held[offer] {
            alike.push(items.len());
        }
        item_of[offer] = items.len();
        items.push(Item {
            offers: vec![offer],
            quantity: terms.quantity,
            price: lowest(terms).0,
            dearer: terms.quotes.iter().map(|quote| (quote.price - lowest(terms)).0).collect(),
            stock: terms.stock_value.0,
            share: terms.lot.and_then(|lot| shares.get(lot)).copied().unwrap_or(0),
            yard: terms.yard,
            lot: terms.lot.unwrap_or(NONE),
        });
    }
    (items, item_of)
}
