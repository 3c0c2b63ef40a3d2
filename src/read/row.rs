//! One row of a file: its cells, their places, and what is wrong with the row as a whole.

use std::marker::PhantomData;
use std::sync::Arc;

use csv::StringRecord;

use super::behind::Behind;
use super::columns::Columns;
use super::dealer::Tidied;
use super::headers::{Fault, Header};
use super::lines::trim;
use super::parts::Mark;
use super::problem::{Findings, MOST_COLUMNS, Problem, cell_name, shown};
use super::spot::Spot;
use super::text::{QuoteFault, cell_spot, walk};
use crate::check::Code;
use crate::model::evidence::Evidences;
use crate::model::place::RowPlace;

/// One row of a file with columns `C`, and the list that its problems go to.
pub(super) struct Row<'t, C> {
    pub(super) file: &'t Arc<str>,
    pub(super) text: &'t str,
    pub(super) header: &'t Header,
    pub(super) record: &'t StringRecord,
    pub(super) start: usize,
    pub(super) line: u64,
    pub findings: &'t mut Findings,
    /// How many problems and warnings were found before the row.
    pub(super) before: usize,
    pub(super) warned: usize,
    /// The dealer's file behind the table, if this is a tidied one.
    pub(super) behind: Option<&'t Tidied<'t>>,
    pub(super) columns: PhantomData<C>,
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

    /// What of the row is the agency's mapping and not the dealer.
    pub fn mapped(&self) -> Evidences {
        self.behind.map(|behind| behind.mapped(self.line)).unwrap_or_default()
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
        let (line, wrong) = (self.line, wrong.into());
        let told = |behind: &Tidied<'_>, cell: &str| {
            behind.is_told(line, column.index(), cell, code, &wrong)
        };
        if !self.is_told(column, told) {
            let problem = self.of_cell(column, code, wrong, instead.into());
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
        let wrong = wrong.into();
        let told = |behind: &Tidied<'_>, cell: &str| {
            behind.is_mapping_told(column.index(), cell, code, &wrong)
        };
        if !self.is_told(column, told) {
            let warning = self.of_cell(column, code, wrong, instead.into());
            self.findings.warnings.push(warning);
        }
    }

    /// Whether the dealer's file behind the table has said it of a cell already.
    fn is_told(&self, column: C, told: impl Fn(&Tidied<'_>, &str) -> bool) -> bool {
        let cell = self.cell(column).unwrap_or_default();
        self.behind.is_some_and(|behind| told(behind, cell))
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

    pub(super) fn is_blank(&self) -> bool {
        self.record.iter().all(|cell| trim(cell).is_empty())
    }

    /// Checks the quotes of the row's raw text, which ends before byte `to` and should have so many
    /// cells. A quote too many or too few can swallow the rows that follow it, and nothing may get lost unseen.
    pub(super) fn quotes_are_sound(&mut self, to: usize, width: usize) -> bool {
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
    pub(super) fn has_all_cells(&mut self) -> bool {
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
    pub(super) fn header(&mut self) -> Option<Header> {
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
