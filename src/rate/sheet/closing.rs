//! Deflection and camber, the secondary members, and what the sheet does not say.

use super::Case;
use super::amount::Amount;
use super::line::{Line, Part, n, r};
use crate::check::Outcome;
use crate::quantity::{Feet, Inches};
use crate::rate::checks::checks_of;
use crate::rate::girder::Strength;
use crate::rate::local::Part as Member;
use crate::rate::rating::LocalRating;

/// Deflection under the live load and camber left; none without plates.
pub(super) fn deflection(case: &Case) -> Option<Part> {
    let rating = case.rating;
    let span = rating.span();
    let inertia = rating.girder.least_inertia(span)?;
    let added = rating.added_dead_deflection?;
    let mut part = Part::new("Deflection and camber");
    let elastic = case.rules.rating.elastic_modulus_ksi;
    part.push(Line::new("Second moment of area, the smallest on the span", "Imin", inertia));
    for vehicle in &rating.vehicles {
        let Some(deflection) = vehicle.deflection else { continue };
        let name = &vehicle.on_span.vehicle.name;
        part.push(
            Line::new(
                format!("{name}, E I times the deflection at mid-span, with the larger impact"),
                "K",
                Amount::stiffness_times_deflection(vehicle.on_span.deflection),
            )
            .source("the greatest sum of P a (3 L^2 - 4 a^2) / 48 over all positions, exact"),
        );
        let share = rating.allowable_share;
        part.push(Line::new(format!("{name}, deflection at mid-span"), "dL", deflection).by(
            "K s 1728 / (E Imin), s without presence factor",
            if share.presence.0 == 1.0 {
                format!(
                    "{} x {} x 1728 / ({} x {})",
                    Amount::stiffness_times_deflection(vehicle.on_span.deflection).bare(),
                    r(share.trucks * share.agency.0),
                    n(elastic),
                    n(inertia)
                )
            } else {
                String::new()
            },
        ));
    }
    let fraction = case.rules.rating.deflection_span_fraction;
    part.push(
        Line::new("Guide for the live-load deflection", "", Inches::from(span) / fraction)
            .by("12 L / k", format!("12 x {} / {}", n(span), r(fraction)))
            .source(
                "AASHTO LRFD 2.5.2.6.2 (from memory); reported, a bar only where the rules say so",
            )
            .at("rules rating.deflection_span_fraction"),
    );
    part.push(Line::new("Deflection under what is laid on the bare car", "dD", added).by(
        "5 (wDC + wDW - w1) L^4 1728 / (384 E Imin)",
        format!(
            "5 x ({} + {} - {}) x {}^4 x 1728 / (384 x {} x {})",
            n(rating.dead.components()),
            n(rating.dead.surfacing()),
            n(rating.dead.car),
            n(span),
            n(elastic),
            n(inertia)
        ),
    ));
    if let (Some(left), Some(camber), Some(centres)) =
        (rating.camber_left, rating.girder.camber, rating.girder.truck_centres)
    {
        part.push(
            Line::new("Camber over the span that is left under the dead load", "", left)
                .by(
                    "c (L / Lt)^2 - dD",
                    format!("{} x ({} / {})^2 - {}", n(camber), n(span), n(centres), n(added)),
                )
                .source(
                    "profile taken as a parabola; the bare car's own sag is in its measured camber",
                ),
        );
    }
    Some(part)
}

/// Stringers and cross-members, as far as they are measured.
pub(super) fn local(case: &Case) -> Vec<Part> {
    [Member::Stringer, Member::CrossMember]
        .into_iter()
        .filter_map(|member| {
            let worst = case
                .rating
                .vehicles
                .iter()
                .filter_map(|v| Some((v, v.local.iter().find(|l| l.member.part == member)?)))
                .min_by(|a, b| a.1.least.total_cmp(&b.1.least))?;
            Some(member_part(case, &worst.0.on_span.vehicle.name, worst.1))
        })
        .collect()
}

fn member_part(case: &Case, vehicle: &str, rating: &LocalRating) -> Part {
    let member = &rating.member;
    let (title, spans) = match member.part {
        Member::Stringer => ("Stringer", "between cross-members"),
        Member::CrossMember => ("Cross-member", "half the width, from main to exterior girder"),
    };
    let mut part = Part::new(format!("{title}, worst under {vehicle}"));
    let column = |name: &str| format!("{} {name}", case.car.place);
    let (modulus, spacing) = match member.part {
        Member::Stringer => ("stringer_modulus_in3", "stringer_spacing_ft"),
        Member::CrossMember => ("cross_member_modulus_in3", "cross_member_spacing_ft"),
    };
    part.push(Line::new("Section modulus as measured", "", member.measured).at(column(modulus)));
    part.push(Line::new("Section modulus less its loss", "S", member.net));
    part.push(Line::new(format!("Span, {spans}"), "l", member.span));
    part.push(Line::new("Spacing of its likes", "e", member.spacing).at(column(spacing)));
    part
        .push(Line::new("Live-load moment of its wheels, without impact", "M", rating.live).source(
        "half of each axle; a single wheel spread over 10 by 20 in (AASHTO LRFD 3.6.1.2.5, from \
             memory)",
    ));
    let (allowable, factored) = (&rating.allowable, &rating.factored);
    part.push(
        Line::new("Rating factor, allowable stress", "RF", Amount::factor(allowable.factor))
            .by(
                "(C - D) / (M (1 + I)), I = 0.30",
                format!(
                    "({} - {} - {}) / ({} x {})",
                    n(allowable.capacity),
                    n(allowable.dead),
                    n(allowable.wearing),
                    r(allowable.share.total.0),
                    n(allowable.live)
                ),
            )
            .source(format!("{} level", allowable.level.word())),
    );
    part.push(
        Line::new("Rating factor, load and resistance", "RF", Amount::factor(factored.factor))
            .by(
                "(C - gDC DC - gDW DW) / (gLL m (M + IM))",
                format!(
                    "({} - {} x {} - {} x {}) / ({} x {} x {})",
                    n(factored.capacity),
                    r(factored.dead_factor.0),
                    n(factored.dead),
                    r(factored.wearing_factor.0),
                    n(factored.wearing),
                    r(factored.live_factor.0),
                    r(factored.share.total.0),
                    n(factored.live)
                ),
            )
            .source(format!("{} level", factored.level.word())),
    );
    part
}

/// What was not checked, from the checks themselves.
pub(super) fn not_checked(case: &Case) -> Vec<String> {
    checks_of(case.rating, case.rules)
        .iter()
        .filter(|check| check.outcome == Outcome::NotChecked)
        .map(|check| format!("{}: {}", check.title(), check.note))
        .collect()
}

/// Assumptions and limits of use.
pub(super) fn limits(case: &Case) -> Vec<String> {
    let mut limits = vec![
        "The main girder alone carries the load, as a simple span; one car carries every truck that \
         can stand on it, unless the agency states a share."
            .to_owned(),
        "Flanges and cover plates are taken to run the whole length.".to_owned(),
    ];
    if let Strength::Stated { .. } = case.rating.girder.strength {
        limits.push(
            "A stated section modulus is taken to hold over the whole length; a girder that tapers \
             is weaker towards its ends."
                .to_owned(),
        );
    }
    if case.rating.overhang > Feet(0.0) {
        limits.push(
            "The ends beyond the bearings carry deck and traffic; the bolsters hold the girder \
             over the bearings."
                .to_owned(),
        );
    }
    limits.push(
        "Not part of it: fatigue of old details, connections, bearings, foundations, scour, rail \
         crash-worthiness. A licensed engineer must check and seal the rating."
            .to_owned(),
    );
    limits
}
