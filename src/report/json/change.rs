//! The difference to a previous plan, as a part of the plan's JSON.

use std::borrow::Cow;

use crate::report::facts::change::Change;
use crate::schema;

impl schema::Change {
    pub(super) fn of(change: &Change) -> Self {
        let crossings = change.crossings.iter().map(|crossing| schema::ChangedCrossing {
            crossing: crossing.crossing.clone(),
            word: Cow::Borrowed(crossing.word),
            out: crossing
                .out
                .iter()
                .map(|(car, reason)| schema::TakenOut { car: car.clone(), reason: reason.clone() })
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
