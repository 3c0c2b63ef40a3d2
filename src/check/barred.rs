//! What bars: a set of codes, one bit for each.

use super::registry::REGISTRY;
use super::{Check, Code, Outcome};

/// The set of codes that bar a subject; empty when it passes. Of each code it keeps whether a known
/// value fails, or data is missing.
#[derive(Clone, Copy, Debug, Default, PartialEq, Eq, PartialOrd, Ord, Hash)]
pub struct Barred {
    /// The codes that bar.
    codes: u128,
    /// Of these, the codes that fail by a known value in at least one of their parts.
    failed: u128,
}

// One bit for each code of the registry.
const _: () = assert!(REGISTRY.len() <= u128::BITS as usize);

/// The bit of a code.
fn bit(code: Code) -> u128 {
    1 << code as u32
}

impl Barred {
    /// The codes of the checks that bar.
    #[must_use]
    pub fn by(checks: &[Check]) -> Self {
        let mut barred = Self::default();
        for check in checks {
            barred.add(check.code, check.outcome);
        }
        barred
    }

    /// Only this code bars, for want of data.
    #[must_use]
    pub fn for_want_of_data(code: Code) -> Self {
        let mut barred = Self::default();
        barred.add(code, Outcome::Unknown);
        barred
    }

    /// Takes in the outcome of one more check.
    pub fn add(&mut self, code: Code, outcome: Outcome) {
        if outcome.bars() {
            self.codes |= bit(code);
        }
        if outcome == Outcome::Fail {
            self.failed |= bit(code);
        }
    }

    /// Whether nothing bars.
    #[must_use]
    pub fn is_empty(self) -> bool {
        self.codes == 0
    }

    /// How many different codes bar.
    #[must_use]
    pub fn count(self) -> u32 {
        self.codes.count_ones()
    }

    /// Whether this code bars.
    #[must_use]
    pub fn contains(self, code: Code) -> bool {
        self.codes & bit(code) != 0
    }

    /// Whether this code bars for want of data alone.
    #[must_use]
    pub fn unknown(self, code: Code) -> bool {
        self.contains(code) && self.failed & bit(code) == 0
    }

    /// The codes, in the order of the registry.
    pub fn codes(self) -> impl Iterator<Item = Code> {
        REGISTRY.iter().map(|kind| kind.code).filter(move |code| self.contains(*code))
    }

    /// What bars in both; for want of data alone where it does so in both.
    #[must_use]
    pub fn and(self, other: Self) -> Self {
        let codes = self.codes & other.codes;
        Self { codes, failed: (self.failed | other.failed) & codes }
    }

    /// What bars in one or the other; for want of data alone where it fails in neither.
    #[must_use]
    pub fn or(self, other: Self) -> Self {
        Self { codes: self.codes | other.codes, failed: self.failed | other.failed }
    }
}

#[cfg(test)]
mod tests {
    use super::*;

    /// No code can be forgotten: each of the registry bars once it fails or is unknown.
    #[test]
    fn every_code_of_the_registry_can_bar() {
        for kind in REGISTRY {
            for (outcome, bars) in [
                (Outcome::Fail, true),
                (Outcome::Unknown, true),
                (Outcome::Pass, false),
                (Outcome::Caution, false),
                (Outcome::NotChecked, false),
            ] {
                let mut barred = Barred::default();
                barred.add(kind.code, outcome);
                assert_eq!(!barred.is_empty(), bars, "{} {}", kind.id, outcome.word());
                assert_eq!(barred.codes().collect::<Vec<_>>(), [kind.code][..usize::from(bars)]);
                assert_eq!(barred.unknown(kind.code), outcome == Outcome::Unknown, "{}", kind.id);
            }
        }
    }
}
