//! The quick answer: which checks of the rating bar a car on a span. It uses the arithmetic of the
//! full rating and allocates nothing, so that every car can be asked for every span.

use super::girder::Girder;
use super::loads::SpanLoads;
use super::on_span::{OnSpan, allowable_level, factored_level};
use super::posting::posting;
use super::rating::{counting_forms, least};
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
pub struct Barred(u16);

impl Barred {
    /// Whether no check of the rating bars.
    #[must_use]
    pub fn passes(self) -> bool {
        self.0 == 0
    }

    /// The codes that bar, in the order of the registry.
    pub fn codes(self) -> impl Iterator<Item = Code> {
        CODES.iter().enumerate().filter(move |(i, _)| self.0 & (1 << i) != 0).map(|(_, &c)| c)
    }

    /// Whether this code bars.
    #[must_use]
    pub fn contains(self, code: Code) -> bool {
        self.codes().any(|barring| barring == code)
    }

    /// Only this code bars.
    #[must_use]
    pub fn by(code: Code) -> Self {
        CODES.iter().position(|&known| known == code).map_or(Self(0), |i| Self(1 << i))
    }

    fn add(&mut self, code: Code, outcome: Outcome) {
        if outcome.bars() {
            self.0 |= Self::by(code).0;
        }
    }
}

/// What a rating factor means: at least 1 passes; less fails where its form bars, unless the
/// crossing accepts a posting, which then decides; else it is a caution.
#[must_use]
pub(super) fn factor_outcome(factor: Ratio, form_bars: bool, posting_accepted: bool) -> Outcome {
    if factor.0 >= 1.0 - TOLERANCE {
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

/// The checks of the rating that bar a girder on a span.
#[must_use]
pub fn barred(girder: &Girder, loads: &SpanLoads, rules: &Rules) -> Barred {
    let mut barred = Barred::default();
    let rating = &rules.rating;
    let on_span = OnSpan::new(girder, loads, rating);
    let accepted = loads.least_posting.is_some();
    let counts = counting_forms(rating);
    let case = on_span.local_case();
    for vehicle in &loads.effects.vehicles {
        let class = vehicle.vehicle.class;
        let (by_stress, by_factors) =
            (allowable_level(class, rating), factored_level(class, rating));
        let bending = (
            on_span.bending_allowable(vehicle, by_stress).factor,
            on_span.bending_factored(vehicle, by_factors).factor,
        );
        let shear = on_span
            .shear_allowable(vehicle, by_stress)
            .zip(on_span.shear_factored(vehicle, by_factors))
            .map(|(stress, factors)| (stress.factor, factors.factor));
        let outcome = |factor, bars| factor_outcome(factor, bars, accepted);
        barred.add(Code::BendingAllowable, outcome(bending.0, rating.allowable_stress));
        barred.add(Code::BendingFactored, outcome(bending.1, rating.load_and_resistance));
        match shear {
            Some(shear) => {
                barred.add(Code::ShearAllowable, outcome(shear.0, rating.allowable_stress));
                barred.add(Code::ShearFactored, outcome(shear.1, rating.load_and_resistance));
            }
            None => {
                barred.add(Code::ShearAllowable, no_shear_outcome(rules));
                barred.add(Code::ShearFactored, no_shear_outcome(rules));
            }
        }
        for member in girder.local.rated() {
            let live = member.live_moment(&vehicle.vehicle.trains, case.lanes);
            let allowable = member.allowable(&case, live, by_stress).factor;
            let factored = member.factored(&case, live, by_factors).factor;
            let (stress_bars, factors_bar) = (rating.allowable_stress, rating.load_and_resistance);
            barred.add(Code::LocalMembers, factor_outcome(allowable, stress_bars, false));
            barred.add(Code::LocalMembers, factor_outcome(factored, factors_bar, false));
        }
        if let Some(accepted) = loads.least_posting {
            let least = least(counts, bending, shear);
            let sign = posting(vehicle.vehicle.gross(), least, &rules.posting).sign();
            barred.add(Code::Posting, posting_outcome(sign, accepted, rules));
        }
        if rating.deflection_bars {
            let found = on_span.deflection(vehicle);
            barred.add(Code::Deflection, deflection_outcome(found, loads.span(), rules));
        }
    }
    for slender in &girder.slenderness {
        barred.add(Code::Slenderness, slender.outcome());
    }
    barred
}
