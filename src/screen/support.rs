//! S05 and S06: where the car bears.

use super::Pair;
use crate::check::{Check, Code, Limit, Outcome, TOLERANCE, Value};
use crate::model::ends::{End, cut_words, ends};
use crate::quantity::Feet;

/// Lengths are stated to the hundredth of a foot; a bearing nearer to its bolster than that is at it.
const STATED_TO: f64 = 0.01;

/// S05: the span is at most the truck centers; nearer to them than seats are set it is a caution.
pub fn support(pair: &Pair) -> Check {
    let span = Value::Feet(pair.span);
    let Some(centers) = pair.car.truck_centers else {
        return Check::unknown(Code::Support, Limit::AtLeast(span), "truck centers not measured");
    };
    let check = Check::at_least(Code::Support, Value::Feet(centers), span);
    let tolerance = pair.rules.screen.seat_tolerance_in;
    let safe = pair.span + Feet::from(tolerance);
    if check.outcome.bars() || centers.0 >= safe.0 - TOLERANCE {
        return check;
    }
    let mut near = Check::at_least(Code::Support, Value::Feet(centers), Value::Feet(safe));
    near.outcome = Outcome::Caution;
    near.note_if(pair.remarks, || {
        format!(
            "it reaches from bolster to bolster, and seats are set with a tolerance of {tolerance}"
        )
    })
}

/// S06: how far inside its bolsters the car bears, and what becomes of its ends. A known distance is
/// never a bar: S05 decides on support, S22 on the bolsters.
pub fn bearing_inside(pair: &Pair) -> Check {
    let limit = Limit::words("at the bolsters");
    let Some(centers) = pair.car.truck_centers else {
        return Check::unknown(Code::BearingInside, limit, "truck centers not measured");
    };
    let each_side = (centers - pair.span) / 2.0;
    if each_side.0 > STATED_TO {
        let screen = &pair.rules.screen;
        let words = || {
            let stiffened = if screen.needs_stiffeners(each_side) {
                let most = screen.bearing_inside_ft;
                format!(", over {most}: stiffeners and a diaphragm over the bearing, priced")
            } else {
                String::new()
            };
            format!("bears this far inside each bolster{stiffened}; {}", ends_words(pair))
        };
        return Check::new(Code::BearingInside, Value::Feet(each_side), limit, Outcome::Caution)
            .note_if(pair.remarks, words);
    }
    let place = if each_side.0 < -STATED_TO {
        "bearings would lie outside the bolsters, see S05"
    } else {
        "bears at the bolsters"
    };
    Check::new(Code::BearingInside, Value::Feet(each_side), limit, Outcome::Pass)
        .note_if(pair.remarks, || format!("{place}; {}", ends_words(pair)))
}

/// S22: the ends are not cut back behind the bolsters.
pub fn bolster_kept(pair: &Pair) -> Check {
    let none = Value::Feet(Feet(0.0));
    let (Some(centers), Some(length)) = (pair.car.truck_centers, pair.car.length) else {
        let note = "truck centers or length not measured";
        return Check::unknown(Code::BolsterKept, Limit::AtLeast(none), note);
    };
    let screen = &pair.rules.screen;
    let inside = (centers - pair.span) / 2.0;
    let ends = ends(screen, pair.crossing, pair.site, length, Some(centers));
    let left = ends.iter().map(End::left).reduce(Feet::min).unwrap_or_default();
    let beyond_bolster = left - inside.max(Feet(0.0));
    let mut check = Check::at_least(Code::BolsterKept, Value::Feet(beyond_bolster), none);
    if check.outcome == Outcome::Fail && screen.bolsters_may_be_cut {
        check.outcome = Outcome::Caution;
        return check
            .note("the rules allow it: stiffeners and a diaphragm hold the girder instead");
    }
    match check.outcome {
        Outcome::Fail => check.note("the bolster would be cut off with its end"),
        _ => check,
    }
}

/// What becomes of the ends beyond the bearings.
fn ends_words(pair: &Pair) -> String {
    let Some(length) = pair.car.length else {
        return "length not known, so neither is the overhang of the ends".to_owned();
    };
    let ends = ends(&pair.rules.screen, pair.crossing, pair.site, length, pair.car.truck_centers);
    let [End { overhang, most, .. }, _] = ends;
    let overhang = overhang.max(Feet(0.0));
    match cut_words(ends, |length| length.to_string()) {
        Some(words) => format!("ends overhang by {overhang}: {words}, priced"),
        None => format!("ends overhang by {overhang}, within {most}: left as they are"),
    }
}
