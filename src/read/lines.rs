//! The lines of a text, and a text without the blanks around it.

use std::borrow::Cow;

/// The byte at which each line begins; a line ends as [`Lines`] says.
pub(super) fn line_starts(text: &str) -> Vec<usize> {
    let bytes = text.as_bytes();
    let ends = (0..bytes.len()).filter(|&at| ends_line(bytes, at));
    std::iter::once(0).chain(ends.map(|at| at + 1)).collect()
}

/// How often a byte stands among others. Counting in bytes is what a processor is quick at.
pub(super) fn count(bytes: &[u8], byte: u8) -> usize {
    let in_chunk = |chunk: &[u8]| chunk.iter().map(|&found| u8::from(found == byte)).sum::<u8>();
    bytes.chunks(usize::from(u8::MAX)).map(|chunk| usize::from(in_chunk(chunk))).sum()
}

/// Whether the byte at a place is the last one of a line.
pub(super) fn ends_line(bytes: &[u8], at: usize) -> bool {
    bytes[at] == b'\n' || (bytes[at] == b'\r' && bytes.get(at + 1) != Some(&b'\n'))
}

/// Counts lines on the way through a text, so that the place of every row costs one pass in all.
#[derive(Debug)]
pub(super) struct Lines {
    line: u64,
    seen: usize,
}

impl Lines {
    /// Within a text: the byte at `offset` is known to stand in `line`.
    pub fn within(line: u64, offset: usize) -> Self {
        Self { line, seen: offset }
    }

    /// The line in which the byte at `offset` stands. Offsets must not fall from call to call. A line
    /// ends with a line feed, a carriage return, or both together.
    pub fn at(&mut self, text: &str, offset: usize) -> u64 {
        let bytes = text.as_bytes();
        let end = offset.min(bytes.len());
        let part = bytes.get(self.seen..end).unwrap_or_default();
        self.line += count(part, b'\n') as u64;
        if part.contains(&b'\r') {
            let lone = |&at: &usize| bytes[at] == b'\r' && ends_line(bytes, at);
            self.line += (self.seen..end).filter(lone).count() as u64;
        }
        self.seen = self.seen.max(end);
        self.line
    }
}

/// A cell's text without surrounding blanks, non-breaking and zero-width ones included.
pub(super) fn trim(cell: &str) -> &str {
    let graphic = |byte: Option<&u8>| byte.is_some_and(u8::is_ascii_graphic);
    if graphic(cell.as_bytes().first()) && graphic(cell.as_bytes().last()) {
        return cell;
    }
    cell.trim_matches(|c: char| c.is_whitespace() || matches!(c, '\u{feff}' | '\u{200b}'))
}

/// Text on one line, every run of blanks a single space.
pub(super) fn one_line(text: &str) -> Cow<'_, str> {
    let mut before = b'x';
    let tidy = text.bytes().all(|byte| {
        let single = byte.is_ascii_graphic() || (byte == b' ' && before != b' ');
        before = byte;
        single
    });
    if tidy {
        return Cow::Borrowed(text);
    }
    Cow::Owned(text.split_whitespace().collect::<Vec<_>>().join(" "))
}
