//! Decks: the columns of the program, and the pricing problem that finds those of one span.

pub mod column;
pub mod cuts;
pub mod extension;
pub mod pricing;
