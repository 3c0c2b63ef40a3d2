//! S05 and S06: where the car bears.

use super::Pair;
use crate::check::{Check, Code, Limit, Outcome, Value};
use crate::model::ends::{End, cut_words, ends};
use crate::quantity::Feet;

/// Lengths are stated to the hundredth of a foot; a bearing nearer to its bolster than that is at it.
const STATED_TO: f64 = 0.01;

/// S05: the span is at most the truck centers.
pub fn support(pair: &Pair) -> Check {
    let span = Value::Feet(pair.span);
    match pair.car.truck_centers {
        Some(centers) => Check::at_least(Code::Support, Value::Feet(centers), span),
        None => Check::unknown(Code::Support, Limit::AtLeast(span), "truck centers not measured"),
    }
}

/// S06: how far inside its bolsters the car bears, and what becomes of its ends. A known distance is
/// never a bar: S05 decides on support.
pub fn bearing_inside(pair: &Pair) -> Check {
    let limit = Limit::words("at the bolsters");
    let Some(centers) = pair.car.truck_centers else {
        return Check::unknown(Code::BearingInside, limit, "truck centers not measured");
    };
    let each_side = (centers - pair.span) / 2.0;
    let ends = ends_words(pair);
    if each_side.0 > STATED_TO {
        return Check::new(Code::BearingInside, Value::Feet(each_side), limit, Outcome::Caution)
            .note(format!("bears this far inside each bolster; {ends}"));
    }
    let place = if each_side.0 < -STATED_TO {
        "bearings would lie outside the bolsters, see S05"
    } else {
        "bears at the bolsters"
    };
    Check::new(Code::BearingInside, Value::Feet(each_side), limit, Outcome::Pass)
        .note(format!("{place}; {ends}"))
}

/// What becomes of the ends beyond the bearings.
fn ends_words(pair: &Pair) -> String {
    let Some(length) = pair.car.length else {
        return "length not known, so neither is the overhang of the ends".to_owned();
    };
    let ends = ends(&pair.rules.screen, pair.crossing, pair.site, length);
    let [End { overhang, most, .. }, other] = ends;
    let overhang = overhang.max(Feet(0.0));
    match cut_words(ends, |length| length.to_string()) {
        Some(words) if ends[0] != other || other.at_pier => {
            format!("ends overhang by {overhang}: {words}, priced")
        }
        Some(_) => format!("both ends overhang by {overhang}, over {most}: trimmed, priced"),
        None => format!("ends overhang by {overhang}, within {most}: left as they are"),
    }
}
