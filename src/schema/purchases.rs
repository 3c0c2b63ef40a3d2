//! What is bought at one yard.

use jiff::civil::Date;
use serde::{Deserialize, Serialize};

use super::pieces::CostLine;
use crate::quantity::{BasisPoints, Cents};

/// The purchase at one yard.
#[derive(Clone, Debug, PartialEq, Serialize, Deserialize)]
pub struct Purchase {
    /// The dealer.
    pub dealer: String,
    /// The yard.
    pub yard: String,
    /// Cars bought, those of lots too.
    pub cars: usize,
    /// What cars and lots cost.
    pub price_usd_cents: Cents,
    /// What the yard charges for loading one car.
    pub loading_per_car_usd_cents: Cents,
    /// The first day on which a quote ends.
    pub first_quote_ends: Option<Date>,
    /// Cars bought one by one.
    pub singles: Vec<Bought>,
    /// The price level reached; none where the yard has one price for any number.
    pub price_level: Option<PriceLevel>,
    /// Cars bought only to reach the level.
    pub spares: Vec<Spare>,
    /// What they cost.
    pub spare_cost_lines: Vec<CostLine>,
    /// Cars that the agency owns.
    pub own_stock: Vec<Bought>,
    /// Lots bought whole.
    pub lots: Vec<Lot>,
    /// What is paid for the yard itself: the trip.
    pub cost_lines: Vec<CostLine>,
}

/// A price level of a yard.
#[derive(Clone, Debug, PartialEq, Serialize, Deserialize)]
pub struct PriceLevel {
    /// From this number of cars on.
    pub at_least_cars: u32,
    /// What the prices fall by.
    pub off_basis_points: BasisPoints,
    /// The fewest cars that the yard sells.
    pub minimum_order_cars: u32,
}

/// Cars bought for the number alone.
#[derive(Clone, Debug, PartialEq, Serialize, Deserialize)]
pub struct Spare {
    /// The row.
    pub car: String,
    /// How many of it.
    pub count: u32,
    /// What they cost together.
    pub price_usd_cents: Cents,
}

/// Cars of one row that go to crossings.
#[derive(Clone, Debug, PartialEq, Serialize, Deserialize)]
pub struct Bought {
    /// The row.
    pub car: String,
    /// How many of it.
    pub count: u32,
    /// What they cost together; none in a lot and of own cars.
    pub price_usd_cents: Option<Cents>,
    /// Until when the quote holds.
    pub quote_expires: Option<Date>,
    /// Where they go.
    pub goes_to: Vec<Destination>,
}

/// Where cars of one row go.
#[derive(Clone, Debug, PartialEq, Serialize, Deserialize)]
pub struct Destination {
    /// The crossing.
    pub crossing: String,
    /// The span, from 1.
    pub span_number: usize,
    /// How many.
    pub count: u32,
    /// The haul of each; none where cars share a trailer.
    pub haul_per_car_usd_cents: Option<Cents>,
    /// The haul of all of them, where some share a trailer.
    #[serde(default, skip_serializing_if = "Option::is_none")]
    pub haul_usd_cents: Option<Cents>,
    /// Quantity times rate, in words.
    pub haul_basis: Option<String>,
}

/// A lot bought whole.
#[derive(Clone, Debug, PartialEq, Serialize, Deserialize)]
pub struct Lot {
    /// Its name.
    pub lot: String,
    /// Its price.
    pub price_usd_cents: Cents,
    /// Its cars that go to crossings.
    pub placed: Vec<Bought>,
    /// Its cars that go nowhere.
    pub left_over: Vec<LeftOver>,
    /// What those are worth.
    pub left_over_value_usd_cents: Cents,
    /// What is paid and saved on them.
    pub left_over_cost_lines: Vec<CostLine>,
}

/// Cars of a row that go nowhere.
#[derive(Clone, Debug, PartialEq, Serialize, Deserialize)]
pub struct LeftOver {
    /// The row.
    pub car: String,
    /// How many of it.
    pub count: u32,
}
