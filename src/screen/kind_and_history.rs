//! S01 and S02: what kind of car it is, and what happened to it.

use super::Alone;
use crate::check::{Check, Code, Limit};

/// S01.
pub fn kind(alone: &Alone) -> Check {
    let allowed = &alone.rules.screen.kinds_allowed;
    let limit = Limit::OneOf(allowed.iter().map(|kind| kind.word().to_owned()).collect());
    match alone.car.kind {
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
