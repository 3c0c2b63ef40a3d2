//! Chooses retired railroad flat cars for the worn-out small bridges of a rural road agency.

pub mod assemble;
pub mod check;
pub mod choose;
pub mod group;
pub mod model;
pub mod price;
pub mod quantity;
pub mod rate;
pub mod read;
pub mod report;
pub mod screen;
pub mod survey;
pub mod verify;
