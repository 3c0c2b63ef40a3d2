//! Rows of an inventory that cannot be read as they stand, left out of it and told.

use std::collections::BTreeMap;

use super::problem::{Findings, Problem};
use super::table::Taken;
use super::{FileRead, NotTaken};
use crate::model::place::RowPlace;

/// What is said of each problem that costs a row.
const LEFT_OUT: &str = " (the row is left out)";

/// Takes the problems of single rows for warnings, and the rows for ones that are not taken; gives how
/// many they are. Nothing is done where no row would be left: then it is the file that cannot be read.
pub(super) fn leave_out(
    file: &str,
    taken: &mut Taken,
    findings: &mut Findings,
    doubled: &[RowPlace],
) -> usize {
    let mut rows: BTreeMap<u64, Vec<String>> = BTreeMap::new();
    for problem in &findings.of_rows {
        let why = rows.entry(problem.line).or_default();
        let name = reason(problem);
        if !why.contains(&name) {
            why.push(name);
        }
    }
    for line in first_of_doubled(file, doubled) {
        rows.entry(line).or_insert_with(|| vec!["car".to_owned()]);
    }
    if taken.rows.saturating_sub(taken.not_taken.len()) <= rows.len() {
        return 0;
    }
    findings.warnings.extend(findings.of_rows.drain(..).map(|problem| {
        let instead = problem.instead + LEFT_OUT;
        Problem { instead, ..problem }
    }));
    let left_out = rows.len();
    taken.not_taken.extend(
        rows.into_iter().map(|(line, why)| NotTaken {
            line,
            reason: format!("left out for {}", why.join(", ")),
        }),
    );
    taken.not_taken.sort_by_key(|row| row.line);
    left_out
}

/// What of a row cannot be read.
fn reason(problem: &Problem) -> String {
    if problem.name.is_empty() { problem.code.to_string() } else { problem.name.clone() }
}

/// The lines of this file in which rows stand whose ID another row has too.
fn first_of_doubled(file: &str, doubled: &[RowPlace]) -> impl Iterator<Item = u64> {
    let here = doubled.iter().filter(move |place| {
        // Of a sheet the place has its name behind that of the file.
        place.file.strip_prefix(file).is_some_and(|rest| rest.is_empty() || rest.starts_with(':'))
    });
    here.map(|place| place.line)
}

/// How many rows of which files are left out, as the end of a sentence.
pub(super) fn sentence(files: &[FileRead]) -> Option<String> {
    let all: usize = files.iter().map(|file| file.left_out).sum();
    let noun = if all == 1 { "row" } else { "rows" };
    let named = files.iter().filter(|file| file.left_out > 0);
    let named: Vec<&str> = named.map(|file| &*file.name).collect();
    (all > 0).then(|| {
        format!(
            "without {all} {noun} of {} that cannot be read (`spanyard check` tells them)",
            named.join(", ")
        )
    })
}
