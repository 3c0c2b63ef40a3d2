//! The market after the plan is bought, in which one car fails and only purchases cost anything.

use std::collections::BTreeSet;

use super::Substitute;
use super::lay::Lay;
use crate::choose::{self, Choice, Effort, Market, SpanDemand};
use crate::group::Candidate;
use crate::quantity::Cents;

/// Spares.
#[derive(Clone, Debug, Default)]
pub(super) struct Purchase {
    pub cars: Vec<usize>,
    pub lots: BTreeSet<usize>,
}

/// The market in which only purchases cost anything.
pub(super) struct Desk<'a> {
    pub market: &'a Market,
    pub effort: Effort<'a>,
    /// Offers in the plan's decks, each once.
    pub placed: Vec<usize>,
    /// Cars of each offer that the plan owns once it is bought.
    pub owned: Vec<u32>,
    /// Lots that the plan buys.
    pub lots: BTreeSet<usize>,
    /// Yards that the plan visits.
    pub visited: Vec<bool>,
    /// Crossings that the plan serves.
    served: Vec<bool>,
    /// Its decks with their spans.
    pub decks: Vec<(&'a SpanDemand, Vec<usize>)>,
    /// How decks may be laid anew; none where there are too many ways.
    lay: Option<Lay>,
}

impl<'a> Desk<'a> {
    pub fn new(market: &'a Market, choice: &Choice, effort: Effort<'a>) -> Self {
        let mut owned = vec![0; market.offers.len()];
        let decks = choice.crossings.iter().flatten().flat_map(|chosen| &chosen.decks);
        for offer in decks.flatten() {
            owned[*offer] += 1;
        }
        let placed = (0..owned.len()).filter(|offer| owned[*offer] > 0).collect();
        for (offer, count) in &choice.spares {
            owned[*offer] += count;
        }
        let lots: BTreeSet<usize> = choice.lots.iter().copied().collect();
        let mut visited = vec![false; market.trips.len()];
        for (offer, terms) in market.offers.iter().enumerate() {
            if terms.lot.is_some_and(|lot| lots.contains(&lot)) {
                owned[offer] = terms.quantity;
            }
            visited[terms.yard] |= owned[offer] > 0;
        }
        let served: Vec<bool> = choice.crossings.iter().map(Option::is_some).collect();
        let of_crossings = market.crossings.iter().zip(&choice.crossings);
        let decks = of_crossings.flat_map(|(demand, chosen)| {
            let chosen = chosen.iter().flat_map(|chosen| {
                demand.layouts[chosen.layout].spans.iter().zip(chosen.decks.iter().cloned())
            });
            chosen.collect::<Vec<_>>()
        });
        let decks = decks.collect();
        let lay = Lay::new(market, &served);
        Self { market, effort, placed, owned, lots, visited, served, decks, lay }
    }

    /// Cars of each offer once the plan and these spares are bought.
    fn with(&self, purchase: &Purchase) -> Vec<u32> {
        let mut owned = self.owned.clone();
        purchase.cars.iter().for_each(|offer| owned[*offer] += 1);
        for (offer, terms) in self.market.offers.iter().enumerate() {
            if terms.lot.is_some_and(|lot| purchase.lots.contains(&lot)) {
                owned[offer] = terms.quantity;
            }
        }
        owned
    }

    /// The market after the plan and these spares are bought: what is owned stands in offers at the
    /// end, at no price; the rest is for sale. `map` leads from its offers to those of the market.
    fn after(&self, failed: usize, purchase: &Purchase) -> (Market, Vec<usize>) {
        let market = self.market;
        let owned = self.with(purchase);
        let mut visited = self.visited.clone();
        for (terms, owned) in market.offers.iter().zip(&owned) {
            visited[terms.yard] |= *owned > 0;
        }
        let mut offers = market.offers.clone();
        for (offer, terms) in offers.iter_mut().enumerate() {
            terms.quantity -= owned[offer].min(terms.quantity);
            terms.stock_value = Cents::ZERO;
            terms.price = terms.quotes.first().map_or(terms.price, |quote| quote.price);
            terms.quotes.clear();
        }
        let mut map: Vec<usize> = (0..offers.len()).collect();
        let mut at = vec![None; offers.len()];
        for (offer, count) in owned.iter().enumerate() {
            let left = count - u32::from(offer == failed);
            if left > 0 {
                at[offer] = Some(offers.len());
                map.push(offer);
                offers.push(choose::Offer {
                    quantity: left,
                    yard: market.trips.len(),
                    lot: None,
                    price: Cents::ZERO,
                    stock_value: Cents::ZERO,
                    quotes: Vec::new(),
                });
            }
        }
        let mut crossings = market.crossings.clone();
        for (demand, served) in crossings.iter_mut().zip(&self.served) {
            if !served {
                demand.layouts.clear();
            }
            for layout in &mut demand.layouts {
                layout.fixed = Cents::ZERO;
                for span in &mut layout.spans {
                    span.fixed = Cents::ZERO;
                    // A car that was to lie here by decision is not asked for when it has failed.
                    span.holds.clear();
                    span.rule.rails.clear();
                    span.rule.joints.iter_mut().for_each(|joint| joint.costs.clear());
                    let own: Vec<_> = span
                        .candidates
                        .iter()
                        .filter_map(|candidate| {
                            let offer = at[candidate.offer]?;
                            Some(Candidate { offer, ..candidate.clone() })
                        })
                        .collect();
                    span.candidates.extend(own);
                    for candidate in &mut span.candidates {
                        candidate.cost = Cents::ZERO;
                        candidate.haul = None;
                    }
                }
            }
        }
        let trips = market.trips.iter().zip(&visited);
        let trips = trips.map(|(trip, visited)| if *visited { Cents::ZERO } else { *trip });
        let sold = market.lots.iter().enumerate();
        let sold = sold.map(|(lot, price)| {
            price.filter(|_| !self.lots.contains(&lot) && !purchase.lots.contains(&lot))
        });
        let after = Market {
            offers,
            trips: trips.chain([Cents::ZERO]).collect(),
            levels: Vec::new(),
            fillers: Vec::new(),
            lots: sold.collect(),
            crossings,
            budget: None,
            funds: Vec::new(),
            grants: Vec::new(),
        };
        (after, map)
    }

    /// The cheapest purchase that covers the failure of one car; and whether that is proven.
    ///
    /// Most often one car takes the place of the failed one. It is the cheapest substitute if all that costs
    /// less than it, bought together, would not cover the failure either.
    pub fn substitute(&self, failed: usize) -> (Substitute, bool) {
        let (served, sure) = self.serves(failed, &Purchase::default(), usize::MAX);
        if served {
            return (Substitute::OwnCars, sure);
        }
        if let Some((cost, offer)) = self.one_for_one(failed) {
            let (served, sure) = self.serves(failed, &self.all_below(cost), usize::MAX);
            if !served {
                return (Substitute::Buy { cars: vec![offer], lots: Vec::new(), cost }, sure);
            }
        }
        self.search(failed)
    }

    /// Whether the cars owned, with these spares, serve every crossing of the plan without the
    /// failed car; and whether that is sure.
    pub fn serves(&self, failed: usize, purchase: &Purchase, nodes: usize) -> (bool, bool) {
        let mut left = self.with(purchase);
        left[failed] -= 1;
        if let Some(served) = self.lay.as_ref().and_then(|lay| lay.possible(&left)) {
            return (served, true);
        }
        let (mut market, _) = self.after(failed, purchase);
        for offer in &mut market.offers[..self.market.offers.len()] {
            offer.quantity = 0;
        }
        match choose::all_served(&market, &self.effort, nodes) {
            Some(served) => (served, true),
            None => (false, false),
        }
    }

    /// The cheapest single car that fits into a deck of the failed one in its place, with its cost.
    fn one_for_one(&self, failed: usize) -> Option<(Cents, usize)> {
        let (span, deck) = self.decks.iter().find(|(_, deck)| deck.contains(&failed))?;
        let candidate = |offer: usize| span.candidates.iter().find(|c| c.offer == offer);
        let mut others = deck.clone();
        others.remove(others.iter().position(|offer| *offer == failed)?);
        let others: Vec<&Candidate> = others.into_iter().filter_map(candidate).collect();
        let mut best: Option<(Cents, usize)> = None;
        for candidate in &span.candidates {
            let offer = candidate.offer;
            let terms = &self.market.offers[offer];
            if terms.lot.is_some() || self.owned[offer] >= terms.quantity {
                continue;
            }
            let mut cars = others.clone();
            cars.push(candidate);
            if span.rule.admits(&cars).is_some() {
                let cost = self.cost(&Purchase { cars: vec![offer], ..Purchase::default() });
                best = Some(best.map_or((cost, offer), |best| best.min((cost, offer))));
            }
        }
        best
    }

    /// Everything on offer that costs less than so much by itself.
    fn all_below(&self, cost: Cents) -> Purchase {
        let mut all = Purchase::default();
        for (offer, terms) in self.market.offers.iter().enumerate() {
            let left = terms.quantity.saturating_sub(self.owned[offer]);
            if terms.lot.is_none() && self.price(offer) < cost {
                all.cars.extend(std::iter::repeat_n(offer, left as usize));
            }
        }
        let lots = self.market.lots.iter().enumerate();
        all.lots.extend(
            lots.filter(|(_, price)| price.is_some_and(|price| price < cost)).map(|(lot, _)| lot),
        );
        all
    }

    /// As [`substitute`](Self::substitute), by choosing from everything on offer.
    fn search(&self, failed: usize) -> (Substitute, bool) {
        let (market, map) = self.after(failed, &Purchase::default());
        let choice = choose::choose(&market, &self.effort);
        let proven = choice.service && choice.cheapest;
        let lost =
            choice.crossings.iter().zip(&self.served).any(|(c, served)| *served && c.is_none());
        if lost {
            return (Substitute::Nothing, proven);
        }
        let first_owned = self.market.offers.len();
        let decks = choice.crossings.iter().flatten().flat_map(|chosen| &chosen.decks);
        let mut cars: Vec<usize> = decks
            .flatten()
            .filter(|offer| **offer < first_owned && market.offers[**offer].lot.is_none())
            .map(|offer| map[*offer])
            .collect();
        cars.sort_unstable();
        if cars.is_empty() && choice.lots.is_empty() {
            return (Substitute::OwnCars, proven);
        }
        let cost = choice.net;
        (Substitute::Buy { cars, lots: choice.lots, cost }, proven)
    }

    /// The price of one car; where its yard has several, the dearest.
    pub fn price(&self, offer: usize) -> Cents {
        let terms = &self.market.offers[offer];
        terms.quotes.first().map_or(terms.price, |quote| quote.price)
    }

    /// What spares cost: prices, lots, and trips to yards that the plan does not visit.
    pub fn cost(&self, purchase: &Purchase) -> Cents {
        let cars: Cents = purchase.cars.iter().map(|offer| self.price(*offer)).sum();
        let lots: Cents =
            purchase.lots.iter().map(|lot| self.market.lots[*lot].unwrap_or_default()).sum();
        let mut visited = self.visited.clone();
        let mut trips = Cents::ZERO;
        for (offer, terms) in self.market.offers.iter().enumerate() {
            let bought = purchase.cars.contains(&offer)
                || terms.lot.is_some_and(|lot| purchase.lots.contains(&lot));
            if bought && !visited[terms.yard] {
                visited[terms.yard] = true;
                trips += self.market.trips[terms.yard];
            }
        }
        cars + lots + trips
    }
}
