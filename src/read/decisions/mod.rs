//! The decisions file: what people decided after the plan, as TOML, newest last.
//!
//! Values are judged by the readers of inventories and crossings, so that a measured camber has the
//! same limits in either file.

mod entry;
mod typed;

use super::crossings::Known;
use super::problem::{Findings, Problem, shown};
use super::text::SourceText;
use crate::after::decide;
use crate::model::inputs::Inputs;
use entry::Entry;

/// What the entries of a decisions file may hold.
pub(super) const KINDS: &[(&str, &[&str])] = &[
    ("bought", &["dealer", "car", "lot", "count", "as", "price_usd"]),
    ("reserved", &["dealer", "car", "lot", "count", "as", "until", "price_usd"]),
    ("sold", &["dealer", "car", "lot", "count", "as"]),
    ("refused", &["dealer", "car", "count", "as"]),
    ("quoted", &["dealer", "car", "lot", "price_usd", "until"]),
    ("measured", &["dealer", "car", "count", "as"]),
    ("fixed", &["dealer", "car", "count", "as", "crossing"]),
    ("dropped", &["crossing"]),
    ("added", &[]),
];

/// Keys that every entry may have.
pub(super) const ALWAYS: &[&str] = &["on", "note"];

/// Reads the decisions and applies them. The inputs come back as they were if there is a problem.
pub(super) fn read(
    source: &SourceText,
    inputs: Inputs,
    known: &Known,
    findings: &mut Findings,
) -> (Inputs, usize) {
    let before = findings.problems.len();
    let Some(entries) = entry::entries(source, findings) else { return (inputs, 0) };
    let decisions: Vec<_> = entries
        .iter()
        .filter_map(|entry| typed::decision(source, entry, known, findings))
        .collect();
    if findings.problems.len() > before {
        return (inputs, entries.len());
    }
    match decide::apply(&inputs, &decisions) {
        Ok(decided) => (decided, entries.len()),
        Err(conflicts) => {
            findings.problems.extend(conflicts.into_iter().filter_map(|conflict| {
                let entry = entries.get(conflict.decision)?;
                let problem = problem(source, entry, conflict.key, conflict.code);
                Some(Problem { wrong: conflict.wrong, instead: conflict.instead, ..problem })
            }));
            (inputs, entries.len())
        }
    }
}

/// A problem at a key of an entry, or at the entry where the key is not given.
fn problem(source: &SourceText, entry: &Entry, key: &str, code: crate::check::Code) -> Problem {
    let given = entry.keys.iter().find(|given| given.name == key);
    let spot = given.map_or(&entry.place, |given| &given.place);
    Problem {
        name: format!("{}.{key}", entry.kind),
        text: given.map(|given| shown(&given.text)).unwrap_or_default(),
        ..Problem::of_file(code, source.name.clone(), "", "").at(spot.clone())
    }
}
