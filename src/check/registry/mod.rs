//! The registry: one entry per question the project asks, with a stable code.
//!
//! `explain`, `docs/checks.md` and the tests of the demonstration are made from this table. To add a
//! check, add its entry to `table.rs` and make the [`Check`](super::Check) where the stage decides it;
//! a code is never reused or renumbered.

use std::fmt;
use std::str::FromStr;

use serde::{Serialize, Serializer};

use super::Outcome;

mod declare;
mod table;

pub use table::{Code, REGISTRY};

/// Where a requirement comes from.
#[derive(Clone, Copy, Debug, PartialEq, Eq)]
pub enum Basis {
    /// Common practice of the trade; no published source.
    CommonPractice,
    /// Read in this published source.
    Published(&'static str),
    /// Recalled from this published source and not read in it: confirm before relying on it.
    FromMemory(&'static str),
    /// A rule of this project, needed to keep its own promises.
    Ours,
}

impl fmt::Display for Basis {
    fn fmt(&self, f: &mut fmt::Formatter<'_>) -> fmt::Result {
        match self {
            Self::CommonPractice => f.write_str("common practice, no source"),
            Self::Published(source) => f.write_str(source),
            Self::FromMemory(source) => write!(f, "{source} (from memory)"),
            Self::Ours => f.write_str("rule of this program"),
        }
    }
}

/// The stage of the work in which a question is asked.
#[derive(Clone, Copy, Debug, PartialEq, Eq, PartialOrd, Ord, Hash)]
pub enum Stage {
    /// Reading the files.
    Read,
    /// One car against one crossing, without strength.
    Screen,
    /// The strength of one car on one span.
    Rate,
    /// Cars side by side in one deck.
    Group,
    /// Why a crossing goes without.
    Choose,
    /// The finished plan, recomputed.
    Verify,
}

impl Stage {
    /// The stage as a heading.
    #[must_use]
    pub fn title(self) -> &'static str {
        match self {
            Self::Read => "Reading the files",
            Self::Screen => "Screening a car against a crossing",
            Self::Rate => "Rating the car",
            Self::Group => "Grouping cars into a deck",
            Self::Choose => "Choosing",
            Self::Verify => "Verifying the plan",
        }
    }

    /// What a person can do about a no of this stage, where its entry says nothing of its own.
    #[must_use]
    pub const fn remedy(self) -> &'static str {
        match self {
            Self::Read => "Correct the file and read it again.",
            Self::Screen => "Inspect and measure the car, or look for another one.",
            Self::Rate => "A stronger car, a shorter span, a lighter deck, or a posting.",
            Self::Group => "Match other cars.",
            Self::Choose => "See the nearest miss.",
            Self::Verify => "A defect of this program: please report it.",
        }
    }
}

/// What the registry knows of one question.
#[derive(Clone, Copy, Debug)]
pub struct Kind {
    /// The code itself.
    pub code: Code,
    /// The stable identifier, a letter for the stage and a number: `S05`.
    pub id: &'static str,
    /// The stage that asks it.
    pub stage: Stage,
    /// Short name, as in a table.
    pub name: &'static str,
    /// Where the requirement comes from.
    pub basis: Basis,
    /// What is compared with what, and why it matters.
    pub about: &'static str,
    /// What a person can do when the answer is no or unknown.
    pub remedy: &'static str,
    /// Where the demonstration shows it, on the first span of a crossing.
    pub examples: &'static [Example],
}

/// A car of the demonstration at one of its crossings, and what the question answers there.
#[derive(Clone, Copy, Debug, Serialize)]
pub struct Example {
    /// The car.
    pub car: &'static str,
    /// The crossing.
    pub crossing: &'static str,
    /// The answer.
    pub outcome: Outcome,
    /// What the example shows.
    pub why: &'static str,
}

impl Example {
    /// The example in words: `UD-12 at B-07 of the demonstration: fail (a wreck)`.
    #[must_use]
    pub fn words(&self) -> String {
        let Self { car, crossing, outcome, why } = self;
        format!("{car} at {crossing} of the demonstration: {} ({why})", outcome.word())
    }
}

impl Code {
    /// What the registry knows of this question.
    #[must_use]
    pub fn kind(self) -> &'static Kind {
        &REGISTRY[self as usize]
    }

    /// The stable identifier, such as `S05`.
    #[must_use]
    pub fn id(self) -> &'static str {
        self.kind().id
    }
}

impl fmt::Display for Code {
    fn fmt(&self, f: &mut fmt::Formatter<'_>) -> fmt::Result {
        f.pad(self.id())
    }
}

impl Serialize for Code {
    fn serialize<S: Serializer>(&self, serializer: S) -> Result<S::Ok, S::Error> {
        serializer.serialize_str(self.id())
    }
}

/// The text is not a code of the registry.
#[derive(Debug, Clone, PartialEq, Eq, thiserror::Error)]
#[error("no check has the code `{0}`; `spanyard explain` lists all codes")]
pub struct UnknownCode(String);

impl FromStr for Code {
    type Err = UnknownCode;

    /// Parses an identifier, in either case.
    fn from_str(text: &str) -> Result<Self, UnknownCode> {
        REGISTRY
            .iter()
            .find(|kind| kind.id.eq_ignore_ascii_case(text.trim()))
            .map(|kind| kind.code)
            .ok_or_else(|| UnknownCode(text.to_owned()))
    }
}

#[cfg(test)]
mod tests {
    use std::collections::BTreeSet;

    use super::*;

    #[test]
    fn every_code_finds_its_own_entry_by_position_and_by_name() {
        for kind in REGISTRY {
            assert_eq!(kind.code.kind().id, kind.id);
            assert_eq!(kind.id.parse::<Code>(), Ok(kind.code));
        }
    }

    #[test]
    fn identifiers_are_unique_and_complete() {
        let ids: BTreeSet<_> = REGISTRY.iter().map(|kind| kind.id).collect();
        assert_eq!(ids.len(), REGISTRY.len());
        for kind in REGISTRY {
            let whys = kind.examples.iter().map(|example| example.why);
            for text in [kind.name, kind.about, kind.remedy].into_iter().chain(whys) {
                assert!(!text.is_empty(), "{} has an empty text", kind.id);
            }
        }
    }
}
