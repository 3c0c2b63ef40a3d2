//! Pieces that several documents share.

use std::borrow::Cow;

use serde::{Deserialize, Serialize};

use crate::check::{Grade, Limit, Outcome, Value};
use crate::quantity::Cents;

/// Words of the program's own, or read back.
pub type Word = Cow<'static, str>;

/// A car's name. A row of several identical cars has one.
#[derive(Clone, Debug, PartialEq, Eq, Serialize, Deserialize)]
pub struct CarName {
    /// The dealer.
    pub dealer: String,
    /// The dealer's ID of the car.
    pub car: String,
}

/// A check with everything the registry says of it that a reader needs at hand.
#[derive(Clone, Debug, PartialEq, Serialize, Deserialize)]
pub struct CheckStated {
    /// Its code, such as `S05`.
    pub code: Word,
    /// Its name.
    pub name: Word,
    /// The part asked of, such as `HS20`; empty where the code says it all.
    #[serde(default, skip_serializing_if = "String::is_empty")]
    pub part: String,
    /// The answer.
    pub outcome: Outcome,
    /// Whether it excludes its subject.
    pub bars: bool,
    /// What was found.
    pub measured: Value,
    /// What is required.
    pub limit: Limit,
    /// How far inside the limit; negative where it is not kept.
    #[serde(default, skip_serializing_if = "Option::is_none")]
    pub margin: Option<Value>,
    /// Where the requirement comes from.
    pub source: String,
    /// The whole check in words.
    pub sentence: String,
    /// The weakest fact of the car that went into it; absent where no known fact did.
    #[serde(default, skip_serializing_if = "Option::is_none")]
    pub rests_on: Option<RestsOnStated>,
}

/// The weakest fact behind a check.
#[derive(Clone, Debug, PartialEq, Eq, Serialize, Deserialize)]
pub struct RestsOnStated {
    /// How well it is known.
    pub grade: Grade,
    /// Which fact.
    pub fact: Word,
    /// Where it stands, and who says so.
    pub place: String,
}

/// A check with the cars, spans or crossings that it was asked of.
#[derive(Clone, Debug, PartialEq, Serialize, Deserialize)]
pub struct Said {
    /// Of whom it was asked.
    pub subjects: Vec<String>,
    /// The check.
    pub check: CheckStated,
}

/// A cost line.
#[derive(Clone, Debug, PartialEq, Serialize, Deserialize)]
pub struct CostLine {
    /// What it pays for, such as `haul`.
    pub item: Word,
    /// The car, joint or part.
    pub subject: String,
    /// Quantity times rate, in words.
    pub basis: String,
    /// The amount.
    pub amount_usd_cents: Cents,
}

/// The rules in force.
#[derive(Clone, Debug, PartialEq, Serialize, Deserialize)]
pub struct RulesStated {
    /// Equal rules, equal fingerprint.
    pub fingerprint_fnv1a_64: String,
    /// Keys that differ from the built-in rules.
    pub changed: Vec<ChangedRule>,
}

/// A rule that differs from the built-in one.
#[derive(Clone, Debug, PartialEq, Serialize, Deserialize)]
pub struct ChangedRule {
    /// The key with its tables.
    pub key: String,
    /// The value in force, as TOML; none where the key is left out.
    pub value_toml: Option<String>,
    /// The built-in value, as TOML; none where there is none.
    pub built_in_toml: Option<String>,
}
