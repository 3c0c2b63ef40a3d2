//! Every car against every crossing, as JSON.

use serde::Serialize;

use super::render;
use super::shared::{CarName, CheckJson};
use crate::check::Check;
use crate::model::inputs::{CarIx, Inputs, Site};
use crate::quantity::Feet;

#[derive(Debug, Serialize)]
struct Matches {
    pairs: Vec<Pair>,
}

#[derive(Debug, Serialize)]
struct Pair {
    #[serde(flatten)]
    car: CarName,
    quantity: u32,
    crossing: String,
    span_ft: Feet,
    fits: bool,
    barred_by: Vec<&'static str>,
    checks: Vec<CheckJson>,
}

/// Cars on spans with all their checks.
///
/// # Errors
/// When a value cannot be written as JSON, which does not happen with these types.
pub fn match_report(
    inputs: &Inputs,
    answers: &[(CarIx, Site, Feet, Vec<Check>)],
) -> serde_json::Result<String> {
    let pairs = answers
        .iter()
        .map(|(car, site, span, checks)| {
            let mut barred_by: Vec<&'static str> = checks
                .iter()
                .filter(|check| check.outcome.bars())
                .map(|check| check.code.id())
                .collect();
            barred_by.dedup();
            Pair {
                car: CarName::of(inputs, *car),
                quantity: inputs.car(*car).quantity,
                crossing: inputs.crossing(site.crossing).id.clone(),
                span_ft: *span,
                fits: barred_by.is_empty(),
                barred_by,
                checks: CheckJson::all(checks),
            }
        })
        .collect();
    render("match", Matches { pairs })
}
