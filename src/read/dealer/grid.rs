//! A dealer's file as rows of cells, whatever it is: text in several encodings, or a workbook.

use std::ops::ControlFlow;
use std::sync::Arc;

use csv::StringRecord;

use super::mapping::Mapping;
use crate::check::Code;
use crate::parallel::in_order;
use crate::read::columns::MOST_COLUMNS;
use crate::read::parts::{Pace, Part, parts};
use crate::read::problem::Problem;
use crate::read::spot::Spot;
use crate::read::text::{
    Lines, QuoteFault, SourceText, cell_spot, control_character, not_utf8, row_start, trim, walk_by,
};

/// More rows than any dealer has; a list of the trade has 20 to 5,000.
pub(in crate::read) const MOST_ROWS: usize = 200_000;

/// Most cells of a text file.
pub(in crate::read) const MOST_CELLS: usize = 20_000_000;

/// Greatest size of a text file, in bytes.
pub(in crate::read) const MOST_BYTES: usize = 128 << 20;

/// What a cell of a workbook is; cells of text files are all text.
#[derive(Clone, Copy, Debug, Default, PartialEq, Eq)]
pub(super) enum Kind {
    #[default]
    Text,
    Number,
    Date,
    /// What a formula gives that cannot be worked out.
    Error,
}

/// One row.
#[derive(Clone, Debug, Default)]
pub(super) struct GridRow {
    /// Line of its first character, or row of its sheet.
    pub number: u64,
    /// The byte of the text at which it begins; 0 in a workbook.
    pub start: usize,
    pub cells: StringRecord,
    /// Kinds of its cells; shorter than the row where the rest is text.
    pub kinds: Vec<Kind>,
    /// What is wrong with its quotes, and in which cell.
    pub fault: Option<(usize, QuoteFault)>,
}

impl GridRow {
    /// A cell's text without surrounding blanks; blank for one that is not there.
    pub fn cell(&self, at: usize) -> &str {
        trim(self.cells.get(at).unwrap_or_default())
    }

    /// What a cell is.
    pub fn kind(&self, at: usize) -> Kind {
        self.kinds.get(at).copied().unwrap_or_default()
    }
}

/// All rows that are not blank.
#[derive(Debug, Default)]
pub(super) struct Grid {
    /// The sheet's name in a workbook.
    pub sheet: Option<Arc<str>>,
    /// Whether the workbook hides the sheet from whoever opens it.
    pub hidden: bool,
    pub text: String,
    pub delimiter: u8,
    pub rows: Vec<GridRow>,
}

impl Grid {
    /// The place of a cell, or of a row as a whole.
    pub fn spot(&self, row: &GridRow, cell: Option<usize>) -> Spot {
        let Some(sheet) = &self.sheet else {
            return cell_spot(self.delimiter, &self.text, (row.number, row.start), cell);
        };
        let at = cell.unwrap_or(0);
        Spot::of_cell(sheet.clone(), row.number, at as u64 + 1, row.cell(at))
    }

    /// The first cell beyond the most columns that a file may have.
    pub fn too_wide(&self, source: &SourceText) -> Option<Box<Problem>> {
        let row = self.rows.iter().find(|row| row.cells.len() > MOST_COLUMNS)?;
        let spot = self.spot(row, Some(MOST_COLUMNS));
        Some(Box::new(Problem::too_wide(source.name.clone(), row.cell(MOST_COLUMNS), spot)))
    }

    /// The rows of a text, with this character between the cells; at most so many rows.
    pub fn beginning(text: &str, delimiter: u8, most: usize) -> Self {
        let rows = rows(text, &Part::all(text), delimiter).take(most).collect();
        Self { sheet: None, hidden: false, text: text.to_owned(), delimiter, rows }
    }

    /// All rows of a text, with this character between the cells.
    pub fn of_text(text: String, delimiter: u8, pace: &Pace) -> Self {
        let parts = parts(&text, delimiter, &Part::all(&text), pace.bytes);
        let mut all = Vec::new();
        let read = |part: &Part| rows(&text, part, delimiter).collect::<Vec<_>>();
        in_order(pace.threads, &parts, read, |_, mut rows| {
            all.append(&mut rows);
            ControlFlow::Continue(())
        });
        Self { sheet: None, hidden: false, text, delimiter, rows: all }
    }
}

/// The rows of a part of a text that are not blank.
fn rows(text: &str, part: &Part, delimiter: u8) -> impl Iterator<Item = GridRow> {
    let begin = part.bytes.start;
    let bytes = text.as_bytes().get(part.bytes.clone()).unwrap_or_default();
    let mut reader = csv::ReaderBuilder::new();
    reader.has_headers(false).flexible(true).delimiter(delimiter);
    let mut reader = reader.from_reader(bytes);
    let mut lines = Lines::within(part.line, begin);
    let mut record = StringRecord::new();
    let mut end = begin;
    std::iter::from_fn(move || {
        loop {
            let start = row_start(text, end);
            // Reading from memory that is known to be UTF-8 has no way to fail.
            if !reader.read_record(&mut record).unwrap_or(false) {
                return None;
            }
            end = (begin + reader.position().byte() as usize).min(text.len());
            let number = lines.at(text, start);
            if record.iter().all(|cell| trim(cell).is_empty()) {
                continue;
            }
            let raw = text.as_bytes().get(start.min(end)..end).unwrap_or_default();
            let fault =
                raw.contains(&b'"').then(|| walk_by(delimiter, text, start, |_| ())).flatten();
            let cells = record.clone();
            return Some(GridRow { number, start, cells, kinds: Vec::new(), fault });
        }
    })
}

/// The text of a file in the encoding that the mapping states, else in the one that its first bytes
/// do, else in UTF-8.
pub(super) fn decoded(source: &SourceText, mapping: &Mapping) -> Result<String, Box<Problem>> {
    let bytes = &source.bytes;
    let problem = |spot: Spot, wrong: String, instead: &str| {
        let name = source.name.clone();
        Box::new(Problem::of_file(Code::FileUnreadable, name, wrong, instead).at(spot))
    };
    let marked = encoding_rs::Encoding::for_bom(bytes);
    let (encoding, rest) = match (marked, mapping.encoding) {
        (Some((marked, _)), Some(stated)) if marked != stated => {
            let wrong = format!("begins as {} and not as {}", marked.name(), stated.name());
            return Err(problem(Spot::of_line(1), wrong, "correct `encoding` in the mapping"));
        }
        (Some((marked, length)), _) => (marked, bytes.get(length..).unwrap_or_default()),
        (None, stated) => (stated.unwrap_or(encoding_rs::UTF_8), bytes.as_slice()),
    };
    let (text, broken) = encoding.decode_without_bom_handling(rest);
    if broken {
        let at = text.find('\u{fffd}').unwrap_or(0);
        if encoding == encoding_rs::UTF_8 {
            let (spot, byte) = not_utf8(rest, at);
            let wrong = format!("the byte {byte:02X} here is not text in UTF-8");
            let instead = "save the file in UTF-8, or state the encoding in the mapping, as in encoding = \"windows-1252\"";
            return Err(problem(spot, wrong, instead));
        }
        let wrong = format!("this is not text in {}", encoding.name());
        let spot = Spot::of(&text, at..at + char::REPLACEMENT_CHARACTER.len_utf8());
        return Err(problem(spot, wrong, "save the file as text again"));
    }
    if let Some((at, character)) = control_character(&text) {
        let wrong = format!("the control character U+{:04X} is not text", character as u32);
        let spot = Spot::of(&text, at..at + character.len_utf8());
        return Err(problem(spot, wrong, "delete it, or correct `encoding` in the mapping"));
    }
    Ok(text.into_owned())
}
