//! The live load: the car's share, and what each vehicle does.

mod shear;

use itertools::Itertools;

use super::Case;
use super::amount::Amount;
use super::line::{Line, Part, n, r};
use crate::quantity::{Feet, KipFeet, Kips};
use crate::rate::effects::{Governs, Live, LiveMoment, VehicleEffects};
use crate::rate::envelope;
use crate::rate::factors::{Factor, Zone};
use crate::rate::rating::{Rating, VehicleRating};
use crate::rate::share::{self, Share};
use crate::rate::train::Train;
use crate::rate::vehicles::{LaneLoad, LaneUse};

/// Both shares.
pub(super) fn shares(case: &Case) -> Part {
    let mut part = Part::new("Share of a lane's load on one car");
    let rating = case.rating;
    let width = Amount::from(case.crossing.clear_width).bare();
    part.push(
        Line::new("Lanes on the bridge", "", Amount::count(rating.loads.lanes))
            .by(
                "max(min(floor(wc / 12), 4), 1 + floor(min(wc / 20, 1)))",
                format!("max(min(floor({width} / 12), 4), 1 + floor(min({width} / 20, 1)))"),
            )
            .source(
                "one per 12 ft of clear width, four at most, but two from 20 ft and one below; \
                 AASHTO LRFD 3.6.1.1.1 (from memory)",
            ),
    );
    let forms = [
        ("allowable stress", "sA", &rating.allowable_share, "AASHTO Standard Specifications 3.12"),
        ("load and resistance", "sR", &rating.factored_share, "AASHTO LRFD 3.6.1.1.2"),
    ];
    for (form, symbol, share, clause) in forms {
        let lanes = match share.lanes_loaded {
            1 => "1 lane loaded".to_owned(),
            lanes => format!("{lanes} lanes loaded"),
        };
        part.push(
            Line::new(format!("Share by {form}, {lanes}"), symbol, Amount::ratio(share.total.0))
                .by(
                    "max(sum of wheel lines on the car / 2, 1) x presence x agency's share",
                    format!(
                        "max(({}) / 2, 1) x {} x {}",
                        wheel_lines(rating, share),
                        r(share.presence.0),
                        r(share.agency.0)
                    ),
                )
                .source(format!(
                    "wheel lines 6 and 4 ft apart, by the lever over a joint of {}; presence: \
                     {clause} (from memory); {}",
                    Amount::from(rating.loads.deck.widest_gap),
                    rating.share_source()
                ))
                .at(match &rating.girder.agency_share.joint {
                    Some(_) => "rules joint_share and presence",
                    None => "rules rating.truck_share and presence",
                }),
        );
    }
    part
}

/// How much of each wheel line stands on the car with the lanes that the share counts.
fn wheel_lines(rating: &Rating, share: &Share) -> String {
    let (width, gap) = (rating.girder.width, rating.loads.deck.widest_gap);
    let lines = share::wheel_lines_on_car(width, gap, share.lanes_loaded);
    lines.iter().map(|&line| r(line)).join(" + ")
}

/// Symbol of the share in a form.
pub(super) fn share_number(share: &Share) -> String {
    r(share.total.0)
}

/// What one vehicle does to the span, for one lane.
pub(super) fn vehicle(case: &Case, rating: &VehicleRating) -> Part {
    let on = &rating.on_span;
    let vehicle = &on.vehicle;
    let mut part = Part::new(format!("{} on one lane", vehicle.name));
    for train in &vehicle.trains {
        part.push(
            Line::new(format!("The {}, axle loads and distances", train.name()), "", axles(train))
                .source(vehicle.source.clone()),
        );
    }
    if let Some(lane) = &vehicle.lane {
        part.push(lane_line(lane));
    }
    let span = case.rating.span();
    part.push(
        Line::new("Impact, allowable stress", "IA", Amount::ratio(on.allowable.impact.0))
            .by("min(50 / (L + 125), 0.30)", format!("min(50 / ({} + 125), 0.3)", n(span)))
            .source("AASHTO Standard Specifications 3.8.2 (from memory)"),
    );
    part.push(
        Line::new("Impact, load and resistance", "IM", Amount::ratio(on.factored.impact.0))
            .source(
                "AASHTO LRFD 3.6.2 (from memory), on axles alone; borne out by rating factors of the \
                 Ohio DOT, sheet PSBDD-1-25",
            )
            .at("rules rating.resistance_factors.impact"),
    );
    let (one, other) = (&on.allowable.moment, &on.factored.moment);
    let same_place =
        one.train == other.train && (one.truck.section - other.truck.section).abs() < Feet(1e-6);
    if same_place {
        moment_parts(&mut part, case, on, &on.allowable.moment, "");
    }
    for (live, form, symbol) in forms(on) {
        if !same_place {
            moment_parts(&mut part, case, on, &live.moment, &format!(", {form}"));
        }
        part.push(moment_total(on, live, form, symbol));
    }
    shear::shear(&mut part, case, on);
    shear::ends(&mut part, case, rating);
    part
}

/// Both forms with the name and the symbol of their impact.
pub(super) fn forms(on: &VehicleEffects) -> [(&Live, &'static str, &'static str); 2] {
    [(&on.allowable, "allowable stress", "IA"), (&on.factored, "load and resistance", "IM")]
}

fn axles(train: &Train) -> Amount {
    let distances = train.spacings().iter().map(|spacing| {
        if spacing.varies() {
            format!("{} to {} ft", r(spacing.least.0), r(spacing.most.0))
        } else {
            format!("{} ft", r(spacing.least.0))
        }
    });
    let loads = train.axles().iter().map(|axle| format!("{} kip", n(axle.load)));
    Amount::words(loads.interleave(distances).join(", "))
}

fn lane_line(lane: &LaneLoad) -> Line {
    let (acts, impact) = match lane.lane_use {
        LaneUse::InsteadOfTruck => ("instead of the truck, the worse counts", "with impact"),
        LaneUse::WithTruck => ("together with the truck", "without impact"),
    };
    let words = format!(
        "{} kip/ft with {} kip for moment, {} kip for shear",
        n(lane.uniform),
        n(lane.for_moment),
        n(lane.for_shear)
    );
    Line::new("The lane load", "", Amount::words(words)).source(format!("{acts}, {impact}"))
}

/// The axles of a train that stand on the span, with one of them at the section.
pub(super) struct Standing<'a> {
    pub train: &'a Train,
    pub axle: usize,
    pub reversed: bool,
    pub section: Feet,
    pub span: Feet,
}

impl Standing<'_> {
    /// Load and distance from the bearing of each axle on the span.
    fn places(&self) -> Vec<(Kips, Feet)> {
        let sign = if self.reversed { -1.0 } else { 1.0 };
        let at = self.train.axles()[self.axle].offset;
        self.train
            .axles()
            .iter()
            .map(|axle| (axle.load, self.section + (axle.offset - at) * sign))
            .filter(|(_, place)| (-1e-9..=self.span.0 + 1e-9).contains(&place.0))
            .collect()
    }

    /// Sum of `P x (L - s) / L` before the section and `P s (L - x) / L` from it on.
    fn moment_numbers(&self) -> String {
        let (section, span) = (n(self.section), n(self.span));
        let terms = self.places().into_iter().map(|(load, place)| {
            if place.0 < self.section.0 {
                format!("{} x {} x ({span} - {section})", n(load), n(place))
            } else {
                format!("{} x {section} x ({span} - {})", n(load), n(place))
            }
        });
        format!("({}) / {span}", terms.collect::<Vec<_>>().join(" + "))
    }

    pub(super) fn line(&self, label: String, symbol: &str, moment: KipFeet) -> Line {
        let places = self.places().iter().map(|(_, place)| n(*place)).join(", ");
        Line::new(label, symbol, moment)
            .by(
                "(sum of P x (L - s) before s + sum of P s (L - x) from s on) / L",
                self.moment_numbers(),
            )
            .source(format!("axles at {places} ft from the bearing"))
    }
}

/// Moment of the train at its worst place, and of the lane load at the same section.
fn moment_parts(
    part: &mut Part,
    case: &Case,
    on: &VehicleEffects,
    moment: &LiveMoment,
    suffix: &str,
) {
    let span = case.rating.span();
    let train = &on.vehicle.trains[moment.train];
    let standing = Standing {
        train,
        axle: moment.truck.axle,
        reversed: false,
        section: moment.truck.section,
        span,
    };
    let label = format!(
        "Greatest moment of the {}{suffix}, at s = {}",
        train.name(),
        Amount::from(moment.truck.section)
    );
    part.push(standing.line(label, "MT", moment.truck.moment));
    let Some(lane) = &on.vehicle.lane else { return };
    match lane.lane_use {
        LaneUse::WithTruck => part.push(lane_at(lane, moment.section, span, moment.lane)),
        LaneUse::InsteadOfTruck => {
            let middle = span / 2.0;
            let value = lane.uniform * span * (span / 8.0) + lane.for_moment * (span / 4.0);
            part.push(
                Line::new("Moment of the lane load at mid-span", "ML", value)
                    .by(
                        "w L^2 / 8 + P L / 4",
                        format!(
                            "{} x {}^2 / 8 + {} x {} / 4",
                            n(lane.uniform),
                            n(span),
                            n(lane.for_moment),
                            n(span)
                        ),
                    )
                    .source(format!("at {}", Amount::from(middle))),
            );
        }
    }
}

fn lane_at(lane: &LaneLoad, section: Feet, span: Feet, value: KipFeet) -> Line {
    let (s, l) = (n(section), n(span));
    let uniform = format!("{} x {s} x ({l} - {s}) / 2", n(lane.uniform));
    if lane.for_moment.0 > 0.0 {
        Line::new("Moment of the lane load there", "ML", value).by(
            "w s (L - s) / 2 + P s (L - s) / L",
            format!("{uniform} + {} x {s} x ({l} - {s}) / {l}", n(lane.for_moment)),
        )
    } else {
        Line::new("Moment of the lane load there", "ML", value).by("w s (L - s) / 2", uniform)
    }
}

fn moment_total(on: &VehicleEffects, live: &Live, form: &str, impact: &str) -> Line {
    let moment = &live.moment;
    let i = r(live.impact.0);
    let (formula, numbers) = match moment.governs {
        Governs::Truck => {
            (format!("MT (1 + {impact})"), format!("{} x (1 + {i})", n(moment.truck.moment)))
        }
        Governs::Lane => (format!("ML (1 + {impact})"), format!("{} x (1 + {i})", n(moment.lane))),
        Governs::TruckAndLane => (
            format!("MT (1 + {impact}) + ML"),
            format!("{} x (1 + {i}) + {}", n(moment.truck.moment), n(moment.lane)),
        ),
    };
    Line::new(format!("Live-load moment with impact, {form}"), "LL", moment.total)
        .by(formula, numbers)
        .source(which_governs(on, moment.governs))
}

fn which_governs(on: &VehicleEffects, governs: Governs) -> String {
    match on.vehicle.lane {
        Some(_) => format!("governs: {}", governs.words()),
        None => String::new(),
    }
}

/// The live load at the section of a rating factor where that is not the section of the greatest
/// moment, line by line.
pub(super) fn at_section(
    case: &Case,
    on: &VehicleEffects,
    live: &Live,
    factor: &Factor<KipFeet>,
) -> Vec<Line> {
    let span = case.rating.span();
    if factor.zone == Zone::OverBearing || factor.section == live.moment.section {
        return Vec::new();
    }
    let mut lines = Vec::new();
    let worst = on
        .vehicle
        .trains
        .iter()
        .filter_map(|train| Some((train, envelope::section_moment(train, span, factor.section)?)))
        .max_by(|a, b| a.1.moment.total_cmp(&b.1.moment));
    let Some((train, found)) = worst else { return lines };
    let standing = Standing {
        train,
        axle: found.axle,
        reversed: found.reversed,
        section: factor.section,
        span,
    };
    let place = Amount::from(factor.section);
    lines.push(standing.line(
        format!("Moment of the {} at s = {place}", train.name()),
        "MT",
        found.moment,
    ));
    let i = r(live.impact.0);
    let impact = if std::ptr::eq(live, &on.factored) { "IM" } else { "IA" };
    let mut formula = format!("MT (1 + {impact})");
    let mut numbers = format!("{} x (1 + {i})", n(found.moment));
    if let Some(lane) = &on.vehicle.lane {
        let uniform = lane.uniform * factor.section * ((span - factor.section) / 2.0);
        let point = lane.for_moment * factor.section * ((span - factor.section) / span);
        let moment = uniform + point;
        lines.push(lane_at(lane, factor.section, span, moment));
        match lane.lane_use {
            LaneUse::WithTruck => {
                formula.push_str(" + ML");
                numbers = format!("{numbers} + {}", n(moment));
            }
            LaneUse::InsteadOfTruck => {
                formula = format!("max(MT, ML) (1 + {impact})");
                numbers = format!("max({}, {}) x (1 + {i})", n(found.moment), n(moment));
            }
        }
    }
    lines.push(
        Line::new("Live-load moment with impact there", "LL", factor.live).by(formula, numbers),
    );
    lines
}
