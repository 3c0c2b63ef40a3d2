//! The rows of a dealer's file: which are of cars, and their lines of the tidy table.

use std::collections::HashSet;
use std::fmt::Write as _;
use std::ops::Range;

use super::List;
use super::grid::GridRow;
use super::header_row::Part;
use super::layout::Over;
use super::marks::{is_ruled, is_total};
use super::news::is_withdrawn;
use super::origins::Origin;
use super::tidied::Tidied;
use super::values::{Column, Meaning, Note, note};
use crate::check::Code;
use crate::model::inventory::Inventory;
use crate::read::NotTaken;
use crate::read::columns::Columns;
use crate::read::lines::one_line;
use crate::read::measure::Decimal;
use crate::read::problem::{Findings, Problem, shown};
use crate::read::text::{QuoteFault, SourceText};
use crate::read::units::Unit;

impl List<'_> {
    /// Number of rows, the header and all others counted.
    pub fn len(&self) -> usize {
        self.grid.len()
    }

    /// Our columns that the list fills, with where they come from.
    pub(super) fn columns(&self) -> Vec<(Column<'_>, Origin)> {
        let notes = self.scheme().notes;
        let origins = self.origins.iter().copied().enumerate();
        let filled = origins.filter(|&(column, origin)| {
            let said = (Some(column) == notes && self.has_notes())
                || (Some(column) == self.section() && self.layout.has_sections());
            origin != Origin::Absent || said
        });
        filled.map(|(column, origin)| (Column::new(self.meaning(column, origin)), origin)).collect()
    }

    /// Whether rows have something to carry with their notes.
    fn has_notes(&self) -> bool {
        !self.carried.is_empty() || self.layout.has_notes() || !self.said.is_empty()
    }

    /// The column of sections, if the table has one.
    pub(super) fn section(&self) -> Option<usize> {
        self.scheme().mappable.then_some(Inventory::Section.index())
    }

    fn meaning(&self, column: usize, origin: Origin) -> Meaning<'_> {
        let unit = match origin {
            Origin::Cell(cell) => match self.head.parts.get(cell) {
                Some(Part::Column(_, unit)) => *unit,
                _ => None,
            },
            _ => Unit::of_column(&self.scheme().columns[column].content),
        };
        let semicolons = self.grid.sheet.is_none() && self.grid.delimiter == b';';
        let decimal =
            self.rules.decimal.unwrap_or(if semicolons { Decimal::Unsaid } else { Decimal::Point });
        let dates = self.rules.dates.or_else(|| self.layout.dates.get(&column).copied());
        let words = self.rules.words.get(&column);
        let dates_stated = self.rules.dates.is_some();
        Meaning { scheme: self.scheme(), column, unit, decimal, dates, dates_stated, words }
    }

    /// Why a row is not taken; None if it is.
    pub(super) fn refused(&self, at: usize, row: &GridRow) -> Option<String> {
        let (head, id) = (&self.head, self.cell_of(self.scheme().id));
        if at < head.row {
            return Some("above the header".to_owned());
        }
        if Some(at) == head.units {
            return Some("row of units".to_owned());
        }
        if let Some(why) = self.left_out(row) {
            return Some(why);
        }
        if self.is_withheld(row) {
            return Some(if row.hidden { "hidden" } else { "struck through" }.to_owned());
        }
        let mut filled = (0..row.cells.len()).filter(|cell| !row.cell(*cell).is_empty());
        let (first, second) = (filled.next()?, filled.next());
        if is_ruled(row.cell(first)) && filled.all(|cell| is_ruled(row.cell(cell))) {
            return Some("line".to_owned());
        }
        // The ID is blank or stands first, as a word for a total does.
        let id_blank = id.is_none_or(|id| row.cell(id).is_empty() || first == id);
        if id_blank && is_total(row.cell(first)) {
            return Some("total".to_owned());
        }
        if self.heading(row).is_some() {
            return Some("heading or remark".to_owned());
        }
        if self.is_header_again(row) {
            return Some("header repeated".to_owned());
        }
        if second.is_none() && self.is_title_again(row.cell(first)) {
            return Some("title repeated".to_owned());
        }
        if second.is_none() && id.is_some_and(|id| id != first) {
            return Some("one cell without an ID".to_owned());
        }
        let over = self.layout.over(at)?;
        if let Some(header) = over.other_table {
            return Some(format!("of another table, whose header is row {header}"));
        }
        let heading = over.refused.as_deref()?;
        Some(format!("not for sale, by the heading \"{heading}\""))
    }

    /// Whether a text by itself in a row is the title of a list's next page: it says so, or has the words
    /// of a row above the header.
    fn is_title_again(&self, text: &str) -> bool {
        let lower = text.to_lowercase();
        let words: Vec<&str> =
            lower.split(|c: char| !c.is_alphanumeric()).filter(|word| !word.is_empty()).collect();
        let number = |word: &str| word.bytes().all(|byte| byte.is_ascii_digit());
        let page = words.windows(4).any(|words| match words {
            ["page", this, "of" | "from", last] => number(this) && number(last),
            _ => false,
        });
        let letters = |text: &str| -> String {
            text.chars().filter(|c| c.is_alphabetic()).flat_map(char::to_lowercase).collect()
        };
        // An ID has few letters; a title has words.
        let title = letters(text);
        let above = || self.grid.block(0..self.head.row);
        page || words.len() > 2
            && title.len() >= 10
            && above().iter().any(|row| letters(&row.cells.iter().collect::<String>()) == title)
    }

    /// What is wrong with a row as a whole.
    fn faults(&self, at: usize, row: &GridRow, found: &mut Findings) {
        self.unexplained(at, row, found);
        if let Some((cell, fault)) = row.fault {
            let wrong = match fault {
                QuoteFault::NeverClosed => "the quote that opens this cell is never closed",
                QuoteFault::TextAfterQuote => "there is text behind the closing quote of this cell",
            };
            let instead =
                "close each quoted cell with one quote, and write a quote within it twice";
            let problem = self.at(row, Some(cell), "", note(Code::RowMalformed, wrong, instead));
            found.problems.push(Problem { text: String::new(), ..problem });
        }
        // Cells beyond the header must not get lost.
        let named = |cell| !matches!(self.head.parts.get(cell), None | Some(Part::Unnamed));
        let beyond = |&cell: &usize| !named(cell) && !row.cell(cell).is_empty();
        if let Some(cell) = (0..row.cells.len()).find(beyond) {
            let wrong = "stands beyond the header or in a column without a name";
            let instead = "name the column, or clear the cell";
            let problem = self.at(row, Some(cell), "", note(Code::RowMalformed, wrong, instead));
            found.problems.push(problem);
        }
        self.alone(row, found);
    }

    /// Warns of an ID without anything else.
    fn alone(&self, row: &GridRow, found: &mut Findings) {
        let Some(id) = self.cell_of(self.scheme().id) else { return };
        let mut others = (0..row.cells.len()).filter(|cell| *cell != id);
        if !row.cell(id).is_empty() && others.all(|cell| row.cell(cell).is_empty()) {
            let wrong = match self.scheme().mappable {
                true => "stands alone in its row, a car of which nothing is known or a heading",
                false => "stands alone in its row",
            };
            let note = note(Code::ValueDoubtful, wrong, "clear the row if it is a heading");
            found.warnings.push(self.at(
                row,
                Some(id),
                self.scheme().columns[self.scheme().id].name,
                note,
            ));
        }
    }

    /// The dealer's remarks with the cells of all columns that are none of ours.
    fn notes(&self, at: usize, row: &GridRow, origin: Origin) -> String {
        let mut notes = match origin {
            Origin::Cell(cell) => row.cell(cell).to_owned(),
            _ => String::new(),
        };
        for said in self.layout.over(at).map(Over::notes).unwrap_or_default() {
            let gap = if notes.is_empty() { "" } else { "; " };
            let _ = write!(notes, "{gap}{said}");
        }
        // A price or a day that says SOLD says it of the car.
        for cell in self.said.iter().copied() {
            let text = row.cell(cell);
            if text.starts_with(char::is_alphabetic) && is_withdrawn(text) {
                let gap = if notes.is_empty() { "" } else { "; " };
                let _ = write!(notes, "{gap}{}: {text}", shown(self.head.names.cell(cell)));
            }
        }
        for (cell, header) in &self.carried {
            if !row.cell(*cell).is_empty() {
                let gap = if notes.is_empty() { "" } else { "; " };
                // Writing to a String cannot fail.
                let _ = write!(notes, "{gap}{header}: {}", row.cell(*cell));
            }
        }
        notes
    }
}

/// Rows of a dealer's list on their way into tidy tables.
pub(in crate::read) struct Tidying<'l> {
    list: &'l List<'l>,
    columns: Vec<(Column<'l>, Origin)>,
    header: String,
    /// Bytes that the last table took.
    room: usize,
}

impl<'l> Tidying<'l> {
    pub fn new(list: &'l List<'l>) -> Self {
        let columns = list.columns();
        let names = columns.iter().map(|(column, _)| column.meaning.column().name);
        let header = names.collect::<Vec<_>>().join(",") + "\n";
        Self { list, columns, header, room: 0 }
    }

    /// A tidy table of some rows, and those of them that are not taken.
    pub fn table(&mut self, rows: Range<usize>) -> (Tidied<'l>, Vec<NotTaken>) {
        let list = self.list;
        let mut csv = String::with_capacity(self.room);
        csv.push_str(&self.header);
        let (mut taken, mut not_taken) = (Vec::with_capacity(rows.len()), Vec::new());
        let mut reported = HashSet::new();
        let (first, block) = (rows.start, list.grid.block(rows.clone()));
        for (at, row) in rows.zip(block.iter()).filter(|(at, _)| !list.head.is_row(*at)) {
            if let Some(reason) = list.refused(at, row) {
                not_taken.push(NotTaken { line: row.number, reason });
                continue;
            }
            let mut found = Findings::default();
            list.faults(at, row, &mut found);
            self.line(&mut csv, (at, row), &mut found, |column| {
                reported.insert((at, column));
            });
            taken.push((at, found));
        }
        self.room = csv.len();
        let csv = SourceText { name: list.source.name.clone(), bytes: csv.into_bytes() };
        (Tidied { csv, list, first, block, rows: taken, reported }, not_taken)
    }

    /// Adds a row to the table, and tells `faulty` the columns whose cells have a problem.
    fn line(
        &mut self,
        csv: &mut String,
        (at, row): (usize, &GridRow),
        found: &mut Findings,
        mut faulty: impl FnMut(usize),
    ) {
        let list = self.list;
        for (place, (column, origin)) in self.columns.iter_mut().enumerate() {
            if place > 0 {
                csv.push(',');
            }
            let ours = column.meaning.column;
            if Some(ours) == list.scheme().notes && *origin != Origin::Constant {
                push_cell(csv, &list.notes(at, row, *origin));
                continue;
            }
            match *origin {
                Origin::Constant => {
                    push_cell(csv, list.constant(ours).map_or("", |constant| &constant.text));
                }
                Origin::Cell(cell) if !row.cell(cell).is_empty() => {
                    let tidied = match row.struck.contains(&cell) && !list.rules.struck_rows {
                        true => column.meaning.crossed_out(),
                        false => column.tidy(row.cell(cell), row.kind(cell)),
                    };
                    let mut say = |note: Note| {
                        list.at(row, Some(cell), list.scheme().columns[ours].name, note)
                    };
                    match tidied {
                        Ok((text, warning)) => {
                            found.warnings.extend(warning.map(&mut say));
                            push_cell(csv, &text);
                        }
                        Err(note) => {
                            found.problems.push(say(note));
                            faulty(ours);
                        }
                    }
                }
                Origin::Absent if Some(ours) == list.section() => {
                    let section = list.layout.over(at).and_then(|over| over.section.as_ref());
                    push_cell(csv, section.map_or("", |(_, section)| section));
                }
                Origin::Cell(_) | Origin::Absent => {}
            }
        }
        // A line with nothing in it would be skipped.
        if csv.ends_with('\n') {
            csv.push_str("\"\"");
        }
        csv.push('\n');
    }
}

/// Writes one cell of CSV, on one line.
pub(super) fn push_cell(csv: &mut String, text: &str) {
    // The common case in one look: no blanks in a row, and nothing to quote.
    let mut before = b'x';
    let simple = text.bytes().all(|byte| {
        let simple = match byte {
            b' ' => before != b' ',
            b',' | b'"' => false,
            _ => byte.is_ascii_graphic(),
        };
        before = byte;
        simple
    });
    if simple {
        csv.push_str(text);
        return;
    }
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
