//! What is wrong with a header.

use super::{Head, KNOWN_LEAST, LOOKED_AT, Part};
use crate::check::Code;
use crate::read::columns::Need;
use crate::read::dealer::grid::Grid;
use crate::read::dealer::mapping::Mapping;
use crate::read::problem::{Findings, Problem};
use crate::read::text::SourceText;

pub(super) fn unsure(source: &SourceText, wrong: String, instead: String) -> Box<Problem> {
    Box::new(Problem::of_file(Code::HeaderUnsure, source.name.clone(), wrong, instead))
}

pub(super) fn no_header(source: &SourceText, rules: &Mapping) -> Box<Problem> {
    let (wrong, instead) = match rules.header_row {
        Some(row) => (
            format!("has nothing in row {row}, where the mapping has the header"),
            "correct `header_row`".to_owned(),
        ),
        None => (
            format!(
                "has no header among its first {LOOKED_AT} rows: none has {KNOWN_LEAST} words that are known"
            ),
            match rules.scheme.mappable {
                true => {
                    "map its columns; `spanyard check FILE --draft-mapping` writes a first mapping"
                }
                false => "write the header row of docs/formats.md above the rows",
            }
            .to_owned(),
        ),
    };
    unsure(source, wrong, instead)
}

/// Our columns that no file can do without.
pub(super) fn missing(
    source: &SourceText,
    grid: &Grid,
    head: &Head,
    rules: &Mapping,
    findings: &mut Findings,
) {
    for (at, column) in rules.scheme.columns.iter().enumerate() {
        let given =
            head.parts.iter().any(|part| matches!(part, Part::Column(column, _) if *column == at));
        if column.need == Need::Required && !given && !rules.constants.contains_key(&at) {
            let instead = match column.name {
                name if !rules.scheme.mappable => format!("add a column `{name}`"),
                "car" => "map the column with the dealer's IDs to `car`".to_owned(),
                name => format!(
                    "map a column to `{name}`, or state it under [constants] of the mapping"
                ),
            };
            let wrong = "is in no column of the file";
            let problem =
                Problem::of_file(Code::ColumnMissing, source.name.clone(), wrong, instead);
            findings.problems.push(Problem {
                name: column.name.to_owned(),
                ..problem.at(grid.spot(&head.header, None))
            });
        }
    }
}
