//! The search: by rank and then for money, by branch and price, until the time is up.

pub mod branch_and_price;
pub mod branching;
mod rounds;
pub mod service;
