//! ODS: the cells of `content.xml`, read as a stream. Names of elements and attributes are those of
//! OASIS OpenDocument 1.3, part 3, from memory.

use std::io::BufRead;

use quick_xml::events::{BytesRef, BytesStart, Event};
use quick_xml::{Reader, XmlVersion};

use super::grid::Kind;
use super::kept::{MOST_IN_A_CELL, Marks, Sheet, Used};
use super::refused::{broken, too_large, too_wide};
use crate::read::problem::MOST_COLUMNS;
use crate::read::problem::Problem;
use crate::read::text::SourceText;

/// Every sheet of a workbook.
pub(super) fn sheets(
    source: &SourceText,
    content: impl BufRead,
) -> Result<Vec<Sheet>, Box<Problem>> {
    let mut walk = Walk::new(source);
    let mut reader = Reader::from_reader(content);
    let mut buffer = Vec::new();
    loop {
        buffer.clear();
        let event = reader.read_event_into(&mut buffer);
        match event.map_err(|error| broken(source, &error.to_string()))? {
            Event::Start(element) => walk.start(&element)?,
            Event::Empty(element) => {
                walk.start(&element)?;
                walk.end()?;
            }
            Event::End(_) => walk.end()?,
            Event::Text(text) => walk.text(&text.xml10_content())?,
            Event::CData(text) => walk.text(&text)?,
            Event::GeneralRef(entity) => walk.text(&meaning(&entity))?,
            Event::Eof if walk.open.is_empty() => return Ok(walk.sheets),
            Event::Eof => return Err(broken(source, "a part of it is cut off")),
            _ => {}
        }
    }
}

/// What an entity stands for.
fn meaning(entity: &BytesRef<'_>) -> String {
    if let Ok(Some(character)) = entity.resolve_char_ref() {
        return character.to_string();
    }
    let known = match entity.as_ref() {
        "lt" => "<",
        "gt" => ">",
        "amp" => "&",
        "apos" => "'",
        "quot" => "\"",
        // One that a document defines for itself; no spreadsheet does.
        _ => "\u{fffd}",
    };
    known.to_owned()
}

/// What an open element is to the walk.
#[derive(Clone, Copy, Debug, PartialEq, Eq)]
enum Part {
    Sheet,
    Row,
    Cell,
    /// A line of a cell's text, or a piece of one.
    Line,
    /// The definition of a style.
    Style,
    /// What has no cells of the sheet: notes, drawings, copies of other workbooks.
    Apart,
    Other,
}

/// A cell with how often it stands side by side.
#[derive(Default)]
struct Cell {
    column: u32,
    repeated: u32,
    value: Option<(String, Kind)>,
    formula: Option<String>,
    is_error: bool,
    struck: bool,
    lines: usize,
    text: String,
}

/// Where the walk is.
struct Walk<'a> {
    source: &'a SourceText,
    used: Used,
    open: Vec<Part>,
    /// The style that is being defined, those of tables that are not displayed, and those of text that
    /// is struck through.
    style: String,
    undisplayed: Vec<String>,
    struck: Vec<String>,
    /// Columns met of the sheet's own definition of them.
    defined: u32,
    /// Whether the row is not shown, and the style of its cells.
    row_hidden: bool,
    row_style: Option<String>,
    marks: Marks,
    sheet: Option<Sheet>,
    sheets: Vec<Sheet>,
    /// The row from 0, how often it stands, its next column, and its cells in use.
    row: u32,
    repeated: u32,
    column: u32,
    cells: Vec<Cell>,
    cell: Cell,
}

impl<'a> Walk<'a> {
    fn new(source: &'a SourceText) -> Self {
        Self {
            source,
            used: Used::default(),
            open: Vec::new(),
            style: String::new(),
            undisplayed: Vec::new(),
            struck: Vec::new(),
            defined: 0,
            row_hidden: false,
            row_style: None,
            marks: Marks::default(),
            sheet: None,
            sheets: Vec::new(),
            row: 0,
            repeated: 1,
            column: 0,
            cells: Vec::new(),
            cell: Cell::default(),
        }
    }

    fn start(&mut self, element: &BytesStart<'_>) -> Result<(), Box<Problem>> {
        /// Deeper than this nothing is nested.
        const MOST_DEEP: usize = 200;
        if self.open.len() >= MOST_DEEP {
            return Err(broken(self.source, "its elements are nested too deeply"));
        }
        let within = self.open.last().copied().unwrap_or(Part::Other);
        let inside = |part: Part| self.open.contains(&part);
        let part = match element.local_name().as_ref() {
            _ if within == Part::Apart => Part::Apart,
            "annotation" | "dde-links" | "tracked-changes" | "shapes" | "frame" => Part::Apart,
            "style" => {
                self.style = self.attribute(element, "style:name")?.unwrap_or_default();
                Part::Style
            }
            "table-properties" if within == Part::Style => {
                if self.attribute(element, "table:display")?.as_deref() == Some("false") {
                    self.undisplayed.push(self.style.clone());
                }
                Part::Other
            }
            "text-properties" if within == Part::Style => {
                let line = self.attribute(element, "style:text-line-through-style")?;
                let sort = self.attribute(element, "style:text-line-through-type")?;
                if [line, sort].into_iter().flatten().any(|line| line != "none") {
                    self.struck.push(self.style.clone());
                }
                Part::Other
            }
            "table-column" if inside(Part::Sheet) && !inside(Part::Row) => {
                let repeated = self.repetition(element, "table:number-columns-repeated")?;
                let first = self.defined;
                self.defined = first.saturating_add(repeated);
                if self.is_hidden(element)? {
                    self.marks.hidden_columns.extend(first..self.defined.min(MOST_COLUMNS as u32));
                }
                Part::Other
            }
            "table" if !inside(Part::Sheet) => {
                let name = self.attribute(element, "table:name")?.unwrap_or_default();
                let style = self.attribute(element, "table:style-name")?;
                let hidden = style.is_some_and(|style| self.undisplayed.contains(&style));
                self.sheet = Some(Sheet::new(name, hidden));
                (self.row, self.defined, self.marks) = (0, 0, Marks::default());
                Part::Sheet
            }
            // A table within a cell is none of the sheet's.
            "table" => Part::Apart,
            "table-row" if inside(Part::Sheet) && !inside(Part::Row) => {
                self.repeated = self.repetition(element, "table:number-rows-repeated")?;
                self.column = 0;
                self.row_hidden = self.is_hidden(element)?;
                self.row_style = self.attribute(element, "table:default-cell-style-name")?;
                Part::Row
            }
            "table-cell" | "covered-table-cell" if within == Part::Row => {
                self.cell = self.begun(element)?;
                Part::Cell
            }
            "p" if within == Part::Cell => {
                if self.cell.lines > 0 {
                    self.text_of_cell("\n")?;
                }
                self.cell.lines += 1;
                Part::Line
            }
            "s" if within == Part::Line => {
                let blanks = self.repetition(element, "text:c")?.min(MOST_IN_A_CELL as u32);
                self.text_of_cell(&" ".repeat(blanks as usize))?;
                Part::Line
            }
            "tab" | "line-break" if within == Part::Line => {
                self.text_of_cell(" ")?;
                Part::Line
            }
            _ if within == Part::Line => Part::Line,
            _ => Part::Other,
        };
        self.open.push(part);
        Ok(())
    }

    fn end(&mut self) -> Result<(), Box<Problem>> {
        match self.open.pop() {
            Some(Part::Cell) => {
                let cell = std::mem::take(&mut self.cell);
                self.column = self.column.saturating_add(cell.repeated);
                if cell.is_blank() {
                    return Ok(());
                }
                if cell.column as usize >= MOST_COLUMNS {
                    let sheet = self.sheet.as_ref().map_or("", |sheet| sheet.name.as_str());
                    let (text, _) = cell.told();
                    return Err(too_wide(self.source, sheet, (self.row, cell.column), &text));
                }
                self.cells.push(cell);
            }
            Some(Part::Row) => self.row_ends()?,
            Some(Part::Sheet) => {
                let marks = std::mem::take(&mut self.marks);
                self.sheets.extend(self.sheet.take().map(|sheet| sheet.marked(marks)));
            }
            _ => {}
        }
        Ok(())
    }

    /// Keeps the row's cells as often as they stand there; what is too much ends this soon.
    fn row_ends(&mut self) -> Result<(), Box<Problem>> {
        let cells =
            self.cells.drain(..).map(|cell| (cell.column, cell.repeated, cell.struck, cell.told()));
        let cells: Vec<_> = cells.collect();
        let repeated = if cells.is_empty() { 0 } else { self.repeated };
        if let Some(sheet) = &mut self.sheet {
            for row in 0..repeated {
                let row = self.row.saturating_add(row);
                if self.row_hidden {
                    self.marks.hidden_rows.insert(row);
                }
                for (column, repeated, struck, (text, kind)) in &cells {
                    for beside in 0..*repeated {
                        let place = (row, column.saturating_add(beside));
                        if *struck {
                            self.marks.struck.insert(place);
                        }
                        sheet.add((self.source, &mut self.used), place, text, *kind)?;
                    }
                }
            }
        }
        self.row = self.row.saturating_add(self.repeated);
        Ok(())
    }

    fn text(&mut self, text: &str) -> Result<(), Box<Problem>> {
        if self.open.last() == Some(&Part::Line) { self.text_of_cell(text) } else { Ok(()) }
    }

    fn text_of_cell(&mut self, text: &str) -> Result<(), Box<Problem>> {
        self.cell.text.push_str(text);
        // A character takes four bytes at most.
        if self.cell.text.len() > 4 * MOST_IN_A_CELL {
            let wrong = format!("has a cell of more than {MOST_IN_A_CELL} characters");
            return Err(too_large(self.source, wrong));
        }
        Ok(())
    }

    /// A cell from its attributes.
    fn begun(&self, element: &BytesStart<'_>) -> Result<Cell, Box<Problem>> {
        let get = |name: &str| self.attribute(element, name);
        let value = match get("office:value-type")?.as_deref() {
            Some("float" | "percentage" | "currency") => get("office:value")?.map(|value| {
                // As numbers of other workbooks are written: 60.0 as 60.
                let number = value.parse::<f64>().ok().filter(|number| number.is_finite());
                (number.map_or(value, |number| number.to_string()), Kind::Number)
            }),
            Some("date") => get("office:date-value")?
                .map(|value| (value.split('T').next().unwrap_or_default().to_owned(), Kind::Date)),
            Some("time") => get("office:time-value")?.map(|value| (value, Kind::Text)),
            Some("boolean") => get("office:boolean-value")?
                .map(|value| (if value == "true" { "yes" } else { "no" }.to_owned(), Kind::Text)),
            Some("string") => get("office:string-value")?.map(|value| (value, Kind::Text)),
            _ => None,
        };
        let style = get("table:style-name")?.or_else(|| self.row_style.clone());
        Ok(Cell {
            column: self.column,
            struck: style.is_some_and(|style| self.struck.contains(&style)),
            repeated: self.repetition(element, "table:number-columns-repeated")?,
            is_error: get("calcext:value-type")?.as_deref() == Some("error"),
            // One that was worked out has a kind of value, be it an empty text.
            formula: if get("office:value-type")?.is_none() { get("table:formula")? } else { None },
            value,
            ..Cell::default()
        })
    }

    fn attribute(
        &self,
        element: &BytesStart<'_>,
        name: &str,
    ) -> Result<Option<String>, Box<Problem>> {
        let why = |error: &dyn std::fmt::Display| broken(self.source, &error.to_string());
        let found = element.try_get_attribute(name).map_err(|error| why(&error))?;
        let value =
            found.map(|found| found.normalized_value(XmlVersion::Implicit1_0).map(Into::into));
        value.transpose().map_err(|error| why(&error))
    }

    /// Whether a row or column is not shown: hidden, or left out by a filter.
    fn is_hidden(&self, element: &BytesStart<'_>) -> Result<bool, Box<Problem>> {
        let shown = self.attribute(element, "table:visibility")?;
        Ok(matches!(shown.as_deref(), Some("collapse" | "filter")))
    }

    /// How often something stands there: once where nothing is said.
    fn repetition(&self, element: &BytesStart<'_>, name: &str) -> Result<u32, Box<Problem>> {
        let Some(stated) = self.attribute(element, name)? else { return Ok(1) };
        let wrong = || broken(self.source, &format!("`{stated}` is no {name}"));
        stated.parse::<u32>().ok().filter(|times| *times > 0).ok_or_else(wrong)
    }
}

impl Cell {
    fn is_blank(&self) -> bool {
        self.told().0.trim().is_empty()
    }

    /// Its text and kind.
    fn told(&self) -> (String, Kind) {
        if let (Some(formula), true) = (&self.formula, self.text.is_empty()) {
            // Nobody has worked it out, so it is not to be taken for an empty cell.
            let formula = formula.split_once(":=").map_or(formula.as_str(), |(_, formula)| formula);
            return (format!("={}", formula.trim_start_matches('=')), Kind::Error);
        }
        match &self.value {
            _ if self.is_error => (self.text.clone(), Kind::Error),
            Some((text, Kind::Text)) if text.is_empty() => (self.text.clone(), Kind::Text),
            Some((text, kind)) => (text.clone(), *kind),
            None => (self.text.clone(), Kind::Text),
        }
    }
}
