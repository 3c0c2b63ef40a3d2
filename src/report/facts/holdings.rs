//! What was understood of the files: how much of everything, and how much of it is unknown.

use serde::Serialize;

use crate::model::car::{Car, CarDeck};
use crate::model::crossing::Crossing;
use crate::model::inputs::Inputs;
use crate::read::{Columns, CrossingColumn, Inventory};

/// Counts of what the files hold.
#[derive(Clone, Copy, Debug, PartialEq, Eq, Serialize)]
pub struct Counts {
    /// Rows of the inventories.
    pub inventory_rows: usize,
    /// Rows that stand for several identical cars.
    pub batches: usize,
    /// Cars, batches counted out.
    pub cars: usize,
    /// Cars that are sold only with their lot.
    pub cars_in_lots: usize,
    /// Cars of the agency's own.
    pub cars_owned: usize,
    /// Dealers.
    pub dealers: usize,
    /// Yards.
    pub yards: usize,
    /// Lots.
    pub lots: usize,
    /// Lots without a price.
    pub lots_without_price: usize,
    /// Crossings.
    pub crossings: usize,
    /// Crossings with a layout on piers.
    pub crossings_with_piers: usize,
}

/// Counts everything.
#[must_use]
pub fn counts(inputs: &Inputs) -> Counts {
    let mut dealers: Vec<&str> = inputs.yards.iter().map(|yard| yard.dealer.as_str()).collect();
    dealers.sort_unstable();
    dealers.dedup();
    let cars = |select: &dyn Fn(&Car) -> bool| {
        inputs.cars.iter().filter(|car| select(car)).map(|car| car.quantity as usize).sum()
    };
    Counts {
        inventory_rows: inputs.cars.len(),
        batches: inputs.cars.iter().filter(|car| car.quantity > 1).count(),
        cars: cars(&|_| true),
        cars_in_lots: cars(&|car| car.lot.is_some()),
        cars_owned: cars(&|car| car.owned),
        dealers: dealers.len(),
        yards: inputs.yards.len(),
        lots: inputs.lots.len(),
        lots_without_price: inputs.lots.iter().filter(|lot| lot.price.is_none()).count(),
        crossings: inputs.crossings.len(),
        crossings_with_piers: inputs
            .crossings
            .iter()
            .filter(|crossing| crossing.layouts.iter().any(|layout| layout.piers() > 0))
            .count(),
    }
}

/// How many rows leave a column unknown.
#[derive(Clone, Copy, Debug, PartialEq, Eq, Serialize)]
pub struct UnknownCells {
    /// The column.
    pub column: &'static str,
    /// Rows in which it is unknown.
    pub unknown: usize,
    /// Rows.
    pub rows: usize,
    /// What a blank cell of the column means.
    pub blank_means: &'static str,
}

type Known<T> = fn(&T) -> bool;

/// The columns of an inventory whose absence matters, in the order of the file. A value that another
/// column can stand in for counts as known where that one is.
const CAR_COLUMNS: &[(Inventory, Known<Car>)] = &[
    (Inventory::Kind, |c| c.kind.is_some()),
    (Inventory::Section, |c| c.section.is_some()),
    (Inventory::Length, |c| c.length.is_some()),
    (Inventory::TruckCenters, |c| c.truck_centers.is_some()),
    (Inventory::Width, |c| c.width.is_some()),
    (Inventory::Camber, |c| c.camber.is_some()),
    (Inventory::YearBuilt, |c| c.year_built.is_some() || c.steel_yield.is_some()),
    (Inventory::Modulus, |c| c.girder.stated_modulus.is_some() || c.girder.plates.is_some()),
    (Inventory::WebDepth, |c| c.girder.plates.is_some()),
    (Inventory::ExteriorDepth, |c| c.exterior_depth.is_some()),
    (Inventory::StringerModulus, |c| c.secondary.stringer_modulus.is_some()),
    (Inventory::CrossMemberModulus, |c| c.secondary.cross_member_modulus.is_some()),
    (Inventory::Weight, |c| c.weight.is_some()),
    (Inventory::DeckCondition, |c| c.deck_condition.is_some() || c.deck == Some(CarDeck::NoDeck)),
    (Inventory::Coating, |c| c.coating.is_some()),
    (Inventory::Lead, |c| c.lead.is_some()),
    (Inventory::MainGirder, |c| c.members.main_girder.is_some()),
    (Inventory::ExteriorGirders, |c| c.members.exterior_girders.is_some()),
    (Inventory::Bolsters, |c| c.members.bolsters.is_some()),
    (Inventory::CrossMembers, |c| c.members.cross_members.is_some()),
    (Inventory::Stringers, |c| c.members.stringers.is_some()),
    (Inventory::Wrecked, |c| c.wrecked.is_some()),
    (Inventory::Price, |c| c.price.is_some() || c.lot.is_some() || c.owned),
    (Inventory::QuoteExpires, |c| c.quote_expires.is_some() || c.owned),
    (Inventory::Available, |c| c.available.is_some()),
];

/// The columns of a crossings file that may be blank.
const CROSSING_COLUMNS: &[(CrossingColumn, Known<Crossing>)] = &[
    (CrossingColumn::HaulLength, |c| c.haul_length_limit.is_some()),
    (CrossingColumn::HaulWeight, |c| c.haul_weight_limit.is_some()),
    (CrossingColumn::HaulWidth, |c| c.haul_width_limit.is_some()),
    (CrossingColumn::Crane, |c| c.crane_limit.is_some()),
    (CrossingColumn::NeededBy, |c| c.needed_by.is_some()),
    (CrossingColumn::NoHaul, |c| c.no_haul.is_some()),
    (CrossingColumn::NoStreamWork, |c| c.no_stream_work.is_some()),
    (CrossingColumn::LeastPosting, |c| c.least_posting.is_some()),
];

/// Unknown cells of the inventories, columns without any left out.
#[must_use]
pub fn unknown_of_cars(inputs: &Inputs) -> Vec<UnknownCells> {
    unknown(&inputs.cars, CAR_COLUMNS)
}

/// Blank cells of the crossings, columns without any left out.
#[must_use]
pub fn unknown_of_crossings(inputs: &Inputs) -> Vec<UnknownCells> {
    unknown(&inputs.crossings, CROSSING_COLUMNS)
}

fn unknown<T, C: Columns>(rows: &[T], columns: &[(C, Known<T>)]) -> Vec<UnknownCells> {
    columns
        .iter()
        .map(|&(column, known)| UnknownCells {
            column: column.column().name,
            unknown: rows.iter().filter(|row| !known(row)).count(),
            rows: rows.len(),
            blank_means: column.column().blank,
        })
        .filter(|cells| cells.unknown > 0)
        .collect()
}

#[cfg(test)]
mod tests {
    use super::*;
    use crate::report::fixture;

    #[test]
    fn counts_cars_and_rows_apart() {
        let counts = counts(&fixture::inputs());
        assert_eq!((counts.inventory_rows, counts.batches, counts.cars), (6, 1, 7));
        assert_eq!((counts.lots, counts.cars_in_lots, counts.lots_without_price), (1, 3, 0));
        assert_eq!((counts.dealers, counts.yards), (2, 2));
        assert_eq!((counts.crossings, counts.crossings_with_piers), (3, 1));
    }

    #[test]
    fn unknown_cells_are_counted_and_known_columns_left_out() {
        let unknown = unknown_of_cars(&fixture::inputs());
        let of = |column: &str| unknown.iter().find(|c| c.column == column).map(|c| c.unknown);
        for (column, rows) in [
            ("wrecked", Some(1)),
            ("kind", None),
            // The cars of the lot have no price of their own and need none.
            ("price_usd", None),
            ("main_girder", Some(6)),
            ("modulus_in3", None),
            ("web_depth_in", Some(6)),
        ] {
            assert_eq!(of(column), rows, "{column}");
        }
    }
}
