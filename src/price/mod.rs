//! What a car or a deck costs, landed and built, line by line, in integer cents.
//!
//! A line is a rate times a quantity, rounded once to the cent. Quantities that come out of a
//! calculation are rounded before they are priced (road miles and square feet to a tenth), so that
//! the arithmetic printed beside a line gives its amount again. Every car's lines depend on that car
//! and its span alone, every load's on its cars and their site, so the cost of a deck is the exact sum
//! of its cars', loads', joints' and span's lines.
//!
//! What is not known cannot be priced: the functions that may meet it return `None`, never a sum
//! with a part left out. Lines of no cost are left out, a car's own price apart.
//!
//! What is not here: abutments, approaches, foundations, and the local permits of the work itself. They cost
//! the same whichever cars are bought, or are outside this program.

mod car;
mod coating;
mod deck;
mod haul;
mod ledger;
mod level;
mod lot;
mod overhead;
mod scrap;
mod trim;

pub use car::{
    car_apart_from_haul, car_at, car_cost, car_cost_apart_from_haul, car_price, loading,
    paid_already,
};
pub use deck::{along_deck, joint_cost, laid_length, layout_fixed, rail_cost};
pub use haul::{
    EachAtMost, LoadCost, ON_ONE_TRAILER, each_at_most, hauled_length, is_cut_at_yard, is_quoted,
    load_cost, load_lines, most_on_trailer, road_miles,
};
pub use ledger::tenth;
pub use level::{
    discount, discount_line, may_be_spare, may_fill, paid, paid_for, spare_lines, spare_value,
};
pub use lot::{
    lot_car_count, lot_share, lot_shares, lot_tax_line, stock_value, stock_value_at,
    stock_value_line,
};
pub use overhead::{
    before_tax, overhead_lines, sum_with_overhead, tax_line, with_overhead, with_tax,
};
pub use scrap::scrap_value;

pub(crate) use coating::is_blasted;

use crate::model::inputs::{Inputs, YardIx};
use crate::model::plan::{CostItem, CostLine};
use crate::quantity::Cents;

/// What a yard costs once if any car is bought there: the agency's inspection trip, and a crane where the
/// yard has none.
#[must_use]
pub fn yard_once(inputs: &Inputs, yard: YardIx) -> Vec<CostLine> {
    let yard = inputs.yard(yard);
    let line = |item, noun: &str, amount| CostLine {
        item,
        subject: format!("{}, {}", yard.dealer, yard.name),
        basis: format!("1 {noun} x {amount}"),
        amount,
    };
    let crane = line(CostItem::YardCrane, "yard", yard.crane);
    let crane = (yard.crane != Cents::ZERO).then_some(crane);
    [line(CostItem::Trip, "trip", yard.trip)].into_iter().chain(crane).collect()
}
