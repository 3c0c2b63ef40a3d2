//! Every car against every crossing, as JSON.

use serde::Serialize;

use super::render;
use super::shared::{CarName, CheckJson};
use crate::model::inputs::Inputs;
use crate::quantity::Feet;
use crate::report::facts::answers::Answered;

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
pub fn match_report(inputs: &Inputs, answers: &[Answered]) -> serde_json::Result<String> {
    let pairs = answers
        .iter()
        .map(|answer| {
            let barred_by = answer.codes_that_bar();
            Pair {
                car: CarName::of(inputs, answer.car),
                quantity: inputs.car(answer.car).quantity,
                crossing: inputs.crossing(answer.site.crossing).id.clone(),
                span_ft: answer.span,
                fits: barred_by.is_empty(),
                barred_by,
                checks: CheckJson::all(&answer.checks),
            }
        })
        .collect();
    render("match", Matches { pairs })
}
