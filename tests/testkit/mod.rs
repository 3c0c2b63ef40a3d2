//! What the tests share: the demonstration's files, a car and a crossing to change, random markets, a
//! second model of the choice, the program as it is run, and the files that it makes.
#![allow(dead_code, clippy::unwrap_used, clippy::panic)]

pub mod county;
pub mod deck_model;
pub mod demo;
pub mod fixture;
pub mod market;
pub mod model;
pub mod planted;
pub mod program;
pub mod renew;
pub mod rng;
pub mod run;
pub mod used;
