//! S11, S12, S13, S20 and S24: length, weight and width on the road, weight on the hook.

use super::{Alone, Pair};
use crate::check::{Check, Code, Limit, Outcome, TOLERANCE, Value};
use crate::model::ends::cut_length;
use crate::quantity::Feet;

/// The words where a limit of the crossing is not known.
#[derive(Clone, Copy)]
struct Missing {
    limit: &'static str,
    note: &'static str,
}

impl Missing {
    fn words(self) -> Limit {
        Limit::words(self.limit)
    }
}

const ROUTE: Missing = Missing { limit: "within what the route takes", note: "route not surveyed" };

/// S11.
pub fn length(pair: &Pair) -> Check {
    let check = at_most(
        Code::HaulLength,
        (pair.car.length.map(Value::Feet), "length not measured"),
        (pair.crossing.haul_length_limit.map(Value::Feet), ROUTE),
    );
    if check.outcome != Outcome::Fail {
        return check;
    }
    let (Some(length), Some(cut), Some(most)) = (
        pair.car.length,
        cut_length(pair.rules, pair.crossing, pair.site, pair.car),
        pair.crossing.haul_length_limit,
    ) else {
        return check;
    };
    let mut once_cut = Check::at_most(Code::HaulLength, Value::Feet(cut), Value::Feet(most));
    if once_cut.outcome == Outcome::Fail {
        return check;
    }
    once_cut.outcome = Outcome::Caution;
    once_cut
        .note(format!("{length} as it stands: its ends must be cut at the yard, before hauling"))
}

/// S12.
pub fn weight(pair: &Pair) -> Check {
    at_most(
        Code::HaulWeight,
        (pair.car.weight.map(Value::Kips), "weight not known"),
        (pair.crossing.haul_weight_limit.map(Value::Kips), ROUTE),
    )
}

/// S24: wider than the law allows everywhere, it travels by permit on a route that is surveyed for width;
/// wider than that takes, not at all.
pub fn width(pair: &Pair) -> Check {
    let legal = pair.rules.haul.permit_over_width_ft;
    let limit = pair.crossing.haul_width_limit;
    let most = Value::Feet(limit.unwrap_or(legal));
    let Some(width) = pair.car.width_on_road() else {
        return Check::unknown(Code::HaulWidth, Limit::AtMost(most), "width not measured");
    };
    let over_width = width.0 > legal.0 + TOLERANCE;
    let over = || format!("over {legal}: over-width, by permit");
    match limit {
        None if over_width => {
            Check::new(Code::HaulWidth, Value::Feet(width), ROUTE.words(), Outcome::Unknown)
                .note_if(pair.remarks, || {
                    format!("{}; the route is not surveyed for width", over())
                })
        }
        _ => {
            let mut check = Check::at_most(Code::HaulWidth, Value::Feet(width), most);
            if over_width && check.outcome == Outcome::Pass {
                check.outcome = Outcome::Caution;
                return check.note_if(pair.remarks, over);
            }
            check
        }
    }
}

/// S29: the car on its trailer under what hangs over the road.
pub fn height(pair: &Pair) -> Check {
    let haul = &pair.rules.haul;
    let most = Value::Feet(pair.crossing.haul_height_limit.unwrap_or(haul.height_most_ft));
    let Some(depth) = pair.car.depth_over_all else {
        let check =
            Check::new(Code::HaulHeight, Value::Unknown, Limit::AtMost(most), Outcome::Caution);
        return check.note("to confirm: depth over all not measured");
    };
    let height = Feet::from(depth) + haul.trailer_deck_ft;
    let surveyed = match pair.crossing.haul_height_limit {
        Some(_) => "",
        None => "; the route is not surveyed for height",
    };
    Check::at_most(Code::HaulHeight, Value::Feet(height), most)
        .note(format!("{depth} on a trailer deck of {}{surveyed}", haul.trailer_deck_ft))
}

/// S13: the weight with rigging, against the crane.
pub fn pick(pair: &Pair) -> Check {
    let factor = pair.rules.screen.pick_weight_factor;
    let check = at_most(
        Code::CranePick,
        (pair.car.weight.map(|weight| Value::Kips(weight * factor)), "weight not known"),
        (
            pair.crossing.crane_limit.map(Value::Kips),
            Missing { limit: "within what the crane picks", note: "crane not known" },
        ),
    );
    match pair.car.weight {
        Some(weight) if check.note.is_empty() => {
            check.note_if(pair.remarks, || format!("{weight} x {factor}"))
        }
        _ => check,
    }
}

/// S20.
pub fn weight_known(alone: &Alone) -> Check {
    let limit = Limit::words("weighed or stencilled");
    match alone.car.weight {
        Some(weight) => Check::new(Code::WeightKnown, Value::Kips(weight), limit, Outcome::Pass),
        None => Check::unknown(Code::WeightKnown, limit, "weight not known"),
    }
}

/// A measured value against a limit, either of which may be unknown; each with the words for that.
fn at_most(code: Code, measured: (Option<Value>, &str), limit: (Option<Value>, Missing)) -> Check {
    let missing = limit.1;
    match (measured.0, limit.0) {
        (Some(value), Some(most)) => Check::at_most(code, value, most),
        (None, Some(most)) => Check::unknown(code, Limit::AtMost(most), measured.1),
        (Some(value), None) => {
            // The car's side is known and worth printing; the route's is missing.
            Check::new(code, value, missing.words(), Outcome::Unknown).note(missing.note)
        }
        (None, None) => {
            Check::unknown(code, missing.words(), format!("{}, {}", measured.1, missing.note))
        }
    }
}
