//! Everything the planner and the purchasing agent know, validated and in a fixed order.

use jiff::civil::Date;
use serde::Serialize;

use super::car::Car;
use super::crossing::Crossing;
use super::decision::Decided;
use super::rules::Rules;
use super::yard::{Lot, Yard};

/// Declares a typed index into one of the lists of [`Inputs`].
macro_rules! index {
    ($(#[$doc:meta])* $name:ident) => {
        $(#[$doc])*
        #[derive(Clone, Copy, Debug, PartialEq, Eq, PartialOrd, Ord, Hash, Serialize)]
        #[serde(transparent)]
        pub struct $name(pub usize);
    };
}

index!(
    /// Index of a car (or batch of identical cars) in [`Inputs::cars`].
    CarIx
);
index!(
    /// Index of a yard in [`Inputs::yards`].
    YardIx
);
index!(
    /// Index of a lot in [`Inputs::lots`].
    LotIx
);
index!(
    /// Index of a crossing in [`Inputs::crossings`].
    CrossingIx
);

/// One span of one layout of one crossing: the place of a deck.
#[derive(Clone, Copy, Debug, PartialEq, Eq, PartialOrd, Ord, Hash, Serialize)]
pub struct Site {
    /// The crossing.
    pub crossing: CrossingIx,
    /// Which of the crossing's layouts, from 0.
    pub layout: usize,
    /// Which span of the layout, from 0.
    pub span: usize,
}

/// All validated input. The lists are sorted by name (cars by dealer and ID, yards and lots by
/// dealer and name, crossings by ID), so that the order of rows in a file never changes a result.
#[derive(Clone, Debug)]
pub struct Inputs {
    /// Cars on offer.
    pub cars: Vec<Car>,
    /// Yards.
    pub yards: Vec<Yard>,
    /// Lots.
    pub lots: Vec<Lot>,
    /// Crossings.
    pub crossings: Vec<Crossing>,
    /// The agency's rules over the built-in ones.
    pub rules: Rules,
    /// The day on which orders are placed.
    pub order_date: Date,
    /// What was decided since, already applied to the lists above.
    pub decided: Decided,
}

impl Inputs {
    /// The car at an index.
    #[must_use]
    pub fn car(&self, ix: CarIx) -> &Car {
        &self.cars[ix.0]
    }

    /// The yard at an index.
    #[must_use]
    pub fn yard(&self, ix: YardIx) -> &Yard {
        &self.yards[ix.0]
    }

    /// The lot at an index.
    #[must_use]
    pub fn lot(&self, ix: LotIx) -> &Lot {
        &self.lots[ix.0]
    }

    /// The crossing at an index.
    #[must_use]
    pub fn crossing(&self, ix: CrossingIx) -> &Crossing {
        &self.crossings[ix.0]
    }

    /// The fund that pays for a crossing, by its place in the rules.
    #[must_use]
    pub fn fund_of(&self, ix: CrossingIx) -> Option<usize> {
        let name = self.crossing(ix).fund.as_ref()?;
        self.rules.fund.iter().position(|fund| fund.name == *name)
    }

    /// Every car's index, in order.
    pub fn car_indices(&self) -> impl Iterator<Item = CarIx> + use<> {
        (0..self.cars.len()).map(CarIx)
    }

    /// Every crossing's index, in order.
    pub fn crossing_indices(&self) -> impl Iterator<Item = CrossingIx> + use<> {
        (0..self.crossings.len()).map(CrossingIx)
    }
}
