//! The quick answer: which checks of the rating bar a car on a span, without their numbers; and what
//! each number means, for this answer and for the full list of checks alike.

use crate::check::{Code, Outcome, TOLERANCE};
use crate::model::rules::Rules;
use crate::quantity::{Feet, Inches, Ratio, Tons};

/// The codes of the rating, as one bit each.
const CODES: [Code; 11] = [
    Code::Rateable,
    Code::SteelYield,
    Code::BendingAllowable,
    Code::ShearAllowable,
    Code::BendingFactored,
    Code::ShearFactored,
    Code::Posting,
    Code::Deflection,
    Code::Slenderness,
    Code::LocalMembers,
    Code::LoadShare,
];

/// The codes of the rating that bar a car on a span.
#[derive(Clone, Copy, Debug, Default, PartialEq, Eq)]
pub struct Barred {
    codes: u16,
    /// Of these, the codes of which a known value fails.
    failed: u16,
}

impl Barred {
    /// Whether no check of the rating bars.
    #[must_use]
    pub fn passes(self) -> bool {
        self.codes == 0
    }

    /// The codes that bar, in the order of the registry, each with whether a known value fails; else
    /// only data is missing.
    pub fn codes(self) -> impl Iterator<Item = (Code, bool)> {
        let all = CODES.iter().enumerate().map(|(i, &code)| (code, 1 << i));
        all.filter(move |(_, bit)| self.codes & bit != 0)
            .map(move |(code, bit)| (code, self.failed & bit != 0))
    }

    /// Only this code bars, for want of data.
    #[must_use]
    pub fn for_want_of_data(code: Code) -> Self {
        let mut barred = Self::default();
        barred.add(code, Outcome::Unknown);
        barred
    }

    pub(super) fn add(&mut self, code: Code, outcome: Outcome) {
        if !outcome.bars() {
            return;
        }
        let bit = CODES.iter().position(|&known| known == code).map_or(0, |i| 1 << i);
        self.codes |= bit;
        if outcome == Outcome::Fail {
            self.failed |= bit;
        }
    }
}

/// Whether a rating factor is at least 1.
#[must_use]
pub(super) fn reaches_one(factor: Ratio) -> bool {
    factor.0 >= 1.0 - TOLERANCE
}

/// What a rating factor means: at least 1 passes; less fails where its form bars, unless the
/// crossing accepts a posting, which then decides; else it is a caution.
#[must_use]
pub(super) fn factor_outcome(reached: bool, form_bars: bool, posting_accepted: bool) -> Outcome {
    if reached {
        Outcome::Pass
    } else if form_bars && !posting_accepted {
        Outcome::Fail
    } else {
        Outcome::Caution
    }
}

/// What a posting means where the crossing accepts one: the sign must reach the least posting, and
/// the weight below which a bridge is closed.
#[must_use]
pub(super) fn posting_outcome(sign: Option<Tons>, least: Tons, rules: &Rules) -> Outcome {
    let least = least.max(rules.posting.close_below_tons);
    match sign {
        Some(sign) if sign.0 < least.0 - TOLERANCE => Outcome::Fail,
        _ => Outcome::Pass,
    }
}

/// What a deflection means.
#[must_use]
pub(super) fn deflection_outcome(found: Option<Inches>, span: Feet, rules: &Rules) -> Outcome {
    let rating = &rules.rating;
    match found {
        Some(found) if found.0 <= deflection_limit(span, rules).0 + TOLERANCE => Outcome::Pass,
        Some(_) if rating.deflection_bars => Outcome::Fail,
        Some(_) => Outcome::Caution,
        None if rating.deflection_bars => Outcome::Unknown,
        None => Outcome::NotChecked,
    }
}

/// The most that the rules let a span deflect.
#[must_use]
pub(super) fn deflection_limit(span: Feet, rules: &Rules) -> Inches {
    Inches::from(span) / rules.rating.deflection_span_fraction
}

/// What missing webs mean for the shear.
#[must_use]
pub(super) fn no_shear_outcome(rules: &Rules) -> Outcome {
    if rules.rating.shear_required { Outcome::Unknown } else { Outcome::NotChecked }
}
