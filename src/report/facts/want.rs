//! Near misses and wanted cars in words.

use itertools::Itertools;

use crate::after::relax::{Limit, Relaxation};
use crate::after::want::{Partner, Range};
use crate::check::Value;
use crate::model::inputs::{CarIx, Inputs};

/// What is never relaxed, said with every list of near misses.
pub const NEVER_OFFERED: &str = "Never offered: rating factors, damage of primary members, wreck \
    history, support inside the truck centers, steel and measures that are unknown. They are limits \
    of safety and are not relaxed; measure, or look for another car.";

/// How a limit changes: `1.00 in to 1.20 in`.
#[must_use]
pub fn change(relaxation: &Relaxation) -> String {
    let by = match (relaxation.limit, &relaxation.from, &relaxation.to) {
        (Limit::ClearWidth, Value::Feet(from), Value::Feet(to)) => {
            format!(" (by {:.0} in)", (from.0 - to.0) * 12.0)
        }
        _ => String::new(),
    };
    let from = match relaxation.from {
        Value::Unknown => "not surveyed".to_owned(),
        ref from => from.to_string(),
    };
    format!("{from} to {}{by}", relaxation.to)
}

/// The cars of some decks: `UD-1 + UD-2; UD-3 + UD-4`.
#[must_use]
pub fn cars(inputs: &Inputs, decks: &[Vec<CarIx>]) -> String {
    let deck = |deck: &Vec<CarIx>| deck.iter().map(|car| inputs.car(*car).name()).join(" + ");
    decks.iter().map(deck).join("; ")
}

/// What must match a car.
#[must_use]
pub fn partner(inputs: &Inputs, partner: &Partner) -> String {
    let own = if inputs.car(partner.car).owned { ", own stock" } else { "" };
    let range = |range: &Range| {
        format!(", {} {} to {} ({})", range.words, range.least, range.most, range.code.id())
    };
    let ranges = partner.ranges.iter().map(range).join("");
    format!("{}{own}: section {}{ranges}", inputs.car(partner.car).name(), partner.section)
}
