//! Of plans that cost the same, one that gives the earlier crossings the earlier cars: which of
//! several equal plans a search meets first is a matter of its steps, not of the inputs.

use std::collections::BTreeMap;

use crate::choose::clock::Clock;
use crate::choose::market::{Choice, Market};
use crate::choose::plan::totals::totals;
use crate::choose::tuning::EXCHANGES_MOST;

use crate::group::Candidate;

/// A deck by its crossing and span.
type Place = (usize, usize);

/// The choice with cars exchanged as long as that costs nothing and an earlier deck gets an earlier
/// offer: for a car that a later deck has, or for one like it in price, yard and lot that is left; or
/// until the time is up.
pub fn first_by_name(market: &Market, choice: Choice, clock: &Clock) -> Choice {
    let Some(cost) = totals(market, &choice) else { return choice };
    let mut state = Exchanges::new(market, choice);
    let places: Vec<Place> = state.cars.keys().copied().collect();
    let mut trials = EXCHANGES_MOST;
    for place in places {
        let mut at = 0;
        while let Some(&offer) = state.deck(place).get(at) {
            let better = state.exchanges(place, offer).find(|trial| {
                trials = trials.saturating_sub(1);
                trials > 0 && !clock.is_past_limit() && totals(market, trial) == Some(cost)
            });
            match better {
                // The deck is in order again, so that its first car may be another now.
                Some(better) => (state.choice, at) = (better, 0),
                None => at += 1,
            }
        }
        if trials == 0 || clock.is_past_limit() {
            break;
        }
    }
    state.choice
}

/// A choice with the cars that may lie in each of its decks.
struct Exchanges<'a> {
    market: &'a Market,
    choice: Choice,
    cars: BTreeMap<Place, BTreeMap<usize, &'a Candidate>>,
}

impl<'a> Exchanges<'a> {
    fn new(market: &'a Market, choice: Choice) -> Self {
        let mut cars = BTreeMap::new();
        for (crossing, (demand, chosen)) in
            market.crossings.iter().zip(&choice.crossings).enumerate()
        {
            let layout = chosen.as_ref().and_then(|chosen| demand.layouts.get(chosen.layout));
            for (span, demand) in layout.into_iter().flat_map(|layout| &layout.spans).enumerate() {
                let of_span = demand.candidates.iter().map(|car| (car.offer, car)).collect();
                cars.insert((crossing, span), of_span);
            }
        }
        Self { market, choice, cars }
    }

    fn deck(&self, (crossing, span): Place) -> &[usize] {
        let chosen = self.choice.crossings.get(crossing).and_then(Option::as_ref);
        chosen.and_then(|chosen| chosen.decks.get(span)).map_or(&[], Vec::as_slice)
    }

    /// The decks of each offer that is placed.
    fn placed(&self) -> BTreeMap<usize, Vec<Place>> {
        let mut placed: BTreeMap<usize, Vec<Place>> = BTreeMap::new();
        for &place in self.cars.keys() {
            for &offer in self.deck(place) {
                placed.entry(offer).or_default().push(place);
            }
        }
        placed
    }

    /// The choices in which a deck has an earlier offer in the place of this one, by that offer.
    fn exchanges(&self, place: Place, offer: usize) -> impl Iterator<Item = Choice> + '_ {
        let placed = self.placed();
        let earlier = self.cars[&place].range(..offer).map(|(&earlier, _)| earlier);
        earlier.flat_map(move |earlier| {
            let decks = placed.get(&earlier).map_or(&[][..], Vec::as_slice);
            let left = decks.len() < self.market.offers[earlier].quantity as usize
                && self.is_like(place, offer, earlier);
            let left = left.then(|| self.with(&[(place, offer, earlier)]));
            let later = decks.iter().filter(|later| **later > place);
            let swaps = later
                .filter(|later| self.swap_is_free(place, offer, **later, earlier))
                .map(|later| self.with(&[(place, offer, earlier), (*later, earlier, offer)]));
            left.into_iter().chain(swaps).collect::<Vec<_>>()
        })
    }

    /// Whether both cars may lie in both decks for the same sum.
    fn swap_is_free(&self, here: Place, offer: usize, there: Place, earlier: usize) -> bool {
        let cost = |place: Place, offer: usize| self.cars[&place].get(&offer).map(|car| car.cost);
        let sum = |a: Option<_>, b: Option<_>| Some(a? + b?);
        let now = sum(cost(here, offer), cost(there, earlier));
        now.is_some() && now == sum(cost(here, earlier), cost(there, offer))
    }

    /// Whether two cars are alike in all that is paid for them here.
    fn is_like(&self, place: Place, offer: usize, earlier: usize) -> bool {
        let (one, other) = (&self.market.offers[offer], &self.market.offers[earlier]);
        let terms = |offer: &crate::choose::market::Offer| {
            (offer.yard, offer.lot, offer.price, offer.stock_value)
        };
        let cars = &self.cars[&place];
        terms(one) == terms(other)
            && one.quotes == other.quotes
            && cars[&offer].cost == cars[&earlier].cost
    }

    /// The choice with other cars in some decks: place, car that goes, car that comes.
    fn with(&self, changes: &[(Place, usize, usize)]) -> Choice {
        let mut choice = self.choice.clone();
        for &((crossing, span), goes, comes) in changes {
            let chosen = choice.crossings.get_mut(crossing).and_then(Option::as_mut);
            let Some(deck) = chosen.and_then(|chosen| chosen.decks.get_mut(span)) else { continue };
            if let Some(car) = deck.iter_mut().find(|car| **car == goes) {
                *car = comes;
            }
            deck.sort_unstable();
        }
        choice
    }
}
