//! Decks: the pricing problem of one span.

pub mod columns;
