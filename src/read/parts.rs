//! A long file in parts of whole rows, which can be read at the same time.

use std::ops::Range;

use super::lines::{Lines, ends_line};
use super::problem::FINDINGS_MOST;
use crate::parallel::processors;

/// How far and how fast a long file is read.
#[derive(Clone, Copy, Debug)]
pub(super) struct Pace {
    /// So many findings of a file are kept.
    pub findings: usize,
    /// About so many bytes of a text are a part.
    pub bytes: usize,
    /// So many rows of a table are a part.
    pub rows: usize,
    /// So many threads work at most.
    pub threads: usize,
}

impl Part {
    /// All of a text.
    pub fn all(text: &str) -> Self {
        Self { bytes: 0..text.len(), line: 1 }
    }
}

impl Pace {
    /// Parts that are worth a thread, and as many threads as there are processors. The cells of a part
    /// of a dealer's list repeat each other, so it is large.
    pub fn of_this_machine() -> Self {
        Self { bytes: 1 << 20, rows: 12_500, threads: processors(), ..Self::whole() }
    }

    /// Everything at once.
    pub fn whole() -> Self {
        Self { findings: FINDINGS_MOST, bytes: usize::MAX, rows: usize::MAX, threads: 1 }
    }
}

/// By which a row can be found again.
#[derive(Clone, Copy, Debug)]
pub(super) struct Mark {
    /// Its line, or row of its sheet.
    pub line: u64,
    /// The byte at which it begins; of a dealer's list its row in the grid.
    pub at: usize,
}

/// A part of a text that holds whole rows.
#[derive(Clone, Debug, PartialEq, Eq)]
pub(super) struct Part {
    pub bytes: Range<usize>,
    /// The line in which it begins.
    pub line: u64,
}

/// A part that goes to the end of the text, in parts of about so many bytes.
pub(super) fn parts(text: &str, delimiter: u8, whole: &Part, about: usize) -> Vec<Part> {
    let mut begin = whole.bytes.start;
    let mut lines = Lines::within(whole.line, begin);
    let mut parts = Vec::new();
    while begin < text.len() {
        let end = row_end(text, delimiter, begin, begin.saturating_add(about));
        parts.push(Part { bytes: begin..end, line: lines.at(text, begin) });
        begin = end;
    }
    parts
}

/// The end of the row that reaches byte `least`, or of a later one; byte `from` begins a row.
fn row_end(text: &str, delimiter: u8, from: usize, least: usize) -> usize {
    let mut at = from;
    loop {
        let quote = text[at..].find('"').map(|found| at + found);
        let end = line_end(text, at.max(least), quote.unwrap_or(text.len()));
        match (end, quote) {
            (Some(end), _) => return end,
            (None, None) => return text.len(),
            (None, Some(quote)) => {
                at = match opens_cell(text, delimiter, quote) {
                    true => behind_quoted(text, quote),
                    false => quote + 1,
                };
            }
        }
    }
}

/// The byte behind the first line end within these bytes of a text.
fn line_end(text: &str, from: usize, to: usize) -> Option<usize> {
    // The `csv` reader takes a byte-order mark at its beginning for none of the text.
    const MARK: &[u8] = "\u{feff}".as_bytes();
    let bytes = text.as_bytes();
    (from..to)
        .filter(|&at| ends_line(bytes, at))
        .map(|at| at + 1)
        .find(|&end| !bytes[end..].starts_with(MARK))
}

/// Whether the quote at this byte stands first in its cell, so that the cell is a quoted one.
fn opens_cell(text: &str, delimiter: u8, quote: usize) -> bool {
    let before = &text[..quote];
    // Of several byte-order marks at its beginning the `csv` reader takes one for none of the text.
    match before.strip_prefix('\u{feff}').unwrap_or(before).as_bytes().last() {
        None | Some(b'\n' | b'\r') => true,
        Some(&before) => before == delimiter,
    }
}

/// The byte behind the quoted text that begins with the quote at this byte.
fn behind_quoted(text: &str, quote: usize) -> usize {
    let mut at = quote + 1;
    while let Some(found) = text[at..].find('"') {
        at += found + 1;
        if text.as_bytes().get(at) != Some(&b'"') {
            return at;
        }
        at += 1;
    }
    text.len()
}

#[cfg(test)]
mod tests {
    use super::*;

    fn records(text: &str) -> Vec<csv::StringRecord> {
        let mut reader = csv::ReaderBuilder::new();
        let mut reader = reader.has_headers(false).flexible(true).from_reader(text.as_bytes());
        reader.records().map(Result::unwrap).collect()
    }

    #[test]
    fn parts_end_with_rows_and_know_their_lines() {
        let text = "a,b\r\n\"c\nd\",e\nf\"g,h\n\n\ni";
        let found: Vec<_> = parts(text, b',', &Part::all(text), 1)
            .into_iter()
            .map(|part| (part.line, &text[part.bytes]))
            .collect();
        let expected =
            [(1, "a,b\r\n"), (2, "\"c\nd\",e\n"), (4, "f\"g,h\n"), (5, "\n\n"), (7, "i")];
        assert_eq!(found, expected);
    }

    #[test]
    fn of_two_marks_at_the_beginning_one_is_text() {
        let text = "\u{feff}\u{feff}\"\n\"\n\"";
        let parts = parts(text, b',', &Part::all(text), 0);
        let found: Vec<_> = parts.into_iter().flat_map(|part| records(&text[part.bytes])).collect();
        assert_eq!(found, records(text));
    }

    proptest::proptest! {
        /// The parts are the text, and hold the rows that the `csv` reader finds in the whole of it.
        #[test]
        fn parts_hold_the_rows_of_the_text(text in "[ab,\"\r\n\u{feff}]{0,40}", about in 0_usize..20) {
            let parts = parts(&text, b',', &Part::all(&text), about);
            let whole: String = parts.iter().map(|part| &text[part.bytes.clone()]).collect();
            proptest::prop_assert_eq!(&whole, &text);
            for part in &parts {
                let line = Lines::within(1, 0).at(&text, part.bytes.start);
                proptest::prop_assert_eq!(part.line, line);
            }
            let found: Vec<_> = parts.into_iter().flat_map(|part| records(&text[part.bytes])).collect();
            proptest::prop_assert_eq!(found, records(&text));
        }
    }
}
