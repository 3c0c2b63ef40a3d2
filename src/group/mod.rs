//! Which cars may lie side by side in one deck, in which order, with which joint.
//!
//! [`DeckRule`] is the rule of one span in numbers; the choice searches with it. [`deck_rule`] and
//! [`candidate`] make those numbers from the inputs, and [`deck_checks`] says the same of one
//! finished deck as checks for people.

mod checks;
mod loads;
mod numbers;
mod rule;

pub use checks::{across_spans, deck_checks};
pub(crate) use loads::least_cost;
pub use loads::{SharedHaul, haul_cost, shared_loads};
pub use numbers::{Sections, candidate, deck_rule};
pub use rule::{Candidate, DeckRule, JointChoice, JointOption, order_across};
