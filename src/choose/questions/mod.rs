//! Questions about a choice that is made, or about a market without one.

pub mod all_served;
pub mod alternative;
pub mod beside;
pub mod by_name;
pub mod floor;
pub mod refused;
pub mod unserved;
