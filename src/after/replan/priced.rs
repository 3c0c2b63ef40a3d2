//! The market with a price on change.

use std::collections::BTreeMap;

use super::{Assignment, Previous};
use crate::choose::{self, Choice, Effort, LayoutDemand, Market, Offer, SpanDemand};
use crate::group::Candidate;
use crate::model::inputs::{CarIx, CrossingIx, Inputs};
use crate::quantity::Cents;

/// Parts of a cent in which prices of change are set.
const PARTS: i64 = 100;

/// Cars that must stay where they lay, or must not, by their offer after the split.
pub(super) type Kept = BTreeMap<usize, bool>;

/// The market in which each offer is split into the cars that lay at a crossing and the others.
pub(super) struct Priced<'a> {
    market: &'a Market,
    /// The offers after the split; the first are those of the market.
    offers: Vec<Offer>,
    /// The market's offer behind each.
    behind: Vec<usize>,
    /// The crossing at which the cars of each lay.
    home: Vec<Option<usize>>,
    /// Per offer of the market and crossing how many of its cars lay there.
    lay: BTreeMap<(usize, usize), u32>,
    /// Assignments of the previous plan.
    before: usize,
}

impl<'a> Priced<'a> {
    pub fn new(inputs: &Inputs, market: &'a Market, previous: &Previous) -> Self {
        let lay = lay(inputs, market, previous);
        let mut offers = market.offers.clone();
        let mut behind: Vec<usize> = (0..offers.len()).collect();
        let mut home = vec![None; offers.len()];
        let fixed = |offer: usize| inputs.decided.fixed.contains_key(&CarIx(offer));
        for (&(offer, crossing), &count) in &lay {
            if fixed(offer) {
                // A fixed car has no other place: it is kept as it stands, or new as it stands.
                home[offer] = Some(crossing);
                continue;
            }
            offers[offer].quantity -= count;
            offers.push(Offer { quantity: count, ..market.offers[offer].clone() });
            behind.push(offer);
            home.push(Some(crossing));
        }
        Self { market, offers, behind, home, lay, before: previous.assignments.len() }
    }

    /// Changes of a choice of the market.
    pub fn changes(&self, choice: &Choice) -> usize {
        let (mut kept, mut placed) = (0, 0);
        for (crossing, chosen) in choice.crossings.iter().enumerate() {
            let mut counts: BTreeMap<usize, u32> = BTreeMap::new();
            for offer in chosen.iter().flat_map(|chosen| chosen.decks.iter().flatten()) {
                *counts.entry(*offer).or_default() += 1;
            }
            for (offer, count) in counts {
                placed += count as usize;
                let lay = self.lay.get(&(offer, crossing)).copied().unwrap_or(0);
                kept += count.min(lay) as usize;
            }
        }
        self.before + placed - 2 * kept
    }

    /// The price at which one change less outweighs all cost from the cheapest plan to the limit: if
    /// the best choice at this price keeps the limit, no plan within it changes less.
    pub fn deciding_price(&self, cheapest: Cents, limit: Cents) -> i64 {
        (limit - cheapest).0.saturating_mul(PARTS).saturating_add(1)
    }

    /// The price of change at which two plans are worth the same.
    pub fn price_between(&self, cheap: (Cents, usize), steady: (Cents, usize)) -> i64 {
        let fewer = cheap.1.saturating_sub(steady.1).max(1) as i64;
        (steady.0.0 - cheap.0.0) * PARTS / fewer
    }

    /// How many changes every plan within the limit has at least, if with this price of change none
    /// is below the bound.
    pub fn least(&self, price: i64, bound: i64, limit: Cents) -> usize {
        let over = bound - limit.0 * PARTS;
        let changes = over.div_euclid(price) + i64::from(over.rem_euclid(price) != 0);
        usize::try_from(self.before as i64 + changes).unwrap_or(0)
    }

    /// Whether an offer after the split is of a single car that lay somewhere.
    pub fn is_one(&self, offer: usize) -> bool {
        offer >= self.market.offers.len() && self.offers[offer].quantity == 1
    }

    /// The single cars that stay where they lay.
    pub fn stay(&self, choice: &Choice) -> Vec<usize> {
        let stays = |offer: &usize| {
            let chosen = self.home[*offer].and_then(|home| choice.crossings[home].as_ref());
            let mut decks = chosen.into_iter().flat_map(|chosen| chosen.decks.iter().flatten());
            self.is_one(*offer) && decks.any(|other| *other == self.behind[*offer])
        };
        (0..self.offers.len()).filter(stays).collect()
    }

    /// The choice at a price of change, as one of the market, and the bound in parts of a cent. None: no
    /// deck holds the cars that must stay.
    pub fn choose(&self, price: i64, kept: &Kept, effort: &Effort) -> Option<(Choice, i64)> {
        let (market, layouts) = self.at(price, kept)?;
        let mut choice = choose::choose(&market, effort);
        let bound = choice.bound.0;
        for (chosen, layouts) in choice.crossings.iter_mut().zip(&layouts) {
            let Some(chosen) = chosen else { continue };
            chosen.layout = layouts[chosen.layout];
        }
        for deck in choice.crossings.iter_mut().flatten().flat_map(|chosen| &mut chosen.decks) {
            for offer in deck.iter_mut() {
                *offer = self.behind[*offer];
            }
            deck.sort_unstable();
        }
        let mut spares: BTreeMap<usize, u32> = BTreeMap::new();
        for (offer, count) in &choice.spares {
            *spares.entry(self.behind[*offer]).or_default() += count;
        }
        choice.spares = spares.into_iter().collect();
        Some((choice, bound))
    }

    /// The market at a price of change, all money in parts of a cent. Budget and funds are left out:
    /// the choice found is held against them afterwards, and a bound without them is one with them.
    /// Beside it, per crossing the market's layout behind each of its own.
    fn at(&self, price: i64, kept: &Kept) -> Option<(Market, Vec<Vec<usize>>)> {
        let scaled = |cents: Cents| Cents(cents.0 * PARTS);
        let mut market = Market {
            offers: self.offers.clone(),
            budget: None,
            funds: Vec::new(),
            grants: Vec::new(),
            ..self.market.clone()
        };
        for offer in &mut market.offers {
            offer.price = scaled(offer.price);
            offer.stock_value = scaled(offer.stock_value);
            for quote in &mut offer.quotes {
                quote.price = scaled(quote.price);
                quote.stock_value = scaled(quote.stock_value);
            }
        }
        market.trips = market.trips.into_iter().map(scaled).collect();
        market.lots = market.lots.into_iter().map(|price| price.map(scaled)).collect();
        let mut all_layouts = Vec::new();
        for (crossing, demand) in market.crossings.iter_mut().enumerate() {
            for layout in &mut demand.layouts {
                layout.fixed = scaled(layout.fixed);
                for span in &mut layout.spans {
                    span.fixed = scaled(span.fixed);
                    let joints = span.rule.joints.iter_mut().flat_map(|joint| &mut joint.costs);
                    joints.chain(&mut span.rule.rails).for_each(|cost| *cost = scaled(*cost));
                    span.candidates = self.candidates(&span.candidates, crossing, price, kept);
                }
            }
            let cars =
                kept.iter().filter(|(car, stays)| **stays && self.home[**car] == Some(crossing));
            let cars: Vec<usize> = cars.map(|(car, _)| *car).collect();
            let layouts = std::mem::take(&mut demand.layouts).into_iter().enumerate();
            let mut held: Vec<(usize, LayoutDemand)> = layouts.collect();
            for car in cars {
                held = held.into_iter().flat_map(|layout| holding(layout, car)).collect();
                if held.is_empty() {
                    return None;
                }
            }
            let (layouts, demands) = held.into_iter().unzip();
            demand.layouts = demands;
            all_layouts.push(layouts);
        }
        Some((market, all_layouts))
    }

    /// The candidates of a span for the offers after the split.
    fn candidates(
        &self,
        of: &[Candidate],
        crossing: usize,
        price: i64,
        kept: &Kept,
    ) -> Vec<Candidate> {
        let mut by_offer: BTreeMap<usize, &Candidate> = BTreeMap::new();
        for candidate in of {
            by_offer.insert(candidate.offer, candidate);
        }
        let mut all = Vec::with_capacity(of.len());
        for (offer, behind) in self.behind.iter().enumerate() {
            let Some(candidate) = by_offer.get(behind) else { continue };
            let at_home = self.home[offer] == Some(crossing);
            if kept.get(&offer).is_some_and(|stays| *stays != at_home) {
                continue;
            }
            let change = if at_home { -price } else { price };
            let cost = Cents(candidate.cost.0 * PARTS + change);
            let haul = candidate.haul.as_ref().map(|haul| haul.times(PARTS));
            all.push(Candidate { offer, cost, haul, ..(*candidate).clone() });
        }
        all
    }
}

/// A layout once for each span that may hold a car, which then must.
fn holding((number, layout): (usize, LayoutDemand), car: usize) -> Vec<(usize, LayoutDemand)> {
    let may = |span: &SpanDemand| span.candidates.iter().any(|candidate| candidate.offer == car);
    let spans = (0..layout.spans.len()).filter(|span| may(&layout.spans[*span]));
    let with = |span: usize| {
        let mut layout = layout.clone();
        layout.spans[span].holds.push(car);
        (number, layout)
    };
    spans.map(with).collect()
}

/// How many cars of each offer lay at each crossing: of cars that were one row when the previous
/// plan was made, those that are owned now come first.
fn lay(inputs: &Inputs, market: &Market, previous: &Previous) -> BTreeMap<(usize, usize), u32> {
    let mut left: Vec<u32> = market.offers.iter().map(|offer| offer.quantity).collect();
    let mut rows: Vec<CarIx> = inputs.car_indices().collect();
    rows.sort_by_key(|car| (!inputs.car(*car).owned, *car));
    let mut lay = BTreeMap::new();
    for Assignment { crossing, dealer, car } in &previous.assignments {
        let at = inputs.crossing_indices().find(|ix| inputs.crossing(*ix).id == *crossing);
        let Some(CrossingIx(at)) = at else { continue };
        let of = |ix: &&CarIx| {
            let row = inputs.car(**ix);
            let named = row.id == *car || inputs.first_id(**ix) == car;
            row.dealer == *dealer && named && left[ix.0] > 0
        };
        if let Some(&CarIx(row)) = rows.iter().find(of) {
            left[row] -= 1;
            *lay.entry((row, at)).or_insert(0) += 1;
        }
    }
    lay
}
