//! The search: by rank and then for money, by branch and price, until the time is up.

pub mod all_bought;
pub mod branch_and_price;
pub mod branching;
pub mod leaf;
mod rounds;
pub mod service;
