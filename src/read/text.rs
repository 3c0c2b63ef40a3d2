//! The text of a file, and where in it a byte or a cell stands.

use std::ops::Range;
use std::sync::Arc;

use super::problem::Problem;
use super::spot::Spot;
use crate::check::Code;

/// A file's bytes under the name that the user knows it by. Opening files is left to the caller.
#[derive(Clone, Debug, PartialEq, Eq)]
pub struct SourceText {
    /// The file as named on the command line.
    pub name: Arc<str>,
    /// Its bytes as they are.
    pub bytes: Vec<u8>,
}

impl SourceText {
    /// A file's bytes under a name.
    #[must_use]
    pub fn new(name: &str, bytes: impl Into<Vec<u8>>) -> Self {
        Self { name: name.into(), bytes: bytes.into() }
    }

    /// The bytes as text, without a byte-order mark.
    ///
    /// # Errors
    ///
    /// The bytes are not UTF-8, or hold control characters, which no text has and which could play
    /// tricks with a terminal when printed.
    pub(super) fn text(&self) -> Result<&str, Box<Problem>> {
        let problem = |spot: Spot, wrong: String, instead: &str| {
            let name = self.name.clone();
            Box::new(Problem::of_file(Code::FileUnreadable, name, wrong, instead).at(spot))
        };
        if self.bytes.starts_with(b"PK\x03\x04") {
            let wrong = "is a workbook or another packed file, not text".to_owned();
            return Err(problem(Spot::of_line(1), wrong, "save the sheet as CSV in UTF-8"));
        }
        if self.bytes.starts_with(b"\xFF\xFE") || self.bytes.starts_with(b"\xFE\xFF") {
            let wrong = "is text in UTF-16, not UTF-8".to_owned();
            let instead = "save the file as text in UTF-8, a sheet as CSV";
            return Err(problem(Spot::of_line(1), wrong, instead));
        }
        let bytes = self.bytes.strip_prefix(b"\xEF\xBB\xBF").unwrap_or(&self.bytes);
        let text = std::str::from_utf8(bytes).map_err(|error| {
            let (spot, byte) = not_utf8(bytes, error.valid_up_to());
            let wrong = format!("the byte {byte:02X} here is not text in UTF-8");
            problem(spot, wrong, "save the file as text in UTF-8, a sheet as CSV")
        })?;
        match control_character(text) {
            None => Ok(text),
            Some((at, character)) => {
                let wrong = format!("the control character U+{:04X} is not text", character as u32);
                let spot = Spot::of(text, at..at + character.len_utf8());
                Err(problem(spot, wrong, "delete it, or save the file as text again"))
            }
        }
    }
}

/// The first control character of a text that is no tab or line end, and the byte it begins at.
pub(super) fn control_character(text: &str) -> Option<(usize, char)> {
    // In UTF-8 the control characters above ASCII are C2 80 to C2 9F, so bytes tell whether a slow
    // look is worth while. Whole chunks without an early end are what a processor is quick at.
    const CHUNK: usize = 4096;
    let strange = |byte: u8| {
        let control = (byte < 0x20) & (byte != b'\t') & (byte != b'\n') & (byte != b'\r');
        control | (byte == 0x7F) | (byte == 0xC2)
    };
    let has_strange = |chunk: &[u8]| chunk.iter().fold(false, |any, &byte| any | strange(byte));
    if !text.as_bytes().chunks(CHUNK).any(has_strange) {
        return None;
    }
    text.char_indices().find(|(_, c)| c.is_control() && !matches!(c, '\t' | '\n' | '\r'))
}

/// The byte of a file up to which it is UTF-8, and where it stands.
pub(super) fn not_utf8(bytes: &[u8], valid_up_to: usize) -> (Spot, u8) {
    // So much of what follows is shown at most.
    const AFTER: usize = 400;
    let byte = bytes.get(valid_up_to).copied().unwrap_or_default();
    let shown = bytes.get(..bytes.len().min(valid_up_to + AFTER)).unwrap_or_default();
    let text = String::from_utf8_lossy(shown);
    let spot = Spot::of(&text, valid_up_to..valid_up_to + char::REPLACEMENT_CHARACTER.len_utf8());
    (spot, byte)
}

/// What the raw text of one row shows beyond the values of its cells.
#[derive(Clone, Copy, Debug, PartialEq, Eq)]
pub(super) enum QuoteFault {
    /// A quoted cell goes on to the end of the file.
    NeverClosed,
    /// There is text between the closing quote of a cell and the next comma.
    TextAfterQuote,
}

/// Walks through the raw text of the row that begins at byte `start`, tells `cell` the bytes of each
/// cell, its quotes included, and gives the first fault with the number of its
/// cell. The rules are those of the `csv` reader: a quote opens a quoted cell only as its first
/// character, and two quotes within one stand for a quote.
pub(super) fn walk(
    text: &str,
    start: usize,
    cell: impl FnMut(Range<usize>),
) -> Option<(usize, QuoteFault)> {
    walk_by(b',', text, start, cell)
}

/// As [`walk`], with another character between the cells.
pub(super) fn walk_by(
    delimiter: u8,
    text: &str,
    start: usize,
    mut cell: impl FnMut(Range<usize>),
) -> Option<(usize, QuoteFault)> {
    let ends = |byte: Option<&u8>| match byte {
        None | Some(b'\r' | b'\n') => true,
        Some(&byte) => byte == delimiter,
    };
    let bytes = text.as_bytes();
    let mut at = row_start(text, start);
    let mut fault = None;
    for number in 0.. {
        let begin = at;
        if bytes.get(at) == Some(&b'"') {
            at += 1;
            let closed = loop {
                match (bytes.get(at), bytes.get(at + 1)) {
                    (None, _) => break false,
                    (Some(b'"'), Some(b'"')) => at += 2,
                    (Some(b'"'), _) => break true,
                    _ => at += 1,
                }
            };
            if !closed {
                cell(begin..bytes.len());
                return fault.or(Some((number, QuoteFault::NeverClosed)));
            }
            at += 1;
            if !ends(bytes.get(at)) {
                fault = fault.or(Some((number, QuoteFault::TextAfterQuote)));
            }
        }
        while !ends(bytes.get(at)) {
            at += 1;
        }
        cell(begin..at);
        if bytes.get(at) != Some(&delimiter) {
            break;
        }
        at += 1;
    }
    fault
}

/// The place of a cell, counted from 0, in the row that begins at byte `start` of a text, in this
/// line; of a cell that is not there, the end of the row, and of none the whole row.
pub(super) fn cell_spot(
    delimiter: u8,
    text: &str,
    (line, start): (u64, usize),
    cell: Option<usize>,
) -> Spot {
    let (mut begin, mut end, mut found, mut number) = (None, start, None, 0);
    walk_by(delimiter, text, start, |bytes| {
        begin.get_or_insert(bytes.start);
        end = bytes.end;
        if cell == Some(number) {
            found = Some(bytes);
        }
        number += 1;
    });
    let bytes = match cell {
        Some(_) => found.unwrap_or(end..end),
        None => begin.unwrap_or(start)..end,
    };
    Spot::within(text, bytes, (line, start))
}

/// The byte at which a row begins, past the empty lines that the `csv` reader skips before it.
pub(super) fn row_start(text: &str, start: usize) -> usize {
    let bytes = text.as_bytes();
    let empty = |from: usize| {
        let rest = bytes.get(from..).unwrap_or_default();
        rest.iter().take_while(|byte| matches!(byte, b'\r' | b'\n')).count()
    };
    // The `csv` reader takes a byte-order mark at its beginning for none of the text.
    let mark = if start == 0 && text.starts_with('\u{feff}') { '\u{feff}'.len_utf8() } else { 0 };
    match empty(start + mark) {
        0 => start,
        lines => start + mark + lines,
    }
}

#[cfg(test)]
mod tests {
    use super::*;

    #[test]
    fn places_count_characters_and_every_kind_of_line_end() {
        for (before, line, column) in [
            ("", 1, 1),
            ("ab", 1, 3),
            ("é–", 1, 3),
            ("a\nb", 2, 2),
            ("a\r\nb\r\n", 3, 1),
            ("a\rb\rc", 3, 2),
            ("a\n\n", 3, 1),
        ] {
            let spot = Spot::of(before, before.len()..before.len());
            assert_eq!((spot.line, spot.column), (line, column), "{before:?}");
        }
    }

    #[test]
    fn cells_begin_after_commas_outside_quotes() {
        for (row, starts, fault) in [
            ("a,b,c\nd", vec![0, 2, 4], None),
            ("\"a,b\",c", vec![0, 6], None),
            ("\"a\"\"b\",c", vec![0, 7], None),
            ("\"a\nb\",c", vec![0, 6], None),
            ("89'-4\",x", vec![0, 7], None),
            ("\n\r\na,", vec![3, 5], None),
            ("a,\"b,c\nd", vec![0, 2], Some((1, QuoteFault::NeverClosed))),
            ("\"a\"b,c", vec![0, 5], Some((0, QuoteFault::TextAfterQuote))),
        ] {
            assert_eq!(
                cells(row, 0).iter().map(|cell| cell.start).collect::<Vec<_>>(),
                starts,
                "{row:?}"
            );
            assert_eq!(walk(row, 0, |_| ()), fault, "{row:?}");
        }
    }

    #[test]
    fn a_row_begins_behind_empty_lines_and_behind_a_mark_before_them() {
        for (text, start, expected) in [
            ("a\n\nb", 1, 3),
            ("\r\n\na", 0, 3),
            ("\u{feff}\na", 0, 4),
            ("\u{feff}a", 0, 0),
            ("a\n\u{feff}\nb", 1, 2),
            ("", 0, 0),
        ] {
            assert_eq!(row_start(text, start), expected, "{text:?}");
        }
    }

    #[test]
    fn only_clean_text_is_taken() {
        for (bytes, expected) in [
            (&b"\xEF\xBB\xBFa,b"[..], Ok("a,b")),
            (b"a\tb", Ok("a\tb")),
            (b"a\nb\xFFc", Err((2, 2))),
            (b"a\x1bc", Err((1, 2))),
            (b"\xFF\xFEa\0", Err((1, 1))),
            (b"PK\x03\x04", Err((1, 1))),
        ] {
            let source = SourceText::new("f", bytes);
            let found = source.text().map_err(|problem| (problem.line, problem.column));
            assert_eq!(found, expected);
        }
    }

    fn cells(text: &str, start: usize) -> Vec<Range<usize>> {
        let mut cells = Vec::new();
        walk(text, start, |bytes| cells.push(bytes));
        cells
    }

    /// A cell's value from its raw text, by the rules of the format and not of the code above.
    fn unquoted(raw: &str) -> String {
        let Some(mut rest) = raw.strip_prefix('"') else { return raw.to_owned() };
        let mut value = String::new();
        loop {
            let Some((before, after)) = rest.split_once('"') else { return value + rest };
            value += before;
            match after.strip_prefix('"') {
                Some(after) => {
                    value.push('"');
                    rest = after;
                }
                None => return value + after,
            }
        }
    }

    proptest::proptest! {
        /// The walk finds the cells that the `csv` reader reads, in every text.
        #[test]
        fn cells_begin_where_the_reader_has_them(text in "[ab,\"\r\né]{0,40}") {
            let mut reader = csv::ReaderBuilder::new()
                .has_headers(false)
                .flexible(true)
                .from_reader(text.as_bytes());
            let mut record = csv::StringRecord::new();
            loop {
                let from = reader.position().byte() as usize;
                if !reader.read_record(&mut record).unwrap() {
                    break;
                }
                let cells = cells(&text, from);
                proptest::prop_assert_eq!(cells.len(), record.len());
                for (cell, value) in record.iter().enumerate() {
                    let raw = &text[cells[cell].clone()];
                    // The row's end belongs to no cell.
                    let line_ends = ['\r', '\n'];
                    let (found, value) = (unquoted(raw), value.trim_end_matches(line_ends));
                    proptest::prop_assert_eq!(found.trim_end_matches(line_ends), value);
                }
            }
        }
    }
}
