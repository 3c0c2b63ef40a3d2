//! What was understood of the files: how much of everything, and how much of it is unknown.

use serde::Serialize;

use crate::model::car::Car;
use crate::model::crossing::Crossing;
use crate::model::inputs::Inputs;

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
    /// What follows from it.
    pub consequence: &'static str,
}

type Known<T> = fn(&T) -> bool;

const BARRED: &str = "out until it is known";

/// The columns of an inventory whose absence matters, in the order of the file.
const CAR_COLUMNS: &[(&str, Known<Car>, &str)] = &[
    ("kind", |c| c.kind.is_some(), BARRED),
    ("section", |c| c.section.is_some(), BARRED),
    ("length_ft", |c| c.length.is_some(), BARRED),
    ("truck_centres_ft", |c| c.truck_centres.is_some(), BARRED),
    ("width_ft", |c| c.width.is_some(), BARRED),
    ("camber_in", |c| c.camber.is_some(), BARRED),
    (
        "year_built",
        |c| c.year_built.is_some() || c.steel_yield.is_some(),
        "no yield_ksi either: the weakest steel is assumed",
    ),
    (
        "modulus_in3",
        |c| c.girder.stated_modulus.is_some() || c.girder.plates.is_some(),
        "no plates either: cannot be rated",
    ),
    ("web_depth_in", |c| c.girder.plates.is_some(), "no plates: shear is not checked"),
    ("exterior_depth_in", |c| c.exterior_depth.is_some(), BARRED),
    (
        "stringer_modulus_in3",
        |c| c.secondary.stringer_modulus.is_some(),
        "stringers are not checked",
    ),
    (
        "cross_member_modulus_in3",
        |c| c.secondary.cross_member_modulus.is_some(),
        "cross-members are not checked",
    ),
    ("weight_lb", |c| c.weight.is_some(), BARRED),
    (
        "deck_condition",
        |c| c.deck_condition.is_some(),
        "cannot serve where the car's own deck stays",
    ),
    ("coating", |c| c.coating.is_some(), "priced as failed"),
    ("lead", |c| c.lead.is_some(), "taken to hold lead"),
    ("main_girder", |c| c.members.main_girder.is_some(), BARRED),
    ("exterior_girders", |c| c.members.exterior_girders.is_some(), BARRED),
    ("bolsters", |c| c.members.bolsters.is_some(), BARRED),
    ("cross_members", |c| c.members.cross_members.is_some(), BARRED),
    ("stringers", |c| c.members.stringers.is_some(), BARRED),
    ("wrecked", |c| c.wrecked.is_some(), BARRED),
    ("price_usd", |c| c.price.is_some() || c.lot.is_some(), BARRED),
    ("quote_expires", |c| c.quote_expires.is_some(), BARRED),
    ("available", |c| c.available.is_some(), "cannot serve a crossing with a date"),
];

/// The columns of a crossings file that may be blank.
const CROSSING_COLUMNS: &[(&str, Known<Crossing>, &str)] = &[
    ("haul_length_limit_ft", |c| c.haul_length_limit.is_some(), "no car can be hauled there"),
    ("haul_weight_limit_lb", |c| c.haul_weight_limit.is_some(), "no car can be hauled there"),
    ("crane_limit_lb", |c| c.crane_limit.is_some(), "no car can be lifted there"),
    ("needed_by", |c| c.needed_by.is_some(), "no date to keep"),
    ("least_posting_tons", |c| c.least_posting.is_some(), "no posting is accepted"),
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

fn unknown<T>(rows: &[T], columns: &[(&'static str, Known<T>, &'static str)]) -> Vec<UnknownCells> {
    columns
        .iter()
        .map(|&(column, known, consequence)| UnknownCells {
            column,
            unknown: rows.iter().filter(|row| !known(row)).count(),
            rows: rows.len(),
            consequence,
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
