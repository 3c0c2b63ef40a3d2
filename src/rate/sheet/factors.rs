//! The rating factors, what governs, and the posting.

use super::Case;
use super::amount::Amount;
use super::line::{Line, Part, n, r};
use super::live::{self, share_number};
use crate::quantity::{Ratio, Tons};
use crate::rate::factors::{Factor, Zone};
use crate::rate::posting::Posting;
use crate::rate::rating::{VehicleRating, counting_forms};

/// The rating factors of one vehicle.
pub(super) fn part(case: &Case, vehicle: &VehicleRating) -> Part {
    let name = &vehicle.on_span.vehicle.name;
    let mut part = Part::new(format!("Rating factors for {name}"));
    for factor in &vehicle.bending.allowable {
        for line in live::at_section(case, &vehicle.on_span, &vehicle.on_span.allowable, factor) {
            part.push(line);
        }
        let governs = governing(case, vehicle, factor, true);
        part.push(line("Bending", "allowable stress", factor, "MDC", "MDW").governs(governs));
    }
    for (index, factor) in vehicle.bending.factored.iter().enumerate() {
        // The levels differ in the live-load factor alone, so that the section is the same.
        if index == 0 {
            let live = &vehicle.on_span.factored;
            for line in live::at_section(case, &vehicle.on_span, live, factor) {
                part.push(line);
            }
        }
        let governs = governing(case, vehicle, factor, false);
        part.push(line("Bending", "load and resistance", factor, "MDC", "MDW").governs(governs));
    }
    let Some(shear) = &vehicle.shear else { return part };
    for factor in &shear.allowable {
        let governs = governing(case, vehicle, factor, true);
        part.push(line("Shear", "allowable stress", factor, "VDC", "VDW").governs(governs));
    }
    for factor in &shear.factored {
        let governs = governing(case, vehicle, factor, false);
        part.push(line("Shear", "load and resistance", factor, "VDC", "VDW").governs(governs));
    }
    part
}

fn line<Q: Copy + Into<Amount>>(
    effect: &str,
    form: &str,
    factor: &Factor<Q>,
    dead: &str,
    wearing: &str,
) -> Line {
    let place = match factor.zone {
        Zone::OverBearing => ", over the bearing".to_owned(),
        Zone::Span if effect == "Bending" => {
            format!(", at {}", Amount::from(factor.section))
        }
        Zone::Span => ", at the bearing".to_owned(),
    };
    let (capacity, live) = if effect == "Bending" { ("C", "LL") } else { ("CV", "LLV") };
    let (dead, wearing, live) = match factor.zone {
        Zone::OverBearing => ("HDC", "HDW", "LLH"),
        Zone::Span => (dead, wearing, live),
    };
    let share = share_number(&factor.share);
    let (formula, numbers, source) = if form == "allowable stress" {
        (
            format!("({capacity} - {dead} - {wearing}) / (sA {live})"),
            format!(
                "({} - {} - {}) / ({share} x {})",
                n(factor.capacity),
                n(factor.dead),
                n(factor.wearing),
                n(factor.live)
            ),
            "AASHTO MBE part 6B (from memory)",
        )
    } else {
        (
            format!("({capacity} - gDC {dead} - gDW {wearing}) / (gLL sR {live})"),
            format!(
                "({} - {} x {} - {} x {}) / ({} x {share} x {})",
                n(factor.capacity),
                r(factor.dead_factor.0),
                n(factor.dead),
                r(factor.wearing_factor.0),
                n(factor.wearing),
                r(factor.live_factor.0),
                n(factor.live)
            ),
            "AASHTO MBE 6A.4.2 (from memory)",
        )
    };
    Line::new(
        format!("{effect}, {form}, {}{place}", factor.level.word()),
        "RF",
        Amount::factor(factor.factor),
    )
    .by(formula, numbers)
    .source(source)
}

/// Whether this factor is the one that the verdict hangs on.
fn governing<Q: Copy>(
    case: &Case,
    vehicle: &VehicleRating,
    factor: &Factor<Q>,
    allowable: bool,
) -> bool {
    let rating = case.rating;
    let counts = counting_forms(&case.rules.rating);
    let (form_counts, level) = if allowable {
        (counts.0, vehicle.bending.by_allowable().level)
    } else {
        (counts.1, vehicle.bending.by_factored().level)
    };
    let governing = &rating.vehicles[rating.governing];
    form_counts
        && vehicle.on_span.vehicle.name == governing.on_span.vehicle.name
        && factor.factor == governing.least
        && factor.level == level
}

/// What governs, in a sentence.
pub(super) fn governs(case: &Case) -> String {
    let rating = case.rating;
    let vehicle = &rating.vehicles[rating.governing];
    let verdict = if vehicle.least.0 >= 1.0 - crate::check::TOLERANCE {
        "the main girder carries every vehicle"
    } else if case.rating.loads.least_posting.is_some() {
        "below 1: a posting is needed"
    } else {
        "below 1: the main girder does not carry it"
    };
    format!(
        "{} governs with a rating factor of {}: {verdict}.",
        vehicle.on_span.vehicle.name,
        Amount::factor(vehicle.least)
    )
}

/// The postings.
pub(super) fn posting(case: &Case) -> Part {
    let mut part = Part::new("Posting");
    let floor = case.rules.posting.factor_floor;
    for vehicle in &case.rating.vehicles {
        let name = &vehicle.on_span.vehicle.name;
        let weight = vehicle.on_span.vehicle.gross();
        let label = format!("{name}, least rating factor that counts");
        let counting = counting(case, vehicle);
        let line = Line::new(label, "RF", Amount::factor(vehicle.least));
        part.push(line.by("the least of those above that count", format!("min({counting})")));
        let line = match vehicle.posting {
            Posting::NotNeeded => {
                Line::new(format!("{name}, sign"), "", Amount::words("no sign needed"))
            }
            Posting::NotAllowed => {
                Line::new(format!("{name}, sign"), "", Amount::words("not allowed at any weight"))
                    .source(format!("below {}", r(floor)))
            }
            Posting::UpTo { safe_load, sign } => {
                part.push(safe(name, weight, vehicle.least, floor, safe_load));
                Line::new(format!("{name}, sign in whole tons"), "", sign)
            }
        };
        part.push(line.at("rules posting"));
    }
    part
}

/// The rating factors of a vehicle that count for the sign, as printed.
fn counting(case: &Case, vehicle: &VehicleRating) -> String {
    let counts = counting_forms(&case.rules.rating);
    let bending = [
        (counts.0, vehicle.bending.by_allowable().factor),
        (counts.1, vehicle.bending.by_factored().factor),
    ];
    let shear = vehicle.shear.as_ref().map(|shear| {
        [(counts.0, shear.by_allowable().factor), (counts.1, shear.by_factored().factor)]
    });
    let all = bending.into_iter().chain(shear.into_iter().flatten());
    let counting = all.filter(|(counts, _)| *counts);
    counting.map(|(_, factor)| Amount::factor(factor).bare()).collect::<Vec<_>>().join(", ")
}

fn safe(name: &str, weight: Tons, factor: Ratio, floor: f64, safe_load: Tons) -> Line {
    let factor = Amount::ratio(factor.0).bare();
    Line::new(format!("{name}, safe load"), "Ws", safe_load)
        .by(
            "Wv / (1 - f0) (RF - f0)",
            format!("{} / (1 - {}) x ({factor} - {})", n(weight), r(floor), r(floor)),
        )
        .source("AASHTO MBE 6A.8.3 (read in Khan 2010, p. 187), f0 = 0.3 there; Wv the gross weight of the vehicle")
}
