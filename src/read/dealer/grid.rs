//! A dealer's file as rows of cells, whatever it is: text in several encodings, or a workbook.

use std::borrow::Cow;
use std::collections::BTreeMap;
use std::ops::{ControlFlow, Range};
use std::sync::Arc;

use csv::StringRecord;

use super::mapping::Mapping;
use crate::check::Code;
use crate::parallel::in_order;
use crate::read::lines::{Lines, trim};
use crate::read::parts::{Pace, Part, parts};
use crate::read::problem::MOST_COLUMNS;
use crate::read::problem::Problem;
use crate::read::spot::Spot;
use crate::read::text::{
    QuoteFault, SourceText, cell_spot, control_character, not_utf8, row_start, walk_by,
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
    /// What a formula gives that cannot be worked out, or a formula that nobody has worked out.
    Error,
}

/// One row.
#[derive(Clone, Debug, Default, PartialEq, Eq)]
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
    /// Whether the workbook does not show it.
    pub hidden: bool,
    /// Its cells whose text is struck through.
    pub struck: Vec<usize>,
    /// Its cells that the mapping corrects, with what the list has.
    pub corrected: Vec<(usize, String)>,
}

impl GridRow {
    /// A cell's text without surrounding blanks; blank for one that is not there.
    pub fn cell(&self, at: usize) -> &str {
        trim(self.cells.get(at).unwrap_or_default())
    }

    /// Whether all its cells in use, or the one that names it, are struck through.
    pub fn is_struck(&self, id: Option<usize>) -> bool {
        let in_use = |cell: &usize| !self.cell(*cell).is_empty();
        let struck = |cell: usize| self.struck.contains(&cell);
        !self.struck.is_empty()
            && (id.is_some_and(struck) || (0..self.cells.len()).filter(in_use).all(struck))
    }

    /// Puts what the mapping says in place of cells.
    fn correct(&mut self, corrections: &[(usize, String)]) {
        let width = corrections.iter().map(|(cell, _)| cell + 1).max().unwrap_or(0);
        let mut cells: Vec<String> = self.cells.iter().map(str::to_owned).collect();
        cells.resize(cells.len().max(width), String::new());
        self.kinds.resize(cells.len(), Kind::Text);
        for (cell, is) in corrections {
            self.corrected.push((*cell, std::mem::replace(&mut cells[*cell], is.clone())));
            self.kinds[*cell] = Kind::Text;
            self.struck.retain(|struck| struck != cell);
        }
        self.cells = cells.into();
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
    /// Columns that the workbook does not show.
    pub hidden_columns: Vec<usize>,
    pub text: String,
    pub delimiter: u8,
    pub rows: Rows,
    /// What the mapping says in place of cells, by the row's number.
    pub corrections: BTreeMap<u64, Vec<(usize, String)>>,
}

/// The rows of a grid.
#[derive(Debug)]
pub(super) enum Rows {
    /// With all their cells.
    Kept(Vec<GridRow>),
    /// Where they stand in the text. Their cells are read when they are wanted, for those of a long list
    /// take more room than the list.
    InText(Vec<Place>),
}

/// Where a row stands in a text.
#[derive(Clone, Copy, Debug)]
pub(super) struct Place {
    number: u64,
    start: usize,
    /// Whether it has more cells than a file may have columns.
    too_wide: bool,
}

impl Default for Rows {
    fn default() -> Self {
        Self::Kept(Vec::new())
    }
}

impl Grid {
    /// How many rows there are.
    pub fn len(&self) -> usize {
        match &self.rows {
            Rows::Kept(rows) => rows.len(),
            Rows::InText(places) => places.len(),
        }
    }

    /// The number of a row.
    pub fn number(&self, at: usize) -> Option<u64> {
        match &self.rows {
            Rows::Kept(rows) => rows.get(at).map(|row| row.number),
            Rows::InText(places) => places.get(at).map(|place| place.number),
        }
    }

    /// Rows one after the other, with what the mapping corrects; none beyond the last.
    pub fn block(&self, wanted: Range<usize>) -> Cow<'_, [GridRow]> {
        let mut block = self.block_as_written(wanted);
        let numbers = block.first().map(|row| row.number).zip(block.last().map(|row| row.number));
        let Some((first, last)) = numbers.filter(|_| !self.corrections.is_empty()) else {
            return block;
        };
        for (number, corrections) in self.corrections.range(first..=last) {
            let at = block.iter().position(|row| row.number == *number);
            if let Some(row) = at.and_then(|at| block.to_mut().get_mut(at)) {
                row.correct(corrections);
            }
        }
        block
    }

    fn block_as_written(&self, wanted: Range<usize>) -> Cow<'_, [GridRow]> {
        let (first, end) = (wanted.start.min(self.len()), wanted.end.min(self.len()));
        let places = match &self.rows {
            Rows::Kept(rows) => return Cow::Borrowed(rows.get(first..end).unwrap_or_default()),
            Rows::InText(places) => places,
        };
        // The `csv` reader takes a byte-order mark at its beginning for none of the text.
        let marked = |place: &Place| self.text[place.start..].starts_with('\u{feff}');
        let mut from = first;
        while from > 0 && places.get(from).is_some_and(marked) {
            from -= 1;
        }
        let begin = match places.get(from) {
            Some(place) if from > 0 => *place,
            _ => Place { number: 1, start: 0, too_wide: false },
        };
        let behind = places.get(end).map_or(self.text.len(), |place| place.start);
        let part = Part { bytes: begin.start..behind, line: begin.number };
        let rows = rows(&self.text, &part, self.delimiter);
        Cow::Owned(rows.skip(first - from).take(end.saturating_sub(first)).collect())
    }

    /// One row.
    pub fn row(&self, at: usize) -> Option<Cow<'_, GridRow>> {
        match self.block(at..at.saturating_add(1)) {
            Cow::Borrowed(rows) => rows.first().map(Cow::Borrowed),
            Cow::Owned(mut rows) => rows.pop().map(Cow::Owned),
        }
    }

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
        let at = match &self.rows {
            Rows::Kept(rows) => rows.iter().position(|row| row.cells.len() > MOST_COLUMNS),
            Rows::InText(places) => places.iter().position(|place| place.too_wide),
        };
        let row = self.row(at?)?;
        let spot = self.spot(&row, Some(MOST_COLUMNS));
        Some(Box::new(Problem::too_wide(source.name.clone(), row.cell(MOST_COLUMNS), spot)))
    }

    /// The rows of a text, with this character between the cells; at most so many rows.
    pub fn beginning(text: &str, delimiter: u8, most: usize) -> Self {
        let rows = rows(text, &Part::all(text), delimiter).take(most).collect();
        let rows = Rows::Kept(rows);
        Self { text: text.to_owned(), delimiter, rows, ..Self::default() }
    }

    /// All rows of a text, with this character between the cells.
    pub fn of_text(text: String, delimiter: u8, pace: &Pace) -> Self {
        let parts = parts(&text, delimiter, &Part::all(&text), pace.bytes);
        let mut all = Vec::new();
        let read = |part: &Part| {
            let (mut reader, mut places) = (RowReader::new(&text, part, delimiter), Vec::new());
            while let Some(place) = reader.next() {
                places.push(place);
            }
            places
        };
        in_order(pace.threads, &parts, read, |_, mut places| {
            all.append(&mut places);
            ControlFlow::Continue(())
        });
        Self { text, delimiter, rows: Rows::InText(all), ..Self::default() }
    }
}

/// Reads the rows of a part of a text that are not blank, one after the other.
struct RowReader<'t> {
    text: &'t str,
    begin: usize,
    reader: csv::Reader<&'t [u8]>,
    lines: Lines,
    record: StringRecord,
    /// The byte behind the last row.
    end: usize,
}

impl<'t> RowReader<'t> {
    fn new(text: &'t str, part: &Part, delimiter: u8) -> Self {
        let begin = part.bytes.start;
        let bytes = text.as_bytes().get(part.bytes.clone()).unwrap_or_default();
        let mut reader = csv::ReaderBuilder::new();
        reader.has_headers(false).flexible(true).delimiter(delimiter);
        Self {
            text,
            begin,
            reader: reader.from_reader(bytes),
            lines: Lines::within(part.line, begin),
            record: StringRecord::new(),
            end: begin,
        }
    }

    /// Goes on to the next row, whose cells are then in `record`.
    fn next(&mut self) -> Option<Place> {
        loop {
            let start = row_start(self.text, self.end);
            // Reading from memory that is known to be UTF-8 has no way to fail.
            if !self.reader.read_record(&mut self.record).unwrap_or(false) {
                return None;
            }
            let read = self.reader.position().byte() as usize;
            self.end = (self.begin + read).min(self.text.len());
            let number = self.lines.at(self.text, start);
            if self.record.iter().any(|cell| !trim(cell).is_empty()) {
                return Some(Place { number, start, too_wide: self.record.len() > MOST_COLUMNS });
            }
        }
    }
}

/// The rows of a part of a text that are not blank.
fn rows(text: &str, part: &Part, delimiter: u8) -> impl Iterator<Item = GridRow> {
    let mut reader = RowReader::new(text, part, delimiter);
    std::iter::from_fn(move || {
        let Place { number, start, .. } = reader.next()?;
        let end = reader.end;
        let raw = text.as_bytes().get(start.min(end)..end).unwrap_or_default();
        let fault = raw.contains(&b'"').then(|| walk_by(delimiter, text, start, |_| ())).flatten();
        let cells = reader.record.clone();
        Some(GridRow { number, start, cells, fault, ..GridRow::default() })
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

#[cfg(test)]
mod tests {
    use super::*;

    proptest::proptest! {
        /// Rows that are read when they are wanted are those of the whole text.
        #[test]
        fn blocks_are_pieces_of_the_whole(
            text in "[ab,\"\r\n \u{feff}]{0,40}", about in 0_usize..20, from in 0_usize..8, length in 0_usize..8,
        ) {
            let whole: Vec<_> = rows(&text, &Part::all(&text), b',').collect();
            let grid = Grid::of_text(text, b',', &Pace { bytes: about, ..Pace::whole() });
            proptest::prop_assert_eq!(grid.len(), whole.len());
            let wanted = whole.iter().skip(from).take(length).cloned().collect::<Vec<_>>();
            proptest::prop_assert_eq!(grid.block(from..from + length).into_owned(), wanted);
            let row = grid.row(from).map(Cow::into_owned);
            proptest::prop_assert_eq!(row.as_ref(), whole.get(from));
            proptest::prop_assert_eq!(grid.number(from), whole.get(from).map(|row| row.number));
        }
    }
}
