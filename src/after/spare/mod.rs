//! Spare and risk: which chosen cars have no substitute, and the cheapest purchase beyond the plan
//! with which all its crossings are still served if any one car fails its inspection.
//!
//! A failure is one car of the plan that turns out useless; all cars bought, the spares among them,
//! may then be laid anew at any crossing that the plan serves. What is counted is the purchase alone:
//! prices, whole lots and trips to further yards. What hauls and decks come to after a failure is
//! not known before it.
//!
//! For each car the cheapest spares against its failure alone are found exactly (`substitute`), or, where the
//! time is up before, between which sums they lie. The purchase against all of them is found from its
//! needs: sets of things of which every such purchase holds one (`cheapest`). The cheapest purchase
//! that meets all needs known (`cover`) is a bound; if it covers every failure it is the answer, else
//! each failure that it does not cover gives a further need.

mod cheapest;
mod cover;
mod desk;
mod lay;
mod substitute;

use std::sync::atomic::{AtomicUsize, Ordering};

use crate::choose::{Choice, Effort, Market};
use crate::deadline::Deadline;
use crate::parallel;
use crate::quantity::Cents;
use desk::Desk;

/// What the failure of one car of the plan comes to.
#[derive(Clone, Debug, PartialEq)]
pub struct Failure {
    /// The offer whose car fails.
    pub offer: usize,
    /// What would cover it.
    pub substitute: Substitute,
    /// No purchase that covers it costs less.
    pub least: Cents,
    /// Whether the substitute is proven to be the cheapest, or that there is none.
    pub proven: bool,
}

/// What covers a failure.
#[derive(Clone, Debug, PartialEq)]
pub enum Substitute {
    /// The cars bought are enough, laid anew.
    OwnCars,
    /// These bought beside them.
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
    /// None was found before the time was up.
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
    /// Whether each substitute is proven.
    pub proven: bool,
}

impl Spares {
    /// Whether the purchase is proven cheapest.
    #[must_use]
    pub fn is_cheapest(&self) -> bool {
        self.proven && self.premium == self.bound
    }
}

/// The spares of a choice. Lots are taken whole. `progress` hears how many failures are looked into, of how
/// many.
///
/// Two thirds of the time limit of the effort go to the failures one by one, shared out among those that are
/// left; the rest to the purchase against all of them.
#[must_use]
pub fn spares(
    market: &Market,
    choice: &Choice,
    effort: &Effort<'_>,
    progress: &(dyn Fn(usize, usize) + Sync),
) -> Spares {
    let end = effort.deadline();
    let first = effort.time_limit.map_or(end, |limit| end.or_after(limit * 2 / 3));
    let desk = Desk::new(market, choice);
    let share = Share { end: first, left: AtomicUsize::new(desk.placed.len()) };
    let one = |offer: &usize| substitute::failure(&desk, *offer, &share.next());
    let failures = parallel::map(&desk.placed, one, progress);
    let found = cheapest::against_all(&desk, &failures, end);
    let premium = desk.cost(&found.purchase);
    Spares {
        cars: found.purchase.cars,
        lots: found.purchase.lots.into_iter().collect(),
        premium,
        bound: found.bound.min(premium),
        proven: failures.iter().all(|failure| failure.proven),
        failures,
    }
}

/// Time shared out among failures that are looked into several at once.
struct Share<'a> {
    end: Deadline<'a>,
    left: AtomicUsize,
}

impl<'a> Share<'a> {
    /// When the next one is to end: what one leaves over goes to those after it.
    fn next(&self) -> Deadline<'a> {
        let left = self.left.fetch_sub(1, Ordering::Relaxed).max(1);
        let rounds = left.div_ceil(parallel::processors()) as u32;
        self.end.left().map_or(self.end, |time| self.end.or_after(time / rounds))
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
