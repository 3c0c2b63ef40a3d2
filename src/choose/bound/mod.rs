//! Bounds: linear programs over decks, subgradient ascent, and the rows that cut fractions off.

pub mod ascent;
pub mod cuts;
pub mod listed;
pub mod master;
pub mod node;
pub mod pricing;
