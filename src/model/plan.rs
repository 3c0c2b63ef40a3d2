//! The plan: what is bought, which deck each car goes to, what everything costs, and why.

mod costs;

pub use costs::{CostItem, CostLine, sum};

use serde::Serialize;

use super::index::{CarIx, CrossingIx, LotIx, Site, YardIx};
use super::inventory::Inventory;
use super::rules::FactKind;
use super::words;
use crate::check::{Check, Grade, Limit};
use crate::quantity::{Cents, Feet, Inches};

/// The joint of a deck: one type and one gap throughout.
#[derive(Clone, Debug, PartialEq, Serialize)]
pub struct JointUse {
    /// Name of the joint type in the rules.
    pub name: String,
    /// The gap between neighbors.
    #[serde(rename = "gap_in")]
    pub gap: Inches,
}

/// One car in a deck.
#[derive(Clone, Debug, PartialEq, Serialize)]
pub struct PlacedCar {
    /// The car.
    pub car: CarIx,
    /// Every check asked of the car on this span: screening and rating.
    pub checks: Vec<Check>,
}

/// The cars side by side over one span.
#[derive(Clone, Debug, PartialEq, Serialize)]
pub struct Deck {
    /// Where it lies.
    pub site: Site,
    /// The span, bearing to bearing.
    #[serde(rename = "span_ft")]
    pub span: Feet,
    /// The cars in order across the deck, left to right looking along the road.
    pub cars: Vec<PlacedCar>,
    /// The joint; none for a single car.
    pub joint: Option<JointUse>,
    /// Widths and gaps together.
    #[serde(rename = "total_width_ft")]
    pub total_width: Feet,
    /// Width required: clear width and rails.
    #[serde(rename = "required_width_ft")]
    pub required_width: Feet,
    /// The checks of the group.
    pub checks: Vec<Check>,
    /// The cars that come on one trailer together, by their places in `cars`, rising; all others come
    /// alone.
    #[serde(skip_serializing_if = "Vec::is_empty")]
    pub loads: Vec<Vec<usize>>,
}

impl Deck {
    /// The cars of a load.
    #[must_use]
    pub fn load(&self, places: &[usize]) -> Vec<CarIx> {
        places.iter().filter_map(|place| self.cars.get(*place)).map(|car| car.car).collect()
    }

    /// The load that the car at a place comes on with others; none: it comes alone.
    #[must_use]
    pub fn shared_load(&self, place: usize) -> Option<&[usize]> {
        self.loads.iter().find(|load| load.contains(&place)).map(Vec::as_slice)
    }
}

/// Another way to serve a crossing, everything else of the plan as it is.
#[derive(Clone, Debug, PartialEq, Serialize)]
pub struct Alternative {
    /// The layout of the alternative.
    pub layout: usize,
    /// The cars of its decks, span by span.
    pub decks: Vec<Vec<CarIx>>,
    /// What the plan's net cost would rise by.
    #[serde(rename = "extra_usd_cents")]
    pub extra: Cents,
}

/// A fact of a placed car that is enough to plan with and not enough to pay on.
#[derive(Clone, Debug, PartialEq)]
pub struct Confirmation {
    /// The span, from 0.
    pub span: usize,
    /// The car.
    pub car: CarIx,
    /// What it is found out with.
    pub kind: FactKind,
    /// The fact; of the plates their first column stands for all.
    pub fact: Inventory,
    /// How well it is known; none: it is not.
    pub now: Option<Grade>,
    /// How well it must be known.
    pub needed: Grade,
    /// What it must be for the car to lie here, all else as it is.
    pub value: Limit,
}

/// What follows if a placed car is refused, the rest of the plan as it is.
#[derive(Clone, Debug, PartialEq)]
pub enum IfRefused {
    /// The crossing gets these decks.
    Instead(Alternative),
    /// It goes without; what the plan's net cost changes by, where that can be told.
    Without(Option<Cents>),
    /// Not worked out: the time was up.
    NotWorkedOut,
}

/// A crossing that gets its bridge.
#[derive(Clone, Debug, PartialEq, Serialize)]
pub struct Served {
    /// The layout chosen.
    pub layout: usize,
    /// One deck per span.
    pub decks: Vec<Deck>,
    /// Every cost of this crossing, lot shares included, yard trips not.
    pub lines: Vec<CostLine>,
    /// The cheapest alternative found.
    pub alternative: Option<Alternative>,
    /// Whether no alternative costs less or, without one, there is none. If not, the time was up
    /// before that was known.
    pub alternative_proven: bool,
    /// What has to be confirmed before money is paid, span by span and car by car; none: the bridge
    /// is firm.
    #[serde(skip)]
    pub confirmations: Vec<Confirmation>,
    /// What follows if one of its cars is refused, each row once.
    #[serde(skip)]
    pub if_refused: Vec<(CarIx, IfRefused)>,
}

impl Served {
    /// Whether every check that decides it stands on facts that are enough to pay on.
    #[must_use]
    pub fn is_firm(&self) -> bool {
        self.confirmations.is_empty()
    }

    /// What follows if this car is refused.
    #[must_use]
    pub fn if_refused(&self, car: CarIx) -> Option<&IfRefused> {
        self.if_refused.iter().find(|(other, _)| *other == car).map(|(_, then)| then)
    }

    /// What the crossing costs in place.
    #[must_use]
    pub fn total(&self) -> Cents {
        sum(&self.lines)
    }
}

/// The car that comes nearest to serving a crossing.
#[derive(Clone, Debug, PartialEq, Serialize)]
pub struct NearMiss {
    /// The car.
    pub car: CarIx,
    /// The span it was tried on.
    pub site: Site,
    /// The checks that bar it.
    pub barred_by: Vec<Check>,
}

/// A crossing that goes without.
#[derive(Clone, Debug, PartialEq, Serialize)]
pub struct Unserved {
    /// The reasons, one check of the choosing stage at least.
    pub reasons: Vec<Check>,
    /// The nearest miss, where a car comes near.
    pub nearest: Option<NearMiss>,
}

/// What becomes of one crossing.
#[derive(Clone, Debug, PartialEq, Serialize)]
#[serde(rename_all = "snake_case", tag = "status")]
pub enum Fate {
    /// It gets its bridge.
    Served(Served),
    /// It goes without.
    Unserved(Unserved),
}

/// One crossing of the plan.
#[derive(Clone, Debug, PartialEq, Serialize)]
pub struct CrossingPlan {
    /// The crossing.
    pub crossing: CrossingIx,
    /// What becomes of it.
    #[serde(flatten)]
    pub fate: Fate,
}

impl CrossingPlan {
    /// The bridge, if it gets one.
    #[must_use]
    pub fn served(&self) -> Option<&Served> {
        match &self.fate {
            Fate::Served(served) => Some(served),
            Fate::Unserved(_) => None,
        }
    }
}

/// So many cars of one row.
#[derive(Clone, Copy, Debug, PartialEq, Eq, Serialize)]
pub struct CarCount {
    /// The row.
    pub car: CarIx,
    /// How many of its identical cars.
    pub count: u32,
}

/// A lot that is bought, with what becomes of its cars.
#[derive(Clone, Debug, PartialEq, Serialize)]
pub struct LotPurchase {
    /// The lot.
    pub lot: LotIx,
    /// Its price.
    #[serde(rename = "price_usd_cents")]
    pub price: Cents,
    /// Cars of the lot that go to crossings.
    pub placed: Vec<CarCount>,
    /// Cars of the lot that go nowhere.
    pub left_over: Vec<CarCount>,
    /// Lot shares and stock values of the left-over cars.
    pub left_over_lines: Vec<CostLine>,
}

/// What is bought at one yard, and what is taken there from the agency's own stock.
#[derive(Clone, Debug, PartialEq, Serialize)]
pub struct YardPurchase {
    /// The yard.
    pub yard: YardIx,
    /// Cars bought singly.
    pub singles: Vec<CarCount>,
    /// The price level at which is bought: which of the yard's; 0 where it has none.
    pub level: usize,
    /// Cars bought singly beyond what is placed, to reach the level.
    pub spares: Vec<CarCount>,
    /// Price, price break and stock value of each spare car.
    pub spare_lines: Vec<CostLine>,
    /// Cars of the agency's own that stand here and go to crossings.
    pub own: Vec<CarCount>,
    /// Lots bought whole.
    pub lots: Vec<LotPurchase>,
    /// The trip's cost line; none where nothing is bought.
    pub lines: Vec<CostLine>,
}

words! {
    /// What ended a search before everything was proven.
    Stop {
        /// The time limit.
        TimeLimit = "time limit",
        /// The plan is as near to the bound as was asked for.
        Gap = "gap",
        /// The user.
        Interrupt = "interrupt",
    }
}

/// What is known of the best possible plan.
#[derive(Clone, Copy, Debug, PartialEq, Eq, Serialize)]
pub struct Proof {
    /// No plan that serves the same priorities has a smaller net cost than this.
    #[serde(rename = "bound_usd_cents")]
    pub bound: Cents,
    /// Whether the plan's net cost is proven least.
    pub cheapest: bool,
    /// Whether it is proven that no more crossings can be served, by priority.
    pub service: bool,
    /// What ended the search before everything was proven, if anything did.
    #[serde(rename = "stopped_by")]
    pub stopped: Option<Stop>,
}

/// The purchase made site by site, each crossing in turn taking its cheapest bridge: what the plan
/// is compared with.
#[derive(Clone, Copy, Debug, PartialEq, Eq, Serialize)]
pub struct SiteBySite {
    /// Crossings that it serves.
    pub served: usize,
    /// Its net cost.
    #[serde(rename = "net_usd_cents")]
    pub net: Cents,
}

/// The plan's sums.
#[derive(Clone, Copy, Debug, Default, PartialEq, Eq, Serialize)]
pub struct Totals {
    /// What must be paid.
    #[serde(rename = "outlay_usd_cents")]
    pub outlay: Cents,
    /// What the left-over cars are worth.
    #[serde(rename = "stock_value_usd_cents")]
    pub stock_value: Cents,
    /// Outlay less stock value: what is least.
    #[serde(rename = "net_usd_cents")]
    pub net: Cents,
}

/// The whole plan.
#[derive(Clone, Debug, PartialEq, Serialize)]
pub struct Plan {
    /// Every crossing, in order.
    pub crossings: Vec<CrossingPlan>,
    /// Every yard where something is bought or taken from own stock, in order.
    pub purchases: Vec<YardPurchase>,
    /// The sums.
    pub totals: Totals,
    /// The budget it had to keep.
    #[serde(rename = "budget_usd_cents", skip_serializing_if = "Option::is_none")]
    pub budget: Option<Cents>,
    /// What is proven.
    pub proof: Proof,
    /// The purchase it is compared with; none: there was no time to make it.
    pub site_by_site: Option<SiteBySite>,
}

impl YardPurchase {
    /// Whether the dealer is paid for a car; own stock alone is not bought.
    #[must_use]
    pub fn is_bought(&self) -> bool {
        !self.singles.is_empty() || !self.lots.is_empty()
    }
}

impl Plan {
    /// Number of crossings that get a bridge.
    #[must_use]
    pub fn served_count(&self) -> usize {
        self.crossings.iter().filter(|c| c.served().is_some()).count()
    }

    /// Number of bridges of which nothing has to be confirmed before money is paid.
    #[must_use]
    pub fn firm_count(&self) -> usize {
        self.crossings.iter().filter_map(CrossingPlan::served).filter(|s| s.is_firm()).count()
    }
}
