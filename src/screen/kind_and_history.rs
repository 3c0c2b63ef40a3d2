//! S01 and S02: what kind of car it is, and what happened to it.

use super::Alone;
use crate::check::{Check, Code, Limit, Outcome, Value};
use crate::model::car::{CarKind, Underframe};

/// S01.
pub fn kind(alone: &Alone) -> Check {
    let allowed = &alone.rules.screen.kinds_allowed;
    let limit = Limit::OneOf(allowed.iter().map(|kind| kind.word().to_owned()).collect());
    match alone.car.kind {
        Some(CarKind::CarHauler) if !allowed.contains(&CarKind::CarHauler) => {
            let word = Value::Text(CarKind::CarHauler.word().to_owned());
            Check::new(Code::CarKind, word, limit, Outcome::Unknown).note(
                "some are flat cars with a rack bolted on: ask; if the rack comes off, its kind is flat",
            )
        }
        Some(kind) => Check::words(Code::CarKind, kind.word(), limit, allowed.contains(&kind)),
        None => Check::unknown(Code::CarKind, limit, "kind of car not given"),
    }
}

/// S02.
pub fn wreck(alone: &Alone) -> Check {
    let limit = Limit::words("free of wrecks");
    match alone.car.wrecked {
        Some(true) => Check::words(Code::WreckHistory, "was in a wreck", limit, false),
        Some(false) => Check::words(Code::WreckHistory, "free of wrecks", limit, true),
        None => Check::unknown(Code::WreckHistory, limit, "history not given"),
    }
}

/// S27: a center sill that slides in its frame does not carry with it.
pub fn underframe(alone: &Alone) -> Check {
    let limit = Limit::words(Underframe::Fixed.word());
    match alone.car.underframe {
        Some(Underframe::Sliding) => {
            Check::words(Code::Underframe, Underframe::Sliding.word(), limit, false)
                .note("the center sill slides in the frame and does not carry with it")
        }
        Some(found) => Check::words(Code::Underframe, found.word(), limit, true),
        None => Check::new(Code::Underframe, Value::Unknown, limit, Outcome::Caution)
            .note("to confirm: a sliding center sill does not carry with its frame"),
    }
}

/// S28: sweep, twist, prior repairs, ends of cover plates, notch toughness; what is not known of them
/// together, to confirm.
pub fn shape_and_history(alone: &Alone) -> Vec<Check> {
    const CODE: Code = Code::ShapeAndHistory;
    let (car, screen) = (alone.car, &alone.rules.screen);
    let mut checks = Vec::new();
    let mut unknown = Vec::new();
    for (part, found, most) in
        [("sweep", car.sweep, screen.sweep_most_in), ("twist", car.twist, screen.twist_most_in)]
    {
        match found {
            Some(found) => checks
                .push(Check::at_most(CODE, Value::Inches(found), Value::Inches(most)).part(part)),
            None => unknown.push(part),
        }
    }
    match car.repaired {
        Some(true) => {
            let repaired = Value::Text("repaired before".to_owned());
            let check = Check::new(CODE, repaired, Limit::words("as built"), Outcome::Caution);
            let note =
                "have the engineer look at the repair, weld and plate, before it is paid for";
            checks.push(check.part("prior repairs").note(note));
        }
        Some(false) => {
            let check = Check::words(CODE, "not repaired", Limit::words("as built"), true);
            checks.push(check.part("prior repairs"));
        }
        None => unknown.push("prior repairs"),
    }
    let covered = |p: &crate::model::car::GirderPlates| p.top_cover.or(p.bottom_cover).is_some();
    if car.girder.plates.as_ref().is_some_and(covered) {
        match (car.cover_length, car.truck_centers) {
            (Some(length), Some(centers)) => {
                let (length, centers) = (Value::Feet(length), Value::Feet(centers));
                let mut check = Check::at_least(CODE, length, centers);
                if check.outcome == Outcome::Fail {
                    check.outcome = Outcome::Unknown;
                    check = check.note(
                        "the cover ends between the bolsters and the rating counts it throughout: \
                         record the plates without it",
                    );
                }
                checks.push(check.part("cover plates"));
            }
            _ => unknown.push("ends of the cover plates"),
        }
    }
    match &car.toughness {
        _ if !screen.cold_winters => {}
        Some(stated) => {
            let check = Check::words(CODE, stated, Limit::words("stated with its source"), true);
            checks.push(check.part("notch toughness"));
        }
        None => unknown.push("notch toughness of its steel in cold winters"),
    }
    if !unknown.is_empty() {
        let check = Check::new(CODE, Value::Unknown, Limit::None, Outcome::Caution);
        checks.push(check.note(format!("to confirm, not known: {}", unknown.join(", "))));
    }
    checks
}
