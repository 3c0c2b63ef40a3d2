//! Spare and risk: which chosen cars have no substitute, and the cheapest purchase beyond the plan
//! with which all its crossings are still served if any one car fails its inspection.
//!
//! A failure is one car of the plan that turns out useless; all cars bought, the spares among them,
//! may then be laid anew at any crossing that the plan serves. What is counted is the purchase alone:
//! prices, whole lots and trips to further yards. What hauls and decks come to after a failure is
//! not known before it.
//!
//! For each car the cheapest spares against its failure alone are found exactly: one car in its place,
//! if all that is cheaper would not do together; else by choosing again with everything bought at no
//! price and nothing else costing anything. The purchase against all of them is found from its
//! needs: sets of things of which every such purchase holds one (`cheapest`). The cheapest purchase
//! that meets all needs known (`cover`) is a bound; if it covers every failure it is the answer, else
//! each failure that it does not cover gives a further need.

mod cheapest;
mod cover;
mod desk;
mod lay;

use crate::choose::{Choice, Effort, Market};
use crate::quantity::Cents;
use desk::Desk;

/// What the failure of one car of the plan comes to.
#[derive(Clone, Debug, PartialEq)]
pub struct Failure {
    /// The offer whose car fails.
    pub offer: usize,
    /// What would cover it.
    pub substitute: Substitute,
}

/// What covers a failure.
#[derive(Clone, Debug, PartialEq)]
pub enum Substitute {
    /// The cars bought are enough, laid anew.
    OwnCars,
    /// These must be bought beside them, for this sum at least; exact.
    Buy {
        /// The cars, an offer once for each car.
        cars: Vec<usize>,
        /// Lots bought whole.
        lots: Vec<usize>,
        /// What the purchase costs.
        cost: Cents,
    },
    /// Nothing on offer: a crossing of the plan would go without.
    Nothing,
    /// Not looked into: the time was up.
    Unknown,
}

/// The spares against any one failure.
#[derive(Clone, Debug, PartialEq)]
pub struct Spares {
    /// Every car of the plan that is to be inspected: each offer once.
    pub failures: Vec<Failure>,
    /// Spare cars to buy singly, an offer once for each car.
    pub cars: Vec<usize>,
    /// Spare lots to buy.
    pub lots: Vec<usize>,
    /// What they cost.
    pub premium: Cents,
    /// No purchase that covers every failed car that can be covered costs less.
    pub bound: Cents,
    /// Whether every choice behind this was proven.
    pub proven: bool,
}

impl Spares {
    /// Whether the purchase is proven cheapest.
    #[must_use]
    pub fn is_cheapest(&self) -> bool {
        self.proven && self.premium == self.bound
    }
}

/// The spares of a choice. Lots are taken whole.
///
/// Half of the time limit of the effort goes to the failures one by one, the rest to the purchase against
/// all of them.
#[must_use]
pub fn spares(market: &Market, choice: &Choice, effort: &Effort<'_>) -> Spares {
    let end = effort.deadline();
    let half = effort.time_limit.map_or(end, |limit| end.or_after(limit / 2));
    let mut desk = Desk::new(market, choice, *effort);
    let mut proven = true;
    let mut failures = Vec::new();
    for offer in desk.placed.clone() {
        desk.effort.time_limit = half.left();
        let (substitute, sure) =
            if half.has_passed() { (Substitute::Unknown, false) } else { desk.substitute(offer) };
        proven &= sure;
        failures.push(Failure { offer, substitute });
    }
    desk.effort.time_limit = end.left();
    let found = cheapest::against_all(&desk, &failures);
    let premium = desk.cost(&found.purchase);
    Spares {
        cars: found.purchase.cars,
        lots: found.purchase.lots.into_iter().collect(),
        premium,
        bound: found.bound.min(premium),
        failures,
        proven,
    }
}

impl Substitute {
    fn cost(&self) -> Option<Cents> {
        match self {
            Self::Buy { cost, .. } => Some(*cost),
            Self::OwnCars | Self::Nothing | Self::Unknown => None,
        }
    }
}
