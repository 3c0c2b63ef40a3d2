//! Yards and lots: the dealers' terms.

use serde::Serialize;

use super::inputs::{CarIx, YardIx};
use super::place::{Position, RowPlace};
use crate::quantity::Cents;

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
    /// Where the row stands.
    pub place: RowPlace,
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
    /// Where the row stands.
    pub place: RowPlace,
}
