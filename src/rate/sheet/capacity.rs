//! What the girder can carry at each section that a rating factor holds at.

use super::Case;
use super::amount::Amount;
use super::line::{Line, Part, n, r};
use crate::model::rules::Level;
use crate::quantity::{CubicInches, KipFeet};
use crate::rate::capacity;
use crate::rate::factors::{Factor, Zone};
use crate::rate::girder::Strength;
use crate::rate::on_span::rating_level;
use crate::rate::rating::ShearWebs;

/// The capacities, each once.
pub(super) fn part(case: &Case) -> Part {
    let mut part = Part::new("What the girder can carry");
    let rules = &case.rules.rating;
    let factors = &rules.resistance_factors;
    let combined = capacity::condition_and_system(factors);
    part.push(
        Line::new("Condition and system factor together", "fcs", Amount::ratio(combined))
            .by(
                "max(phi_c phi_s, least)",
                format!(
                    "max({} x {}, {})",
                    r(factors.condition),
                    r(factors.system),
                    r(factors.condition_times_system_min)
                ),
            )
            .source(
                "AASHTO MBE 6A.4.2: factors from memory, least product read in Khan 2010, p. 187",
            )
            .at("rules rating.resistance_factors"),
    );
    let mut seen: Vec<(usize, Zone, f64)> = Vec::new();
    for vehicle in &case.rating.vehicles {
        for (index, factor) in vehicle.bending.allowable.iter().enumerate() {
            if is_new(&mut seen, case, index, factor) {
                let level = [Level::Inventory, Level::Operating][index];
                let share = capacity::bending_stress_share(level, rules);
                part.push(bending(case, factor, "f", r(share), rating_level(level).word()));
            }
        }
        for factor in &vehicle.bending.factored {
            if is_new(&mut seen, case, 2, factor) {
                let share = format!("{} x {}", r(factors.resistance), r(combined));
                part.push(bending(case, factor, "phi fcs", share, "load and resistance"));
            }
        }
    }
    shear(&mut part, case);
    part
}

/// Whether a capacity of this form and section was not listed yet. The section of a girder that does
/// not taper is everywhere the same.
fn is_new(
    seen: &mut Vec<(usize, Zone, f64)>,
    case: &Case,
    form: usize,
    factor: &Factor<KipFeet>,
) -> bool {
    let section = if case.rating.girder.tapers() { factor.section.0 } else { 0.0 };
    let key = (form, factor.zone, section);
    let new = !seen.contains(&key);
    if new {
        seen.push(key);
    }
    new
}

/// The section modulus at the section of a factor.
fn modulus(case: &Case, factor: &Factor<KipFeet>) -> CubicInches {
    let from_middle = factor.section - case.rating.span() / 2.0;
    match factor.zone {
        Zone::Span => case.rating.girder.modulus_at(from_middle),
        Zone::OverBearing => case.rating.girder.hogging_modulus_at(from_middle),
    }
}

fn bending(case: &Case, factor: &Factor<KipFeet>, symbol: &str, share: String, form: &str) -> Line {
    let girder = &case.rating.girder;
    let place = match (factor.zone, girder.tapers()) {
        (Zone::OverBearing, _) => ", over the bearing".to_owned(),
        (Zone::Span, true) => format!(", at {}", Amount::from(factor.section)),
        (Zone::Span, false) => String::new(),
    };
    let name = match form {
        "load and resistance" => format!("Bending, load and resistance{place}"),
        level => format!("Bending, allowable stress, {level}{place}"),
    };
    let s = if factor.zone == Zone::OverBearing { "Sh" } else { "S" };
    Line::new(name, "C", factor.capacity)
        .by(
            format!("{symbol} Fy {s} / 12"),
            format!("{share} x {} x {} / 12", n(girder.steel.strength), n(modulus(case, factor))),
        )
        .source(source(form))
        .at(rules_place(form))
}

fn source(form: &str) -> &'static str {
    match form {
        "load and resistance" => "AASHTO MBE 6A.4.2, LRFD 6.10 (from memory)",
        _ => "AASHTO MBE part 6B (from memory)",
    }
}

fn rules_place(form: &str) -> &'static str {
    match form {
        "load and resistance" => "rules rating.resistance_factors",
        _ => "rules rating.allowable_stress_factors",
    }
}

/// The buckling ratio of the webs, by the branch of the formula that holds.
fn buckling(case: &Case, webs: &ShearWebs) -> Line {
    let steel = case.rating.girder.steel.strength;
    let elastic = case.rules.rating.elastic_modulus_ksi;
    let root = format!(
        "sqrt({} x {} / {})",
        n(Amount::ratio(capacity::WEB_BUCKLING)),
        n(elastic),
        n(steel)
    );
    let ratio = webs.depth_over_thickness;
    let limit = (elastic / steel * capacity::WEB_BUCKLING).sqrt();
    let shown = Amount::slenderness(ratio).bare();
    let (formula, numbers) = if ratio <= 1.12 * limit {
        ("1, since D/tw <= 1.12 sqrt(5 E / Fy)", "1".to_owned())
    } else if ratio <= 1.40 * limit {
        ("1.12 sqrt(5 E / Fy) / (D/tw)", format!("1.12 x {root} / {shown}"))
    } else {
        ("1.57 x 5 E / Fy / (D/tw)^2", format!("1.57 x {root}^2 / {shown}^2"))
    };
    Line::new(
        "Webs, shear buckling over shear yield",
        "Cv",
        Amount::share_of_yield(webs.buckling.0),
    )
    .by(formula, numbers)
    .source("no stiffeners counted on; AASHTO LRFD 6.10.9.3.2 (from memory)")
}

/// Depth over thickness of the webs where they are weakest.
fn slenderness(case: &Case, webs: &ShearWebs) -> Line {
    let girder = &case.rating.girder;
    let at_bearing = girder.section_at(case.rating.span() / 2.0);
    let (place, source) = if at_bearing.is_none_or(|section| section.shear_area == webs.area) {
        ("at the bearing", "")
    } else {
        ("at mid-span", "deeper there, they buckle at less than at the bearing")
    };
    let line = Line::new(
        format!("Webs {place}, clear depth over thickness"),
        "D/tw",
        Amount::slenderness(webs.depth_over_thickness),
    )
    .source(source);
    let Strength::Plates { net, .. } = &girder.strength else { return line };
    let thickness = net.web_thickness;
    line.by("D / tw'", format!("{} / {}", n(thickness * webs.depth_over_thickness), n(thickness)))
}

fn shear(part: &mut Part, case: &Case) {
    let Some(webs) = &case.rating.webs else { return };
    let rules = &case.rules.rating;
    let steel = case.rating.girder.steel.strength;
    part.push(slenderness(case, webs));
    part.push(buckling(case, webs));
    let factors = &rules.resistance_factors;
    let combined = capacity::condition_and_system(factors);
    let Some(shear) = case.rating.vehicles.iter().find_map(|v| v.shear.as_ref()) else { return };
    let tail = format!(
        "{} x {} x {}",
        n(steel),
        n(webs.area),
        Amount::share_of_yield(webs.buckling.0).bare()
    );
    for (index, level) in [Level::Inventory, Level::Operating].into_iter().enumerate() {
        let share = capacity::shear_stress_share(level, rules);
        let name = format!("Shear, allowable stress, {}", rating_level(level).word());
        part.push(
            Line::new(name, "CV", shear.allowable[index].capacity)
                .by("fv Fy Aw Cv", format!("{} x {tail}", r(share)))
                .source(source(""))
                .at(rules_place("")),
        );
    }
    if let Some(factor) = shear.factored.first() {
        let lead =
            format!("{} x {} x {}", r(factors.resistance), r(combined), r(capacity::SHEAR_YIELD));
        part.push(
            Line::new("Shear, load and resistance", "CV", factor.capacity)
                .by("phi fcs 0.58 Fy Aw Cv", format!("{lead} x {tail}"))
                .source("AASHTO LRFD 6.10.9.2 (from memory)")
                .at(rules_place("load and resistance")),
        );
    }
}
