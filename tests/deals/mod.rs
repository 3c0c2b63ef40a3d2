//! Terms of the purchase beyond single prices and lots, from the inputs to the verified plan.

mod apart;
mod funds;
mod grants;
mod keep;
mod levels;
mod other_bridge;
mod own_stock;
mod points;
pub mod support;
mod trailers;
