//! What the tests share: the demonstration's files, a car and a crossing to change, random markets, and a
//! second model of the choice.

pub mod demo;
pub mod fixture;
pub mod market;
pub mod model;
pub mod renew;
pub mod run;
