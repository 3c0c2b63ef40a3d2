//! A dealer's file as rows of cells, whatever it is: text in several encodings, or a workbook.

use std::sync::Arc;

use csv::StringRecord;

use super::mapping::Mapping;
use crate::check::Code;
use crate::read::problem::Problem;
use crate::read::spot::Spot;
use crate::read::text::{
    Lines, QuoteFault, SourceText, cell_spot, control_character, not_utf8, row_start, trim, walk_by,
};

/// More rows than any dealer has; a list of the trade has 20 to 5,000.
pub(in crate::read) const MOST_ROWS: usize = 200_000;

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

    /// Whether there is nothing in the row.
    pub fn is_blank(&self) -> bool {
        self.cells.iter().all(|cell| trim(cell).is_empty())
    }
}

/// All rows that are not blank.
#[derive(Debug, Default)]
pub(super) struct Grid {
    /// The sheet's name in a workbook.
    pub sheet: Option<Arc<str>>,
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

    /// The rows of a text, with this character between the cells; at most so many rows.
    pub fn of_text(text: String, delimiter: u8, most: usize) -> Self {
        let mut reader = csv::ReaderBuilder::new()
            .has_headers(false)
            .flexible(true)
            .delimiter(delimiter)
            .from_reader(text.as_bytes());
        let mut rows = Vec::new();
        let mut lines = Lines::new();
        let mut record = StringRecord::new();
        loop {
            let from = reader.position().byte() as usize;
            if rows.len() == most || !reader.read_record(&mut record).unwrap_or(false) {
                break;
            }
            let to = (reader.position().byte() as usize).min(text.len());
            let start = row_start(&text, from);
            let number = lines.at(&text, start);
            let quoted =
                text.as_bytes().get(start.min(to)..to).is_some_and(|raw| raw.contains(&b'"'));
            let fault = quoted.then(|| walk_by(delimiter, &text, start, |_| ())).flatten();
            let row = GridRow { number, start, cells: record.clone(), kinds: Vec::new(), fault };
            if !row.is_blank() {
                rows.push(row);
            }
        }
        drop(reader);
        Self { sheet: None, text, delimiter, rows }
    }
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
