//! The rows of a dealer's file: which are of cars, and their lines of the tidy table.

use std::fmt::Write as _;

use super::Work;
use super::grid::{Grid, GridRow, Kind};
use super::header_row::{Head, Part};
use super::measure::Decimal;
use super::tidied::Origin;
use super::values::{Column, Meaning};
use crate::check::Code;
use crate::read::NotTaken;
use crate::read::cells::one_line;
use crate::read::columns::Columns;
use crate::read::inventory::Inventory;
use crate::read::problem::Problem;
use crate::read::text::QuoteFault;
use crate::read::units::Unit;

impl Work<'_> {
    /// The tidy table, and for each of its lines the row of the grid.
    pub fn table(&mut self, grid: &Grid, head: &Head) -> (String, Vec<usize>) {
        let notes = Inventory::Notes.index();
        let semicolons = grid.sheet.is_none() && grid.delimiter == b';';
        let decimal =
            self.rules.decimal.unwrap_or(if semicolons { Decimal::Unsaid } else { Decimal::Point });
        let mut columns: Vec<(Column<'_>, Origin)> = self
            .origins
            .iter()
            .enumerate()
            .filter(|(column, origin)| {
                **origin != Origin::Absent || (*column == notes && !self.carried.is_empty())
            })
            .map(|(column, origin)| {
                let unit = match origin {
                    Origin::Cell(cell) => match head.parts.get(*cell) {
                        Some(Part::Column(_, unit)) => *unit,
                        _ => None,
                    },
                    _ => Unit::of_column(&Inventory::ALL[column].content),
                };
                let (dates, words) = (self.rules.dates, self.rules.words.get(&column));
                (Column::new(Meaning { column, unit, decimal, dates, words }), *origin)
            })
            .collect();
        let mut csv = String::new();
        for (at, (Column { meaning, .. }, _)) in columns.iter().enumerate() {
            let comma = if at > 0 { "," } else { "" };
            // Writing to a String cannot fail.
            let _ = write!(csv, "{comma}{}", Inventory::ALL[meaning.column].name);
        }
        csv.push('\n');
        let mut rows = Vec::new();
        let id = match self.origins[Inventory::Car.index()] {
            Origin::Cell(cell) => Some(cell),
            _ => None,
        };
        let mut bare_ids: Vec<usize> = Vec::new();
        for (at, row) in grid.rows.iter().enumerate() {
            if at == head.row {
                continue;
            }
            if self.findings.is_full() {
                break;
            }
            if let Some(reason) = self.refused(grid, head, at, id) {
                self.not_taken.push(NotTaken { line: row.number, reason });
                continue;
            }
            if let Some(id) = id {
                let alone = || {
                    let mut others = (0..row.cells.len()).filter(|cell| *cell != id);
                    others.all(|cell| row.cell(cell).is_empty())
                };
                if !row.cell(id).is_empty() && alone() {
                    let note = Self::note(
                        Code::ValueDoubtful,
                        "stands alone in its row: a car of which nothing is known, or a heading?",
                        "clear the row if it is a heading",
                    );
                    let warning = self.at(grid, row, id, "car", note);
                    self.findings.warnings.push(warning);
                }
                if row.kind(id) == Kind::Number {
                    bare_ids.push(at);
                }
            }
            self.line(&mut csv, &mut columns, grid, at, &grid.rows[head.row]);
            rows.push(at);
        }
        if let (Some(id), Some(&first)) = (id, bare_ids.first()) {
            let wrong = format!(
                "and {} more IDs are kept as numbers, which lose their leading zeros",
                bare_ids.len() - 1
            );
            let note = Self::note(
                Code::ValueDoubtful,
                wrong,
                "compare with the stencils, and format the column as text",
            );
            let warning = self.at(grid, &grid.rows[first], id, "car", note);
            self.findings.warnings.push(warning);
        }
        (csv, rows)
    }

    /// Why a row is not taken; None if it is.
    fn refused(&self, grid: &Grid, head: &Head, at: usize, id: Option<usize>) -> Option<String> {
        let row = &grid.rows[at];
        if at < head.row {
            return Some("above the header".to_owned());
        }
        if Some(at) == head.units {
            return Some("row of units".to_owned());
        }
        let mut filled = (0..row.cells.len()).filter(|cell| !row.cell(*cell).is_empty());
        let (first, second) = (filled.next()?, filled.next());
        // The ID is blank or stands first, as a word for a total does.
        let id_blank = id.is_none_or(|id| row.cell(id).is_empty() || first == id);
        if id_blank && is_total(row.cell(first)) {
            return Some("total".to_owned());
        }
        if second.is_none()
            && id.is_some_and(|id| id != first)
            && row.kind(first) == Kind::Text
            && !row.cell(first).starts_with(|c: char| c.is_ascii_digit())
        {
            return Some("heading or remark in one cell".to_owned());
        }
        let header = &grid.rows[head.row];
        let again = second.is_some()
            && (0..row.cells.len().max(header.cells.len()))
                .all(|cell| row.cell(cell) == header.cell(cell));
        again.then(|| "header repeated".to_owned())
    }

    /// Adds a row to the table.
    fn line(
        &mut self,
        csv: &mut String,
        columns: &mut [(Column<'_>, Origin)],
        grid: &Grid,
        at: usize,
        header: &GridRow,
    ) {
        let row = &grid.rows[at];
        if let Some((cell, fault)) = row.fault {
            let wrong = match fault {
                QuoteFault::NeverClosed => "the quote that opens this cell is never closed",
                QuoteFault::TextAfterQuote => "there is text behind the closing quote of this cell",
            };
            let note = Self::note(
                Code::RowMalformed,
                wrong,
                "close each quoted cell with one quote, and write a quote within it twice",
            );
            let problem = Problem { text: String::new(), ..self.at(grid, row, cell, "", note) };
            self.findings.problems.push(problem);
        }
        for (place, (column, origin)) in columns.iter_mut().enumerate() {
            if place > 0 {
                csv.push(',');
            }
            let ours = column.meaning.column;
            let name = Inventory::ALL[ours].name;
            match origin {
                Origin::Constant => {
                    let value = self.rules.constants.get(&ours).map_or("", String::as_str);
                    push_cell(csv, value);
                }
                Origin::Cell(cell) => {
                    let text = row.cell(*cell);
                    if text.is_empty() {
                        // Nothing to turn.
                    } else {
                        match column.tidy(text, row.kind(*cell)) {
                            Ok((text, warning)) => {
                                if let Some(note) = warning {
                                    let warning = self.at(grid, row, *cell, name, note);
                                    self.findings.warnings.push(warning);
                                }
                                if name != "notes" {
                                    push_cell(csv, &text);
                                }
                            }
                            Err(note) => {
                                let problem = self.at(grid, row, *cell, name, note);
                                self.findings.problems.push(problem);
                                self.reported.insert((at, ours));
                            }
                        }
                    }
                }
                Origin::Absent => {}
            }
            if name == "notes" && *origin != Origin::Constant {
                let mut notes = match origin {
                    Origin::Cell(cell) => row.cell(*cell).to_owned(),
                    _ => String::new(),
                };
                for (cell, header) in &self.carried {
                    if !row.cell(*cell).is_empty() {
                        let gap = if notes.is_empty() { "" } else { "; " };
                        let _ = write!(notes, "{gap}{header}: {}", row.cell(*cell));
                    }
                }
                push_cell(csv, &notes);
            }
        }
        // A line with nothing in it would be skipped.
        if csv.ends_with('\n') {
            csv.push_str("\"\"");
        }
        csv.push('\n');
        // Cells beyond the header must not get lost.
        let beyond = |&cell: &usize| header.cell(cell).is_empty() && !row.cell(cell).is_empty();
        if let Some(cell) = (0..row.cells.len()).find(beyond) {
            let note = Self::note(
                Code::RowMalformed,
                "stands beyond the header or in a column without a name",
                "name the column, or clear the cell",
            );
            let problem = self.at(grid, row, cell, "", note);
            self.findings.problems.push(problem);
        }
    }
}

/// Whether a cell is the word before a sum: `Total`, `Subtotal 60 ft`, `Sum:`.
fn is_total(text: &str) -> bool {
    // Most cells begin with no such letter.
    if !text.starts_with(['t', 'T', 's', 'S', 'g', 'G']) {
        return false;
    }
    let text = text.to_lowercase();
    ["total", "subtotal", "sub-total", "sub total", "grand total", "sum"].iter().any(|word| {
        let rest = text.strip_prefix(word);
        rest.is_some_and(|rest| rest.is_empty() || rest.starts_with([' ', ':', '.']))
    })
}

/// Writes one cell of CSV, on one line.
fn push_cell(csv: &mut String, text: &str) {
    let clean: String;
    let text = if text.chars().any(char::is_control) {
        clean = text.chars().map(|c| if c.is_control() { ' ' } else { c }).collect();
        one_line(&clean)
    } else {
        one_line(text)
    };
    if text.contains([',', '"']) {
        csv.push('"');
        csv.push_str(&text.replace('"', "\"\""));
        csv.push('"');
    } else {
        csv.push_str(&text);
    }
}
