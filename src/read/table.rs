//! A CSV file as rows of cells, each with its place. Rows are read one after the other and not kept,
//! so that a long file costs no more memory than what is made of it.

use std::marker::PhantomData;
use std::ops::ControlFlow;
use std::sync::Arc;

use csv::StringRecord;

use super::columns::Columns;
use super::dealer::{List, Scheme, Tidied, is_dealers, is_too_large};
use super::headers::{Fault, Header};
use super::parts::{Pace, Part, parts};
use super::problem::{Findings, Problem, cell_name, shown};
use super::spot::Spot;
use super::text::{Lines, QuoteFault, SourceText, cell_spot, count, row_start, trim, walk};
use super::{FileKind, NotTaken};
use crate::check::Code;
use crate::model::evidence::Evidences;
use crate::model::place::RowPlace;

/// Most columns of a file; no list of the trade has as many.
pub(super) const MOST_COLUMNS: usize = 1000;

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

/// One row of a file with columns `C`, and the list that its problems go to.
pub(super) struct Row<'t, C> {
    file: &'t Arc<str>,
    text: &'t str,
    header: &'t Header,
    record: &'t StringRecord,
    start: usize,
    line: u64,
    pub findings: &'t mut Findings,
    /// How many problems and warnings were found before the row.
    before: usize,
    warned: usize,
    /// The dealer's file behind the table, if this is a tidied one.
    behind: Option<&'t Tidied<'t>>,
    columns: PhantomData<C>,
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

/// What a list has behind a cell of ours.
#[derive(Clone, Debug, Default, PartialEq, Eq)]
pub(super) struct Behind {
    /// The cell, like `C7`, or the place in the mapping.
    pub cell: String,
    /// The header above it, as the list has it.
    pub header: String,
    /// As written.
    pub text: String,
    /// Whether the mapping states it for the whole list.
    pub is_constant: bool,
    /// Whether the mapping corrects it.
    pub is_corrected: bool,
}

/// By which a row can be found again.
#[derive(Clone, Copy, Debug)]
pub(super) struct Mark {
    /// Its line, or row of its sheet.
    pub line: u64,
    /// The byte at which it begins; of a dealer's list its row in the grid.
    pub at: usize,
}

/// Reads a file of a kind row by row, in our own columns or as a county's office keeps it: every row that has the header's number of cells and is not blank goes to
/// `take`; everything that is wrong with the others, the header and the file goes to `findings`.
pub(super) fn each_row<C: Columns>(
    source: &SourceText,
    kind: FileKind,
    findings: &mut Findings,
    take: impl FnMut(&mut Row<'_, C>),
) -> Taken {
    let scheme = Scheme::of_kind(kind).filter(|scheme| is_dealers(source, None, scheme));
    if let Some(scheme) = scheme {
        if let Some(problem) = is_too_large(source) {
            findings.problems.push(problem);
            return Taken::default();
        }
        let list = List::open(source, None, scheme, &Pace::whole(), findings);
        let taken = list.map(|list| list.each_row(findings, take)).unwrap_or_default();
        findings.unite();
        return taken;
    }
    let Some(table) = Table::open(source, None, findings) else { return Taken::default() };
    let rows = table.rows_of(&table.body, findings, take).rows;
    findings.unite();
    Taken { rows, reached: true, not_taken: Vec::new() }
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

impl<'t, C: Columns> Row<'t, C> {
    /// File and line of the row.
    pub fn place(&self) -> RowPlace {
        match self.behind {
            Some(behind) => behind.place(self.line),
            None => RowPlace { file: self.file.clone(), line: self.line },
        }
    }

    /// What is wrong with it so far.
    pub fn problems(&self) -> &[Problem] {
        self.findings.problems.get(self.before..).unwrap_or_default()
    }

    /// What was said of it so far, problems first.
    pub fn told(&self) -> impl Iterator<Item = &Problem> {
        let warnings = self.findings.warnings.get(self.warned..).unwrap_or_default();
        self.problems().iter().chain(warnings)
    }

    /// What the list has behind a cell.
    pub fn written(&self, column: C) -> Behind {
        if let Some(behind) = self.behind {
            return behind.written(self.line, column.index());
        }
        let place = self.header.places.get(column.index()).copied().flatten();
        let cell = place.map(|at| cell_name(at as u64 + 1, self.line)).unwrap_or_default();
        let text = self.cell(column).unwrap_or_default().to_owned();
        let header = column.column().name.to_owned();
        Behind { cell, header, text, is_constant: false, is_corrected: false }
    }

    /// Whether no problem was found with it so far.
    pub fn is_sound(&self) -> bool {
        self.findings.problems.len() <= self.before
    }

    /// By which the row can be found again.
    pub fn mark(&self) -> Mark {
        match self.behind {
            Some(behind) => behind.mark(self.line),
            None => Mark { line: self.line, at: self.start },
        }
    }

    /// Whether the cell is a number in a workbook, which keeps no leading zeros.
    pub fn is_kept_as_number(&self, column: C) -> bool {
        self.behind.is_some_and(|behind| behind.is_number(self.line, column.index()))
    }

    /// Whether the mapping corrects, and so confirms, the cell.
    pub fn is_corrected(&self, column: C) -> bool {
        self.behind.is_some_and(|behind| behind.is_corrected(self.line, column.index()))
    }

    /// Whether the cell is a day in a workbook.
    pub fn is_kept_as_day(&self, column: C) -> bool {
        self.behind.is_some_and(|behind| behind.is_day(self.line, column.index()))
    }

    /// What the agency's mapping states for the whole list.
    pub fn assumed(&self) -> Evidences {
        self.behind.map(Tidied::assumed).unwrap_or_default()
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
        let (wrong, instead) = (wrong.into(), instead.into());
        // What was wrong before the dealer's cell came into the table is not to be told again.
        let cell = self.cell(column).unwrap_or_default();
        let told =
            |behind: &Tidied<'_>| behind.is_told(self.line, column.index(), cell, code, &wrong);
        if !self.behind.is_some_and(told) {
            let problem = self.of_cell(column, code, wrong, instead);
            self.findings.problems.push(problem);
        }
    }

    /// Reports what deserves a look at a cell.
    pub fn warning(
        &mut self,
        column: C,
        code: Code,
        wrong: impl Into<String>,
        instead: impl Into<String>,
    ) {
        let (wrong, instead) = (wrong.into(), instead.into());
        let cell = self.cell(column).unwrap_or_default();
        let told = |behind: &Tidied<'_>| behind.is_mapping_told(column.index(), cell, code, &wrong);
        if !self.behind.is_some_and(told) {
            let warning = self.of_cell(column, code, wrong, instead);
            self.findings.warnings.push(warning);
        }
    }

    /// A problem, or warning, of a cell.
    pub fn of_cell(&self, column: C, code: Code, wrong: String, instead: String) -> Problem {
        if let Some(behind) = self.behind {
            return behind.problem(self.line, column.index(), code, wrong, instead);
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
        Problem::of_file(code, self.file.clone(), wrong, instead).at(self.spot(cell))
    }

    /// The place of a cell, counted from 0, or of the row.
    fn spot(&self, cell: impl Into<Option<usize>>) -> Spot {
        cell_spot(b',', self.text, (self.line, self.start), cell.into())
    }

    fn is_blank(&self) -> bool {
        self.record.iter().all(|cell| trim(cell).is_empty())
    }

    /// Checks the quotes of the row's raw text, which ends before byte `to` and should have so many
    /// cells. A quote too many or too few can swallow the rows that follow it, and nothing may get lost unseen.
    fn quotes_are_sound(&mut self, to: usize, width: usize) -> bool {
        let raw = &self.text[self.start.min(to)..to];
        if !raw.contains('"') {
            return true;
        }
        let fault = walk(self.text, self.start, |_| ());
        let commas = width.saturating_sub(1).max(1);
        let ends = ['\n', '\r'];
        let ended = raw.trim_end();
        let has_lines = ended.contains('\n') || ended.contains('\r');
        let swallows =
            |cell: &str| cell.split(ends).skip(1).any(|line| line.matches(',').count() >= commas);
        let (cell, wrong) = match fault {
            Some((cell, QuoteFault::NeverClosed)) => {
                (cell, "the quote that opens this cell is never closed")
            }
            Some((cell, QuoteFault::TextAfterQuote)) => {
                (cell, "there is text behind the closing quote of this cell")
            }
            None if !has_lines => return true,
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
        if let Some(beyond) = self.record.get(MOST_COLUMNS) {
            let spot = self.spot(MOST_COLUMNS);
            self.findings.problems.push(Problem::too_wide(self.file.clone(), trim(beyond), spot));
            return None;
        }
        let (header, faults) = Header::recognize(self.record.iter(), C::ALL);
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
