//! The decisions that a plan obeys, as JSON.

use serde::Serialize;

use super::shared::CarName;
use crate::quantity::Cents;
use crate::report::facts::PlanReport;
use crate::report::facts::decisions::obeyed;

#[derive(Debug, Serialize)]
pub(super) struct DecisionsJson {
    obeyed: Vec<DecisionJson>,
    already_paid_usd_cents: Cents,
    in_stock: Vec<StockJson>,
}

#[derive(Debug, Serialize)]
struct DecisionJson {
    kind: &'static str,
    sentence: String,
    place: String,
}

#[derive(Debug, Serialize)]
struct StockJson {
    #[serde(flatten)]
    car: CarName,
    count: u32,
}

/// None where nothing was decided.
pub(super) fn decisions(report: &PlanReport) -> Option<DecisionsJson> {
    let obeyed = obeyed(report.inputs, report.plan)?;
    let kinds = report.inputs.decided.list.iter().map(|decision| decision.what.word());
    let told = kinds.zip(obeyed.decisions);
    Some(DecisionsJson {
        obeyed: told
            .map(|(kind, (sentence, place))| DecisionJson { kind, sentence, place })
            .collect(),
        already_paid_usd_cents: obeyed.paid,
        in_stock: obeyed
            .in_stock
            .iter()
            .map(|left| StockJson { car: CarName::of(report.inputs, left.car), count: left.count })
            .collect(),
    })
}
