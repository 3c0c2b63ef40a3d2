//! The difference to a previous plan, before the plan itself.

use itertools::Itertools;

use super::LEAST_WIDTH;
use crate::quantity::Cents;
use crate::report::facts::change::{Change, CrossingChange};
use crate::report::facts::count;
use crate::report::text::Page;

/// What changes, with reasons.
#[must_use]
pub fn change(change: &Change, width: usize) -> String {
    let mut page = Page::new(width.max(LEAST_WIDTH));
    page.para(
        0,
        &format!(
            "CHANGE: {} where they lay; {} to the previous plan.",
            stay(change.kept),
            count(change.changes, "change")
        ),
    );
    let more = if change.outlay >= Cents::ZERO { "more" } else { "less" };
    let by = Cents(change.outlay.0.abs());
    page.para(0, &format!("Paid in all, before and now: {by} {more} than by the previous plan."));
    page.para(0, &proof(change));
    page.blank();
    let kept = change.crossings.iter().filter(|c| c.word == "kept");
    let kept = kept.map(|c| c.crossing.as_str()).join(", ");
    if !kept.is_empty() {
        page.hanging(2, "kept     ", &kept);
    }
    for crossing in change.crossings.iter().filter(|c| c.word != "kept") {
        page.hanging(2, &format!("{:<9}", crossing.word), &line(crossing));
    }
    page.blank();
    page.finish()
}

fn stay(kept: usize) -> String {
    if kept == 1 { "1 car lies".to_owned() } else { format!("{kept} cars lie") }
}

fn proof(change: &Change) -> String {
    let (cheapest, its_changes) = change.cheapest;
    let limit = format!(
        "The cheapest plan costs {cheapest} net and has {}; up to {} was allowed.",
        count(its_changes, "change"),
        change.limit
    );
    if change.changes == change.at_least {
        format!("{limit} Proven: no plan within that changes less.")
    } else {
        format!(
            "{limit} Not proven: a plan within that might have as few as {}.",
            count(change.at_least, "change")
        )
    }
}

fn line(crossing: &CrossingChange) -> String {
    let out = crossing.out.iter().map(|(car, why)| format!("{car} out: {why}"));
    let new = crossing.new.iter().map(|car| format!("{car} in"));
    format!("{}: {}", crossing.crossing, out.chain(new).join("; "))
}
