//! What a check rests on: the weakest of the facts that went into it.

use std::fmt;

use serde::{Deserialize, Serialize};

/// How well a fact is known, rising. A value that is not known has no grade.
#[derive(Clone, Copy, Debug, PartialEq, Eq, PartialOrd, Ord, Hash, Serialize, Deserialize)]
#[serde(rename_all = "snake_case")]
pub enum Grade {
    /// Assumed by the agency: a constant of its mapping, a worst case taken from other cars.
    Assumed,
    /// Stated by the dealer in words or cells of his own, which the agency's mapping reads as ours.
    Interpreted,
    /// Stated by the dealer.
    Stated,
    /// Inspected for the agency.
    Inspected,
    /// Documented: a drawing, certificate, scale ticket or test report.
    Documented,
}

impl Grade {
    /// The grade as the end of a sentence about a fact.
    #[must_use]
    pub fn words(self) -> &'static str {
        match self {
            Self::Assumed => "assumed by the agency",
            Self::Interpreted => "stated by the dealer as the mapping reads it",
            Self::Stated => "stated by the dealer",
            Self::Inspected => "inspected",
            Self::Documented => "documented",
        }
    }
}

/// The weakest fact behind a check.
#[derive(Clone, Debug, PartialEq, Eq, Serialize)]
pub struct RestsOn {
    /// How well it is known.
    pub grade: Grade,
    /// Which fact.
    pub fact: &'static str,
    /// Where it stands, and who says so.
    pub place: String,
}

impl fmt::Display for RestsOn {
    /// `camber assumed by the agency: pell.mapping.toml:12`.
    fn fmt(&self, f: &mut fmt::Formatter<'_>) -> fmt::Result {
        write!(f, "{} {}: {}", self.fact, self.grade.words(), self.place)
    }
}
