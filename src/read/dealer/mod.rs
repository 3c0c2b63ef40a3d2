//! Dealers' files as they come, turned into the tidy table that the strict reader takes, with the
//! way back from each of its cells to the dealer's.
//!
//! Nothing is guessed: what could be two things is a question, what could be read with doubt is a
//! warning, and what is not known stays unknown.

mod as_written;
mod asked;
mod constants;
mod corrections;
mod draft;
mod grid;
mod guarded;
mod header_row;
mod headers;
mod kept;
mod layout;
mod mapping;
mod mappings;
mod marks;
mod news;
mod ods;
mod origins;
mod plain_table;
mod refused;
mod rows;
mod scheme;
mod squeezed;
mod tidied;
mod values;
mod well_formed;
mod workbook;
mod xls_marks;
mod xls_spread;
mod xlsx_marks;

use std::borrow::Cow;
use std::sync::Arc;

use super::FileKind;
use super::columns::{Content, plain};
use super::lines::count;
use super::parts::Pace;
use super::problem::{Findings, Problem, shown};
use super::text::SourceText;
use crate::check::Code;
use crate::model::evidence::{Evidence, Fact};
use grid::{Grid, GridRow};
use header_row::Head;
use mapping::Mapping;
use origins::Origin;
use values::Note;

pub use as_written::{AsWritten, WrittenColumn, WrittenRow, as_written};
pub use asked::{Choice, NotAnswered, Question, answered, corrected, left_out, with_open};
pub(super) use asked::{asked, asked_of_text};
pub use draft::draft;
pub use guarded::WORKBOOK_THREAD;
pub(super) use mappings::Mappings;
pub use plain_table::{as_csv, unreadable};
pub(super) use rows::Tidying;
pub(super) use scheme::Scheme;
pub(super) use tidied::Tidied;

/// Whether a file of a kind is not in our own columns and form: it has a mapping, or is a workbook, or
/// UTF-16, or its first row has people's words where ours would be.
pub(super) fn is_dealers(
    source: &SourceText,
    mapping: Option<&Mapping>,
    scheme: &'static Scheme,
) -> bool {
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
    header_row::is_dealers(start, scheme)
}

/// Whether a file is a dealer's own list and not in our columns.
#[must_use]
pub fn is_dealers_list(source: &SourceText) -> bool {
    is_dealers(source, None, Default::default())
}

/// Which kind of table a file holds, by the words of its header; one that has none known is taken for
/// an inventory.
#[must_use]
pub fn kind_of(source: &SourceText) -> FileKind {
    let kinds = [
        FileKind::Inventory,
        FileKind::Crossings,
        FileKind::Yards,
        FileKind::Lots,
        FileKind::Hauls,
    ];
    let likeness = |kind: &FileKind| {
        Scheme::of_kind(*kind).map_or(0, |scheme| header_row::likeness(source, scheme))
    };
    // The last of equals is taken, so the inventory must come last.
    kinds.into_iter().rev().max_by_key(likeness).unwrap_or(FileKind::Inventory)
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
    let cells = header_row::DELIMITERS.map(|(delimiter, _)| count(&source.bytes, delimiter));
    if cells.into_iter().any(|cells| cells > grid::MOST_CELLS) {
        let most = plain(grid::MOST_CELLS as f64);
        return Some(problem(format!("has more than {most} cells")));
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

/// A dealer's list whose header is understood, so that its rows can be read.
#[derive(Debug)]
pub(in crate::read) struct List<'l> {
    source: &'l SourceText,
    mapping: Option<&'l SourceText>,
    rules: Cow<'l, Mapping>,
    /// The file's name; of a workbook with that of the sheet.
    file: Arc<str>,
    grid: Grid,
    head: Head,
    /// For each of our columns, where it comes from.
    origins: Vec<Origin>,
    /// Columns without one of ours: place and header.
    carried: Vec<(usize, String)>,
    /// Columns of numbers, money and days, whose cells may say that the car is sold.
    said: Vec<usize>,
    /// Headings and other tables between the rows.
    layout: layout::Layout,
    /// What was told of the mapping's constants.
    told: Vec<constants::Told>,
    /// The facts that the mapping's constants state.
    assumed: Arc<[(Fact, Evidence)]>,
}

impl<'l> List<'l> {
    /// Finds the table in a dealer's file. None if it could not be understood as one at all.
    pub fn open(
        source: &'l SourceText,
        mapping: Option<(&'l SourceText, &'l Mapping)>,
        scheme: &'static Scheme,
        pace: &Pace,
        findings: &mut Findings,
    ) -> Option<Self> {
        let rules = match mapping {
            Some((_, rules)) => Cow::Borrowed(rules),
            None => Cow::Owned(Mapping { scheme, ..Mapping::default() }),
        };
        let found = header_row::find(source, &rules, pace, findings);
        let (mut grid, head) = found.map_err(|problem| findings.problems.push(*problem)).ok()?;
        if let Some((mapping, _)) = mapping {
            corrections::correct(&mut grid, &rules, mapping, findings);
        }
        let file = match &grid.sheet {
            Some(sheet) => format!("{}:{sheet}", source.name).into(),
            None => source.name.clone(),
        };
        let mut list = Self {
            source,
            mapping: mapping.map(|(source, _)| source),
            rules,
            file,
            grid,
            head,
            origins: vec![Origin::Absent; scheme.columns.len()],
            carried: Vec::new(),
            said: Vec::new(),
            layout: layout::Layout::default(),
            told: Vec::new(),
            assumed: Arc::default(),
        };
        list.headers(findings);
        if let Some((mapping, _)) = mapping {
            list.check_left_out(mapping, findings);
        }
        list.said = list.sayers();
        list.lay_out(findings);
        list.assumed = list.stated_by_mapping().into();
        Some(list)
    }

    /// What is said of a cell, or of the row where there is none, at its place.
    fn at(&self, row: &GridRow, cell: Option<usize>, name: &str, note: Note) -> Problem {
        let file = self.source.name.clone();
        Problem {
            name: name.to_owned(),
            text: cell.map_or_else(String::new, |cell| shown(row.cell(cell))),
            ..Problem::of_file(note.code, file, note.wrong, note.instead)
                .at(self.grid.spot(row, cell))
        }
    }

    /// The kind of table.
    fn scheme(&self) -> &'static Scheme {
        self.rules.scheme
    }

    /// The cells of columns that hold no words of ours, and may hold those of a sale.
    fn sayers(&self) -> Vec<usize> {
        if !self.scheme().mappable {
            return Vec::new();
        }
        let columns = self.scheme().columns.iter().enumerate();
        let mute = columns.filter(|(_, column)| {
            matches!(
                column.content,
                Content::Money { .. }
                    | Content::Date
                    | Content::Availability
                    | Content::Whole { .. }
            )
        });
        mute.filter_map(|(at, _)| self.cell_of(at)).collect()
    }

    /// The dealer's cell behind one of our columns.
    fn cell_of(&self, column: usize) -> Option<usize> {
        match self.origins.get(column) {
            Some(Origin::Cell(cell)) => Some(*cell),
            _ => None,
        }
    }
}
