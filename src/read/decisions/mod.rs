//! The decisions file: what people decided after the plan, as TOML, newest last.
//!
//! Values are judged by the readers of inventories and crossings, so that a measured camber has the
//! same limits in either file.

mod entry;
mod typed;

use super::crossings::Known;
use super::part::{Part, Scope};
use super::problem::{Findings, Problem, shown};
use super::text::SourceText;
use crate::check::Code;
use crate::model::decision::{Decision, What};
use entry::Entry;
use std::sync::Arc;

/// What the entries of a decisions file may hold.
pub(super) const KINDS: &[(&str, &[&str])] = &[
    ("bought", &["dealer", "car", "lot", "count", "as", "price_usd"]),
    ("reserved", &["dealer", "car", "lot", "count", "as", "until", "price_usd"]),
    ("sold", &["dealer", "car", "lot", "count", "as"]),
    ("refused", &["dealer", "car", "count", "as"]),
    ("quoted", &["dealer", "car", "lot", "price_usd", "until"]),
    ("measured", &["dealer", "car", "count", "as", "by", "document"]),
    ("answered", &["dealer", "car", "count", "as"]),
    ("different", &["dealer", "car", "count", "as"]),
    ("fixed", &["dealer", "car", "count", "as", "crossing"]),
    ("dropped", &["crossing"]),
    ("added", &[]),
    ("changed", &["crossing"]),
    ("built", &["crossing", "cars"]),
    ("held", &["dealer", "car", "count", "as"]),
];

/// Keys that every entry may have.
pub(super) const ALWAYS: &[&str] = &["on", "note"];

/// The decisions of a run, as written and not applied yet; `after::decide` applies them.
#[derive(Clone, Debug, Default)]
pub struct Decisions {
    /// The decisions, in the order of the file.
    pub list: Vec<Decision>,
    file: Arc<str>,
    entries: Vec<Entry>,
}

impl Decisions {
    /// What is wrong with a key of a decision, or with the decision where it does not give the key.
    #[must_use]
    pub fn problem(
        &self,
        decision: usize,
        key: &str,
        code: Code,
        wrong: String,
        instead: String,
    ) -> Option<Problem> {
        let problem = problem(&self.file, self.entries.get(decision)?, key, code);
        Some(Problem { wrong, instead, ..problem })
    }
}

/// Reads the decisions that count: those that are sound, all or none, and how many the file has.
pub(super) fn read(
    source: &SourceText,
    known: &Known,
    part: &Part,
    findings: &mut Findings,
) -> (Decisions, usize) {
    let before = findings.problems.len();
    let Some(all) = entry::entries(source, findings) else {
        return (Decisions::default(), 0);
    };
    let rows = all.len();
    let (mut list, mut entries) = (Vec::new(), Vec::new());
    for entry in all {
        let Some(mut decision) = typed::decision(source, &entry, known, findings) else { continue };
        if let What::Built { crossing, looked_at, .. } = &mut decision.what {
            *looked_at = part.has_crossing(crossing);
        }
        match part.scope(&decision) {
            Scope::Inside => {
                list.push(decision);
                entries.push(entry);
            }
            Scope::Outside => {}
            Scope::TiesOutside => findings.problems.push(Problem {
                wrong: "is a crossing that --only leaves out, and a car is promised to it".into(),
                instead: "name the crossing with --only too".into(),
                ..problem(&source.name, &entry, "crossing", Code::Contradiction)
            }),
        }
    }
    if findings.problems.len() > before {
        return (Decisions::default(), rows);
    }
    (Decisions { list, file: source.name.clone(), entries }, rows)
}

/// The IDs of the crossings that the decisions add.
pub(super) fn added(source: &SourceText) -> Vec<String> {
    let entries = entry::entries(source, &mut Findings::default()).unwrap_or_default();
    let added = entries.iter().filter(|entry| entry.kind == "added");
    added.filter_map(|entry| entry.get("crossing")).map(str::to_owned).collect()
}

/// A problem at a key of an entry, or at the entry where the key is not given.
fn problem(file: &Arc<str>, entry: &Entry, key: &str, code: Code) -> Problem {
    let given = entry.keys.iter().find(|given| given.name == key);
    let spot = given.map_or(&entry.place, |given| &given.place);
    Problem {
        name: format!("{}.{key}", entry.kind),
        text: given.map(|given| shown(&given.text)).unwrap_or_default(),
        ..Problem::of_file(code, file.clone(), "", "").at(spot.clone())
    }
}
