//! Where an offending text stands, and the piece of its line that a message shows.

use std::ops::Range;
use std::sync::Arc;

use serde::Serialize;
use unicode_width::UnicodeWidthChar;

use super::lines::{Lines, trim};
use crate::words::is_hidden;

/// Columns of a terminal that an excerpt takes at most.
const EXCERPT_MOST: usize = 120;

/// A line of a file, or a cell of a workbook, as far as a message shows it.
#[derive(Clone, Debug, PartialEq, Eq, Serialize)]
pub struct Excerpt {
    /// The text on one line, with `…` where it was cut, and with signs in place of the characters
    /// that do not show.
    pub text: String,
    /// Characters of the text before the offending ones.
    pub from: usize,
    /// Characters of the text up to the end of the offending ones.
    pub to: usize,
}

/// The place of an offending text in its file.
#[derive(Clone, Debug, Default, PartialEq, Eq)]
pub(super) struct Spot {
    /// Line from 1, or row of a sheet.
    pub line: u64,
    /// Column from 1, in characters, or column of a sheet.
    pub column: u64,
    /// Column of the first character behind it.
    pub end_column: u64,
    /// The sheet of a workbook.
    pub sheet: Option<Arc<str>>,
    /// What stands there.
    pub excerpt: Option<Excerpt>,
}

impl Spot {
    /// The beginning of a line, of which nothing is shown.
    pub fn of_line(line: u64) -> Self {
        Self { line, column: 1, end_column: 1, ..Self::default() }
    }

    /// These bytes of a text, without the blanks around them. The text's byte `known.1` stands in
    /// line `known.0`, and not behind them.
    pub fn within(text: &str, bytes: Range<usize>, known: (u64, usize)) -> Self {
        let bytes = trimmed(text, bytes);
        let line = Lines::within(known.0, known.1).at(text, bytes.start);
        let (before, rest) = text.split_at(bytes.start);
        let begin = before.rfind(ENDS).map_or(0, |end| end + 1);
        let column = before[begin..].chars().count() as u64 + 1;
        let offending = first_line(&rest[..bytes.len()]);
        let after = first_line(&rest[offending.len()..]);
        let excerpt = Excerpt::of(&before[begin..], offending, after);
        let end_column = column + offending.chars().count() as u64;
        Self { line, column, end_column, sheet: None, excerpt: Some(excerpt) }
    }

    /// These bytes of a text, without the blanks around them.
    pub fn of(text: &str, bytes: Range<usize>) -> Self {
        Self::within(text, bytes, (1, 0))
    }

    /// A cell of a workbook; row and column from 1.
    pub fn of_cell(sheet: Arc<str>, row: u64, column: u64, text: &str) -> Self {
        let excerpt = (!text.is_empty()).then(|| Excerpt::of("", text, ""));
        Self { line: row, column, end_column: column + 1, sheet: Some(sheet), excerpt }
    }
}

/// Characters that end a line.
const ENDS: [char; 2] = ['\n', '\r'];

/// A text up to its first line end.
fn first_line(text: &str) -> &str {
    text.split(ENDS).next().unwrap_or_default()
}

/// A range of a text without the blanks at its ends, if anything is left of it, and within the text.
fn trimmed(text: &str, bytes: Range<usize>) -> Range<usize> {
    let mut start = bytes.start.min(text.len());
    while !text.is_char_boundary(start) {
        start -= 1;
    }
    let inside = text.get(start..bytes.end.min(text.len())).unwrap_or_default();
    let kept = trim(inside);
    match kept.is_empty() {
        true => start..start,
        false => {
            let start = start + (kept.as_ptr() as usize - inside.as_ptr() as usize);
            start..start + kept.len()
        }
    }
}

/// Columns that a character takes on a terminal.
fn width(character: char) -> usize {
    character.width().unwrap_or(0)
}

/// A sign for a character that does not show, or plays tricks with the text around it.
fn visible(character: char) -> char {
    match character {
        '\u{0}'..='\u{1f}' => char::from_u32(0x2400 + character as u32).unwrap_or('\u{fffd}'),
        '\u{7f}' => '\u{2421}',
        c if c.is_control() || is_hidden(c) => '\u{fffd}',
        c => c,
    }
}

impl Excerpt {
    fn of(before: &str, offending: &str, after: &str) -> Self {
        // What is further away than this is cut in any case.
        let mut text = Vec::with_capacity(3 * (EXCERPT_MOST + 1));
        text.extend(before.chars().rev().take(EXCERPT_MOST + 1).map(visible));
        text.reverse();
        let from = text.len();
        text.extend(offending.chars().take(EXCERPT_MOST + 1).map(visible));
        let to = text.len();
        text.extend(after.chars().take(EXCERPT_MOST + 1).map(visible));
        Self::within(&text, from, to, EXCERPT_MOST)
    }

    /// The same in at most so many columns of a terminal: the offending characters or as many of
    /// them as fit, with what stands around them.
    #[must_use]
    pub fn cut(self, most: usize) -> Self {
        Self::within(&self.text.chars().collect::<Vec<_>>(), self.from, self.to, most)
    }

    /// An excerpt of these characters in at most so many columns.
    fn within(chars: &[char], from: usize, to: usize, most: usize) -> Self {
        if chars.iter().copied().map(width).sum::<usize>() <= most {
            return Self { text: chars.iter().collect(), from, to };
        }
        // A column for each of the two marks of what is cut.
        let mut room = most.saturating_sub(2);
        let (mut start, mut end) = (from, from);
        let mut take = |at: usize| {
            let wide = chars.get(at).copied().map_or(usize::MAX, width);
            let fits = wide <= room;
            room -= if fits { wide } else { 0 };
            fits
        };
        while end < to && take(end) {
            end += 1;
        }
        // As much on the left as on the right, and more on one side where the other has no more.
        loop {
            let left = start > 0 && take(start - 1);
            start -= usize::from(left);
            let right = end >= to && take(end);
            end += usize::from(right);
            if !left && !right {
                break;
            }
        }
        let mut text = String::new();
        let lead = usize::from(start > 0);
        text.extend((start > 0).then_some('…'));
        text.extend(chars.get(start..end).unwrap_or_default());
        text.extend((end < chars.len()).then_some('…'));
        let shift = |place: usize| place.clamp(start, end) - start + lead;
        Self { from: shift(from), to: shift(to), text }
    }

    /// Marks to be written under the text: one at least.
    #[must_use]
    pub fn carets(&self) -> String {
        let columns = |from: usize, to: usize| -> usize {
            self.text.chars().take(to).skip(from).map(width).sum()
        };
        let (before, under) = (columns(0, self.from), columns(self.from, self.to));
        format!("{}{}", " ".repeat(before), "^".repeat(under.max(1)))
    }
}

#[cfg(test)]
mod tests {
    use super::*;

    #[test]
    fn a_spot_shows_its_line_and_marks_its_text() {
        for (text, bytes, place, line, carets) in [
            ("a,bc,d\n", 2..4, (1, 3, 5), "a,bc,d", "  ^^"),
            ("x\r\na, bc ,d", 5..9, (2, 4, 6), "a, bc ,d", "   ^^"),
            ("a,,d", 2..2, (1, 3, 3), "a,,d", "  ^"),
            ("a\tb\tc", 2..3, (1, 3, 4), "a␉b␉c", "  ^"),
            ("a,\"b\nc\",d", 2..7, (1, 3, 5), "a,\"b", "  ^^"),
            ("長,b", 4..5, (1, 3, 4), "長,b", "   ^"),
            ("長,b", 0..3, (1, 1, 2), "長,b", "^^"),
            ("a,b", 3..3, (1, 4, 4), "a,b", "   ^"),
            ("\u{202e}b", 3..4, (1, 2, 3), "\u{fffd}b", " ^"),
        ] {
            let spot = Spot::of(text, bytes);
            assert_eq!((spot.line, spot.column, spot.end_column), place, "{text:?}");
            let excerpt = spot.excerpt.unwrap();
            assert_eq!((excerpt.text.as_str(), excerpt.carets().as_str()), (line, carets));
        }
    }

    #[test]
    fn long_lines_are_cut_around_the_text() {
        let line = format!("{}BAD{}", "a".repeat(500), "z".repeat(500));
        let excerpt = Spot::of(&line, 500..503).excerpt.unwrap();
        for (most, text) in [(9, "…aaBADzz…"), (5, "…BAD…"), (4, "…BA…")] {
            let cut = excerpt.clone().cut(most);
            assert_eq!(cut.text, text);
            assert_eq!(cut.carets().trim_start().len(), text.matches(char::is_uppercase).count());
        }
        let short = Excerpt { text: "abcdefgh".to_owned(), from: 0, to: 1 };
        assert_eq!(short.clone().cut(5).text, "abc…");
        assert_eq!(short.cut(8).text, "abcdefgh");
    }

    proptest::proptest! {
        #[test]
        fn no_range_is_too_strange(
            text in "[ab,\n\r \té長\u{202e}]{0,30}", start in 0_usize..40, length in 0_usize..40, most in 0_usize..12,
        ) {
            let spot = Spot::of(&text, start..start + length);
            proptest::prop_assert!(spot.column <= spot.end_column);
            let excerpt = spot.excerpt.unwrap().cut(most);
            let columns: usize = excerpt.text.chars().map(width).sum();
            proptest::prop_assert!(columns <= most.max(2));
            proptest::prop_assert!(excerpt.from <= excerpt.to);
            proptest::prop_assert!(excerpt.to <= excerpt.text.chars().count());
        }
    }
}
