//! A CSV file as rows of cells, each with its place. Rows are read one after the other and not kept,
//! so that a long file costs no more memory than what is made of it.

use std::marker::PhantomData;
use std::sync::Arc;

use csv::StringRecord;

use super::columns::Columns;
use super::dealer::Tidied;
use super::headers::{Fault, Header};
use super::problem::{Findings, Problem, shown};
use super::spot::Spot;
use super::text::{Lines, QuoteFault, SourceText, cell_spot, row_start, trim, walk};
use crate::check::Code;
use crate::model::place::RowPlace;

/// How the reading of a file went.
#[derive(Clone, Debug, Default, PartialEq, Eq)]
pub(super) struct Taken {
    /// Rows that are not blank, the header not counted.
    pub rows: usize,
    /// Whether the rows were reached at all. If not, other files' names cannot be held against it.
    pub reached: bool,
    /// Rows of a dealer's list that are none of cars; counted in `rows`.
    pub not_taken: Vec<super::NotTaken>,
}

/// One row of a file with columns `C`, and the list that its problems go to.
pub(super) struct Row<'t, C> {
    file: &'t Arc<str>,
    text: &'t str,
    header: &'t Header,
    record: &'t StringRecord,
    start: usize,
    line: u64,
    findings: &'t mut Findings,
    /// The dealer's file behind the table, if this is a tidied one.
    behind: Option<&'t Tidied>,
    columns: PhantomData<C>,
}

/// Reads a file row by row: every row that has the header's number of cells and is not blank goes to
/// `take`; everything that is wrong with the others, the header and the file goes to `findings`.
pub(super) fn each_row<C: Columns>(
    source: &SourceText,
    findings: &mut Findings,
    take: impl FnMut(&mut Row<'_, C>),
) -> Taken {
    each_row_behind(source, None, findings, take)
}

/// As [`each_row`], with the dealer's file behind a tidied table, to which all places then refer.
pub(super) fn each_row_behind<C: Columns>(
    source: &SourceText,
    behind: Option<&Tidied>,
    findings: &mut Findings,
    mut take: impl FnMut(&mut Row<'_, C>),
) -> Taken {
    let text = match source.text() {
        Ok(text) => text,
        Err(problem) => {
            findings.problems.push(*problem);
            return Taken::default();
        }
    };
    let mut reader =
        csv::ReaderBuilder::new().has_headers(false).flexible(true).from_reader(text.as_bytes());
    let mut record = StringRecord::new();
    let mut lines = Lines::new();
    let mut header: Option<Header> = None;
    let mut rows = 0;
    loop {
        if findings.is_full() {
            let wrong = "has so many faults that its rows were not read to the end";
            let instead = "check that it is the right file, and correct the first faults";
            let problem = Problem::of_file(Code::FileTooLarge, source.name.clone(), wrong, instead);
            findings.problems.push(problem);
            break;
        }
        let from = reader.position().byte() as usize;
        // Reading from memory that is known to be UTF-8 has no way to fail.
        if !reader.read_record(&mut record).unwrap_or(false) {
            break;
        }
        let to = (reader.position().byte() as usize).min(text.len());
        let start = row_start(text, from);
        let line = lines.at(text, start);
        let blank = Header { places: Vec::new(), unnamed: Vec::new(), width: record.len() };
        let mut row = Row::<C> {
            file: &source.name,
            text,
            header: header.as_ref().unwrap_or(&blank),
            record: &record,
            start,
            line,
            findings,
            behind,
            columns: PhantomData,
        };
        // A dealer's row that is blank here was not blank in the file.
        if row.is_blank() && behind.is_none() {
            continue;
        }
        let sound = row.quotes_are_sound(to);
        if header.is_none() {
            match row.header() {
                Some(found) if sound => header = Some(found),
                _ => return Taken::default(),
            }
            continue;
        }
        rows += 1;
        if sound && row.has_all_cells() {
            take(&mut row);
        }
    }
    if header.is_none() {
        let instead =
            "write a header row with the columns of docs/formats.md, and a row for each item";
        let code = Code::ColumnMissing;
        let problem = Problem::of_file(code, source.name.clone(), "the file is empty", instead);
        findings.problems.push(problem.at(Spot::of_line(1)));
    }
    Taken { rows, reached: header.is_some(), not_taken: Vec::new() }
}

impl<'t, C: Columns> Row<'t, C> {
    /// File and line of the row.
    pub fn place(&self) -> RowPlace {
        match self.behind {
            Some(behind) => behind.place(self.line),
            None => RowPlace { file: self.file.clone(), line: self.line },
        }
    }

    /// A cell's text without surrounding blanks; nothing for a blank cell and an absent column.
    pub fn cell(&self, column: C) -> Option<&'t str> {
        let place = (*self.header.places.get(column.index())?)?;
        let cell = trim(self.record.get(place)?);
        (!cell.is_empty()).then_some(cell)
    }

    /// Whether the file has the column.
    pub fn has(&self, column: C) -> bool {
        self.header.places.get(column.index()).is_some_and(Option::is_some)
    }

    /// Reports what is wrong with a cell. In an absent column it is the row that is shown.
    pub fn problem(
        &mut self,
        column: C,
        code: Code,
        wrong: impl Into<String>,
        instead: impl Into<String>,
    ) {
        // What was wrong before the dealer's cell came into the table is not to be told again.
        let told = |behind: &Tidied| behind.is_reported(self.line, column.index());
        if self.behind.is_some_and(told) {
            return;
        }
        let problem = self.of_cell(column, code, wrong.into(), instead.into());
        self.findings.problems.push(problem);
    }

    /// Reports what deserves a look at a cell.
    pub fn warning(
        &mut self,
        column: C,
        code: Code,
        wrong: impl Into<String>,
        instead: impl Into<String>,
    ) {
        let warning = self.of_cell(column, code, wrong.into(), instead.into());
        self.findings.warnings.push(warning);
    }

    /// A problem, or warning, of a cell.
    pub fn of_cell(&self, column: C, code: Code, wrong: String, instead: String) -> Problem {
        if let Some(behind) = self.behind {
            let (spot, text) = behind.back(self.line, column.index());
            let name = column.column().name.to_owned();
            let of_file = Problem::of_file(code, self.file.clone(), wrong, instead);
            return Problem { name, text, ..of_file.at(spot) };
        }
        let place = self.header.places.get(column.index()).copied().flatten();
        Problem {
            name: column.column().name.to_owned(),
            text: shown(self.cell(column).unwrap_or_default()),
            ..self.at(place, code, wrong, instead)
        }
    }

    /// A problem at the cell of this place, counted from 0, or of the row.
    fn at(
        &self,
        cell: impl Into<Option<usize>>,
        code: Code,
        wrong: String,
        instead: String,
    ) -> Problem {
        let spot = cell_spot(b',', self.text, (self.line, self.start), cell.into());
        Problem::of_file(code, self.file.clone(), wrong, instead).at(spot)
    }

    fn is_blank(&self) -> bool {
        self.record.iter().all(|cell| trim(cell).is_empty())
    }

    /// Checks the quotes of the row's raw text, which ends before byte `to`. A quote too many or too
    /// few can swallow the rows that follow it, and nothing may get lost unseen.
    fn quotes_are_sound(&mut self, to: usize) -> bool {
        let raw = &self.text[self.start.min(to)..to];
        if !raw.contains('"') {
            return true;
        }
        let fault = walk(self.text, self.start, |_| ());
        let commas = self.header.width.saturating_sub(1).max(1);
        let ends = ['\n', '\r'];
        let has_lines = raw.trim_end().bytes().any(|byte| matches!(byte, b'\n' | b'\r'));
        let swallows = |cell: &str| {
            has_lines && cell.split(ends).skip(1).any(|line| line.matches(',').count() >= commas)
        };
        let (cell, wrong) = match fault {
            Some((cell, QuoteFault::NeverClosed)) => {
                (cell, "the quote that opens this cell is never closed")
            }
            Some((cell, QuoteFault::TextAfterQuote)) => {
                (cell, "there is text behind the closing quote of this cell")
            }
            None => match self.record.iter().position(swallows) {
                None => return true,
                Some(cell) => {
                    (cell, "the quoted text of this cell holds what looks like whole rows")
                }
            },
        };
        let instead = "close each quoted cell with one quote, and write a quote within it twice";
        let problem = self.at(cell, Code::RowMalformed, wrong.to_owned(), instead.to_owned());
        self.findings.problems.push(problem);
        false
    }

    /// Checks the number of cells, and that columns without a name hold nothing.
    fn has_all_cells(&mut self) -> bool {
        let (has, needs) = (self.record.len(), self.header.width);
        if has != needs {
            let wrong = format!("the row has {has} cells and the header has {needs}");
            let instead = "give the row as many cells as the header, and quote cells with commas";
            let problem = self.at(has.min(needs), Code::RowMalformed, wrong, instead.to_owned());
            self.findings.problems.push(problem);
            return false;
        }
        for &cell in &self.header.unnamed {
            let value = trim(self.record.get(cell).unwrap_or_default());
            if !value.is_empty() {
                let problem = Problem {
                    text: shown(value),
                    ..self.at(
                        cell,
                        Code::ColumnUnknown,
                        "stands in a column without a name".to_owned(),
                        "name the column, with `x_` before a name of your own, or clear it"
                            .to_owned(),
                    )
                };
                self.findings.problems.push(problem);
            }
        }
        true
    }

    /// Takes the row as the header row. None if it is not one.
    fn header(&mut self) -> Option<Header> {
        let (header, faults) = Header::recognise(self.record.iter(), C::ALL);
        if self.behind.is_some() {
            // What the dealer's header lacks was told where it was read.
            return Some(header);
        }
        for fault in faults {
            let problem = match fault {
                Fault::NoneKnown => {
                    let wrong = "the first row has none of the columns of such a file";
                    let instead = match self.record.get(0) {
                        Some(only) if self.record.len() == 1 && only.contains([';', '\t']) => {
                            "separate the cells with commas"
                        }
                        _ => "write the header row of docs/formats.md first, without a title above it",
                    };
                    let problem = self.at(None, Code::ColumnMissing, wrong.to_owned(), instead.to_owned());
                    self.findings.problems.push(problem);
                    return None;
                }
                Fault::Missing(name) => Problem {
                    name: name.to_owned(),
                    ..self.at(
                        None,
                        Code::ColumnMissing,
                        "is not in the header row".to_owned(),
                        "add the column".to_owned(),
                    )
                },
                Fault::Unknown(cell, name, meant) => Problem {
                    text: name.clone(),
                    ..self.at(
                        cell,
                        Code::ColumnUnknown,
                        "is not a column of such a file".to_owned(),
                        match meant {
                            Some(meant) => format!("write `{meant}` if that is meant, else `x_{name}` to carry it unread"),
                            None => format!("write a name of docs/formats.md, or `x_{name}` to carry it unread"),
                        },
                    )
                },
                Fault::Twice(cell, name) => Problem {
                    text: name.to_owned(),
                    ..self.at(
                        cell,
                        Code::ColumnUnknown,
                        "stands twice in the header row".to_owned(),
                        format!("keep one of the two, or write `x_{name}` to carry this one unread"),
                    )
                },
            };
            self.findings.problems.push(problem);
        }
        Some(header)
    }
}
