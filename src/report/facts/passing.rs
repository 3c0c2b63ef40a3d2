//! Cars that would serve a crossing if they had a partner.

use itertools::Itertools;

use super::PlanReport;
use crate::check::Code;
use crate::model::inputs::{CarIx, CrossingIx, Inputs};
use crate::model::plan::Unserved;
use crate::quantity::feet_inches;
use crate::report::deck_drawing::measured;

/// How many of the cars that pass are named.
const PASSING: usize = 6;

/// Cars that pass every check singly where a partner would help, span by span: label and names. For
/// want of any car, or of money, the list would not help.
#[must_use]
pub fn labeled(
    report: &PlanReport<'_>,
    crossing: CrossingIx,
    unserved: &Unserved,
) -> Vec<(String, String)> {
    let inputs = report.inputs;
    let mut codes = unserved.reasons.iter().map(|check| check.code);
    if !codes.any(|code| matches!(code, Code::NoDeckFits | Code::CarsTaken)) {
        return Vec::new();
    }
    let passing = report.matching.passing(inputs, crossing).into_iter();
    passing
        .map(|(span, cars)| {
            let mut names = cars.iter().take(PASSING).map(|&car| portrait(inputs, car)).join("; ");
            if cars.len() > PASSING {
                names.push_str(&format!("; and {} more", cars.len() - PASSING));
            }
            (format!("Pass singly on {}: ", feet_inches(span)), format!("{names}."))
        })
        .collect()
}

/// The same as sentences.
#[must_use]
pub fn sentences(
    report: &PlanReport<'_>,
    crossing: CrossingIx,
    unserved: &Unserved,
) -> Vec<String> {
    let lines = labeled(report, crossing, unserved).into_iter();
    lines.map(|(label, names)| label + &names).collect()
}

/// A car by what must match: `Drumfell Reclaim UD-1 (T-60, width 9'-0", camber 1.25 in)`.
fn portrait(inputs: &Inputs, car: CarIx) -> String {
    let car = inputs.car(car);
    let section = car.section.as_deref().unwrap_or("section unknown");
    let width = car.width.map_or_else(|| "unknown".to_owned(), feet_inches);
    let batch = if car.quantity > 1 { format!(" x{}", car.quantity) } else { String::new() };
    let camber = car.camber.map_or_else(|| "unknown".to_owned(), measured);
    format!("{}{batch} ({section}, width {width}, camber {camber})", car.name())
}
