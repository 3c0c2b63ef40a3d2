//! What a plan changes against a previous one, crossing by crossing, with reasons.

use std::collections::BTreeMap;

use itertools::Itertools;

use crate::after::replan::{LeastChange, Previous};
use crate::model::inputs::{CarIx, CrossingIx, Inputs};
use crate::model::plan::Plan;
use crate::quantity::Cents;
use crate::survey::Survey;

/// The difference of two plans.
#[derive(Clone, Debug, PartialEq)]
pub struct Change {
    /// Cars that lie where they lay.
    pub kept: usize,
    /// Every crossing of either plan.
    pub crossings: Vec<CrossingChange>,
    /// What is paid in all, before and by this plan, less what was then.
    pub outlay: Cents,
    /// Assignments given up and new ones.
    pub changes: usize,
    /// No plan within the limit has fewer.
    pub at_least: usize,
    /// The most that a plan might cost, net.
    pub limit: Cents,
    /// What the cheapest plan costs, net, and its changes.
    pub cheapest: (Cents, usize),
}

/// One crossing.
#[derive(Clone, Debug, PartialEq)]
pub struct CrossingChange {
    /// Its ID.
    pub crossing: String,
    /// `kept`, `swapped`, `added`, `dropped`.
    pub word: &'static str,
    /// Cars that lay here and do not now, each with the reason.
    pub out: Vec<(String, String)>,
    /// Cars that lie here and did not.
    pub new: Vec<String>,
}

/// Cars by name with their number.
type Counts = BTreeMap<String, usize>;

/// The difference between a plan and a previous one.
#[must_use]
pub fn change(
    inputs: &Inputs,
    survey: &Survey,
    plan: &Plan,
    previous: &Previous,
    least: &LeastChange,
) -> Change {
    let then = then(previous);
    let now = now(inputs, plan);
    let ids = then.keys().chain(now.keys()).unique().sorted();
    let mut kept = 0;
    let crossings = ids
        .map(|id| {
            let empty = Counts::new();
            let (was, is) = (then.get(id).unwrap_or(&empty), now.get(id).unwrap_or(&empty));
            kept += was.iter().map(|(car, n)| n.min(is.get(car).unwrap_or(&0))).sum::<usize>();
            let out = less(was, is);
            let word = match (was.is_empty(), is.is_empty()) {
                (true, _) => "added",
                (_, true) => "dropped",
                _ if was == is => "kept",
                _ => "swapped",
            };
            let reason = |car: String| {
                let why = reason(inputs, survey, &now, id, &car);
                (car, why)
            };
            CrossingChange {
                crossing: id.clone(),
                word,
                out: out.into_iter().map(reason).collect(),
                new: less(is, was),
            }
        })
        .collect();
    Change {
        kept,
        crossings,
        outlay: plan.totals.outlay + inputs.decided.paid - Cents(previous.outlay + previous.paid),
        changes: least.changes,
        at_least: least.at_least,
        limit: least.limit,
        cheapest: (least.cheapest, least.cheapest_changes),
    }
}

/// What `from` holds more than `other`, once for each car.
fn less(from: &Counts, other: &Counts) -> Vec<String> {
    let more = |(car, n): (&String, &usize)| {
        let more = n.saturating_sub(*other.get(car).unwrap_or(&0));
        std::iter::repeat_n(car.clone(), more)
    };
    from.iter().flat_map(more).collect()
}

fn then(previous: &Previous) -> BTreeMap<String, Counts> {
    let mut then: BTreeMap<String, Counts> = BTreeMap::new();
    for assignment in &previous.assignments {
        let name = format!("{} {}", assignment.dealer, assignment.car);
        *then.entry(assignment.crossing.clone()).or_default().entry(name).or_default() += 1;
    }
    then
}

fn now(inputs: &Inputs, plan: &Plan) -> BTreeMap<String, Counts> {
    let mut now: BTreeMap<String, Counts> = BTreeMap::new();
    for crossing in &plan.crossings {
        let id = &inputs.crossing(crossing.crossing).id;
        let decks = crossing.served().into_iter().flat_map(|served| &served.decks);
        for placed in decks.flat_map(|deck| &deck.cars) {
            let name = first_name(inputs, placed.car);
            *now.entry(id.clone()).or_default().entry(name).or_default() += 1;
        }
    }
    now
}

/// The name under which a car was first listed.
fn first_name(inputs: &Inputs, car: CarIx) -> String {
    format!("{} {}", inputs.car(car).dealer, inputs.first_id(car))
}

/// Why a car does not lie at a crossing any more.
fn reason(
    inputs: &Inputs,
    survey: &Survey,
    now: &BTreeMap<String, Counts>,
    id: &str,
    name: &str,
) -> String {
    let crossing = inputs.crossing_indices().find(|ix| inputs.crossing(*ix).id == id);
    let Some(crossing) = crossing else { return "the crossing is dropped".to_owned() };
    let rows: Vec<CarIx> =
        inputs.car_indices().filter(|car| first_name(inputs, *car) == name).collect();
    let decided = rows.iter().filter_map(|car| inputs.decided.of_car(*car));
    let gone = decided.into_iter().find(|(fate, _)| fate.is_gone());
    if let Some((fate, decision)) = gone {
        let note = decision.note.as_ref().map(|note| format!(", {note}")).unwrap_or_default();
        return format!("{fate}{note}");
    }
    if rows.is_empty() {
        return "not listed any more".to_owned();
    }
    if let Some(bars) =
        rows.iter().map(|car| bars(inputs, survey, *car, crossing)).min_by_key(Vec::len)
        && !bars.is_empty()
    {
        return format!("barred now by {}", bars.join(", "));
    }
    let elsewhere = now.iter().filter(|(other, cars)| *other != id && cars.contains_key(name));
    let elsewhere = elsewhere.map(|(other, _)| other.as_str()).join(", ");
    if elsewhere.is_empty() {
        "the plan costs less without it".to_owned()
    } else {
        format!("goes to {elsewhere} now")
    }
}

/// What bars a car from the span of a crossing where least does.
fn bars(inputs: &Inputs, survey: &Survey, car: CarIx, crossing: CrossingIx) -> Vec<&'static str> {
    let barred = inputs.sites(crossing).map(|site| survey.barred(car, site));
    let least = barred.min_by_key(|barred| barred.count()).unwrap_or_default();
    least.codes().map(|code| code.id()).collect()
}
