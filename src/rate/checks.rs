//! The rating as checks, one per question and vehicle, for the lists of reasons.

use super::factors::{Factor, Zone};
use super::girder::Girder;
use super::loads::SpanLoads;
use super::local::Part;
use super::outcome::{
    deflection_limit, deflection_outcome, factor_outcome, least_accepted, legal_outcome,
    no_shear_outcome, posting_outcome, reaches_one,
};
use super::posting::Posting;
use super::rating::{Rating, VehicleRating};
use super::strength::Strength;
use super::unrateable::Unrateable;
use super::vehicles::VehicleClass;
use crate::check::{Check, Code, Limit, Outcome, Value};
use crate::model::car::Car;
use crate::model::crossing::Crossing;
use crate::model::inputs::Site;
use crate::model::rules::{EvidenceRules, RatingRules, Rules};
use crate::quantity::{Feet, Ratio};

/// The checks of the rating of `car` on a simple span of `span` at `crossing`, in the order of the
/// registry. Missing data gives an unknown check, never a number.
#[must_use]
pub fn rate_checks(car: &Car, crossing: &Crossing, span: Feet, rules: &Rules) -> Vec<Check> {
    let girder = Girder::of(car, rules);
    let loads = SpanLoads::of(crossing, span, rules);
    rate_checks_with(girder.as_ref(), loads.as_ref(), rules)
}

/// The same checks on a span at its place: between two piers no end is long.
#[must_use]
pub fn rate_checks_at(car: &Car, crossing: &Crossing, site: Site, rules: &Rules) -> Vec<Check> {
    let girder = Girder::of(car, rules);
    let loads = SpanLoads::at(crossing, site, rules);
    rate_checks_with(girder.as_ref(), loads.as_ref(), rules)
}

/// The same checks with girder and loads worked out before.
#[must_use]
pub fn rate_checks_with(
    girder: Result<&Girder, &Unrateable>,
    loads: Result<&SpanLoads, &Unrateable>,
    rules: &Rules,
) -> Vec<Check> {
    match (girder, loads) {
        (Ok(girder), Ok(loads)) => checks_of(&Rating::with(girder, loads, rules), rules),
        (girder, loads) => {
            let errors = girder.err().into_iter().chain(loads.err());
            let reasons: Vec<_> = errors.flat_map(|error| error.reasons.clone()).collect();
            let note = Unrateable { reasons }.to_string();
            vec![Check::unknown(Code::Rateable, data_needed(), note)]
        }
    }
}

fn data_needed() -> Limit {
    Limit::words("a section modulus or plates, weight, length and width")
}

/// The checks of a finished rating.
#[must_use]
pub fn checks_of(rating: &Rating, rules: &Rules) -> Vec<Check> {
    let mut checks = vec![rateable(rating, &rules.evidence), steel(rating)];
    let rules_of = &rules.rating;
    let accepted = rating.loads.least_posting.is_some();
    let by_stress = Form { bars: rules_of.allowable_stress, accepted };
    let by_factors = Form { bars: rules_of.load_and_resistance, accepted };
    for v in &rating.vehicles {
        checks.push(by_stress.check(Code::BendingAllowable, v, v.bending.by_allowable()));
    }
    for v in &rating.vehicles {
        let Some(shear) = &v.shear else { continue };
        checks.push(by_stress.check(Code::ShearAllowable, v, shear.by_allowable()));
    }
    if rating.webs.is_none() {
        checks.push(no_shear(Code::ShearAllowable, rules));
    }
    for v in &rating.vehicles {
        checks.push(by_factors.check(Code::BendingFactored, v, v.bending.by_factored()));
    }
    for v in &rating.vehicles {
        let Some(shear) = &v.shear else { continue };
        checks.push(by_factors.check(Code::ShearFactored, v, shear.by_factored()));
    }
    if rating.webs.is_none() {
        checks.push(no_shear(Code::ShearFactored, rules));
    }
    checks.extend(postings(rating, rules));
    checks.push(deflection(rating, rules));
    checks.extend(slenderness(&rating.girder));
    checks.extend(local_members(rating, rules_of));
    checks.push(load_share(rating));
    checks.extend(legal_trucks(rating, rules));
    checks
}

fn rateable(rating: &Rating, evidence: &EvidenceRules) -> Check {
    let modulus = rating.girder.modulus_at(Feet(0.0));
    let (outcome, note) = match &rating.girder.strength {
        Strength::Stated { stated, source, loss_pct, .. } => {
            let loss = if loss_pct.0 > 0.0 {
                format!(", less {loss_pct} lost of {stated}")
            } else {
                String::new()
            };
            match source {
                Some(source) if evidence.is_named(source) => {
                    (Outcome::Pass, format!("stated: {source}{loss}"))
                }
                Some(source) => (
                    Outcome::Caution,
                    format!("stated: {source}, which names nobody to answer for it{loss}"),
                ),
                None => (Outcome::Caution, format!("stated, source not named{loss}")),
            }
        }
        Strength::Plates { losses, .. } if losses.raised_to_inspection => {
            let note = "from plates; the inspected loss is taken for all of them, since none \
                        records as much";
            (Outcome::Caution, note.to_owned())
        }
        Strength::Plates { .. } => (Outcome::Pass, "from plates, net of losses".to_owned()),
    };
    Check::new(Code::Rateable, Value::CubicInches(modulus), data_needed(), outcome).note(note)
}

fn steel(rating: &Rating) -> Check {
    let steel = &rating.girder.steel;
    let outcome = if steel.is_assumed() { Outcome::Caution } else { Outcome::Pass };
    Check::new(Code::SteelYield, Value::Ksi(steel.strength), Limit::None, outcome)
        .note(steel.words())
}

/// One form of rating: whether the rules let it bar, and whether a posting is accepted instead.
struct Form {
    bars: bool,
    accepted: bool,
}

impl Form {
    fn check<Q>(&self, code: Code, vehicle: &VehicleRating, factor: &Factor<Q>) -> Check {
        let one = Value::Ratio(Ratio(1.0));
        let mut check = Check::at_least(code, Value::Ratio(factor.factor), one);
        check.outcome = factor_outcome(reaches_one(factor.factor), self.bars, self.accepted);
        let level = match factor.zone {
            Zone::Span => format!("{} level", factor.level.word()),
            Zone::OverBearing => format!("{} level, over the bearing", factor.level.word()),
        };
        let note = match check.outcome {
            Outcome::Caution if !self.bars => format!("{level}; the rules do not bar for it"),
            Outcome::Caution => format!("{level}; a posting is needed, see R07"),
            _ => level,
        };
        check.part(vehicle.on_span.vehicle.name.clone()).note(note)
    }
}

fn no_shear(code: Code, rules: &Rules) -> Check {
    let note = "no plates, so no webs to carry it: measure them";
    Check::new(code, Value::Unknown, Limit::None, no_shear_outcome(rules)).note(note)
}

/// Where the crossing accepts a posting: one check per vehicle that needs one, or one that says
/// that none does.
fn postings(rating: &Rating, rules: &Rules) -> Vec<Check> {
    let Some(accepted) = rating.loads.least_posting else { return Vec::new() };
    let limit = accepted.max(rules.posting.close_below_tons);
    let mut checks = Vec::new();
    let posted = |v: &&VehicleRating| v.on_span.vehicle.class != VehicleClass::Design;
    for vehicle in rating.vehicles.iter().filter(posted) {
        let Some(sign) = vehicle.posting.sign() else { continue };
        let mut check = Check::at_least(Code::Posting, Value::Tons(sign), Value::Tons(limit));
        check.outcome = posting_outcome(Some(sign), accepted, rules);
        let note = match vehicle.posting {
            Posting::UpTo { safe_load, .. } => format!(
                "safe load {safe_load:.2} of {} at a rating factor of {}, in whole tons",
                vehicle.on_span.vehicle.gross(),
                vehicle.least
            ),
            _ => format!(
                "a rating factor of {} is below {}: not allowed at any weight",
                vehicle.least,
                Ratio(rules.posting.factor_floor)
            ),
        };
        checks.push(check.part(vehicle.on_span.vehicle.name.clone()).note(note));
    }
    if checks.is_empty() {
        let limit = Limit::AtLeast(Value::Tons(limit));
        let measured = Value::Text("no posting needed".to_owned());
        let check = Check::new(Code::Posting, measured, limit, Outcome::Pass);
        let below = |v: &VehicleRating| !posted(&v) && v.posting.sign().is_some();
        checks.push(if rating.vehicles.iter().any(below) {
            check.note("a design load is on no sign: the legal trucks decide, see R12")
        } else {
            check
        });
    }
    checks
}

/// The vehicles that are legal in the state: what the sign has to say of each that needs one, or one
/// check that says that none does.
fn legal_trucks(rating: &Rating, rules: &Rules) -> Vec<Check> {
    let source = &rules.posting.legal_vehicles_source;
    if rating.legal.is_empty() {
        let note = format!("the rules name no legal vehicle, so no sign can be told; {source}");
        let check = Check::new(Code::LegalTrucks, Value::Unknown, Limit::None, Outcome::NotChecked);
        return vec![check.note(note)];
    }
    let accepted = rating.loads.least_posting;
    let limit = least_accepted(accepted, rules);
    let mut checks = Vec::new();
    for legal in &rating.legal {
        let Some(sign) = legal.posting.sign() else { continue };
        let mut check = Check::at_least(Code::LegalTrucks, Value::Tons(sign), Value::Tons(limit));
        check.outcome = legal_outcome(Some(sign), accepted, rules);
        let closed = if accepted.is_none() { "; closed below the limit" } else { "" };
        let of = legal.member.map(|part| format!(" of a {}", part.word())).unwrap_or_default();
        let note = format!(
            "rating factor {}{of}: a sign is needed, {sign} of its {}{closed}",
            legal.least, legal.gross
        );
        checks.push(check.part(legal.vehicle.clone()).note(note));
    }
    if checks.is_empty() {
        let names = rating.legal.iter().map(|legal| legal.vehicle.as_str());
        let names = names.collect::<Vec<_>>().join(", ");
        let local = &rating.girder.local;
        let members = [(Part::Stringer, &local.stringer), (Part::CrossMember, &local.cross_member)];
        let unknown = members.iter().filter(|(_, member)| member.is_err());
        let unknown: Vec<_> = unknown.map(|(part, _)| format!("{}s", part.word())).collect();
        let check = |words: &str, outcome| {
            Check::new(Code::LegalTrucks, Value::Text(words.to_owned()), Limit::None, outcome)
        };
        checks.push(if unknown.is_empty() {
            check("no sign needed", Outcome::Pass).note(names)
        } else {
            check("no sign needed by the main girder", Outcome::Caution)
                .note(format!("{names}; to confirm, not rated: {}", unknown.join(", ")))
        });
    }
    checks
}

/// The largest deflection of all vehicles.
fn deflection(rating: &Rating, rules: &Rules) -> Check {
    let limit = Value::Inches(deflection_limit(rating.span(), rules));
    let worst = rating
        .vehicles
        .iter()
        .filter_map(|v| Some((v, v.deflection?)))
        .max_by(|a, b| a.1.total_cmp(&b.1));
    let outcome = deflection_outcome(worst.map(|(_, d)| d), rating.span(), rules);
    match worst {
        Some((vehicle, deflection)) => {
            let mut check = Check::at_most(Code::Deflection, Value::Inches(deflection), limit);
            check.outcome = outcome;
            check.wished = !rules.rating.deflection_bars;
            let left =
                rating.camber_left.map(|left| format!("; camber left under the dead load {left}"));
            let note = format!(
                "at mid-span, with impact; span / {}{}",
                rules.rating.deflection_span_fraction,
                left.unwrap_or_default()
            );
            check.part(vehicle.on_span.vehicle.name.clone()).note(note)
        }
        None => {
            let mut check =
                Check::new(Code::Deflection, Value::Unknown, Limit::AtMost(limit), outcome);
            check.wished = !rules.rating.deflection_bars;
            check.note("no plates, so no second moment of area")
        }
    }
}

fn slenderness(girder: &Girder) -> Vec<Check> {
    if girder.slenderness.is_empty() {
        let note = "no plates, so no widths and thicknesses";
        let check = Check::new(Code::Slenderness, Value::Unknown, Limit::None, Outcome::NotChecked);
        return vec![check.note(note)];
    }
    girder
        .slenderness
        .iter()
        .map(|slender| {
            let limit = Value::Ratio(Ratio(slender.limit));
            let mut check = match slender.ratio {
                Some(ratio) => Check::at_most(Code::Slenderness, Value::Ratio(Ratio(ratio)), limit),
                None => {
                    let note = "the unbraced length is not known";
                    Check::unknown(Code::Slenderness, Limit::AtMost(limit), note)
                }
            };
            check.outcome = slender.outcome();
            let mut formula = format!("{} <= {}", slender.formula, slender.limit_formula);
            if let Some(share) = slender.reduced_to {
                let reached = Ratio(share);
                let flange = match slender.part {
                    "bottom flange" => "over the bearings the bottom flange",
                    _ => "the top flange",
                };
                formula.push_str(&format!("; {flange} counts with {reached} of the yield"));
            }
            let note =
                if check.note.is_empty() { formula } else { format!("{}; {formula}", check.note) };
            check.part(slender.part).note(note)
        })
        .collect()
}

/// One check for the stringers and one for the cross-members, for the vehicle that is worst for
/// them. A posting of the bridge by gross weight says nothing of single axles, so that it excuses
/// nothing here.
fn local_members(rating: &Rating, rules: &RatingRules) -> Vec<Check> {
    let members = &rating.girder.local;
    [(Part::Stringer, &members.stringer), (Part::CrossMember, &members.cross_member)]
        .into_iter()
        .map(|(part, member)| match member {
            Ok(_) => local_member(rating, part, rules),
            Err(why) => {
                let note = format!("{why}; they often control in flat cars: have them checked");
                Check::new(Code::LocalMembers, Value::Unknown, Limit::None, Outcome::NotChecked)
                    .part(part.word())
                    .note(note)
            }
        })
        .collect()
}

fn local_member(rating: &Rating, part: Part, rules: &RatingRules) -> Check {
    let worst = rating
        .vehicles
        .iter()
        .filter_map(|v| Some((v, v.local.iter().find(|local| local.member.part == part)?)))
        .min_by(|a, b| a.1.least.total_cmp(&b.1.least));
    let Some((vehicle, local)) = worst else {
        return Check::unknown(Code::LocalMembers, Limit::None, "no vehicle").part(part.word());
    };
    let one = Value::Ratio(Ratio(1.0));
    let mut check = Check::at_least(Code::LocalMembers, Value::Ratio(local.least), one);
    let bars = rules.allowable_stress || rules.load_and_resistance;
    check.outcome = factor_outcome(reaches_one(local.least), bars, false);
    let note = match part {
        Part::Stringer => "a wheel line between two cross-members",
        Part::CrossMember => {
            "a wheel between main and exterior girder, both taken to hold it; where the exterior \
             girder cannot, the cross-member is a cantilever"
        }
    };
    check.part(part.word()).note(format!("{}: {note}", vehicle.on_span.vehicle.name))
}

fn load_share(rating: &Rating) -> Check {
    let share = &rating.allowable_share;
    let on_car = Ratio(share.trucks * share.agency.0);
    let outcome = if share.agency.0 < 1.0 { Outcome::Caution } else { Outcome::Pass };
    let lanes = match rating.loads.lanes {
        1 => "1 lane".to_owned(),
        n => format!("{n} lanes"),
    };
    let note = format!("trucks on one car, {lanes}; {}", rating.share_source());
    Check::new(Code::LoadShare, Value::Ratio(on_car), Limit::None, outcome).note(note)
}
