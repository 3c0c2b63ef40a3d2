//! The rows and cells of a sheet, written again one after the other.

use std::collections::BTreeMap;

use quick_xml::events::{BytesEnd, BytesStart, BytesText, Event};
use quick_xml::{Reader, Writer};

use super::{Changes, NotKept, attribute, broken};

/// A sheet on its way through, written again with the changes.
pub(super) struct Scribe<'x> {
    pub(super) reader: Reader<&'x [u8]>,
    pub(super) writer: Writer<Vec<u8>>,
    pub(super) header_row: u64,
    /// How the last cell of a column looks, which new ones take over.
    pub(super) styles: BTreeMap<usize, String>,
}

impl Scribe<'_> {
    pub(super) fn write(&mut self, event: Event<'_>) -> Result<(), NotKept> {
        self.writer.write_event(event).map_err(broken)
    }

    /// New rows above this one.
    pub(super) fn rows_below(&mut self, left: &mut Changes, row: u64) -> Result<(), NotKept> {
        while let Some((&number, _)) = left.first_key_value().filter(|(number, _)| **number < row) {
            let cells = left.remove(&number).unwrap_or_default();
            self.new_row(BytesStart::new("row"), number, &cells)?;
        }
        Ok(())
    }

    /// A row that had no cells.
    pub(super) fn new_row(
        &mut self,
        start: BytesStart<'_>,
        number: u64,
        cells: &BTreeMap<usize, String>,
    ) -> Result<(), NotKept> {
        let start = without_span(&start, number);
        self.write(Event::Start(start.borrow()))?;
        for (column, text) in cells {
            self.cell(number, *column, text, None)?;
        }
        self.write(Event::End(BytesEnd::new("row")))
    }

    /// A row that stands there: its cells up to the end, those to change changed.
    pub(super) fn row(
        &mut self,
        start: BytesStart<'static>,
        number: u64,
        cells: &BTreeMap<usize, String>,
    ) -> Result<(), NotKept> {
        let start = if cells.is_empty() { start } else { without_span(&start, number) };
        self.write(Event::Start(start.borrow()))?;
        let mut left = cells.clone();
        let mut last = 0;
        loop {
            let event = self.reader.read_event().map_err(broken)?;
            match event {
                Event::Eof => return Err(broken("a row does not end")),
                Event::End(end) if end.local_name().as_ref() == "row" => {
                    self.cells_before(number, &mut left, usize::MAX)?;
                    return self.write(Event::End(end));
                }
                Event::Start(cell) if cell.local_name().as_ref() == "c" => {
                    let (column, style) = self.before_cell(number, &cell, &mut left, &mut last)?;
                    match left.remove(&column) {
                        Some(text) => {
                            self.reader.read_to_end(cell.to_end().name()).map_err(broken)?;
                            self.cell(number, column, &text, Some(style))?;
                        }
                        None => self.write(Event::Start(cell))?,
                    }
                }
                Event::Empty(cell) if cell.local_name().as_ref() == "c" => {
                    let (column, style) = self.before_cell(number, &cell, &mut left, &mut last)?;
                    match left.remove(&column) {
                        Some(text) => self.cell(number, column, &text, Some(style))?,
                        None => self.write(Event::Empty(cell))?,
                    }
                }
                other => self.write(other)?,
            }
        }
    }

    /// The column and the looks of a cell that stands there; new ones before it are written first.
    fn before_cell(
        &mut self,
        row: u64,
        cell: &BytesStart<'_>,
        left: &mut BTreeMap<usize, String>,
        last: &mut usize,
    ) -> Result<(usize, Option<String>), NotKept> {
        let column = attribute(cell, "r").and_then(|r| column_of(&r)).unwrap_or(*last);
        *last = column + 1;
        let style = attribute(cell, "s");
        if let Some(style) = style.as_ref().filter(|_| row > self.header_row) {
            self.styles.insert(column, style.clone());
        }
        self.cells_before(row, left, column)?;
        Ok((column, style))
    }

    fn cells_before(
        &mut self,
        row: u64,
        left: &mut BTreeMap<usize, String>,
        column: usize,
    ) -> Result<(), NotKept> {
        while let Some((&at, _)) = left.first_key_value().filter(|(at, _)| **at < column) {
            let text = left.remove(&at).unwrap_or_default();
            self.cell(row, at, &text, None)?;
        }
        Ok(())
    }

    /// A cell: a number as such, so that it can be worked with, and everything else as text.
    fn cell(
        &mut self,
        row: u64,
        column: usize,
        text: &str,
        style: Option<Option<String>>,
    ) -> Result<(), NotKept> {
        let mut start = BytesStart::new("c");
        start.push_attribute(("r", format!("{}{row}", letters(column)).as_str()));
        let style = style.unwrap_or_else(|| self.styles.get(&column).cloned());
        if let Some(style) = &style {
            start.push_attribute(("s", style.as_str()));
        }
        if text.is_empty() {
            return self.write(Event::Empty(start));
        }
        // A number is kept as one only where it is read again as it was typed.
        let is_number = text.parse::<f64>().is_ok_and(|n| n.is_finite() && n.to_string() == text);
        if is_number {
            self.write(Event::Start(start))?;
            self.tagged("v", text)?;
        } else {
            start.push_attribute(("t", "inlineStr"));
            self.write(Event::Start(start))?;
            self.write(Event::Start(BytesStart::new("is")))?;
            self.tagged("t", text)?;
            self.write(Event::End(BytesEnd::new("is")))?;
        }
        self.write(Event::End(BytesEnd::new("c")))
    }

    fn tagged(&mut self, name: &str, text: &str) -> Result<(), NotKept> {
        self.write(Event::Start(BytesStart::new(name)))?;
        self.write(Event::Text(BytesText::new(text)))?;
        self.write(Event::End(BytesEnd::new(name)))
    }
}

/// A row's tag without the hint how far its cells go, which would no longer be true.
fn without_span(start: &BytesStart<'_>, number: u64) -> BytesStart<'static> {
    let mut tag = BytesStart::new("row");
    let mut has_number = false;
    for found in start.attributes().flatten().filter(|found| found.key.as_ref() != "spans") {
        has_number |= found.key.as_ref() == "r";
        tag.push_attribute(found);
    }
    if !has_number {
        tag.push_attribute(("r", number.to_string().as_str()));
    }
    tag
}

/// A column's letters: 0 is A.
pub(super) fn letters(column: usize) -> String {
    let mut rest = column + 1;
    let mut letters = Vec::new();
    while rest > 0 {
        letters.push(char::from(b'A' + ((rest - 1) % 26) as u8));
        rest = (rest - 1) / 26;
    }
    letters.into_iter().rev().collect()
}

/// A cell's column by its reference.
fn column_of(reference: &str) -> Option<usize> {
    let letters: &str = reference.trim_end_matches(|c: char| c.is_ascii_digit());
    let value = letters.bytes().try_fold(0_usize, |all, letter| {
        let digit = letter.to_ascii_uppercase().checked_sub(b'A').filter(|digit| *digit < 26)?;
        all.checked_mul(26)?.checked_add(usize::from(digit) + 1)
    })?;
    value.checked_sub(1)
}
