//! Dealers' files as they come, turned into the tidy table that the strict reader takes, with the
//! way back from each of its cells to the dealer's.
//!
//! Nothing is guessed: what could be two things is a question, what could be read with doubt is a
//! warning, and what is not known stays unknown.

mod draft;
mod grid;
mod guarded;
mod header_row;
mod headers;
mod mapping;
mod mappings;
mod measure;
mod origins;
mod rows;
mod tidied;
mod values;
mod workbook;
mod xls_spread;

use std::collections::HashSet;

use super::NotTaken;
use super::columns::{Columns, plain};
use super::inventory::Inventory;
use super::problem::{Findings, Problem, shown};
use super::text::{SourceText, count};
use crate::check::Code;
use grid::{Grid, GridRow};
use mapping::Mapping;
use tidied::Origin;

pub use draft::draft;
pub use guarded::WORKBOOK_THREAD;
pub(super) use mappings::Mappings;
pub(super) use tidied::Tidied;

/// Whether a file is a dealer's and not in our own columns: it has a mapping, or is a workbook, or
/// UTF-16, or its first row has the trade's words where ours would be.
pub(super) fn is_dealers(source: &SourceText, mapping: Option<&Mapping>) -> bool {
    if mapping.is_some()
        || workbook::is_workbook(&source.bytes)
        || source.bytes.starts_with(b"\xFF\xFE")
        || source.bytes.starts_with(b"\xFE\xFF")
    {
        return true;
    }
    // The first rows tell; letters of another encoding do not matter for that.
    let start = source.bytes.get(..source.bytes.len().min(64 << 10)).unwrap_or_default();
    let start = String::from_utf8_lossy(start);
    let start = start.strip_prefix('\u{feff}').unwrap_or(&start);
    header_row::is_dealers(start)
}

/// Checks that a file is not larger than any list of the trade.
pub(super) fn is_too_large(source: &SourceText) -> Option<Problem> {
    let problem = |wrong: String| {
        Problem::of_file(
            Code::FileTooLarge,
            source.name.clone(),
            wrong,
            "split the list, or delete what is not part of it",
        )
    };
    if source.bytes.len() > grid::MOST_BYTES {
        return Some(problem(format!("has more than {} MB", grid::MOST_BYTES >> 20)));
    }
    if workbook::is_workbook(&source.bytes) {
        return None;
    }
    let lines = count(&source.bytes, b'\n').max(count(&source.bytes, b'\r'));
    (lines > grid::MOST_ROWS + 1).then(|| {
        problem(format!(
            "has {} lines, and {} is the most",
            plain(lines as f64),
            plain(grid::MOST_ROWS as f64)
        ))
    })
}

/// Turns a dealer's file into a tidy table. None if it could not be understood as a table at all.
pub(super) fn tidied(
    source: &SourceText,
    mapping: Option<(&SourceText, &Mapping)>,
    findings: &mut Findings,
) -> Option<Tidied> {
    let none = Mapping::default();
    let rules = mapping.map_or(&none, |(_, mapping)| mapping);
    let (grid, head) = match header_row::find(source, rules, findings) {
        Ok(found) => found?,
        Err(problem) => {
            findings.problems.push(*problem);
            return None;
        }
    };
    let mut work = Work {
        source,
        rules,
        origins: vec![Origin::Absent; Inventory::ALL.len()],
        carried: Vec::new(),
        reported: HashSet::new(),
        not_taken: Vec::new(),
        findings,
    };
    work.headers(&grid, &head, mapping.map(|(source, _)| source));
    let (csv, rows) = work.table(&grid, &head);
    let Work { origins, reported, not_taken, .. } = work;
    let csv = SourceText { name: source.name.clone(), bytes: csv.into_bytes() };
    let file = match &grid.sheet {
        Some(sheet) => format!("{}:{sheet}", source.name).into(),
        None => source.name.clone(),
    };
    Some(Tidied { csv, file, grid, rows, origins, reported, not_taken })
}

/// A file on its way to a tidy table.
struct Work<'w> {
    source: &'w SourceText,
    rules: &'w Mapping,
    origins: Vec<Origin>,
    /// Columns without one of ours: place and header.
    carried: Vec<(usize, String)>,
    reported: HashSet<(usize, usize)>,
    not_taken: Vec<NotTaken>,
    findings: &'w mut Findings,
}

impl Work<'_> {
    fn at(
        &self,
        grid: &Grid,
        row: &GridRow,
        cell: usize,
        name: &str,
        note: values::Note,
    ) -> Problem {
        let file = self.source.name.clone();
        Problem {
            name: name.to_owned(),
            text: shown(row.cell(cell)),
            ..Problem::of_file(note.code, file, note.wrong, note.instead)
                .at(grid.spot(row, Some(cell)))
        }
    }

    fn note(code: Code, wrong: impl Into<String>, instead: impl Into<String>) -> values::Note {
        values::Note { code, wrong: wrong.into(), instead: instead.into() }
    }
}
