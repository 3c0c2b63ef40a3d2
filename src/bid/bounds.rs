//! What a plan with a certain car in it costs at least, without choosing again.
//!
//! Let the car lie at one crossing. The other crossings cost at least what they cost without that
//! crossing, every car theirs. That crossing costs at least what its cheapest deck with the car
//! costs, the car as a gift, trips and lots for nothing. If the two together are no less than the
//! plan without the car, at whichever crossing it lies, not even a gift would bring it in.
//!
//! This holds where the same crossings are served in either case: without a budget, and when those
//! that go without have no deck whatever cars cost.

use std::time::Duration;

use super::{Found, Subject};
use crate::choose::{self, Choice, Demand, Effort, Market, Merit, WhyUnserved, explain_unserved};
use crate::quantity::Cents;

/// The bounds of a market.
pub(super) struct Bounds {
    /// Per crossing what the others cost without it; none where it takes no part.
    others: Vec<Option<Cents>>,
    /// Whether the same crossings are served whatever one car costs.
    holds: bool,
}

impl Bounds {
    pub fn new(market: &Market, choice: &Choice, time_limit: Option<Duration>) -> Self {
        let served = |crossing: usize| choice.crossings[crossing].is_some();
        let hopeless = |crossing: usize| {
            matches!(
                explain_unserved(market, choice, crossing),
                WhyUnserved::NoCandidates { .. } | WhyUnserved::NoDeck { .. }
            )
        };
        let all = 0..market.crossings.len();
        let holds = market.budget.is_none()
            && choice.service
            && all.clone().all(|crossing| served(crossing) || hopeless(crossing));
        let others = |crossing: usize| {
            let mut rest = market.clone();
            rest.crossings[crossing].layouts.clear();
            (holds && served(crossing))
                .then(|| choose::choose(&rest, &Effort { time_limit, ..Effort::default() }).bound)
        };
        Self { others: all.map(others).collect(), holds }
    }

    /// Why a single car would not be used even as a gift, if the bounds tell.
    pub fn of(&self, market: &Market, subject: Subject, without: &Merit) -> Option<Found> {
        let Subject::Row(car) = subject else { return None };
        let alone = |crossing: usize| alone(market, crossing, car.0);
        if !self.holds {
            let none = (0..self.others.len()).all(|crossing| alone(crossing).is_none());
            return none.then_some(Found::NoDeck);
        }
        if market.offers[car.0].quantity > 1 {
            return None;
        }
        let mut least: Option<Cents> = None;
        for (crossing, others) in self.others.iter().enumerate() {
            let Some(others) = others else { continue };
            if let Some(own) = alone(crossing) {
                least = Some(least.map_or(*others + own, |least| least.min(*others + own)));
            }
        }
        match least {
            None => Some(Found::NoDeck),
            Some(least) => (least >= without.net).then_some(Found::ByBound),
        }
    }
}

/// What a crossing costs at least with this car in one of its decks; none where no deck holds it.
fn alone(market: &Market, crossing: usize, car: usize) -> Option<Cents> {
    let demand = &market.crossings[crossing];
    let mut layouts = Vec::new();
    for layout in &demand.layouts {
        for (span, demand) in layout.spans.iter().enumerate() {
            if demand.candidates.iter().any(|candidate| candidate.offer == car) {
                let mut variant = layout.clone();
                variant.spans[span].holds.push(car);
                layouts.push(variant);
            }
        }
    }
    if layouts.is_empty() {
        return None;
    }
    let mut offers = market.offers.clone();
    offers[car].price = Cents::ZERO;
    for offer in offers.iter_mut().filter(|offer| offer.lot.is_some()) {
        offer.stock_value = Cents::ZERO;
    }
    // At the lowest of its prices, with no number to buy, nothing costs more than in any plan.
    for offer in &mut offers {
        let lowest = offer.quotes.drain(..).map(|quote| quote.price).min();
        offer.price = lowest.unwrap_or(offer.price);
    }
    let only = Market {
        offers,
        levels: Vec::new(),
        trips: vec![Cents::ZERO; market.trips.len()],
        lots: market.lots.iter().map(|price| price.map(|_| Cents::ZERO)).collect(),
        crossings: vec![Demand { priority: demand.priority, points: demand.points, layouts }],
        budget: None,
    };
    let choice = choose::choose(&only, &Effort::default());
    choice.crossings[0].is_some().then_some(choice.bound)
}
