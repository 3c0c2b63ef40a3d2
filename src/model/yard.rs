//! Yards and lots: the dealers' terms.

use serde::Serialize;

use super::index::{CarIx, YardIx};
use super::place::{Position, RowPlace};
use super::season::Seasons;
use crate::quantity::{BasisPoints, Cents};

/// A dealer's place, with its terms.
#[derive(Clone, Debug, PartialEq, Serialize)]
pub struct Yard {
    /// The dealer's name.
    pub dealer: String,
    /// The yard's name; unique with the dealer's name.
    pub name: String,
    /// Where it is.
    pub position: Position,
    /// Charge for loading one car on a trailer.
    pub loading: Cents,
    /// Cost of one trip of the agency's inspector to this yard, paid once if any car is bought there.
    pub trip: Cents,
    /// Cost of bringing a crane to this yard, paid once if any car is bought there; none where the yard
    /// loads with its own.
    pub crane: Cents,
    /// What the number of cars bought here does to the prices; rising, each level cheaper than the
    /// one before. Below the first nothing is sold.
    pub levels: Vec<PriceLevel>,
    /// Days on which nothing is hauled from it; `None`: not asked.
    pub no_haul: Option<Seasons>,
    /// Where the row stands.
    pub place: RowPlace,
}

/// A price level of a yard: all cars bought there, singly or in lots, count; the price of every car
/// sold singly falls.
#[derive(Clone, Copy, Debug, PartialEq, Eq, Serialize)]
pub struct PriceLevel {
    /// Least number of cars bought.
    pub at_least: u32,
    /// What is off the asked prices.
    pub off: BasisPoints,
}

impl Yard {
    /// The minimum order; 1 where any number is sold.
    #[must_use]
    pub fn minimum_order(&self) -> u32 {
        self.levels.first().map_or(1, |level| level.at_least)
    }

    /// Whether prices or the sale itself depend on the number bought.
    #[must_use]
    pub fn has_levels(&self) -> bool {
        self.levels.len() > 1 || self.minimum_order() > 1
    }
}

/// Cars that are sold only together, at one price.
#[derive(Clone, Debug, PartialEq, Serialize)]
pub struct Lot {
    /// The dealer's name.
    pub dealer: String,
    /// The lot's name; unique with the dealer's name.
    pub name: String,
    /// The yard all its cars stand in.
    pub yard: YardIx,
    /// The price of the whole lot; `None`: not quoted, so none of its cars can be bought.
    pub price: Option<Cents>,
    /// Its cars (rows; a row may stand for several identical cars).
    pub cars: Vec<CarIx>,
    /// Rows of it that cannot be read. Its price is for their cars too, so nothing of it is bought.
    pub unread_rows: usize,
    /// Where the row stands.
    pub place: RowPlace,
}
