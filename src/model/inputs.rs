//! Everything the planner and the purchasing agent know, validated and in a fixed order.

use jiff::civil::Date;

use super::car::Car;
use super::crossing::Crossing;
use super::decision::Decided;
use super::haul_quote::{HaulQuote, HaulQuotes};
use super::rules::Rules;
use super::yard::{Lot, Yard};
use crate::quantity::{Cents, Feet};

pub use super::index::{CarIx, CrossingIx, LotIx, Site, YardIx};

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
    /// What haulers quoted.
    pub haul_quotes: HaulQuotes,
    /// The agency's rules over the built-in ones.
    pub rules: Rules,
    /// The day on which orders are placed.
    pub order_date: Date,
    /// What was decided since, already applied to the lists above.
    pub decided: Decided,
    /// Which part of the files was asked for, in words; empty where it is all of them.
    pub part: Vec<String>,
    /// Whether facts of it are only supposed, so that nothing may be bought on it.
    pub conditional: bool,
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

    /// The span at a site.
    #[must_use]
    pub fn span(&self, site: Site) -> Feet {
        self.crossing(site.crossing).layouts[site.layout].spans[site.span]
    }

    /// Every site of one crossing: all spans of all its layouts, in order.
    pub fn sites(&self, crossing: CrossingIx) -> impl Iterator<Item = Site> + '_ {
        let layouts = self.crossing(crossing).layouts.iter().enumerate();
        layouts.flat_map(move |(layout, l)| {
            (0..l.spans.len()).map(move |span| Site { crossing, layout, span })
        })
    }

    /// The fund that pays for a crossing, by its place in the rules.
    #[must_use]
    pub fn fund_of(&self, ix: CrossingIx) -> Option<usize> {
        let name = self.crossing(ix).fund.as_ref()?;
        self.rules.fund.iter().position(|fund| fund.name == *name)
    }

    /// What a flat-car bridge may cost at a crossing at most: what another bridge there would, unless the
    /// rules let it cost more, or a fund pays, whose money is for this bridge.
    #[must_use]
    pub fn ceiling(&self, ix: CrossingIx) -> Option<Cents> {
        let crossing = self.crossing(ix);
        let held = !self.rules.service.above_other_bridge && crossing.fund.is_none();
        crossing.other_bridge.as_ref().filter(|_| held).map(|other| other.cost)
    }

    /// The quote for the load of a car to a crossing, if one holds on the day of the order.
    #[must_use]
    pub fn haul_quote(&self, car: CarIx, to: CrossingIx) -> Option<&HaulQuote> {
        if self.haul_quotes.is_empty() {
            return None;
        }
        let (row, yard) = (self.car(car), self.yard(self.car(car).yard));
        let from = (row.dealer.as_str(), yard.name.as_str());
        let ids = [row.id.as_str(), self.first_id(car)];
        self.haul_quotes.find(&self.crossing(to).id, from, ids, self.order_date)
    }

    /// Every car's index, in order.
    pub fn car_indices(&self) -> impl Iterator<Item = CarIx> + use<> {
        (0..self.cars.len()).map(CarIx)
    }

    /// Every crossing's index, in order.
    pub fn crossing_indices(&self) -> impl Iterator<Item = CrossingIx> + use<> {
        (0..self.crossings.len()).map(CrossingIx)
    }

    /// The cars fixed to a crossing, once per car of the row.
    pub fn fixed_to(&self, crossing: CrossingIx) -> impl Iterator<Item = CarIx> + '_ {
        let here = self.decided.fixed.iter().filter(move |(_, to)| **to == crossing);
        here.flat_map(|(car, _)| std::iter::repeat_n(*car, self.car(*car).quantity as usize))
    }

    /// Lets only facts be planned with that are enough to pay on.
    pub fn hold_to_firm(&mut self) {
        self.rules.evidence.hold_to_pay();
        self.part.push("facts that are enough to pay on".to_owned());
    }

    /// The ID under which a car's dealer first listed it.
    #[must_use]
    pub fn first_id(&self, car: CarIx) -> &str {
        self.decided.parted.get(&car).map_or(self.car(car).id.as_str(), String::as_str)
    }
}
