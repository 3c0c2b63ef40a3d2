//! The least section modulus with which a car carries the crossing's vehicles, all else of it as it is.

use crate::check::{Check, Code};
use crate::model::car::{Car, MainGirder, MemberCondition};
use crate::model::inputs::{Inputs, Site};
use crate::model::rules::Rules;
use crate::quantity::{CubicInches, Kips};
use crate::rate::local::Part;
use crate::rate::{Girder, SpanLoads, Unrateable, rate_checks_with};

/// Greatest section modulus that the inventory takes, cubic inches.
const MOST: u32 = 5_000;
/// The same of a stringer or cross-member.
const MOST_OF_MEMBER: u32 = 500;

/// The loads of a span.
pub(super) fn loads(inputs: &Inputs, site: Site) -> Result<SpanLoads, Unrateable> {
    SpanLoads::at(inputs.crossing(site.crossing), site, &inputs.rules)
}

/// What asks of the main girder whether it bends too easily.
pub(super) const BENDING: [Code; 4] =
    [Code::BendingAllowable, Code::BendingFactored, Code::Posting, Code::LegalTrucks];

/// The least section modulus of the main girder at mid-span, net of losses and in whole cubic inches,
/// with which no check of bending or of a posting bars. None: no girder of the trade is enough, or the
/// car cannot be rated.
#[must_use]
pub fn least_modulus(
    car: &Car,
    loads: &Result<SpanLoads, Unrateable>,
    rules: &Rules,
) -> Option<CubicInches> {
    let mut trial = car.clone();
    trial.members.main_girder = Some(MemberCondition::Sound);
    let with = |modulus: f64| {
        let girder = MainGirder {
            stated_modulus: Some(CubicInches(modulus)),
            modulus_source: Some("drawing, as needed".to_owned()),
            ..MainGirder::default()
        };
        Car { girder, ..trial.clone() }
    };
    least(MOST, |modulus| {
        let checks = rated(&with(modulus), loads, rules);
        checks.iter().any(|check| check.code == BENDING[0] || check.code == BENDING[1])
            && !checks.iter().any(|check| BENDING.contains(&check.code) && check.outcome.bars())
    })
}

/// The least section modulus of one stringer or cross-member, at the spacing that is known. None where
/// that is not known, or no such member is enough.
#[must_use]
pub fn least_of_member(
    car: &Car,
    part: Part,
    loads: &Result<SpanLoads, Unrateable>,
    rules: &Rules,
) -> Option<CubicInches> {
    least(MOST_OF_MEMBER, |modulus| {
        let mut trial = car.clone();
        let modulus = Some(CubicInches(modulus));
        match part {
            Part::Stringer => trial.secondary.stringer_modulus = modulus,
            Part::CrossMember => trial.secondary.cross_member_modulus = modulus,
        }
        let checks = rated(&trial, loads, rules);
        let of_part = |check: &&Check| {
            check.code == Code::LocalMembers && check.part == part.word() && check.margin.is_some()
        };
        let mut asked = checks.iter().filter(of_part).peekable();
        asked.peek().is_some() && !asked.any(|check| check.outcome.bars())
    })
}

/// The greatest weight up to `most` with which no check of the rating bars, to the tenth of a kip down.
/// None: not even the car's own is carried.
pub(super) fn heaviest(
    car: &Car,
    most: Kips,
    loads: &Result<SpanLoads, Unrateable>,
    rules: &Rules,
) -> Option<Kips> {
    let carries = |weight: Kips| {
        let trial = Car { weight: Some(weight), ..car.clone() };
        !rated(&trial, loads, rules).iter().any(|check| check.outcome.bars())
    };
    if carries(most) {
        return Some(most);
    }
    let tenth = |tenths: u32| Kips(f64::from(tenths) / 10.0);
    let own = car.weight.filter(|own| *own < most && carries(*own))?;
    let (mut low, mut high) = ((own.0 * 10.0).ceil() as u32, (most.0 * 10.0).floor() as u32);
    if !carries(tenth(low)) {
        return Some(own);
    }
    while high > low + 1 {
        let middle = low + (high - low) / 2;
        if carries(tenth(middle)) { low = middle } else { high = middle }
    }
    Some(if carries(tenth(high)) { tenth(high) } else { tenth(low) })
}

/// Every check of a car on a span.
pub(super) fn rated(car: &Car, loads: &Result<SpanLoads, Unrateable>, rules: &Rules) -> Vec<Check> {
    rate_checks_with(Girder::of(car, rules).as_ref(), loads.as_ref(), rules)
}

/// The least whole number up to the most with which it passes; more never does worse.
fn least(most: u32, passes: impl Fn(f64) -> bool) -> Option<CubicInches> {
    let (mut low, mut high) = (0, most);
    if !passes(f64::from(high)) {
        return None;
    }
    while high - low > 1 {
        let middle = low + (high - low) / 2;
        if passes(f64::from(middle)) { high = middle } else { low = middle }
    }
    Some(CubicInches(f64::from(high)))
}
