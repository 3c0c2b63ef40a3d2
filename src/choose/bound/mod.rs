//! Bounds: linear programs over decks, subgradient ascent, and the rows that cut fractions off.

pub mod ascent;
pub mod duals;
pub mod lagrangian;
pub mod listed;
pub mod master;
pub mod multipliers;
pub mod node;
mod program;
pub mod reduced_costs;
pub mod relaxed;
pub mod separation;
mod subgradient;
