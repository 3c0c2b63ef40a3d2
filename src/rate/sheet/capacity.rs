//! What the girder can carry at each section that a rating factor holds at.

use super::Case;
use super::amount::Amount;
use super::line::{Line, Part, n, r};
use super::slenderness::sideways;
use crate::model::rules::Level;
use crate::quantity::{CubicInches, Inches, KipFeet};
use crate::rate::capacity;
use crate::rate::factors::{Factor, Zone, stress_level};
use crate::rate::rating::ShearWebs;
use crate::rate::slender;
use crate::rate::strength::Strength;

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
    hogging(&mut part, case);
    let mut seen: Seen = Vec::new();
    for vehicle in &case.rating.vehicles {
        for factor in &vehicle.bending.allowable {
            let level = stress_level(factor.level);
            if is_new(&mut seen, case, Some(level), factor) {
                let share = capacity::bending_stress_share(level, rules);
                part.push(bending(case, factor, "f", r(share), factor.level.word()));
            }
        }
        for factor in &vehicle.bending.factored {
            if is_new(&mut seen, case, None, factor) {
                let share = format!("{} x {}", r(factors.resistance), r(combined));
                part.push(bending(case, factor, "phi fcs", share, "load and resistance"));
            }
        }
    }
    shear(&mut part, case);
    part
}

/// The section over the bearings, where the ends beyond them compress the bottom flange.
fn hogging(part: &mut Part, case: &Case) {
    let (rating, girder) = (case.rating, &case.rating.girder);
    let (Strength::Plates { net, .. }, Some(section)) =
        (&girder.strength, girder.section_at(rating.span() / 2.0))
    else {
        return;
    };
    let elastic = case.rules.rating.elastic_modulus_ksi;
    let (e, fy) = (n(elastic), n(girder.steel.strength));
    let share = girder.bottom_flange_share(rating.span(), rating.overhang, elastic);
    let unbraced = girder.unbraced_below(rating.span(), rating.overhang);
    if let (Some(unbraced), Some(radius)) = (unbraced, girder.compression.bottom_radius) {
        part.push(
            Line::new("Unbraced length of the bottom flange over the bearing", "Lh", unbraced)
                .by("a + L / 2", format!("{} + {} / 2", n(rating.overhang), n(rating.span())))
                .source("it bears inside its bolsters: no brace is counted on; our own"),
        );
        let flange = &net.bottom_flange;
        let (width, thickness) = (n(flange.width_in), n(flange.thickness_in));
        let compressed = slender::compressed_below(&girder.strength).unwrap_or(Inches(0.0));
        part.push(
            Line::new("Radius of gyration of the bottom flange, sideways", "r_h", radius).by(
                "b / sqrt(12 (1 + Dh tw / (3 b t)))",
                format!(
                    "{width} / sqrt(12 x (1 + {} x {} / (3 x {width} x {thickness})))",
                    n(compressed),
                    n(net.web_thickness)
                ),
            ),
        );
        let ratio = Inches::from(unbraced) / radius;
        part.push(
            Line::new("Slenderness of the bottom flange, sideways", "", Amount::slenderness(ratio))
                .by("12 Lh / r_h", format!("12 x {} / {}", n(unbraced), n(radius))),
        );
        let lateral = slender::lateral_strength(ratio, girder.steel.strength, elastic);
        part.push(sideways("bottom flange", "rl", lateral, ratio, &e, &fy));
        part.push(
            Line::new("The lesser of sideways and as a plate", "rh", Amount::share_of_yield(share))
                .by(
                    "min(rl, rp)",
                    format!(
                        "min({}, {})",
                        Amount::share_of_yield(lateral).bare(),
                        Amount::share_of_yield(girder.compression.bottom).bare()
                    ),
                ),
        );
    }
    let modulus = girder.hogging_modulus(rating.span(), rating.overhang, elastic);
    part.push(
        Line::new("Section modulus over the bearings, that limits hogging", "Sh", modulus).by(
            "min(St, rh Sb)",
            format!(
                "min({}, {} x {})",
                n(section.top),
                Amount::share_of_yield(share).bare(),
                n(section.bottom)
            ),
        ),
    );
}

/// What has a line: level of the allowable-stress form, none for the other; zone and section.
type Seen = Vec<(Option<Level>, Zone, f64)>;

/// Whether a capacity of this form and section was not listed yet. The section of a girder that does
/// not taper is everywhere the same.
fn is_new(seen: &mut Seen, case: &Case, form: Option<Level>, factor: &Factor<KipFeet>) -> bool {
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
        Zone::OverBearing => {
            let rating = case.rating;
            let elastic = case.rules.rating.elastic_modulus_ksi;
            rating.girder.hogging_modulus(rating.span(), rating.overhang, elastic)
        }
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

/// The buckling ratio of the webs, by the branch of the formula that holds, under its limit.
fn buckling(case: &Case, webs: &ShearWebs) -> [Line; 2] {
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
        ("1, since D/tw is at most D1", "1".to_owned())
    } else if ratio <= 1.40 * limit {
        ("1.12 sqrt(5 E / Fy) / (D/tw)", format!("1.12 x {root} / {shown}"))
    } else {
        ("1.57 x 5 E / Fy / (D/tw)^2", format!("1.57 x {root}^2 / {shown}^2"))
    };
    let up_to = Line::new(
        "D/tw up to which webs yield before they buckle",
        "D1",
        Amount::slenderness(1.12 * limit),
    )
    .by("1.12 sqrt(5 E / Fy)", format!("1.12 x {root}"));
    let buckling = Line::new(
        "Webs, shear buckling over shear yield",
        "Cv",
        Amount::share_of_yield(webs.buckling.0),
    )
    .by(formula, numbers)
    .source("no stiffeners counted on; AASHTO LRFD 6.10.9.3.2 (from memory)");
    [up_to, buckling]
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
    buckling(case, webs).into_iter().for_each(|line| part.push(line));
    let factors = &rules.resistance_factors;
    let combined = capacity::condition_and_system(factors);
    let shears = case.rating.vehicles.iter().filter_map(|v| v.shear.as_ref());
    let Some(shear) = shears.max_by_key(|shear| shear.allowable.len()) else { return };
    let tail = format!(
        "{} x {} x {}",
        n(steel),
        n(webs.area),
        Amount::share_of_yield(webs.buckling.0).bare()
    );
    for factor in &shear.allowable {
        let share = capacity::shear_stress_share(stress_level(factor.level), rules);
        let name = format!("Shear, allowable stress, {}", factor.level.word());
        part.push(
            Line::new(name, "CV", factor.capacity)
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
                .source(
                    "AASHTO LRFD 6.10.9.2 (from memory); the system factor counts here too, on the \
                     safe side: for shear the MBE has 1.00 (from memory)",
                )
                .at(rules_place("load and resistance")),
        );
    }
}
