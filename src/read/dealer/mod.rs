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
mod measure;
mod values;
mod workbook;
mod xls_spread;

use std::collections::HashSet;
use std::fmt::Write as _;
use std::sync::Arc;

use super::columns::Columns;
use super::inventory::Inventory;
use super::problem::{Findings, Problem, shown};
use super::spot::Spot;
use super::text::{QuoteFault, SourceText};
use super::{FileKind, NotTaken, Sources, cells::one_line};
use crate::check::Code;
use crate::model::place::RowPlace;
use grid::{Grid, GridRow, Kind};
use header_row::{Head, Part};
use mapping::{Entry, Mapping};
use measure::Decimal;
use values::{Meaning, tidy};

pub use draft::draft;
pub use guarded::WORKBOOK_THREAD;

/// The mappings of a run.
pub(super) struct Mappings<'s> {
    list: Vec<(&'s SourceText, Option<Mapping>, Findings)>,
    /// Whether one could not be opened.
    unopened: bool,
}

impl<'s> Mappings<'s> {
    /// Reads them; one that is for no inventory, and two for the same one, are problems.
    pub fn read(sources: &'s Sources) -> Self {
        let inventories = &sources.inventories;
        let mut list: Vec<_> = sources
            .mappings
            .iter()
            .map(|source| {
                let mut findings = Findings::default();
                let mapping = Mapping::read(source, &mut findings);
                (source, mapping, findings)
            })
            .collect();
        let problem = |source: &SourceText, wrong: String, instead: &str| {
            Problem::of_file(Code::MappingMalformed, source.name.clone(), wrong, instead)
        };
        let mut taken: Vec<Option<&SourceText>> = vec![None; inventories.len()];
        for (source, mapping, findings) in &mut list {
            let Some(mapping) = mapping else { continue };
            let mut used = sources.unopened.iter().any(|(kind, problem)| {
                *kind == FileKind::Inventory && mapping.is_for(&source.name, &problem.file)
            });
            for (inventory, taken) in inventories.iter().zip(&mut taken) {
                if mapping.is_for(&source.name, &inventory.name) {
                    used = true;
                    if let Some(first) = taken.replace(source) {
                        let wrong = format!("is for {}, and so is {}", inventory.name, first.name);
                        findings.problems.push(problem(
                            source,
                            wrong,
                            "give one mapping for each inventory",
                        ));
                    }
                }
            }
            if !used {
                let wrong = "is for none of the inventories".to_owned();
                let instead = "name it NAME.mapping.toml after the inventory NAME.csv or NAME.xlsx, or write `inventory = \"NAME.csv\"` in it";
                findings.problems.push(problem(source, wrong, instead));
            }
        }
        Self { list, unopened: sources.lacks(FileKind::Mapping) }
    }

    /// The one that is for this inventory.
    pub fn of(&self, inventory: &SourceText) -> Option<(&SourceText, &Mapping)> {
        self.list.iter().find_map(|(source, mapping, _)| {
            let mapping = mapping.as_ref()?;
            mapping.is_for(&source.name, &inventory.name).then_some((*source, mapping))
        })
    }

    /// Whether one could not be opened or read, and may have been for any inventory.
    pub fn has_unread(&self) -> bool {
        self.unopened || self.list.iter().any(|(_, mapping, _)| mapping.is_none())
    }

    /// What is wrong with each.
    pub fn into_findings(self) -> impl Iterator<Item = (&'s SourceText, Findings)> {
        self.list.into_iter().map(|(source, _, findings)| (source, findings))
    }
}

/// Where a tidy cell comes from.
#[derive(Clone, Copy, Debug, Default, PartialEq, Eq)]
enum Origin {
    #[default]
    Absent,
    Cell(usize),
    Constant,
}

/// A dealer's file as a tidy table.
#[derive(Debug)]
pub(super) struct Tidied {
    /// The tidy table as CSV: a header, and one line for each row taken.
    pub csv: SourceText,
    /// The file's name; of a workbook with that of the sheet.
    file: Arc<str>,
    grid: Grid,
    /// For each line of the table after its header, the row of the grid.
    rows: Vec<usize>,
    /// For each of our columns, where it comes from.
    origins: Vec<Origin>,
    /// Rows and columns whose cells were reported already.
    reported: HashSet<(usize, usize)>,
    /// Rows that were not taken, by place.
    pub not_taken: Vec<NotTaken>,
}

impl Tidied {
    fn row(&self, line: u64) -> Option<(usize, &GridRow)> {
        let at = *self.rows.get(usize::try_from(line.checked_sub(2)?).ok()?)?;
        Some((at, self.grid.rows.get(at)?))
    }

    /// The dealer's row behind a line of the table; of a sheet, with the sheet's name.
    pub fn place(&self, line: u64) -> RowPlace {
        RowPlace { file: self.file.clone(), line: self.row(line).map_or(0, |(_, row)| row.number) }
    }

    /// The place and text of the dealer's cell behind a cell of the table; the row's place where
    /// there is none.
    pub fn back(&self, line: u64, column: usize) -> (Spot, String) {
        let Some((_, row)) = self.row(line) else { return (Spot::default(), String::new()) };
        match self.origins.get(column) {
            Some(Origin::Cell(cell)) => (self.grid.spot(row, Some(*cell)), shown(row.cell(*cell))),
            _ => (self.grid.spot(row, None), String::new()),
        }
    }

    /// Whether the cell was reported before it came into the table.
    pub fn is_reported(&self, line: u64, column: usize) -> bool {
        self.row(line).is_some_and(|(at, _)| self.reported.contains(&(at, column)))
    }
}

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
    // The first rows tell, as far as they are text.
    let start = source.bytes.get(..source.bytes.len().min(64 << 10)).unwrap_or_default();
    let start = match std::str::from_utf8(start) {
        Ok(text) => text,
        Err(error) => std::str::from_utf8(&start[..error.valid_up_to()]).unwrap_or_default(),
    };
    let start = start.strip_prefix('\u{feff}').unwrap_or(start);
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
    let count = |end| source.bytes.iter().filter(|byte| **byte == end).count();
    let lines = count(b'\n').max(count(b'\r'));
    (lines > grid::MOST_ROWS + 1).then(|| {
        problem(format!(
            "has {} lines, and {} is the most",
            super::columns::plain(lines as f64),
            super::columns::plain(grid::MOST_ROWS as f64)
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

    /// Says where each of our columns comes from, and what is wrong with the header.
    fn headers(&mut self, grid: &Grid, head: &Head, mapping: Option<&SourceText>) {
        let Some(row) = grid.rows.get(head.row) else { return };
        let used: HashSet<String> =
            (0..row.cells.len()).map(|cell| headers::squeezed(row.cell(cell))).collect();
        if let Some(mapping) = mapping {
            let mut unused: Vec<_> = self
                .rules
                .columns
                .iter()
                .filter(|(key, _)| !used.contains(*key))
                .map(|(_, entry)| entry)
                .collect();
            unused.sort_by_key(|entry| (entry.spot.line, entry.spot.column));
            for Entry { header, spot, .. } in unused {
                let near = super::problem::nearest(
                    header,
                    (0..row.cells.len()).map(|cell| row.cell(cell)),
                );
                let instead = match near {
                    Some(near) => {
                        format!("write \"{}\" if that is meant, or remove the key", shown(near))
                    }
                    None => "correct the key, or remove it".to_owned(),
                };
                let (name, wrong) =
                    (mapping.name.clone(), format!("is not a header of {}", self.source.name));
                let problem = Problem::of_file(Code::MappingMalformed, name, wrong, instead);
                self.findings
                    .problems
                    .push(Problem { text: shown(header), ..problem.at(spot.clone()) });
            }
        }
        for (cell, part) in head.parts.iter().enumerate() {
            match part {
                Part::Column(column, _) => match self.origins[*column] {
                    Origin::Cell(first) => {
                        let wrong = format!(
                            "can be {}, and so can the header `{}`",
                            Inventory::ALL[*column].name,
                            shown(row.cell(first))
                        );
                        let note = Self::note(
                            Code::HeaderUnsure,
                            wrong,
                            "say in the mapping which is which, with `ignore` or `note` for the other",
                        );
                        let problem = self.at(grid, row, cell, "", note);
                        self.findings.problems.push(problem);
                    }
                    _ => self.origins[*column] = Origin::Cell(cell),
                },
                Part::Note(told) => {
                    self.carried.push((cell, shown(row.cell(cell))));
                    if !told {
                        let instead = match headers::like(&headers::words(row.cell(cell))) {
                            Some(like) => format!(
                                "map it to {like} in the mapping if that is meant, else to `note` or `ignore`"
                            ),
                            None => {
                                "map it in the mapping, to `note` or `ignore` if need be".to_owned()
                            }
                        };
                        let note = Self::note(
                            Code::ColumnCarried,
                            "is no column of ours and is carried with the notes",
                            instead,
                        );
                        let warning = self.at(grid, row, cell, "", note);
                        self.findings.warnings.push(warning);
                    }
                }
                Part::UnitClash(header, stated) => {
                    let wrong = format!(
                        "says {} and another place says {}",
                        header.words(),
                        stated.words()
                    );
                    let note = Self::note(
                        Code::UnitUnknown,
                        wrong,
                        "ask the dealer, and correct the header, the row of units or the mapping",
                    );
                    let problem = self.at(grid, row, cell, "", note);
                    self.findings.problems.push(problem);
                }
                Part::Ignored | Part::Unnamed => {}
            }
        }
        for &column in self.rules.constants.keys() {
            if let Origin::Cell(cell) = self.origins[column] {
                let wrong = format!(
                    "is {}, and the mapping states a constant for it",
                    Inventory::ALL[column].name
                );
                let note = Self::note(
                    Code::HeaderUnsure,
                    wrong,
                    "map the column to `ignore`, or remove the constant",
                );
                let problem = self.at(grid, row, cell, "", note);
                self.findings.problems.push(problem);
            } else {
                self.origins[column] = Origin::Constant;
            }
        }
    }

    /// The tidy table, and for each of its lines the row of the grid.
    fn table(&mut self, grid: &Grid, head: &Head) -> (String, Vec<usize>) {
        let notes = Inventory::Notes.index();
        let semicolons = grid.sheet.is_none() && grid.delimiter == b';';
        let decimal =
            self.rules.decimal.unwrap_or(if semicolons { Decimal::Unsaid } else { Decimal::Point });
        let columns: Vec<(Meaning<'_>, Origin)> = self
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
                    _ => crate::read::units::Unit::of_column(&Inventory::ALL[column].content),
                };
                (
                    Meaning {
                        column,
                        unit,
                        decimal,
                        dates: self.rules.dates,
                        words: self.rules.words.get(&column),
                    },
                    *origin,
                )
            })
            .collect();
        let mut csv = String::new();
        for (at, (meaning, _)) in columns.iter().enumerate() {
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
            self.line(&mut csv, &columns, grid, at, &grid.rows[head.row]);
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
        columns: &[(Meaning<'_>, Origin)],
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
        for (place, (meaning, origin)) in columns.iter().enumerate() {
            if place > 0 {
                csv.push(',');
            }
            let name = Inventory::ALL[meaning.column].name;
            match origin {
                Origin::Constant => {
                    let value =
                        self.rules.constants.get(&meaning.column).map_or("", String::as_str);
                    push_cell(csv, value);
                }
                Origin::Cell(cell) => {
                    let text = row.cell(*cell);
                    if text.is_empty() {
                        // Nothing to turn.
                    } else {
                        match tidy(text, row.kind(*cell), meaning) {
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
                                self.reported.insert((at, meaning.column));
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
