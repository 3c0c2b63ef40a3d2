//! Shear, the ends beyond the bearings and reactions.

use super::super::Case;
use super::super::amount::Amount;
use super::super::line::{Line, Part, n, r};
use super::{forms, which_governs};
use crate::quantity::Feet;
use crate::rate::effects::{self, Governs, LiveShear, VehicleEffects};
use crate::rate::envelope;
use crate::rate::rating::VehicleRating;
use crate::rate::vehicles::LaneUse;

pub(super) fn shear(part: &mut Part, case: &Case, on: &VehicleEffects) {
    let (one, other) = (&on.allowable.shear, &on.factored.shear);
    // Another train may govern by the other impact.
    let same_train = one.train == other.train;
    if same_train {
        shear_parts(part, case, on, one, "");
    }
    for (live, form, impact) in forms(on) {
        let shear = &live.shear;
        if !same_train {
            shear_parts(part, case, on, shear, &format!(", {form}"));
        }
        let i = r(live.impact.0);
        let (formula, numbers) = match shear.governs {
            Governs::Truck => {
                (format!("VT (1 + {impact})"), format!("{} x (1 + {i})", n(shear.truck.shear)))
            }
            Governs::Lane => {
                (format!("VL (1 + {impact})"), format!("{} x (1 + {i})", n(shear.lane)))
            }
            Governs::TruckAndLane => (
                format!("VT (1 + {impact}) + VL"),
                format!("{} x (1 + {i}) + {}", n(shear.truck.shear), n(shear.lane)),
            ),
        };
        part.push(
            Line::new(format!("Live-load shear with impact, {form}"), "LLV", shear.total)
                .by(formula, numbers)
                .source(which_governs(on, shear.governs)),
        );
    }
}

/// Shear of the train at its worst place, and of the lane load.
fn shear_parts(part: &mut Part, case: &Case, on: &VehicleEffects, shear: &LiveShear, suffix: &str) {
    let (span, a) = (case.rating.span(), case.rating.loads.effects.overhang);
    let train = &on.vehicle.trains[shear.train].at(shear.truck.spacing);
    let sign = if shear.truck.reversed { -1.0 } else { 1.0 };
    let end = if shear.truck.at_end { -a.0 } else { 0.0 };
    let at = train.axles()[shear.truck.axle].offset.0;
    let terms = train.axles().iter().filter_map(|axle| {
        let place = end + sign * (axle.offset.0 - at);
        if (0.0..=span.0).contains(&place) {
            Some(format!("{} x ({} - {})", n(axle.load), n(span), n(Feet(place))))
        } else if (-a.0..0.0).contains(&place) {
            Some(format!("{} x {}", n(axle.load), n(Feet(-place))))
        } else {
            None
        }
    });
    let numbers = format!("({}) / {}", terms.collect::<Vec<_>>().join(" + "), n(span));
    part.push(
        Line::new(
            format!("Greatest shear of the {}{suffix}", train.name()),
            "VT",
            shear.truck.shear,
        )
        .by("(sum of P (L - x) + sum of P d beyond the bearing) / L", numbers)
        .source(match shear.truck.spacing {
            Some(spacing) => format!("the distance that may vary at {}", Amount::from(spacing)),
            None => String::new(),
        }),
    );
    if let Some(lane) = &on.vehicle.lane {
        let value = effects::lane_shear(lane, span, a);
        part.push(Line::new("Shear of the lane load", "VL", value).by(
            "w L / 2 + w a0^2 / (2 L) + P",
            format!(
                "{0} x {1} / 2 + {0} x {2}^2 / (2 x {1}) + {3}",
                n(lane.uniform),
                n(span),
                n(a),
                n(lane.for_shear)
            ),
        ));
    }
}

/// Reaction, and the moment over the bearing.
pub(super) fn ends(part: &mut Part, case: &Case, rating: &VehicleRating) {
    let on = &rating.on_span;
    reaction(part, case, on);
    let a = case.rating.overhang;
    for (live, form, impact) in forms(on) {
        let beyond = r(live.impact_beyond.0);
        let worst = on
            .vehicle
            .trains
            .iter()
            .map(|train| (train, envelope::hogging(train, a)))
            .max_by(|x, y| x.1.moment.total_cmp(&y.1.moment));
        let Some((train, found)) = worst else { continue };
        let sign = if found.reversed { -1.0 } else { 1.0 };
        let at = train.axles()[found.axle].offset;
        let terms = train.axles().iter().filter_map(|axle| {
            let behind = (axle.offset - at) * sign;
            (behind.0 >= 0.0 && behind < a)
                .then(|| format!("{} x ({} - {})", n(axle.load), n(a), n(behind)))
        });
        let terms = terms.collect::<Vec<_>>().join(" + ");
        let terms = if terms.is_empty() { "0".to_owned() } else { terms };
        let (formula, numbers) = match &on.vehicle.lane {
            None => {
                (format!("(1 + {impact}) sum of P (a - x)"), format!("(1 + {beyond}) x ({terms})"))
            }
            Some(lane) => {
                let moment = format!(
                    "({} x {1}^2 / 2 + {2} x {1})",
                    n(lane.uniform),
                    n(a),
                    n(lane.for_moment)
                );
                match lane.lane_use {
                    LaneUse::WithTruck => (
                        format!("(1 + {impact}) sum of P (a - x) + w a^2 / 2"),
                        format!("(1 + {beyond}) x ({terms}) + {moment}"),
                    ),
                    LaneUse::InsteadOfTruck => (
                        format!("(1 + {impact}) max(sum of P (a - x), w a^2 / 2 + P a)"),
                        format!("(1 + {beyond}) x max({terms}, {moment})"),
                    ),
                }
            }
        };
        let value = effects::hogging(&on.vehicle, a, 1.0 + live.impact_beyond.0);
        part.push(
            Line::new(format!("Moment over the bearing with impact, {form}"), "LLH", value)
                .by(formula, numbers)
                .source("with the impact of a short loaded length"),
        );
    }
}

/// The greatest reaction, by allowable stress.
fn reaction(part: &mut Part, case: &Case, on: &VehicleEffects) {
    let (span, a) = (case.rating.span(), case.rating.loads.effects.overhang);
    let worst = on
        .vehicle
        .trains
        .iter()
        .filter_map(|train| Some((train, envelope::reaction(train, span, a)?)))
        .max_by(|x, y| x.1.shear.total_cmp(&y.1.shear));
    let Some((train, found)) = worst else { return };
    let sign = if found.reversed { -1.0 } else { 1.0 };
    let end = if found.at_end { -a.0 } else { 0.0 };
    let at = train.axles()[found.axle].offset.0;
    let terms = train.axles().iter().filter_map(|axle| {
        let place = end + sign * (axle.offset.0 - at);
        (-a.0..=span.0).contains(&place).then(|| match place {
            beyond if beyond < 0.0 => {
                format!("{} x ({} + {})", n(axle.load), n(span), n(Feet(-beyond)))
            }
            inside => format!("{} x ({} - {})", n(axle.load), n(span), n(Feet(inside))),
        })
    });
    let truck = format!("({}) / {}", terms.collect::<Vec<_>>().join(" + "), n(span));
    let i = r(on.allowable.impact.0);
    let (formula, numbers) = match &on.vehicle.lane {
        None => ("(1 + I) sum of P (L - x) / L", format!("(1 + {i}) x {truck}")),
        Some(lane) => {
            let reaction = format!(
                "({0} x ({1} + {2})^2 / (2 x {1}) + {3} x ({1} + {2}) / {1})",
                n(lane.uniform),
                n(span),
                n(a),
                n(lane.for_shear)
            );
            match lane.lane_use {
                LaneUse::WithTruck => (
                    "(1 + I) sum of P (L - x) / L + w (L + a0)^2 / (2 L)",
                    format!("(1 + {i}) x {truck} + {reaction}"),
                ),
                LaneUse::InsteadOfTruck => (
                    "(1 + I) max(sum of P (L - x) / L, w (L + a0)^2 / (2 L) + P (L + a0) / L)",
                    format!("(1 + {i}) x max({truck}, {reaction})"),
                ),
            }
        }
    };
    part.push(
        Line::new("Greatest reaction at a bearing, allowable stress", "RL", on.allowable.reaction)
            .by(formula, numbers)
            .source("axles as far out as the end of the deck"),
    );
}
