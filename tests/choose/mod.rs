//! The choice: against a brute force, under changes that must not matter, and with its bound.

mod alternative;
pub mod brute;
mod budgets;
mod by_name;
mod cases;
mod direct;
mod held;
mod large;
pub mod limits;
mod metamorphic;
mod optimum;
mod refused;
mod service;
mod stopped;
mod unserved;
