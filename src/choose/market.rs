//! What the choice is made from, and what was chosen.

use crate::group::{Candidate, DeckRule};
use crate::model::plan::Stop;
use crate::quantity::{BasisPoints, Cents};

/// One row of the inventory as the choice sees it. Its index is its car's index.
#[derive(Clone, Debug)]
pub struct Offer {
    /// Identical cars on offer.
    pub quantity: u32,
    /// Index of its yard.
    pub yard: usize,
    /// Index of its lot.
    pub lot: Option<usize>,
    /// Price of one car; zero for a car of a lot.
    pub price: Cents,
    /// Worth of one car of a lot that is bought and left over; zero for a car sold singly.
    pub stock_value: Cents,
    /// Of a car sold singly in a yard with price levels, what it costs at each; else empty.
    pub quotes: Vec<Quote>,
}

/// What a car costs at one price level of its yard.
///
/// From level to level prices do not rise. Of two cars at one level the dearer one is not cheaper
/// net of its stock value either.
#[derive(Clone, Copy, Debug, PartialEq, Eq)]
pub struct Quote {
    /// Price of one car.
    pub price: Cents,
    /// Worth of one car that is bought at this price and left over.
    pub stock_value: Cents,
}

/// One span: the cars that may lie on it and the rule by which they match.
#[derive(Clone, Debug)]
pub struct SpanDemand {
    /// Cost of the span whatever its cars.
    pub fixed: Cents,
    /// Cars that pass every check on this span, with their landed and built cost, price apart.
    pub candidates: Vec<Candidate>,
    /// How cars match.
    pub rule: DeckRule,
    /// Offers that the deck of this span must hold, once per car; none of them may be a candidate of
    /// another crossing.
    pub holds: Vec<usize>,
}

/// One layout of a crossing, or one layout with some of its candidates only: of all of them one is
/// chosen.
#[derive(Clone, Debug)]
pub struct LayoutDemand {
    /// Which of the crossing's layouts it is, for those who made the market.
    pub layout: usize,
    /// Cost of the layout whatever its cars: piers, crane.
    pub fixed: Cents,
    /// Its spans, each of which needs a deck.
    pub spans: Vec<SpanDemand>,
}

/// One crossing.
#[derive(Clone, Debug)]
pub struct Demand {
    /// Rank: 1 before 2.
    pub priority: u8,
    /// What it counts among the crossings of its rank; at least 1.
    pub points: u32,
    /// Index of the fund that pays for it, if one does; one that the market does not have is none.
    pub fund: Option<usize>,
    /// The layouts to choose from.
    pub layouts: Vec<LayoutDemand>,
}

/// Everything the choice depends on.
#[derive(Clone, Debug)]
pub struct Market {
    /// The offers.
    pub offers: Vec<Offer>,
    /// Cost of the trip to each yard, paid once if any of its cars is bought.
    pub trips: Vec<Cents>,
    /// Per yard the least number of cars bought there, singly or in lots, at which each price level
    /// holds, rising. Nothing can be bought below the first: the yard's minimum order. A yard with
    /// no entry, or an empty one, sells any number at one price.
    pub levels: Vec<Vec<u32>>,
    /// Price of each lot; `None`: cannot be bought.
    pub lots: Vec<Option<Cents>>,
    /// Lots that may be bought with none of their cars placed, where without such purchases the cars
    /// bought at their yard would not reach the level taken.
    pub fillers: Vec<usize>,
    /// The crossings.
    pub crossings: Vec<Demand>,
    /// The most that may be paid (prices, trips and all costs; stock value does not count).
    pub budget: Option<Cents>,
    /// The most that each fund may pay. A fund pays for its crossings everything but what several
    /// share: trips, spares and the cars of lots that are left over.
    pub funds: Vec<Cents>,
    /// The funds that pay a share only, each once.
    pub grants: Vec<Grant>,
}

/// A fund that pays at most a share of what each of its crossings costs alone, and no more than it may in
/// all; another fund pays the rest.
#[derive(Clone, Copy, Debug, PartialEq, Eq)]
pub struct Grant {
    /// The fund that pays the share.
    pub fund: usize,
    /// The share.
    pub share: BasisPoints,
    /// The fund that pays the rest; no grant itself.
    pub rest: usize,
}

impl Market {
    /// Whether no budget and no fund limits what may be paid.
    #[must_use]
    pub fn is_unlimited(&self) -> bool {
        self.budget.is_none() && self.funds.is_empty()
    }
}

/// The decks of a crossing that is served.
#[derive(Clone, Debug, PartialEq, Eq)]
pub struct ChosenLayout {
    /// Index of the layout.
    pub layout: usize,
    /// Per span the offers of its cars, in rising order; an offer stands there once per car.
    pub decks: Vec<Vec<usize>>,
}

/// What was chosen.
#[derive(Clone, Debug, PartialEq, Eq)]
pub struct Choice {
    /// Per crossing its decks; `None`: not served.
    pub crossings: Vec<Option<ChosenLayout>>,
    /// Lots bought, in rising order.
    pub lots: Vec<usize>,
    /// Per yard with price levels the level at which is bought there; `None`: nothing is, or the
    /// yard has one price.
    pub levels: Vec<Option<usize>>,
    /// Offers bought beyond what is placed, to reach a level, with the number of cars, rising.
    pub spares: Vec<(usize, u32)>,
    /// Net cost: everything paid less the stock value of left-over cars.
    pub net: Cents,
    /// No choice that serves the same priorities costs less than this.
    pub bound: Cents,
    /// Whether `net` is proven least.
    pub cheapest: bool,
    /// Whether it is proven that no plan serves more, by priority.
    pub service: bool,
    /// What ended the search before everything was proven, if anything did.
    pub stopped: Option<Stop>,
}
