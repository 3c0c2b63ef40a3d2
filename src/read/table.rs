//! A CSV file as rows of cells, each with its place. Rows are read one after the other and not kept,
//! so that a long file costs no more memory than what is made of it.

use std::marker::PhantomData;
use std::ops::ControlFlow;
use std::sync::Arc;

use csv::StringRecord;

use super::NotTaken;
use super::columns::Columns;
use super::dealer::Tidied;
use super::headers::Header;
use super::lines::{Lines, count};
use super::parts::{Mark, Part, parts};
use super::problem::{Findings, Problem};
use super::row::Row;
use super::spot::Spot;
use super::text::{SourceText, row_start};
use crate::check::Code;

/// How the reading of a file went.
#[derive(Clone, Debug, Default, PartialEq, Eq)]
pub(super) struct Taken {
    /// Rows that are not blank, the header not counted.
    pub rows: usize,
    /// Whether the rows were reached at all. If not, other files' names cannot be held against it.
    pub reached: bool,
    /// Rows of a dealer's list that are none of cars; counted in `rows`.
    pub not_taken: Vec<NotTaken>,
}

/// A file whose header is known.
pub(super) struct Table<'t, C> {
    pub file: &'t Arc<str>,
    text: &'t str,
    header: Header,
    /// What stands under the header.
    pub body: Part,
    /// The dealer's file behind the table, if this is a tidied one.
    behind: Option<&'t Tidied<'t>>,
    columns: PhantomData<C>,
}

/// How far the reading of rows went.
#[derive(Clone, Debug, Default, PartialEq, Eq)]
pub(super) struct Went {
    /// Rows that are not blank.
    pub rows: usize,
    /// Rows of a dealer's list that are none of cars; not counted in `rows`.
    pub not_taken: Vec<NotTaken>,
    /// Whether it ended before the last row, which is told as a problem.
    pub stopped: bool,
}

impl Went {
    /// Goes on with what follows.
    pub fn add(&mut self, mut next: Self) {
        self.rows += next.rows;
        self.not_taken.append(&mut next.not_taken);
        self.stopped |= next.stopped;
    }
}

impl<'t, C: Columns> Table<'t, C> {
    /// Reads the header of a file; what is wrong with it goes to `findings`. None if there is none.
    /// With a dealer's file behind a tidied table all places refer to that.
    pub fn open(
        source: &'t SourceText,
        behind: Option<&'t Tidied<'t>>,
        findings: &mut Findings,
    ) -> Option<Self> {
        let text = source.text().map_err(|problem| findings.problems.push(*problem)).ok()?;
        let file = &source.name;
        let (header, body) = (Header::default(), Part::all(text));
        let mut table = Self { file, text, header, body, behind, columns: PhantomData };
        let header = table.first_row(Mark { line: 1, at: 0 }, findings, |row, end| {
            let sound = row.quotes_are_sound(end, row.record.len());
            let line = Lines::within(row.line, row.start).at(text, end);
            let body = Part { bytes: end..text.len(), line };
            row.header().filter(|_| sound).map(|header| (header, body))
        });
        if header.is_none() {
            findings.problems.push(empty(file));
        }
        (table.header, table.body) = header??;
        Some(table)
    }

    /// The rows under the header, in parts of about so many bytes.
    pub fn parts_of(&self, about: usize) -> Vec<Part> {
        parts(self.text, b',', &self.body, about)
    }

    /// About how many rows a part has: as many as lines, if they are long enough for a row.
    pub fn rows_about(&self, part: &Part) -> usize {
        const ROW_LEAST: usize = 64;
        let bytes = self.text.as_bytes().get(part.bytes.clone()).unwrap_or_default();
        count(bytes, b'\n').min(bytes.len() / ROW_LEAST)
    }

    /// Reads the rows of one part.
    pub fn rows_of(
        &self,
        part: &Part,
        findings: &mut Findings,
        mut take: impl FnMut(&mut Row<'_, C>),
    ) -> Went {
        let mut rows = 0;
        let ended = self.raw_rows(part, findings, |row, end| {
            if row.findings.is_full() {
                row.findings.problems.push(too_many_faults(row.file));
                return ControlFlow::Break(());
            }
            rows += 1;
            if let Some(found) = row.behind.and_then(|behind| behind.found(row.line)) {
                row.findings.add(found.clone());
            }
            if row.quotes_are_sound(end, row.header.width) && row.has_all_cells() {
                take(row);
            }
            row.findings.of_a_row(row.before);
            ControlFlow::Continue(())
        });
        Went { rows, stopped: ended.is_break(), not_taken: Vec::new() }
    }

    /// What `take` makes of the row with this mark, or the first one behind it that is not blank, and
    /// of the byte behind that row.
    pub fn first_row<T>(
        &self,
        Mark { line, at }: Mark,
        findings: &mut Findings,
        mut take: impl FnMut(&mut Row<'_, C>, usize) -> T,
    ) -> Option<T> {
        let part = Part { bytes: at..self.text.len(), line };
        let mut made = None;
        let _ = self.raw_rows(&part, findings, |row, end| {
            made = Some(take(row, end));
            ControlFlow::Break(())
        });
        made
    }

    /// Hands over the rows of a part that are not blank, each with the byte behind it.
    fn raw_rows(
        &self,
        part: &Part,
        findings: &mut Findings,
        mut take: impl FnMut(&mut Row<'_, C>, usize) -> ControlFlow<()>,
    ) -> ControlFlow<()> {
        let bytes = self.text.as_bytes().get(part.bytes.clone()).unwrap_or_default();
        let mut reader =
            csv::ReaderBuilder::new().has_headers(false).flexible(true).from_reader(bytes);
        let mut record = StringRecord::new();
        let mut lines = Lines::within(part.line, part.bytes.start);
        let mut from = part.bytes.start;
        // Reading from memory that is known to be UTF-8 has no way to fail.
        while reader.read_record(&mut record).unwrap_or(false) {
            let end = (part.bytes.start + reader.position().byte() as usize).min(self.text.len());
            let start = row_start(self.text, from);
            from = end;
            let mut row = Row {
                file: self.file,
                text: self.text,
                header: &self.header,
                record: &record,
                start,
                line: lines.at(self.text, start),
                before: findings.problems.len(),
                warned: findings.warnings.len(),
                findings,
                behind: self.behind,
                columns: PhantomData,
            };
            // A dealer's row that is blank here was not blank in the file.
            if row.behind.is_some() || !row.is_blank() {
                take(&mut row, end)?;
            }
        }
        ControlFlow::Continue(())
    }
}

fn empty(file: &Arc<str>) -> Problem {
    let instead = "write a header row with the columns of docs/formats.md, and a row for each item";
    let wrong = "the file is empty";
    Problem::of_file(Code::ColumnMissing, file.clone(), wrong, instead).at(Spot::of_line(1))
}

fn too_many_faults(file: &Arc<str>) -> Problem {
    let wrong = "has too many faults: its rows were not read to the end";
    let instead = "check that it is the right file, and correct the first faults";
    Problem::of_file(Code::FileTooLarge, file.clone(), wrong, instead)
}
