//! What covers the failure of one car: the cheapest purchase, or between which sums it lies.
//!
//! A purchase is made of things: cars sold singly, and lots. Let the things on offer stand in the order of
//! what each costs by itself. If all that come before one, bought together, do not cover the failure, every
//! purchase that does holds that one or one that costs more. So halving the list tells the least that a
//! purchase may cost. From there on the things are tried one by one. The first that covers the failure by
//! itself is the cheapest single thing; a purchase of several costs at least the first one reached and the
//! cheapest of all together. What is left open by that is searched for by choosing from everything.

use super::desk::{Desk, Purchase};
use super::{Failure, Substitute};
use crate::deadline::Deadline;
use crate::quantity::Cents;

/// What covers the failure of a car of this offer, as far as that can be found out by then.
pub(super) fn failure(desk: &Desk, offer: usize, end: &Deadline<'_>) -> Failure {
    let nothing = |least: Cents, proven: bool| Failure {
        offer,
        substitute: if proven { Substitute::Nothing } else { Substitute::Unknown },
        least,
        proven,
    };
    let own = desk.serves(offer, &Purchase::default(), usize::MAX, end);
    if own == Some(true) {
        return Failure {
            offer,
            substitute: Substitute::OwnCars,
            least: Cents::ZERO,
            proven: true,
        };
    }
    let mut found = Best::default();
    if let Some((cost, car)) = desk.one_for_one(offer) {
        found.see(cost, Purchase { cars: vec![car], ..Purchase::default() });
    }
    let singles = desk.singles();
    if own == Some(false) {
        let first = first_needed(desk, offer, &singles, &found, end);
        if first == singles.len() {
            return nothing(Cents::ZERO, true);
        }
        let mut at = first;
        // Every single thing before `at` is known not to cover the failure.
        while at < singles.len() && found.cost.is_none_or(|cost| singles[at].0 < cost) {
            match desk.serves(offer, &singles[at].1, usize::MAX, end) {
                Some(true) => found.see(singles[at].0, singles[at].1.clone()),
                Some(false) => at += 1,
                None => break,
            }
        }
        // Of several things one is no cheaper than the first needed, another no cheaper than the cheapest.
        let several = singles[first].0 + cheapest_more(desk, &singles);
        let one = singles.get(at).map_or(several, |single| single.0);
        found.least = several.min(one).max(singles[first].0);
    }
    if found.is_proven() || end.has_passed() {
        return found.told(offer);
    }
    let (purchase, bound, sure) = desk.search(offer, end);
    found.least = found.least.max(bound);
    match purchase {
        Some(purchase) if purchase.is_empty() => {
            Failure { offer, substitute: Substitute::OwnCars, least: Cents::ZERO, proven: true }
        }
        Some(purchase) => {
            found.see(desk.cost(&purchase), purchase);
            found.told(offer)
        }
        None if found.cost.is_some() => found.told(offer),
        None => nothing(found.least, sure),
    }
}

/// A place in the list such that all things before it, bought together, do not cover the failure: every
/// purchase that covers it holds a thing from there on. The number of things if not even all of them do.
fn first_needed(
    desk: &Desk,
    failed: usize,
    singles: &[(Cents, Purchase)],
    found: &Best,
    end: &Deadline<'_>,
) -> usize {
    // What is dearer than a purchase known need not be looked at.
    let enough = |single: &(Cents, Purchase)| found.cost.is_some_and(|cost| single.0 >= cost);
    let cheaper = singles.iter().position(enough).unwrap_or(singles.len());
    let (mut low, mut high) = (0, cheaper + 1);
    // The first `low` do not cover it.
    while high - low > 1 {
        let middle = low + (high - low) / 2;
        match desk.serves(failed, &desk.all_of(&singles[..middle]), usize::MAX, end) {
            Some(false) => low = middle,
            Some(true) => high = middle,
            None if end.has_passed() => break,
            None => high = middle,
        }
    }
    low
}

/// What a thing more costs at least: the trip to its yard may be paid by another.
fn cheapest_more(desk: &Desk, singles: &[(Cents, Purchase)]) -> Cents {
    let price = |purchase: &Purchase| -> Cents {
        let cars = purchase.cars.iter().map(|offer| desk.price(*offer));
        let lots = purchase.lots.iter().map(|lot| desk.market.lots[*lot].unwrap_or_default());
        cars.chain(lots).sum()
    };
    singles.iter().map(|(_, purchase)| price(purchase)).min().unwrap_or_default()
}

/// The cheapest purchase so far, and what any costs at least.
#[derive(Default)]
struct Best {
    cost: Option<Cents>,
    purchase: Purchase,
    least: Cents,
}

impl Best {
    fn see(&mut self, cost: Cents, purchase: Purchase) {
        if self.cost.is_none_or(|known| cost < known) {
            (self.cost, self.purchase) = (Some(cost), purchase);
        }
    }

    fn is_proven(&self) -> bool {
        self.cost.is_some_and(|cost| cost <= self.least)
    }

    fn told(self, offer: usize) -> Failure {
        let proven = self.is_proven();
        let substitute = match self.cost {
            Some(cost) => Substitute::Buy {
                cars: self.purchase.cars,
                lots: self.purchase.lots.into_iter().collect(),
                cost,
            },
            None => Substitute::Unknown,
        };
        let least = self.cost.map_or(self.least, |cost| self.least.min(cost));
        Failure { offer, substitute, least, proven }
    }
}
