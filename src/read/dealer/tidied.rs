//! Rows of a dealer's list as a tidy table, with the way back from each of its cells.

use std::borrow::Cow;
use std::collections::HashSet;

use super::List;
use super::grid::{GridRow, Kind};
use super::values::note;
use crate::check::Code;
use crate::model::evidence::Evidences;
use crate::model::place::RowPlace;
use crate::read::behind::Behind;
use crate::read::parts::Mark;
use crate::read::problem::{Findings, Problem, cell_name};
use crate::read::text::SourceText;

/// Rows of a dealer's list as a tidy table.
#[derive(Debug)]
pub(in crate::read) struct Tidied<'l> {
    /// The tidy table as CSV: a header, and one line for each row taken.
    pub csv: SourceText,
    pub(super) list: &'l List<'l>,
    /// The rows of the grid that the table is made of, and the place of the first of them.
    pub(super) block: Cow<'l, [GridRow]>,
    pub(super) first: usize,
    /// For each line of the table after its header, the row of the grid and what was found in it.
    pub(super) rows: Vec<(usize, Findings)>,
    /// Rows and columns whose cells were reported already.
    pub(super) reported: HashSet<(usize, usize)>,
}

impl Tidied<'_> {
    /// The row of the grid behind a row of the table, counted from 0.
    pub fn row_of(&self, at: usize) -> Option<usize> {
        self.rows.get(at).map(|(row, _)| *row)
    }

    fn row(&self, line: u64) -> Option<&(usize, Findings)> {
        self.rows.get(usize::try_from(line.checked_sub(2)?).ok()?)
    }

    /// By which the dealer's row behind a line of the table can be found again.
    pub fn mark(&self, line: u64) -> Mark {
        let at = self.row_behind(line).unwrap_or(usize::MAX);
        Mark { line: self.list.grid.number(at).unwrap_or_default(), at }
    }

    /// The row of the grid behind a line of the table.
    fn row_behind(&self, line: u64) -> Option<usize> {
        self.row(line).map(|(row, _)| *row)
    }

    /// The dealer's row behind a line of the table.
    fn dealers_row(&self, line: u64) -> Option<&GridRow> {
        self.block.get(self.row_behind(line)?.checked_sub(self.first)?)
    }

    /// What was found in a row before it came into the table.
    pub fn found(&self, line: u64) -> Option<&Findings> {
        self.row(line).map(|(_, found)| found)
    }

    /// What of a row the mapping states in place of the list, or reads into its words.
    pub fn mapped(&self, line: u64) -> Evidences {
        let mut evidences = Evidences::shared(self.list.assumed.clone());
        if let Some(row) = self.dealers_row(line) {
            self.list.mapped_in(row, |column, evidence| evidences.set(column, evidence));
        }
        evidences
    }

    /// The dealer's row behind a line of the table; of a sheet, with the sheet's name.
    pub fn place(&self, line: u64) -> RowPlace {
        self.list.place_of(self.row_behind(line).unwrap_or(usize::MAX))
    }

    /// What is said of the dealer's cell behind a cell of the table, at its place.
    pub fn problem(
        &self,
        line: u64,
        column: usize,
        code: Code,
        wrong: String,
        instead: String,
    ) -> Problem {
        let nowhere = GridRow::default();
        let row = self.dealers_row(line).unwrap_or(&nowhere);
        let name = self.list.scheme().columns.get(column).map_or("", |column| column.name);
        self.list.at(row, self.list.cell_of(column), name, note(code, wrong, instead))
    }

    /// What the dealer's list has behind a cell of the table.
    pub fn written(&self, line: u64, column: usize) -> Behind {
        let list = self.list;
        if let (Some(stated), Some(mapping)) = (list.constant(column), list.mapping) {
            let cell = format!("{}:{}", mapping.name, stated.spot.line);
            return Behind {
                cell,
                text: stated.text.clone(),
                is_constant: true,
                ..Behind::default()
            };
        }
        let Some(row) = self.dealers_row(line) else { return Behind::default() };
        match list.cell_of(column) {
            Some(cell) => {
                let corrected = row.corrected.iter().find(|(corrected, _)| *corrected == cell);
                let text = corrected.map_or_else(|| row.cell(cell), |(_, was)| was.trim());
                Behind {
                    cell: cell_name(cell as u64 + 1, row.number),
                    header: list.head.names.cell(cell).to_owned(),
                    text: text.to_owned(),
                    is_constant: false,
                    is_corrected: corrected.is_some(),
                }
            }
            None => self.said_around(line, column),
        }
    }

    /// What the list says of a row in other places: a heading, columns that are carried with the notes.
    fn said_around(&self, line: u64, column: usize) -> Behind {
        let over = self.row_behind(line).and_then(|at| self.list.layout.over(at));
        match over.and_then(|over| over.section.as_ref()) {
            Some((at, text)) if Some(column) == self.list.section() => {
                let number = self.list.grid.number(*at).unwrap_or_default();
                let cell = format!("row {number}");
                Behind {
                    cell,
                    header: "heading".to_owned(),
                    text: text.clone(),
                    ..Behind::default()
                }
            }
            _ => Behind::default(),
        }
    }

    /// Whether the dealer's cell behind a cell of the table is a number in a workbook.
    pub fn is_number(&self, line: u64, column: usize) -> bool {
        self.kind(line, column) == Some(Kind::Number)
    }

    /// Whether the mapping corrects, and so confirms, the cell behind one of the table.
    pub fn is_corrected(&self, line: u64, column: usize) -> bool {
        let row = self.dealers_row(line).zip(self.list.cell_of(column));
        row.is_some_and(|(row, cell)| row.corrected.iter().any(|(corrected, _)| *corrected == cell))
    }

    /// Whether it is a day in a workbook.
    pub fn is_day(&self, line: u64, column: usize) -> bool {
        self.kind(line, column) == Some(Kind::Date)
    }

    fn kind(&self, line: u64, column: usize) -> Option<Kind> {
        let row = self.dealers_row(line);
        row.zip(self.list.cell_of(column)).map(|(row, cell)| row.kind(cell))
    }

    /// Whether a problem of a cell was told before it came into the table: of the dealer's cell, or of
    /// what the mapping states.
    pub fn is_told(&self, line: u64, column: usize, cell: &str, code: Code, wrong: &str) -> bool {
        let reported = |row| self.reported.contains(&(row, column));
        self.list.is_told(column, cell, code, wrong) || self.row_behind(line).is_some_and(reported)
    }

    /// Whether a warning was told of what the mapping states.
    pub fn is_mapping_told(&self, column: usize, cell: &str, code: Code, wrong: &str) -> bool {
        self.list.is_told(column, cell, code, wrong)
    }
}

impl List<'_> {
    /// A row of the grid as a place; of a sheet, with the sheet's name.
    pub fn place_of(&self, row: usize) -> RowPlace {
        RowPlace { file: self.file.clone(), line: self.grid.number(row).unwrap_or_default() }
    }
}
