//! What a board and a buyer want to know of a plan besides its money: postings, dates, lead, risks,
//! and in plain words why a crossing goes without.

use itertools::Itertools;
use jiff::civil::Date;

use super::purchases::first_quote_end;
use super::sign::put_up;
use super::{PlanReport, confirm, count};
use crate::check::{Check, Code};
use crate::model::car::LeadStatus;
use crate::model::closed::{self, Closed};
use crate::model::inputs::{CarIx, Inputs};
use crate::model::plan::{CrossingPlan, Plan, Served, Unserved};

/// The weight sign of a bridge as it is put up, its lines in one; none where it needs none.
#[must_use]
pub fn posting(served: &Served) -> Option<String> {
    let sign = put_up(served);
    (!sign.is_empty()).then(|| sign.join("; "))
}

/// Crossings served with a weight posting, by ID.
#[must_use]
pub fn posted<'a>(inputs: &'a Inputs, plan: &Plan) -> Vec<&'a str> {
    let served =
        plan.crossings.iter().filter(|c| c.served().is_some_and(|s| !put_up(s).is_empty()));
    served.map(|planned| inputs.crossing(planned.crossing).id.as_str()).collect()
}

/// The day by which the first order must be placed, and the car whose quote then ends.
#[must_use]
pub fn order_by(inputs: &Inputs, plan: &Plan) -> Option<(Date, CarIx)> {
    plan.purchases.iter().filter_map(|purchase| first_quote_end(inputs, purchase)).min()
}

/// What is known of lead in a car's paint: one word for every paper.
#[must_use]
pub fn lead_word(lead: Option<LeadStatus>) -> &'static str {
    match lead {
        Some(LeadStatus::Present) => "YES",
        Some(LeadStatus::Free) => "NO, tested",
        None => "ASSUMED",
    }
}

/// The days of one crossing, from the order to the day it is needed.
#[derive(Clone, Debug, PartialEq, Eq)]
pub struct Dates {
    /// The first day on which a quote of one of its cars ends.
    pub order_by: Option<Date>,
    /// The day on which its last car can leave a yard; none: not stated of one of them.
    pub leaves: Option<Date>,
    /// The day on which it can be open for traffic.
    pub open: Option<Date>,
    /// The day on which it is needed.
    pub needed: Option<Date>,
    /// Days between the two.
    pub to_spare: Option<i32>,
}

/// The days of a crossing that is served.
#[must_use]
pub fn dates(inputs: &Inputs, planned: &CrossingPlan, served: &Served) -> Dates {
    let cars = || served.decks.iter().flat_map(|deck| &deck.cars).map(|p| inputs.car(p.car));
    let crossing = inputs.crossing(planned.crossing);
    let days = inputs.rules.purchase.lead_time_days;
    let (mut leaves, mut open) = (Some(inputs.order_date), Some(inputs.order_date));
    for car in cars() {
        let leaving = closed::leaves(car, inputs.order_date);
        let ready = leaving.and_then(|day| Closed::of(inputs, car, crossing).ready(day, days));
        leaves = leaves.zip(leaving).map(|(a, b)| a.max(b));
        open = open.zip(ready).map(|(a, b)| a.max(b));
    }
    let needed = crossing.needed_by;
    Dates {
        order_by: cars().filter_map(|car| car.quote_expires).min(),
        leaves,
        open,
        needed,
        to_spare: open.zip(needed).map(|(open, needed)| (needed - open).get_days()),
    }
}

/// The crossing with the fewest days to spare, if one is needed by a day.
#[must_use]
pub fn critical(report: &PlanReport<'_>) -> Option<(String, i32)> {
    let served = report.plan.crossings.iter().filter_map(|c| Some((c, c.served()?)));
    let spare = served.filter_map(|(planned, served)| {
        let days = dates(report.inputs, planned, served).to_spare?;
        Some((report.inputs.crossing(planned.crossing).id.clone(), days))
    });
    spare.min_by_key(|(_, days)| *days)
}

/// Why a crossing goes without, as a county report says it.
#[must_use]
pub fn plain_why(unserved: &Unserved) -> String {
    unserved.reasons.iter().map(plain_reason).unique().join(". ")
}

/// One reason as a county report says it.
#[must_use]
pub fn plain_reason(check: &Check) -> String {
    match check.code {
        Code::NoCarFits => {
            let span = if check.part.is_empty() { "its span" } else { &check.part };
            format!("No car on offer can span {span} here")
        }
        Code::NoDeckFits => {
            "Single cars would do, but no two of them match to lie side by side".to_owned()
        }
        Code::CarsTaken => {
            "The cars that would do serve other crossings, as urgent or more".to_owned()
        }
        Code::OverBudget => match &check.margin {
            Some(margin) => format!("The budget is short by {}", margin.magnitude()),
            None => "The budget does not reach".to_owned(),
        },
        Code::OverFund => match &check.margin {
            Some(margin) => format!("Its fund is short by {}", margin.magnitude()),
            None => "Its fund does not reach".to_owned(),
        },
        Code::OtherBridge => match &check.margin {
            Some(margin) => {
                format!("Another bridge is cheaper than flat cars, by {}", margin.magnitude())
            }
            None => "Another bridge is cheaper than flat cars".to_owned(),
        },
        Code::OrderTooSmall => {
            "A dealer whose cars it needs sells only more of them at a time".to_owned()
        }
        Code::FixedCar => "A car was decided for it that cannot lie there".to_owned(),
        _ => check.title(),
    }
}

/// How many of the limits that bar the nearest car are told to a board.
const BARS_TOLD: usize = 2;

/// What it would take to serve a crossing: the remedy, and the car that comes nearest.
#[must_use]
pub fn what_it_takes(inputs: &Inputs, unserved: &Unserved) -> String {
    let remedies = unserved.reasons.iter().map(|check| match check.code {
        // The nearest car is told in the same breath.
        Code::NoCarFits => "A car that passes what bars the nearest one, from another dealer.",
        Code::NoDeckFits => "A partner to the cars that pass, from another dealer.",
        _ => check.code.kind().remedy,
    });
    let mut text = remedies.unique().join(" ");
    if let Some(miss) = &unserved.nearest {
        let bars = miss.barred_by.iter().take(BARS_TOLD).map(|check| {
            let short = check.margin_words().unwrap_or_else(|| check.outcome.word().to_owned());
            format!("{} {short}", lower_first(check.code.kind().name))
        });
        let more = miss.barred_by.len().saturating_sub(BARS_TOLD);
        let more = if more > 0 { format!(", and {more} more") } else { String::new() };
        text.push_str(&format!(
            " Nearest: {}, {}{more}.",
            inputs.car(miss.car).name(),
            bars.format("; ")
        ));
    }
    text
}

/// The text with a small first letter; names of methods keep theirs.
fn lower_first(text: &str) -> String {
    let mut chars = text.chars();
    chars.next().map(|c| c.to_lowercase().collect::<String>() + chars.as_str()).unwrap_or_default()
}

/// Crossings for which no other bridge is possible with the cars on offer, by ID.
#[must_use]
pub fn sole_source(inputs: &Inputs, plan: &Plan) -> Vec<String> {
    let served = plan.crossings.iter().filter_map(|c| Some((c, c.served()?)));
    let alone = served.filter(|(_, s)| s.alternative.is_none() && s.alternative_proven);
    alone.map(|(planned, _)| inputs.crossing(planned.crossing).id.clone()).collect()
}

/// More crossings than these are counted and not named in a risk.
const POSTED_TOLD: usize = 6;

/// The risks of a plan in sentences.
#[must_use]
pub fn risks(report: &PlanReport<'_>) -> Vec<String> {
    let PlanReport { inputs, plan, .. } = *report;
    let mut risks = Vec::new();
    let served = || plan.crossings.iter().filter_map(|c| Some((c, c.served()?)));
    let id = |planned: &CrossingPlan| inputs.crossing(planned.crossing).id.clone();
    let signs = || served().filter_map(|(planned, served)| Some((id(planned), posting(served)?)));
    if signs().count() > POSTED_TOLD {
        let all = count(signs().count(), "bridge");
        risks.push(format!("{all} must be posted for weight; the table has their signs."));
    } else if signs().count() > 0 {
        let signs = signs().map(|(id, words)| format!("{id}, {words}")).join("; ");
        risks.push(format!("Must be posted for weight: {signs}."));
    }
    if let Some(facts) = confirm::total(inputs, plan) {
        risks.push(format!(
            "{}. Before paying, inspect {facts}: what dealers state is enough to plan with and not to pay \
             on. A car that fails is refused; the engineer's sheets say what follows.",
            confirm::firmness(plan)
        ));
    }
    if let Some((day, car)) = order_by(inputs, plan) {
        risks.push(format!(
            "Prices hold until {day}, when the first quote ends (that of {}).",
            inputs.car(car).name()
        ));
    }
    if let Some((crossing, days)) = critical(report) {
        risks.push(format!("{crossing} has the least time: {days} days from open to needed."));
    }
    let cars =
        || served().flat_map(|(_, s)| &s.decks).flat_map(|d| &d.cars).map(|p| inputs.car(p.car));
    let found = cars().filter(|car| car.lead == Some(LeadStatus::Present)).count();
    let untested = cars().filter(|car| car.lead.is_none()).count();
    if found + untested > 0 {
        risks.push(format!(
            "Lead paint: found on {}, assumed on {} not tested.",
            count(found, "car"),
            count(untested, "car")
        ));
    }
    let alone = sole_source(inputs, plan);
    if !alone.is_empty() {
        let named = if alone.len() > POSTED_TOLD {
            count(alone.len(), "crossing")
        } else {
            alone.join(", ")
        };
        risks.push(format!(
            "No other bridge is possible with the cars on offer if one fails its inspection: {named}."
        ));
    }
    risks.push(
        "Every car is inspected before it is paid for; a licensed engineer reviews every bridge \
         before an order."
            .to_owned(),
    );
    risks
}
