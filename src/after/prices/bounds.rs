//! What is known of prices to beat without choosing again.

use super::priced::Priced;
use super::{Found, Subject};
use crate::choose::{self, Choice, Effort, Floor, Market};
use crate::deadline::Deadline;
use crate::quantity::Cents;

/// The bounds of a market.
pub(super) struct Bounds {
    floor: Option<Floor>,
    /// For each row what a plan with a car of it costs at least, were that car a gift; none: no less
    /// than the plan.
    if_free: Vec<Option<Cents>>,
}

impl Bounds {
    pub fn new(market: &Market, choice: &Choice, deadline: Deadline) -> Self {
        let floor = Floor::new(market, choice, deadline);
        let if_free = floor.as_ref().map(Floor::bounds_if_free).unwrap_or_default();
        Self { floor, if_free }
    }

    /// Why a row that is not in the plan would not be used even as a gift, if the bounds tell. Of a
    /// row of several cars all have the one price, of which the bounds know nothing.
    pub fn never(&self, priced: &Priced) -> Option<Found> {
        let (Subject::Row(car), market) = (priced.subject, priced.market) else { return None };
        let too_dear = priced.is_one_car() && self.if_free.get(car.0).is_some_and(Option::is_none);
        if self.floor.is_some() && !too_dear {
            return None;
        }
        let mut crossings = 0..market.crossings.len();
        if crossings.any(|crossing| has_deck(market, crossing, car.0)) {
            return too_dear.then_some(Found::ByBound);
        }
        Some(Found::NoDeck)
    }

    /// From what to choose again at other terms of a single car.
    pub fn floor(&self, priced: &Priced) -> Option<(&Floor, usize)> {
        let Subject::Row(car) = priced.subject else { return None };
        self.floor.as_ref().filter(|_| priced.is_one_car()).map(|floor| (floor, car.0))
    }

    /// What a plan with this car costs at least, were it a gift.
    pub fn gift(&self, car: usize) -> Option<Cents> {
        self.if_free.get(car).copied().flatten()
    }

    /// What a plan without this car costs at least.
    pub fn without(&self, car: usize) -> Option<Cents> {
        self.floor.as_ref().map(|floor| floor.without(car, 1))
    }
}

/// Whether some deck of a crossing holds this car, were all others to be had.
fn has_deck(market: &Market, crossing: usize, car: usize) -> bool {
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
        return false;
    }
    let only = Market {
        crossings: vec![choose::Demand { layouts, ..demand.clone() }],
        levels: Vec::new(),
        fillers: Vec::new(),
        budget: None,
        funds: Vec::new(),
        grants: Vec::new(),
        ..market.clone()
    };
    choose::all_served(&only, &Effort::default(), usize::MAX) == Some(true)
}
