//! The market made ready for search: cars that cannot be bought are gone, identical cars are
//! counted together, candidates stand in arrays by section, and money is plain integer cents.

mod compile;
pub mod fund_rows;
pub mod group;
mod identical;
pub mod levels;
pub mod lot_shares;
pub mod stage;

use std::ops::Range;
use std::sync::Arc;

use crate::choose::problem::fund_rows::FundRows;
use crate::choose::problem::group::{ByGroup, Group};
use crate::choose::problem::levels::Levels;
use crate::group::{DeckRule, Fit, SharedHaul, least_cost};

/// Stands for an infinite weight: that of a deck or plan that does not exist, or of a limit that is
/// not set.
///
/// Weights and bounds are added and compared in the innermost loops. An `Option` would sort a deck that
/// does not exist below all others; this sorts above them, and a few of it can be added without overflow.
pub const INFINITE: i64 = i64::MAX / 8;

/// The bound of a search that has none yet.
pub const NO_BOUND: i64 = -INFINITE;

/// Identical cars: the same terms and the same figures on every span.
#[derive(Clone, Debug)]
pub struct Item {
    /// Offers of these cars in rising order.
    pub offers: Vec<usize>,
    /// Cars of all these offers.
    pub quantity: u32,
    /// Lowest price of one car; zero for a car of a lot.
    pub price: i64,
    /// How much more one car costs at each price level of its yard; empty: never more.
    pub surcharge: Vec<i64>,
    /// Worth of one left-over car; zero for a car sold singly.
    pub stock: i64,
    /// What a fund pays for one placed car as its share of the lot; zero for a car sold singly.
    pub share: i64,
    /// Yard, as in the market.
    pub yard: usize,
    /// Lot, as in the market, if it is in one.
    pub lot: Option<usize>,
}

/// One lot.
#[derive(Clone, Debug)]
pub struct Lot {
    /// Price of the whole lot.
    pub price: i64,
    /// Price less the stock value of all its cars: each placed car gives its stock value back.
    pub net: i64,
    /// Its items.
    pub items: Vec<usize>,
    /// Yards its cars stand in: one, in real inputs.
    pub yards: Vec<usize>,
    /// Its cars, per entry of `yards`.
    pub cars: Vec<u32>,
    /// Whether it may be bought with none of its cars placed, to reach a level of its yard.
    pub fills: bool,
    /// Whether it can be bought and has a car that fits somewhere, or may fill up an order.
    pub useful: bool,
    /// Crossings that its cars fit at.
    pub crossings: Vec<usize>,
}

/// A candidate of one span.
#[derive(Clone, Debug)]
pub struct Cand {
    /// Its item.
    pub item: usize,
    /// Net cost when placed: landed and built, and price or the stock value forgone. Of a haul that
    /// may be shared it holds the least share; the deck pays the rest.
    pub net: i64,
    /// What is paid when placed: landed and built, and price; of a shared haul the least share.
    pub outlay: i64,
    /// What decides which others it can lie beside.
    pub fit: Fit,
}

/// How many cars abreast, and what that asks of their widths.
#[derive(Clone, Copy, Debug)]
pub struct Count {
    pub cars: usize,
    /// Least and greatest sum of widths for which some joint can do, a little wide.
    pub width: (f64, f64),
    /// Least cost of the joints and rails.
    pub joints: i64,
}

/// One span to be decked.
#[derive(Clone, Debug)]
pub struct Span {
    pub layout: usize,
    pub crossing: usize,
    pub rule: DeckRule,
    /// By section, then in the order of the market.
    pub cands: Vec<Cand>,
    pub sections: Vec<Section>,
    /// Haul of each candidate, as far as it may be shared; empty where none may.
    pub hauls: Vec<Haul>,
    /// Candidates that every deck must hold at least so often, rising.
    pub holds: Vec<(u32, u32)>,
}

/// The haul of a candidate, as far as it may be shared.
#[derive(Clone, Debug)]
pub struct Haul {
    terms: SharedHaul,
    /// The least share of it, which the candidate's own cost holds.
    share: i64,
}

/// The candidates of one section.
#[derive(Clone, Debug)]
pub struct Section {
    /// Where they stand in [`Span::cands`].
    pub cands: Range<usize>,
    /// The numbers of them abreast that can make the width.
    pub counts: Vec<Count>,
}

impl Span {
    /// The share of its haul that a candidate's own cost holds.
    pub fn share(&self, cand: u32) -> i64 {
        self.hauls.get(cand as usize).map_or(0, |haul| haul.share)
    }

    /// What the loads of so many cars cost beyond the shares that the cars' own costs hold. Never
    /// below zero; and of a car more, loads and shares together never cost less.
    pub fn beyond_shares(&self, cand: impl Fn(usize) -> u32 + Copy, cars: usize) -> i64 {
        if self.hauls.is_empty() {
            return 0;
        }
        let haul = |place: usize| &self.hauls[cand(place) as usize];
        let shares: i64 = (0..cars).map(|place| haul(place).share).sum();
        least_cost(|place| &haul(place).terms, cars).0 - shares
    }
}

/// One layout.
#[derive(Clone, Debug)]
pub struct Layout {
    pub crossing: usize,
    /// Index within the crossing in the market.
    pub number: usize,
    /// Everything it costs whatever its cars.
    pub fixed: i64,
    /// Its spans, as indices into [`Problem::spans`].
    pub spans: Range<usize>,
}

/// One crossing.
#[derive(Clone, Debug)]
pub struct Crossing {
    /// Index into [`Problem::ranks`].
    pub rank: usize,
    /// What it counts in its rank.
    pub points: usize,
    /// The fund that pays for it, if one does.
    pub fund: Option<usize>,
    /// Its layouts of which every span has a candidate.
    pub layouts: Range<usize>,
}

/// The market, made ready.
#[derive(Clone, Debug)]
pub struct Problem {
    pub items: Vec<Item>,
    /// Item of each offer; none: it cannot be bought, or fits nowhere.
    pub item_of: Vec<Option<usize>>,
    pub lots: Vec<Lot>,
    /// Cost of the trip to each yard.
    pub trips: Vec<i64>,
    /// Price levels, per yard.
    pub levels: Vec<Levels>,
    pub crossings: Vec<Crossing>,
    pub layouts: Vec<Layout>,
    /// What a copy with other supply has in common with it.
    pub spans: Arc<Vec<Span>>,
    /// The priorities that occur, rising.
    pub ranks: Vec<u8>,
    pub budget: Option<i64>,
    /// What the funds may pay.
    pub funds: FundRows,
}

impl Problem {
    /// Whether trips to this yard cost nothing and any number is sold, so that nothing hangs on it.
    pub fn free_trip(&self, yard: usize) -> bool {
        self.trips.get(yard).is_none_or(|trip| *trip == 0)
            && self.levels.get(yard).is_none_or(Levels::is_plain)
    }

    /// Makes the cars of an item dearer by so much; they are sold singly, at one price.
    pub fn make_dearer(&mut self, item: usize, by: i64) {
        self.items[item].price += by;
        let cands = Arc::make_mut(&mut self.spans).iter_mut().flat_map(|span| &mut span.cands);
        for cand in cands.filter(|cand| cand.item == item) {
            cand.net += by;
            cand.outlay += by;
        }
    }

    /// Whether some yard has price levels or a minimum order.
    pub fn has_levels(&self) -> bool {
        self.levels.iter().any(|levels| !levels.is_plain())
    }

    /// Whether a lot is bought only for a car of it, and might pay with all of them left over, by its stock
    /// value or for a price level.
    pub fn needs_a_car(&self, lot: usize) -> bool {
        let lot = &self.lots[lot];
        let counts = || lot.yards.iter().any(|yard| !self.levels[*yard].is_plain());
        !lot.fills && (lot.net < 0 || counts())
    }

    /// The fund of a span's crossing, if one pays for it.
    pub fn fund_of(&self, span: usize) -> Option<usize> {
        self.crossings[self.spans[span].crossing].fund
    }

    /// Nothing for each lot and each yard.
    pub fn zero_by_group(&self) -> ByGroup<i64> {
        ByGroup { lots: vec![0; self.lots.len()], yards: vec![0; self.trips.len()] }
    }

    /// The group of an item's lot, if it has one.
    pub fn lot_group(&self, item: usize) -> Option<Group> {
        self.items[item].lot.map(Group::Lot)
    }

    /// The group of an item's yard, if its trip costs anything.
    pub fn yard_group(&self, item: usize) -> Option<Group> {
        let yard = self.items[item].yard;
        (!self.free_trip(yard)).then_some(Group::Yard(yard))
    }
}
