//! The check: one question asked of a car, a deck, a crossing or the plan, with its answer.
//!
//! Every decision in the project is a list of [`Check`]s. The terminal, the JSON, the explanations
//! and the documentation all render this one value, so a reason on the shopping list is the same
//! reason that `explain` describes. What a check is about (its name, question and source) lives in
//! the [`registry`] under a stable [`Code`].
//!
//! ```
//! use spanyard::check::{Check, Code, Limit, Outcome, Value};
//! use spanyard::quantity::Feet;
//!
//! let check = Check::at_least(Code::Support, Value::Feet(Feet(66.0)), Value::Feet(Feet(64.0)));
//! assert_eq!(check.outcome, Outcome::Pass);
//! assert_eq!(check.margin, Some(Value::Feet(Feet(2.0))));
//! assert_eq!(check.code.id(), "S05");
//! ```

mod barred;
pub mod registry;
mod rests;
mod value;

pub use barred::Barred;
pub use registry::{Basis, Code, Kind};
pub use rests::{Grade, RestsOn};
pub use value::{Limit, Value};

use serde::{Deserialize, Serialize};

/// What a check found.
#[derive(Clone, Copy, Debug, PartialEq, Eq, PartialOrd, Ord, Hash, Serialize, Deserialize)]
#[serde(rename_all = "snake_case")]
pub enum Outcome {
    /// The measured value keeps the limit.
    Pass,
    /// The limit is not kept: the subject is out.
    Fail,
    /// The data needed is missing: the subject is out until somebody measures it.
    Unknown,
    /// Not a bar, but costs money or wants somebody's attention.
    Caution,
    /// Could not be checked with the data given and does not bar; always printed as not checked.
    NotChecked,
}

impl Outcome {
    /// Whether this outcome excludes the subject. What is unknown is never taken as good.
    #[must_use]
    pub fn bars(self) -> bool {
        matches!(self, Self::Fail | Self::Unknown)
    }

    /// The word printed for this outcome.
    #[must_use]
    pub fn word(self) -> &'static str {
        match self {
            Self::Pass => "pass",
            Self::Fail => "fail",
            Self::Unknown => "unknown",
            Self::Caution => "caution",
            Self::NotChecked => "not checked",
        }
    }
}

/// One question with its measured value, limit, margin and outcome.
#[derive(Clone, Debug, PartialEq, Serialize)]
pub struct Check {
    /// Which question; its name, explanation and source are in the registry.
    pub code: Code,
    /// What part the question was asked of, where one code is asked of several: `main girder`,
    /// `HS20`. Empty where the code says it all.
    #[serde(skip_serializing_if = "String::is_empty")]
    pub part: String,
    /// What was found.
    pub measured: Value,
    /// What is required.
    pub limit: Limit,
    /// How far inside the limit the measured value lies; negative when it fails; none where the
    /// question has no scale.
    #[serde(skip_serializing_if = "Option::is_none")]
    pub margin: Option<Value>,
    /// The answer.
    pub outcome: Outcome,
    /// Whether the limit is a wish and not a demand: the rules do not bar for it.
    #[serde(skip)]
    pub wished: bool,
    /// A remark in words: what to do, what was assumed. Empty where nothing needs to be said.
    #[serde(skip_serializing_if = "String::is_empty")]
    pub note: String,
    /// The weakest fact that went into it; none where that was not asked.
    #[serde(skip_serializing_if = "Option::is_none")]
    pub rests_on: Option<RestsOn>,
}

impl Check {
    /// A check with every field given; margin, part and note empty.
    #[must_use]
    pub fn new(code: Code, measured: Value, limit: Limit, outcome: Outcome) -> Self {
        Self {
            code,
            part: String::new(),
            measured,
            limit,
            margin: None,
            outcome,
            wished: false,
            note: String::new(),
            rests_on: None,
        }
    }

    /// Passes when `measured` is at least `limit`. Values of different units are a defect of the
    /// caller and come out as unknown.
    #[must_use]
    pub fn at_least(code: Code, measured: Value, limit: Value) -> Self {
        let margin = measured.minus(&limit);
        Self::by_margin(code, measured, Limit::AtLeast(limit), margin)
    }

    /// Passes when `measured` is at most `limit`.
    #[must_use]
    pub fn at_most(code: Code, measured: Value, limit: Value) -> Self {
        let margin = limit.minus(&measured);
        Self::by_margin(code, measured, Limit::AtMost(limit), margin)
    }

    /// Passes when `measured` lies from `low` to `high`, both included; the margin is the distance
    /// to the nearer end.
    #[must_use]
    pub fn between(code: Code, measured: Value, low: Value, high: Value) -> Self {
        let margin = match (measured.minus(&low), high.minus(&measured)) {
            (Some(above), Some(below)) => {
                Some(if above.number() <= below.number() { above } else { below })
            }
            _ => None,
        };
        Self::by_margin(code, measured, Limit::Between(low, high), margin)
    }

    /// Passes when the words measured are as required.
    #[must_use]
    pub fn words(code: Code, measured: impl Into<String>, limit: Limit, pass: bool) -> Self {
        let outcome = if pass { Outcome::Pass } else { Outcome::Fail };
        Self::new(code, Value::Text(measured.into()), limit, outcome)
    }

    /// The data is missing.
    #[must_use]
    pub fn unknown(code: Code, limit: Limit, note: impl Into<String>) -> Self {
        Self::new(code, Value::Unknown, limit, Outcome::Unknown).note(note)
    }

    /// The same check asked of a named part.
    #[must_use]
    pub fn part(mut self, part: impl Into<String>) -> Self {
        self.part = part.into();
        self
    }

    /// The same check with a remark.
    #[must_use]
    pub fn note(mut self, note: impl Into<String>) -> Self {
        self.note = note.into();
        self
    }

    /// The same check with a remark where remarks are wanted: of many checks only the outcomes are.
    #[must_use]
    pub fn note_if(self, wanted: bool, note: impl FnOnce() -> String) -> Self {
        if wanted { self.note(note()) } else { self }
    }

    /// Whether two checks say the same, though of other facts.
    #[must_use]
    pub fn says_the_same(&self, other: &Self) -> bool {
        let Self { code, part, measured, limit, margin, outcome, note, wished, rests_on: _ } = self;
        (code, part, measured, limit) == (&other.code, &other.part, &other.measured, &other.limit)
            && (margin, outcome, note, wished)
                == (&other.margin, &other.outcome, &other.note, &other.wished)
    }

    /// Takes the weaker of what it and another check that says the same rest on; its own where they
    /// are as weak.
    pub fn rest_on_weaker(&mut self, other: &Self) {
        match (&mut self.rests_on, &other.rests_on) {
            (Some(own), Some(other)) if own.grade <= other.grade => {}
            (_, None) => {}
            (own, other) => own.clone_from(other),
        }
    }

    /// The margin as a share of the limit, for ranking checks of different units: 0.05 means that
    /// the value keeps the limit by 5 % of it. None where there is no scale.
    #[must_use]
    pub fn relative_margin(&self) -> Option<f64> {
        let margin = self.margin.as_ref()?.number()?;
        let limit = self.limit.number()?;
        (limit.abs() > 1e-9).then(|| margin / limit.abs())
    }

    /// The name of the question, with its part: `Rating factor (HS20)`.
    #[must_use]
    pub fn title(&self) -> String {
        let name = self.code.kind().name;
        if self.part.is_empty() { name.to_owned() } else { format!("{name} ({})", self.part) }
    }

    /// The whole check as one sentence: code, name, measured, limit, margin, note.
    ///
    /// ```
    /// use spanyard::check::{Check, Code, Value};
    /// use spanyard::quantity::Feet;
    /// let check = Check::at_least(Code::Support, Value::Feet(Feet(46.0)), Value::Feet(Feet(64.0)));
    /// assert_eq!(
    ///     check.sentence(),
    ///     "S05 Support at the truck centers: 46.00 ft, must be at least 64.00 ft, short by 18.00 ft"
    /// );
    /// ```
    #[must_use]
    pub fn sentence(&self) -> String {
        let mut text = format!("{} {}: {}", self.code.id(), self.title(), self.measured);
        let limit = self.limit.to_string();
        if !limit.is_empty() {
            // What does not bar is wished for, not demanded.
            let wished = self.wished || self.outcome == Outcome::Caution;
            let verb = if wished { "should" } else { "must" };
            text.push_str(&format!(", {verb} be {limit}"));
        }
        if let Some(words) = self.margin_words() {
            text.push_str(&format!(", {words}"));
        }
        if !self.note.is_empty() {
            text.push_str(&format!("; {}", self.note));
        }
        text
    }

    /// The margin in words: `margin 2.00 ft`, `short by 18.00 ft`, `over by 1.20 in`, `late by 3 days`.
    #[must_use]
    pub fn margin_words(&self) -> Option<String> {
        let margin = self.margin.as_ref()?;
        // A caution may lie beyond its limit too, where the rules do not bar for it.
        if margin.number().is_none_or(|number| number >= -TOLERANCE) {
            return Some(format!("margin {margin}"));
        }
        let by = margin.magnitude();
        let over = match &self.limit {
            Limit::AtMost(_) => true,
            Limit::Between(_, high) => self.measured.number() > high.number(),
            _ => false,
        };
        let words = match (over, margin) {
            (true, Value::Days(_)) => "late",
            (false, Value::Days(_)) => "early",
            (true, _) => "over",
            (false, _) => "short",
        };
        Some(format!("{words} by {by}"))
    }

    fn by_margin(code: Code, measured: Value, limit: Limit, margin: Option<Value>) -> Self {
        let outcome = match margin.as_ref().and_then(Value::number) {
            Some(m) if m >= -TOLERANCE => Outcome::Pass,
            Some(_) => Outcome::Fail,
            None => Outcome::Unknown,
        };
        Self { margin, ..Self::new(code, measured, limit, outcome) }
    }
}

/// Rounding noise of sums of decimal inputs (a width of 8.9 + 8.9 ft): far below any measurable
/// difference in feet, inches, kips or rating factor, so it can never hide a real shortfall.
pub const TOLERANCE: f64 = 1e-9;

/// Whether a list of checks lets its subject through.
#[must_use]
pub fn all_pass(checks: &[Check]) -> bool {
    !checks.iter().any(|check| check.outcome.bars())
}

#[cfg(test)]
mod tests {
    use super::*;
    use crate::quantity::{Feet, Inches};

    #[test]
    fn limits_are_inclusive_and_margins_signed() {
        for (measured, limit, outcome, margin) in [
            (66.0, 66.0, Outcome::Pass, 0.0),
            (66.0, 64.5, Outcome::Pass, 1.5),
            (66.0, 66.5, Outcome::Fail, -0.5),
        ] {
            let check = Check::at_least(
                Code::Support,
                Value::Feet(Feet(measured)),
                Value::Feet(Feet(limit)),
            );
            assert_eq!(check.outcome, outcome);
            assert_eq!(check.margin, Some(Value::Feet(Feet(margin))));
        }
    }

    #[test]
    fn a_range_has_its_margin_at_the_nearer_end() {
        for (gap, outcome, margin, words) in [
            (4.0, Outcome::Pass, 0.0, "margin 0.00 in"),
            (7.0, Outcome::Pass, 3.0, "margin 3.00 in"),
            (17.5, Outcome::Pass, 0.5, "margin 0.50 in"),
            (3.5, Outcome::Fail, -0.5, "short by 0.50 in"),
            (18.25, Outcome::Fail, -0.25, "over by 0.25 in"),
        ] {
            let inches = |x| Value::Inches(Inches(x));
            let check = Check::between(Code::JointGap, inches(gap), inches(4.0), inches(18.0));
            assert_eq!(check.outcome, outcome, "{gap}");
            assert_eq!(check.margin, Some(inches(margin)), "{gap}");
            assert_eq!(check.margin_words().as_deref(), Some(words), "{gap}");
        }
    }

    #[test]
    fn days_are_early_or_late() {
        let day = |day| Value::Date(jiff::civil::date(2026, 6, day));
        let early = Check::at_least(Code::QuoteDate, day(1), day(4));
        assert_eq!(
            early.sentence(),
            "S14 Quote valid on the order date: 2026-06-01, must be on or after 2026-06-04, early by 3 days"
        );
        let late = Check::at_most(Code::NeedDate, day(9), day(4));
        assert_eq!(
            late.sentence(),
            "S15 Ready by the date needed: 2026-06-09, must be on or before 2026-06-04, late by 5 days"
        );
    }

    #[test]
    fn what_the_rules_only_wish_for_should_be() {
        let inches = |x| Value::Inches(Inches(x));
        let mut check = Check::at_most(Code::Deflection, inches(0.49), inches(0.51));
        assert!(check.sentence().contains("0.49 in, must be at most 0.51 in"));
        check.wished = true;
        assert!(check.sentence().contains("0.49 in, should be at most 0.51 in"));
    }

    #[test]
    fn unlike_units_never_pass() {
        let check =
            Check::at_least(Code::Support, Value::Feet(Feet(66.0)), Value::Inches(Inches(12.0)));
        assert_eq!(check.outcome, Outcome::Unknown);
    }

    #[test]
    fn unknown_bars_and_caution_does_not() {
        assert!(Outcome::Unknown.bars());
        assert!(Outcome::Fail.bars());
        assert!(!Outcome::Caution.bars());
        assert!(!Outcome::NotChecked.bars());
    }
}
