//! The strength of one car on one span: section, dead load, moving loads, rating factors, posting.
//!
//! The car's [`Girder`] holds what does not depend on the crossing, the [`SpanLoads`] what does not
//! depend on the car; both are worked out once. [`Rating`] holds every number of one on the other,
//! [`rate_checks`] says the same as checks, and [`Governing`] gives only the codes that bar, fast.
//!
//! The main girder alone carries the load; one car carries every truck that can stand on it. What
//! is not known is never taken as good: without the data there is no number.

pub mod bridge_formula;
mod camber;
pub mod capacity;
mod checks;
pub mod dead_load;
pub mod effects;
pub mod envelope;
pub mod factors;
mod girder;
mod governing;
mod loads;
pub mod local;
mod on_span;
mod outcome;
mod pieces;
mod pier;
pub mod posting;
mod rating;
pub mod section;
pub mod share;
pub mod sheet;
pub mod slender;
pub mod steel;
mod stiffness;
mod strength;
mod table;
pub mod train;
pub mod uniform;
mod unrateable;
pub mod vehicles;
mod webs;

pub use camber::camber_left;
pub use checks::{checks_of, rate_checks, rate_checks_at, rate_checks_with};
pub use girder::Girder;
pub use governing::Governing;
pub use loads::SpanLoads;
pub use pier::{PierReaction, pier_dead_load, pier_reactions};
pub use rating::{Forms, LegalRating, LocalRating, Rating, ShearWebs, VehicleRating};
pub use stiffness::Stiffness;
pub use strength::{Losses, Strength};
pub use table::RatingTable;
pub use unrateable::Unrateable;
