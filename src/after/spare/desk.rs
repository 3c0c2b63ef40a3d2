//! The market after the plan is bought, in which one car fails and only purchases cost anything.

use std::collections::BTreeSet;

use super::lay::Lay;
use crate::choose::{self, Choice, Effort, Market, SpanDemand};
use crate::deadline::Deadline;
use crate::group::Candidate;
use crate::quantity::Cents;

/// Spares.
#[derive(Clone, Debug, Default, PartialEq)]
pub(super) struct Purchase {
    pub cars: Vec<usize>,
    pub lots: BTreeSet<usize>,
}

impl Purchase {
    /// Whether nothing is bought.
    pub fn is_empty(&self) -> bool {
        self.cars.is_empty() && self.lots.is_empty()
    }
}

/// The market in which only purchases cost anything.
pub(super) struct Desk<'a> {
    pub market: &'a Market,
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
    pub fn new(market: &'a Market, choice: &Choice) -> Self {
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
        let all: Vec<u32> = market.offers.iter().map(|offer| offer.quantity).collect();
        let lay = Lay::new(market, &served, &all);
        Self { market, placed, owned, lots, visited, served, decks, lay }
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

    /// Whether the cars owned, with these spares, serve every crossing of the plan without the
    /// failed car; none: that could not be found out by then, or in so many nodes.
    pub fn serves(
        &self,
        failed: usize,
        purchase: &Purchase,
        nodes: usize,
        end: &Deadline<'_>,
    ) -> Option<bool> {
        if end.has_passed() {
            return None;
        }
        let mut left = self.with(purchase);
        left[failed] -= 1;
        let known = match &self.lay {
            Some(lay) => lay.possible(&left),
            None => Lay::new(self.market, &self.served, &left).and_then(|lay| lay.possible(&left)),
        };
        if known.is_some() {
            return known;
        }
        let (mut market, _) = self.after(failed, purchase);
        for offer in &mut market.offers[..self.market.offers.len()] {
            offer.quantity = 0;
        }
        choose::all_served(&market, &Effort::until(end), nodes)
    }

    /// The things on offer beside the plan, each one at a time, with what it costs, the cheapest first.
    pub fn singles(&self) -> Vec<(Cents, Purchase)> {
        let offers =
            self.market.offers.iter().enumerate().filter(|(offer, terms)| {
                terms.lot.is_none() && self.owned[*offer] < terms.quantity
            });
        let cars = offers.map(|(offer, _)| Purchase { cars: vec![offer], ..Purchase::default() });
        let lots = self.market.lots.iter().enumerate();
        let lots = lots.filter(|(lot, price)| price.is_some() && !self.lots.contains(lot));
        let lots = lots.map(|(lot, _)| Purchase { lots: [lot].into(), ..Purchase::default() });
        let with_cost = |purchase: Purchase| (self.cost(&purchase), purchase);
        let mut singles: Vec<_> = cars.chain(lots).map(with_cost).collect();
        singles.sort_by_key(|(cost, _)| *cost);
        singles
    }

    /// All of each of these things.
    pub fn all_of(&self, singles: &[(Cents, Purchase)]) -> Purchase {
        let mut all = Purchase::default();
        for (_, single) in singles {
            for &offer in &single.cars {
                let left = self.market.offers[offer].quantity.saturating_sub(self.owned[offer]);
                all.cars.extend(std::iter::repeat_n(offer, left as usize));
            }
            all.lots.extend(&single.lots);
        }
        all
    }

    /// The cheapest single car that fits into a deck of the failed one in its place, with its cost.
    pub fn one_for_one(&self, failed: usize) -> Option<(Cents, usize)> {
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

    /// The cheapest purchase that covers a failure, by choosing from everything on offer; none where
    /// there is none. With it what any such purchase costs at least, and whether that there is one, or none, is
    /// proven.
    pub fn search(&self, failed: usize, end: &Deadline<'_>) -> (Option<Purchase>, Cents, bool) {
        let (market, map) = self.after(failed, &Purchase::default());
        let choice = choose::choose(&market, &Effort::until(end));
        let lost =
            choice.crossings.iter().zip(&self.served).any(|(c, served)| *served && c.is_none());
        if lost {
            return (None, Cents::ZERO, choice.service);
        }
        let first_owned = self.market.offers.len();
        let decks = choice.crossings.iter().flatten().flat_map(|chosen| &chosen.decks);
        let mut cars: Vec<usize> = decks
            .flatten()
            .filter(|offer| **offer < first_owned && market.offers[**offer].lot.is_none())
            .map(|offer| map[*offer])
            .collect();
        cars.sort_unstable();
        let lots = choice.lots.iter().copied().collect();
        (Some(Purchase { cars, lots }), choice.bound, true)
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
