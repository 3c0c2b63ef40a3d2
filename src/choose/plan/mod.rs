//! Plans and what they truly cost.

pub mod ledger;
pub mod merit;
