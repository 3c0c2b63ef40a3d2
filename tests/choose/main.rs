//! The choice: against a brute force, under changes that must not matter, and with its bound.

mod alternative;
mod brute;
mod direct;
#[path = "../common/market.rs"]
mod market;
mod metamorphic;
mod optimum;
mod stopped;
mod unserved;
