//! The rules by which the measures of a deck's cars match, each told once: [`RULES`].
//!
//! A rule names the check that asks it, the measure of a car, and how far the measures of one deck
//! may lie apart. The search extends a deck car by car with [`Spreads`], the checks say the same for
//! people, near misses relax a tolerance, and the wanted list turns it into the range that a partner
//! must keep. A rule added to the table is asked by all of them.

use crate::check::{Code, TOLERANCE, Value};
use crate::model::car::Car;
use crate::model::rules::GroupRules;
use crate::quantity::{Feet, Inches, KipsPerFoot};
use crate::rate::Stiffness;

/// One rule: the measures of the cars of a deck lie no farther apart than a tolerance.
pub struct MatchRule {
    /// The check that asks it.
    pub code: Code,
    /// What is measured, in words.
    pub words: &'static str,
    /// The measure of a car; none: not known.
    pub(super) measure: fn(&Car) -> Option<Value>,
    /// Largest less smallest measure of a deck, at most; in per cent, how much the largest may be over
    /// the smallest.
    tolerance: fn(&GroupRules) -> Value,
    /// What follows where a measure is not known.
    pub unknown: Unknown,
    /// How the engineer may relax it, if he may.
    pub relax: Option<Relaxed>,
}

/// What follows where a measure is not known.
#[derive(Clone, Copy, Debug, PartialEq, Eq)]
pub enum Unknown {
    /// The car lies in no deck.
    Bars,
    /// It is to be confirmed, and so is a measure near the limit.
    Confirm,
    /// Another rule asks.
    LeftToAnother,
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
pub const RULES: [MatchRule; 11] = [
    MatchRule {
        code: Code::CamberSpread,
        words: "camber",
        measure: |car| car.camber.map(Value::Inches),
        tolerance: |rules| Value::Inches(rules.camber_tolerance_in),
        unknown: Unknown::Bars,
        relax: Some(Relaxed {
            step: 0.05,
            most: 20,
            usual: 3, // 0.2 in
            // The steps at the joints may be as much greater.
            set: |rules, to| {
                let more = Inches(to) - rules.camber_tolerance_in;
                rules.camber_step_in += more;
                rules.camber_tolerance_in = Inches(to);
            },
        }),
    },
    MatchRule {
        code: Code::CentersSpread,
        words: "truck centers",
        measure: |car| car.truck_centers.map(Value::Feet),
        tolerance: |rules| Value::Feet(rules.truck_centers_tolerance_ft),
        unknown: Unknown::Bars,
        relax: Some(Relaxed {
            step: 0.25,
            most: 12,
            usual: 0,
            set: |rules, to| rules.truck_centers_tolerance_ft = Feet(to),
        }),
    },
    MatchRule {
        code: Code::StiffnessSpread,
        words: "stiffness",
        measure: |car| Stiffness::of(car)?.inertia.map(Value::QuarticInches),
        tolerance: |rules| Value::Percent(rules.stiffness_tolerance_pct),
        unknown: Unknown::LeftToAnother,
        relax: None,
    },
    MatchRule {
        code: Code::ModulusSpread,
        words: "section modulus",
        measure: |car| Some(Value::CubicInches(Stiffness::of(car)?.modulus)),
        tolerance: |rules| Value::Percent(rules.stiffness_tolerance_pct),
        unknown: Unknown::Confirm,
        relax: None,
    },
    MatchRule {
        code: Code::DepthSpread,
        words: "exterior girder depth",
        measure: |car| car.exterior_depth.map(Value::Inches),
        tolerance: |rules| Value::Inches(rules.exterior_depth_tolerance_in),
        unknown: Unknown::Confirm,
        relax: None,
    },
    MatchRule {
        code: Code::LengthSpread,
        words: "length",
        measure: |car| car.length.map(Value::Feet),
        tolerance: |rules| Value::Feet(rules.length_tolerance_ft),
        unknown: Unknown::Confirm,
        relax: None,
    },
    MatchRule {
        code: Code::WebsSpread,
        words: "webs",
        measure: |car| car.girder.plates.map(|plates| Value::Count(plates.webs.into())),
        tolerance: |_| Value::Count(0),
        unknown: Unknown::Confirm,
        relax: None,
    },
    MatchRule {
        code: Code::WeightSpread,
        words: "weight per foot",
        measure: |car| Some(Value::KipsPerFoot(KipsPerFoot(car.weight?.0 / car.length?.0))),
        tolerance: |rules| Value::Percent(rules.weight_tolerance_pct),
        unknown: Unknown::Confirm,
        relax: None,
    },
    MatchRule {
        code: Code::DepthOverAllSpread,
        words: "depth over all",
        measure: |car| car.depth_over_all.map(Value::Inches),
        tolerance: |rules| Value::Inches(rules.depth_tolerance_in),
        unknown: Unknown::Confirm,
        relax: None,
    },
    MatchRule {
        code: Code::RideHeightSpread,
        words: "ride height",
        measure: |car| car.ride_height.map(Value::Inches),
        tolerance: |rules| Value::Inches(rules.ride_height_tolerance_in),
        unknown: Unknown::Confirm,
        relax: None,
    },
    MatchRule {
        code: Code::FabricationSpread,
        words: "riveted or welded",
        // Counted, so that it is compared like the others: 1 riveted, 2 welded.
        measure: |car| car.fabrication.map(|how| Value::Count(how as i64 + 1)),
        tolerance: |_| Value::Count(0),
        unknown: Unknown::Confirm,
        relax: None,
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

    /// The measures that match this car's, as its only neighbor: least and greatest; none where its own
    /// is not known.
    #[must_use]
    pub fn partners(&self, car: &Car, rules: &GroupRules) -> Option<(Value, Value)> {
        let own = (self.measure)(car)?;
        let number = own.number()?;
        let tolerance = match (self.code, self.tolerance(rules)) {
            (Code::CamberSpread, Value::Inches(apart)) => {
                Value::Inches(apart.min(rules.camber_step_in))
            }
            (_, tolerance) => tolerance,
        };
        let (least, most) = match tolerance {
            Value::Percent(over) => {
                (number / (1.0 + over.fraction()), number * (1.0 + over.fraction()))
            }
            apart => (number - apart.number()?, number + apart.number()?),
        };
        Some((own.with_number(least), own.with_number(most)))
    }

    /// A measure on the scale on which measures of one deck lie apart: its logarithm where a
    /// tolerance is a share. What is not known is no number.
    fn figure(&self, measure: Option<&Value>, share: bool) -> f64 {
        let number = measure.and_then(Value::number).unwrap_or(f64::NAN);
        if share { number.ln() } else { number }
    }

    /// Whether measures of one deck, smallest and largest, lie too far apart.
    pub(super) fn is_beyond(&self, low: &Value, high: &Value, rules: &GroupRules) -> bool {
        let tolerance = self.tolerance(rules);
        let share = matches!(tolerance, Value::Percent(_));
        let apart = self.figure(Some(high), share) - self.figure(Some(low), share);
        apart > on_scale(&tolerance) + TOLERANCE
    }
}

/// A tolerance on the scale of the figures.
fn on_scale(tolerance: &Value) -> f64 {
    match tolerance {
        Value::Percent(over) => over.fraction().ln_1p(),
        // What has no number would be no tolerance at all.
        other => other.number().unwrap_or(0.0),
    }
}

/// A figure for each rule: the measures of a car, or the tolerances of a span. A measure that is not
/// known, and need not be, is no number.
#[derive(Clone, Copy, Debug)]
pub struct Figures([f64; COUNT]);

impl PartialEq for Figures {
    /// To the bit, so that two measures that are not known are equal.
    fn eq(&self, other: &Self) -> bool {
        self.0.iter().zip(&other.0).all(|(a, b)| a.to_bits() == b.to_bits())
    }
}

impl Figures {
    /// The measures of a car; none where one that must be known is not.
    #[must_use]
    pub fn of_car(car: &Car, rules: &GroupRules) -> Option<Self> {
        let mut all = [f64::NAN; COUNT];
        for (figure, rule) in all.iter_mut().zip(&RULES) {
            let measure = (rule.measure)(car);
            let share = matches!(rule.tolerance(rules), Value::Percent(_));
            *figure = rule.figure(measure.as_ref(), share);
        }
        let all = Self(all);
        all.is_known().then_some(all)
    }

    /// The tolerances of these rules.
    #[must_use]
    pub fn of_rules(rules: &GroupRules) -> Self {
        Self(std::array::from_fn(|at| on_scale(&RULES[at].tolerance(rules))))
    }

    /// Whether every figure that must be known is.
    #[must_use]
    pub fn is_known(&self) -> bool {
        let needed = |rule: &MatchRule| rule.unknown == Unknown::Bars;
        self.0.iter().zip(&RULES).all(|(figure, rule)| figure.is_finite() || !needed(rule))
    }

    /// Camber in inches and truck centers in feet, or their tolerances; all other rules are kept by
    /// any two cars.
    #[must_use]
    pub fn plain(camber: Inches, centers: Feet) -> Self {
        let all = Self([0.0; COUNT]);
        all.with(Code::CamberSpread, camber.0).with(Code::CentersSpread, centers.0)
    }

    /// The camber in inches.
    #[must_use]
    pub fn camber(&self) -> f64 {
        self.get(Code::CamberSpread).unwrap_or(f64::NAN)
    }

    /// The figure of one rule, on its scale.
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
    /// car that does not match now never will. A measure that is no number is neither.
    #[inline]
    pub fn with(&self, car: &Figures, tolerances: &Figures) -> Option<Self> {
        let mut next = *self;
        let mut beyond = false;
        for at in 0..COUNT {
            let figure = car.0[at];
            if figure < next.low[at] {
                next.low[at] = figure;
            }
            if figure > next.high[at] {
                next.high[at] = figure;
            }
            beyond |= next.high[at] - next.low[at] > tolerances.0[at] + TOLERANCE;
        }
        (!beyond).then_some(next)
    }
}
