//! The choice: against a brute force, under changes that must not matter, and with its bound.

mod alternative;
mod brute;
mod by_name;
mod direct;
mod held;
mod large;
#[path = "../common/market.rs"]
mod market;
mod metamorphic;
#[path = "../common/direct.rs"]
mod model;
mod optimum;
mod stopped;
mod unserved;
