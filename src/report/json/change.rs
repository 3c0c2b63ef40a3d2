//! The difference to a previous plan, as a part of the plan's JSON.

use serde::Serialize;

use crate::quantity::Cents;
use crate::report::facts::change::Change;

#[derive(Debug, Serialize)]
pub(super) struct ChangeJson {
    changes: usize,
    at_least: usize,
    proven: bool,
    limit_usd_cents: Cents,
    cheapest_usd_cents: Cents,
    cheapest_changes: usize,
    kept: usize,
    outlay_change_usd_cents: Cents,
    crossings: Vec<CrossingJson>,
}

#[derive(Debug, Serialize)]
struct CrossingJson {
    crossing: String,
    word: &'static str,
    out: Vec<OutJson>,
    #[serde(rename = "in")]
    new: Vec<String>,
}

#[derive(Debug, Serialize)]
struct OutJson {
    car: String,
    reason: String,
}

impl ChangeJson {
    pub fn of(change: &Change) -> Self {
        let crossings = change.crossings.iter().map(|crossing| CrossingJson {
            crossing: crossing.crossing.clone(),
            word: crossing.word,
            out: crossing
                .out
                .iter()
                .map(|(car, reason)| OutJson { car: car.clone(), reason: reason.clone() })
                .collect(),
            new: crossing.new.clone(),
        });
        Self {
            changes: change.changes,
            at_least: change.at_least,
            proven: change.changes == change.at_least,
            limit_usd_cents: change.limit,
            cheapest_usd_cents: change.cheapest.0,
            cheapest_changes: change.cheapest.1,
            kept: change.kept,
            outlay_change_usd_cents: change.outlay,
            crossings: crossings.collect(),
        }
    }
}
