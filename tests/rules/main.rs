//! The rules of screening and grouping, one file for each family: what passes, what fails, what is
//! unknown, and by exactly how much.

// Outside its test functions a test crate is not spared the lint.
#![allow(clippy::unwrap_used)]

#[path = "../common/fixture.rs"]
mod fixture;

mod coating;
mod dates;
mod deck;
mod deck_group;
mod geometry;
mod kind_and_history;
mod members;
mod numbers;
mod order;
mod price_known;
mod support;
mod transport;
mod width;
