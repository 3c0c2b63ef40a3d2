//! From the market to the problem.

use crate::choose::market::{Market, SpanDemand};
use crate::choose::problem::fund_rows::FundRows;
use crate::choose::problem::identical::merge_identical;
use crate::choose::problem::levels::{Filler, Levels};
use crate::choose::problem::{Cand, Count, Crossing, Haul, Layout, Lot, Problem, Section, Span};
use std::ops::Range;
use std::sync::Arc;

use crate::group::{Candidate, DeckRule, SharedHaul};
use crate::model::width::WidthRange;
use crate::price::LoadCost;
use crate::quantity::Feet;

/// Room added to a width window so that rounding never hides a deck; `joint_for` decides.
const WIDTH_ROOM: f64 = 1e-6;

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
                fills: false,
                useful: false,
                crossings: Vec::new(),
            })
            .collect();
        for (index, item) in items.iter().enumerate() {
            if let Some(lot) = item.lot {
                lots[lot].items.push(index);
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
        let mut levels = Levels::all(market, &item_of);
        for &number in &market.fillers {
            let on_offer = market.lots.get(number).is_some_and(Option::is_some);
            let Some(lot) = lots.get_mut(number).filter(|lot| on_offer && !lot.fills) else {
                continue;
            };
            let [yard] = lot.yards[..] else { continue };
            let (cars, net, outlay) = (lot.cars[0], lot.net, lot.price);
            if let Some(levels) = levels.get_mut(yard).filter(|levels| !levels.is_plain()) {
                levels.fillers.push(Filler { lot: number, cars, net, outlay });
                (lot.fills, lot.useful) = (true, true);
            }
        }
        let mut ranks: Vec<u8> = market.crossings.iter().map(|c| c.priority).collect();
        ranks.sort_unstable();
        ranks.dedup();
        let mut problem = Self {
            levels,
            items,
            item_of,
            lots,
            trips: market.trips.iter().map(|trip| trip.0).collect(),
            crossings: Vec::new(),
            layouts: Vec::new(),
            spans: Arc::default(),
            ranks,
            budget: market.budget.map(|budget| budget.0),
            funds: FundRows::of(market),
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
                Arc::make_mut(&mut problem.spans).extend(spans);
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
                fund: demand.fund.filter(|fund| *fund < market.funds.len()),
                layouts: first..problem.layouts.len(),
            });
        }
        for span in problem.spans.iter() {
            for cand in &span.cands {
                if let Some(lot) = problem.items[cand.item].lot.map(|lot| &mut problem.lots[lot]) {
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
            let item = self.item_of.get(candidate.offer).copied().flatten();
            let Some(item) = item else { continue };
            if seen[item] || !candidate.fit.is_known() {
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
            let item = (*self.item_of.get(*offer)?)?;
            let cand = cands.iter().position(|cand| cand.item == item)? as u32;
            match holds.iter_mut().find(|(other, _)| *other == cand) {
                Some((_, times)) => *times += 1,
                None => holds.push((cand, 1)),
            }
        }
        holds.sort_unstable();
        Some(holds)
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
            let joints = rule.least_along(1).unwrap_or_default().0;
            counts.push(Count { cars, width: (range.least.0, range.most.0), joints });
            continue;
        }
        let windows = || rule.joints.iter().map(|joint| range.of_cars(cars, joint.gaps()));
        let low = windows().map(|window| window.least.0).fold(f64::INFINITY, f64::min);
        let high = windows().map(|window| window.most.0).fold(f64::NEG_INFINITY, f64::max);
        let Some(least) = rule.least_along(cars) else { break };
        counts.push(Count { cars, width: (low, high), joints: least.0 });
    }
    counts
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

impl Haul {
    /// Of a candidate that goes alone all of it is in its own cost.
    fn of(candidate: &Candidate) -> Self {
        let alone = SharedHaul { from: u32::MAX, alone: LoadCost::default(), shared: Vec::new() };
        let terms = candidate.haul.clone().unwrap_or(alone);
        Self { share: terms.least_share().0, terms }
    }
}
