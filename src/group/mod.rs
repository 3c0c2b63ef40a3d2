//! Which cars may lie side by side in one deck, in which order, with which joint.
//!
//! [`RULES`] is the table of the rules by which cars match. [`DeckRule`] is the rule of one span in
//! numbers, which a search extends car by car; [`deck_rule`] and [`candidate`] make those numbers
//! from the inputs, and [`deck_checks`] says the same of one finished deck as checks for people.

mod candidate;
mod checks;
mod loads;
mod matching;
mod numbers;
mod rule;

pub use candidate::{Candidate, Fit, haul_cost, shared_loads};
pub use checks::{across_spans, deck_checks, is_match};
pub use loads::SharedHaul;
pub(crate) use loads::least_cost;
pub use matching::{Figures, MatchRule, RULES, Relaxed, Unknown, match_rule};
pub use numbers::{Sections, candidate, deck_rule};
pub use rule::{DeckRule, DeckState, JointChoice, JointOption, order_across};
