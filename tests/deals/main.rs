//! Terms of the purchase beyond single prices and lots, from the inputs to the verified plan.

// Outside its test functions a test crate is not spared the lints.
#![allow(clippy::unwrap_used, clippy::panic)]

#[path = "../common/demo.rs"]
mod demo;

mod apart;
mod funds;
mod keep;
mod levels;
mod own_stock;
mod points;
mod support;
mod trailers;
