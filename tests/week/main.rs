//! The week after the plan: prices to beat, spares, replanning, on small markets against a brute
//! force and on the demonstration.
#![allow(clippy::unwrap_used, clippy::expect_used, clippy::panic)]

mod bid;
#[path = "../choose/brute.rs"]
#[allow(dead_code)]
mod brute;
mod decide;
#[path = "../common/demo.rs"]
mod demo;
#[path = "../common/market.rs"]
mod market;
mod replan;
mod round_trip;
mod spare;
mod tutorial;
mod want;
