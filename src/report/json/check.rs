//! What was understood of the files, or what is wrong with them, as JSON.

use jiff::civil::Date;
use serde::Serialize;

use super::render;
use super::shared::RulesJson;
use crate::model::inputs::Inputs;
use crate::read::{FileRead, Problem, Problems};
use crate::report::facts::holdings::{
    self, Counts, UnknownCells, unknown_of_cars, unknown_of_crossings,
};

#[derive(Debug, Serialize)]
struct Understood<'a> {
    understood: bool,
    files: &'a [FileRead],
    order_date: Date,
    rules: RulesJson,
    counts: Counts,
    unknown_in_inventories: Vec<UnknownCells>,
    blank_in_crossings: Vec<UnknownCells>,
    warnings: &'a [Problem],
}

/// The files were understood.
///
/// # Errors
/// When a value cannot be written as JSON, which does not happen with these types.
pub fn check(
    inputs: &Inputs,
    files: &[FileRead],
    warnings: &[Problem],
) -> serde_json::Result<String> {
    render(
        "check",
        Understood {
            understood: true,
            files,
            order_date: inputs.order_date,
            rules: RulesJson::of(inputs),
            counts: holdings::counts(inputs),
            unknown_in_inventories: unknown_of_cars(inputs),
            blank_in_crossings: unknown_of_crossings(inputs),
            warnings,
        },
    )
}

#[derive(Debug, Serialize)]
struct UnderstoodInPart<'a> {
    understood: bool,
    files: &'a [FileRead],
    not_checked: &'a [String],
    warnings: &'a [Problem],
}

/// The files were understood, and are not all that a plan needs.
///
/// # Errors
/// When a value cannot be written as JSON, which does not happen with these types.
pub fn check_of_some(
    files: &[FileRead],
    not_checked: &[String],
    warnings: &[Problem],
) -> serde_json::Result<String> {
    render("check", UnderstoodInPart { understood: true, files, not_checked, warnings })
}

#[derive(Debug, Serialize)]
struct NotUnderstood<'a> {
    understood: bool,
    problems: &'a Problems,
    warnings: &'a [Problem],
}

/// The files were not understood.
///
/// # Errors
/// When a value cannot be written as JSON, which does not happen with these types.
pub fn problems(problems: &Problems, warnings: &[Problem]) -> serde_json::Result<String> {
    render("check", NotUnderstood { understood: false, problems, warnings })
}
