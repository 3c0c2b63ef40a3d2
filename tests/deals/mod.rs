//! Terms of the purchase beyond single prices and lots, from the inputs to the verified plan.

mod apart;
mod funds;
mod keep;
mod levels;
mod own_stock;
mod points;
mod support;
mod trailers;
