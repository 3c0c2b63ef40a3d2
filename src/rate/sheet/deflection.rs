//! Deflection under the live load and camber left.

use super::Case;
use super::amount::Amount;
use super::line::{Line, Part, n, r};
use crate::quantity::{Feet, Inches, QuarticInches};
use crate::rate::effects::{self, VehicleEffects};
use crate::rate::envelope::{self, DeflectionPeak};
use crate::rate::rating::Rating;
use crate::rate::share::{self, LANES_MOST};
use crate::rate::train::Train;
use crate::rate::vehicles::LaneUse;

/// Deflection under the live load and camber left; none without plates.
pub(super) fn part(case: &Case) -> Option<Part> {
    let rating = case.rating;
    let span = rating.span();
    let inertia = rating.girder.least_inertia(span)?;
    let added = rating.added_dead_deflection?;
    let mut part = Part::new("Deflection and camber");
    let elastic = case.rules.rating.elastic_modulus_ksi;
    part.push(smallest_inertia(case, inertia));
    for vehicle in &rating.vehicles {
        let Some(deflection) = vehicle.deflection else { continue };
        live(&mut part, case, &vehicle.on_span);
        let stiffness = n(Amount::stiffness_times_deflection(vehicle.on_span.deflection));
        let share = trucks_on_one_car(rating);
        let name = &vehicle.on_span.vehicle.name;
        part.push(Line::new(format!("{name}, deflection at mid-span"), "dL", deflection).by(
            "K sD 1728 / (E Imin), sD the share without presence factor",
            format!("{stiffness} x {} x 1728 / ({} x {})", r(share), n(elastic), n(inertia)),
        ));
    }
    let fraction = case.rules.rating.deflection_span_fraction;
    part.push(
        Line::new("Guide for the live-load deflection", "", Inches::from(span) / fraction)
            .by("12 L / kd", format!("12 x {} / {}", n(span), r(fraction)))
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
    if let (Some(left), Some(camber), Some(centers)) =
        (rating.camber_left, rating.girder.camber, rating.girder.truck_centers)
    {
        part.push(
            Line::new("Camber over the span that is left under the dead load", "", left)
                .by(
                    "c (L / Lt)^2 - dD",
                    format!("{} x ({} / {})^2 - {}", n(camber), n(span), n(centers), n(added)),
                )
                .source(
                    "profile taken as a parabola; the bare car's own sag is in its measured camber",
                ),
        );
    }
    Some(part)
}

fn smallest_inertia(case: &Case, inertia: QuarticInches) -> Line {
    let girder = &case.rating.girder;
    let line = Line::new("Second moment of area, the smallest on the span", "Imin", inertia);
    let ends = (girder.section_at(Feet(0.0)), girder.section_at(case.rating.span() / 2.0));
    match ends {
        (Some(middle), Some(bearing)) if girder.tapers() => line.by(
            "min(I at mid-span, I at the bearing)",
            format!("min({}, {})", n(middle.inertia), n(bearing.inertia)),
        ),
        _ => line.by("I", n(inertia)),
    }
}

/// Trucks on one car, with the agency's share and without presence factor.
fn trucks_on_one_car(rating: &Rating) -> f64 {
    let agency = rating.allowable_share.agency.0;
    share::share(&rating.girder.trucks, rating.loads.lanes, &[1.0; LANES_MOST], agency).total.0
}

/// The deflection of one lane, times `E I`.
fn live(part: &mut Part, case: &Case, on: &VehicleEffects) {
    let span = case.rating.span();
    let vehicle = &on.vehicle;
    let name = &vehicle.name;
    let peaks = vehicle.trains.iter().filter_map(|train| {
        envelope::max_midspan_deflection(train, span).map(|peak| (train, peak))
    });
    let worst = peaks.max_by(|a, b| a.1.stiffness_times.total_cmp(&b.1.stiffness_times));
    let Some((train, peak)) = worst else { return };
    part.push(axles(name, train, peak, span));
    let truck = n(Amount::stiffness_times_deflection(peak.stiffness_times));
    let impact = r(on.allowable.impact.max(on.factored.impact).0);
    let (formula, numbers, source) = match &vehicle.lane {
        None => ("(1 + i) KT", format!("(1 + {impact}) x {truck}"), ""),
        Some(load) => {
            let amount = Amount::stiffness_times_deflection(effects::lane_deflection(load, span));
            let lane = n(amount.clone());
            part.push(Line::new(format!("{name}, lane load, E I times"), "KL", amount).by(
                "5 w L^4 / 384 + P L^3 / 48",
                format!(
                    "5 x {} x {2}^4 / 384 + {} x {2}^3 / 48",
                    n(load.uniform),
                    n(load.for_moment),
                    n(span)
                ),
            ));
            match load.lane_use {
                LaneUse::InsteadOfTruck => {
                    ("(1 + i) max(KT, KL)", format!("(1 + {impact}) x max({truck}, {lane})"), "")
                }
                LaneUse::WithTruck => (
                    "max((1 + i) KT, (1 + i) KT / 4 + KL)",
                    format!("max((1 + {impact}) x {truck}, (1 + {impact}) x {truck} / 4 + {lane})"),
                    "AASHTO LRFD 3.6.1.3.2 (from memory)",
                ),
            }
        }
    };
    part.push(
        Line::new(
            format!("{name}, deflection at mid-span with the larger impact i, E I times"),
            "K",
            Amount::stiffness_times_deflection(on.deflection),
        )
        .by(formula, numbers)
        .source(source),
    );
}

/// The axles where they deflect mid-span most.
fn axles(name: &str, train: &Train, peak: DeflectionPeak, span: Feet) -> Line {
    let terms = train.axles().iter().filter_map(|axle| {
        let place = peak.front + axle.offset;
        let near = place.min(span - place);
        (near > Feet(0.0)).then(|| {
            let (load, a, l) = (n(axle.load), n(near), n(span));
            format!("{load} x {a} x (3 x {l}^2 - 4 x {a}^2)")
        })
    });
    Line::new(
        format!("{name}, the {} where it deflects mid-span most, E I times", train.name()),
        "KT",
        Amount::stiffness_times_deflection(peak.stiffness_times),
    )
    .by(
        "sum of P v (3 L^2 - 4 v^2) / 48, v from the nearer bearing",
        format!("({}) / 48", terms.collect::<Vec<_>>().join(" + ")),
    )
}
