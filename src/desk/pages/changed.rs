//! What a plan changes of the agreed one, in words and crossing by crossing.

use itertools::Itertools as _;
use spanyard::quantity::Cents;
use spanyard::report::facts::change::Change;
use spanyard::report::facts::count;

use super::links::crossing_href;
use crate::desk::view::{Table, head, text};

/// What is kept, what changes, and what that costs.
pub fn words(change: &Change) -> Vec<String> {
    let more = if change.outlay >= Cents::ZERO { "more" } else { "less" };
    let by = Cents(change.outlay.0.abs());
    let (cheapest, its_changes) = change.cheapest;
    let proven = if change.changes == change.at_least {
        "Proven: no plan within that changes less.".to_owned()
    } else {
        format!(
            "Not proven: one within that might have as few as {}.",
            count(change.at_least, "change")
        )
    };
    let of = |word: &str| change.crossings.iter().filter(|c| c.word == word).count();
    let words = ["kept", "swapped", "added", "dropped"].map(|word| format!("{} {word}", of(word)));
    vec![
        format!("Crossings: {}.", words.join(", ")),
        format!(
            "{} where they lay; {}.",
            count(change.kept, "car"),
            count(change.changes, "change")
        ),
        format!("Paid in all, before and now: {by} {more} than by the agreed plan."),
        format!(
            "The cheapest plan costs {cheapest} net and has {}; up to {} was allowed. {proven}",
            count(its_changes, "change"),
            change.limit
        ),
    ]
}

/// Crossing by crossing, what changes before what stays.
pub fn table(change: &Change) -> Table {
    let mut table = Table::new("Crossing by crossing", &["Crossing", "What", "Out", "In"]);
    for crossing in change.crossings.iter().sorted_by_key(|c| c.word == "kept") {
        let out = crossing.out.iter().map(|(car, why)| format!("{car}: {why}"));
        let class = if crossing.word == "kept" { "quiet" } else { "" };
        table.classed(
            class,
            vec![
                head(crossing.crossing.clone()).to(crossing_href(&crossing.crossing)),
                text(crossing.word),
                text(out.collect::<Vec<_>>().join("; ")),
                text(crossing.new.join("; ")),
            ],
        );
    }
    table
}
