//! The rules by which the measures of a deck's cars match, each told once: [`RULES`].
//!
//! A rule names the check that asks it, the measure of a car, and how far the measures of one deck
//! may lie apart. The search extends a deck car by car with [`Spreads`], the checks say the same for
//! people, near misses relax a tolerance, and the wanted list turns it into the range that a partner
//! must keep. A rule added to the table is asked by all of them.

use crate::check::{Check, Code, Limit, TOLERANCE, Value};
use crate::model::car::Car;
use crate::model::rules::GroupRules;
use crate::quantity::{Feet, Inches};

/// One rule: the measures of the cars of a deck lie no farther apart than a tolerance.
pub struct MatchRule {
    /// The check that asks it.
    pub code: Code,
    /// What is measured, in words.
    pub words: &'static str,
    /// The measure of a car; none: not known, and the car lies in no deck.
    measure: fn(&Car) -> Option<Value>,
    /// Largest less smallest measure of a deck, at most.
    tolerance: fn(&GroupRules) -> Value,
    /// How the engineer may relax it, if he may.
    pub relax: Option<Relaxed>,
}

/// The steps in which a tolerance may be relaxed. Common practice, no source, for their sizes and ends.
pub struct Relaxed {
    /// How much is added at each step, in the unit of the tolerance.
    pub step: f64,
    /// How many steps are tried.
    pub most: u32,
    /// The step that people mean when they speak of a little more: its index.
    pub usual: usize,
    /// Sets the tolerance.
    set: fn(&mut GroupRules, f64),
}

/// Every rule, in the order of the registry.
pub const RULES: [MatchRule; 2] = [
    MatchRule {
        code: Code::CamberSpread,
        words: "camber",
        measure: |car| car.camber.map(Value::Inches),
        tolerance: |rules| Value::Inches(rules.camber_tolerance_in),
        relax: Some(Relaxed {
            step: 0.05,
            most: 20,
            usual: 3, // 0.2 in
            set: |rules, to| rules.camber_tolerance_in = Inches(to),
        }),
    },
    MatchRule {
        code: Code::CentersSpread,
        words: "truck centers",
        measure: |car| car.truck_centers.map(Value::Feet),
        tolerance: |rules| Value::Feet(rules.truck_centers_tolerance_ft),
        relax: Some(Relaxed {
            step: 0.25,
            most: 12,
            usual: 0,
            set: |rules, to| rules.truck_centers_tolerance_ft = Feet(to),
        }),
    },
];

/// How many rules there are.
const COUNT: usize = RULES.len();

/// The rule that a check asks.
#[must_use]
pub fn match_rule(code: Code) -> Option<&'static MatchRule> {
    const ALL: &[MatchRule] = &RULES;
    ALL.iter().find(|rule| rule.code == code)
}

impl MatchRule {
    /// The tolerance of these rules.
    #[must_use]
    pub fn tolerance(&self, rules: &GroupRules) -> Value {
        (self.tolerance)(rules)
    }

    /// Gives these rules another tolerance, where it may be relaxed.
    pub fn relax(&self, rules: &mut GroupRules, to: f64) {
        if let Some(relaxed) = &self.relax {
            (relaxed.set)(rules, to);
        }
    }

    /// The measures that match this car's: least and greatest; none where its own is not known.
    #[must_use]
    pub fn partners(&self, car: &Car, rules: &GroupRules) -> Option<(Value, Value)> {
        let own = (self.measure)(car)?;
        let (number, apart) = (own.number()?, self.tolerance(rules).number()?);
        Some((own.with_number(number - apart), own.with_number(number + apart)))
    }

    /// The check of a deck: largest less smallest.
    pub(super) fn check(&self, cars: &[&Car], rules: &GroupRules) -> Check {
        let tolerance = self.tolerance(rules);
        let mut ends: Option<(Value, Value)> = None;
        for car in cars {
            let Some(value) = (self.measure)(car) else {
                let note = format!("{} has no value", car.name());
                return Check::unknown(self.code, Limit::AtMost(tolerance), note);
            };
            ends = Some(match ends {
                None => (value.clone(), value),
                Some((low, high)) if value.number() < low.number() => (value, high),
                Some((low, high)) if value.number() > high.number() => (low, value),
                Some(ends) => ends,
            });
        }
        match ends.and_then(|(low, high)| Some((high.minus(&low)?, low, high))) {
            Some((spread, low, high)) => {
                Check::at_most(self.code, spread, tolerance).note(format!("from {low} to {high}"))
            }
            None => Check::unknown(self.code, Limit::AtMost(tolerance), "no cars"),
        }
    }
}

/// A number for each rule: the measures of a car, or the tolerances of a span.
#[derive(Clone, Copy, Debug, PartialEq)]
pub struct Figures([f64; COUNT]);

impl Figures {
    /// The measures of a car; none where one that must be known is not.
    #[must_use]
    pub fn of_car(car: &Car) -> Option<Self> {
        let mut all = [f64::NAN; COUNT];
        for (figure, rule) in all.iter_mut().zip(&RULES) {
            *figure = (rule.measure)(car)?.number()?;
        }
        Some(Self(all))
    }

    /// The tolerances of these rules.
    #[must_use]
    pub fn of_rules(rules: &GroupRules) -> Self {
        // What has no number would be no tolerance at all.
        Self(std::array::from_fn(|at| RULES[at].tolerance(rules).number().unwrap_or(0.0)))
    }

    /// Camber in inches and truck centers in feet, or their tolerances; all other rules are kept by
    /// any two cars.
    #[must_use]
    pub fn plain(camber: Inches, centers: Feet) -> Self {
        let all = Self([0.0; COUNT]);
        all.with(Code::CamberSpread, camber.0).with(Code::CentersSpread, centers.0)
    }

    /// The figure of one rule, in its unit.
    #[must_use]
    pub fn get(&self, code: Code) -> Option<f64> {
        let at = RULES.iter().position(|rule| rule.code == code)?;
        Some(self.0[at])
    }

    /// The same with another figure for one rule.
    #[must_use]
    pub fn with(mut self, code: Code, figure: f64) -> Self {
        if let Some(at) = RULES.iter().position(|rule| rule.code == code) {
            self.0[at] = figure;
        }
        self
    }

    /// The figures in the order of the rules.
    #[must_use]
    pub fn all(&self) -> &[f64] {
        &self.0
    }
}

/// Smallest and largest measures of the cars of a deck so far.
#[derive(Clone, Copy, Debug, PartialEq)]
pub(super) struct Spreads {
    low: [f64; COUNT],
    high: [f64; COUNT],
}

impl Spreads {
    /// Of no cars.
    pub const NONE: Self = Self { low: [f64::INFINITY; COUNT], high: [f64::NEG_INFINITY; COUNT] };

    /// With one car more; none if it does not match.
    ///
    /// A measure lies within the tolerance of all others exactly when largest and smallest do, so a
    /// car that does not match now never will.
    #[inline]
    pub fn with(&self, car: &Figures, tolerances: &Figures) -> Option<Self> {
        let mut next = *self;
        let mut beyond = false;
        for at in 0..COUNT {
            next.low[at] = next.low[at].min(car.0[at]);
            next.high[at] = next.high[at].max(car.0[at]);
            beyond |= next.high[at] - next.low[at] > tolerances.0[at] + TOLERANCE;
        }
        (!beyond).then_some(next)
    }
}
