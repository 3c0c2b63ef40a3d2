//! Text laid out within a display width: wrapped paragraphs and tables without borders.

use comfy_table::{CellAlignment, ContentArrangement, Table as Grid, presets};
use itertools::Itertools;
use unicode_width::{UnicodeWidthChar, UnicodeWidthStr};

use crate::quantity::Inches;

/// Columns that a string takes on a terminal.
pub fn display_width(text: &str) -> usize {
    text.width()
}

/// Text from files without its control characters, so that a cell cannot move the cursor, change
/// colors or break a line.
pub fn clean(text: &str) -> String {
    text.chars().map(|c| if c.is_control() { ' ' } else { c }).collect()
}

/// A length in inches as crews measure it, to the nearest sixteenth: `1 1/2 in`.
pub fn inches_fraction(length: Inches) -> String {
    let sixteenths = (length.0 * 16.0).round() as i64;
    let sign = if sixteenths < 0 { "-" } else { "" };
    let (whole, mut part, mut base) = (sixteenths.abs() / 16, sixteenths.abs() % 16, 16);
    while part > 0 && part % 2 == 0 {
        part /= 2;
        base /= 2;
    }
    match (whole, part) {
        (_, 0) => format!("{sign}{whole} in"),
        (0, _) => format!("{sign}{part}/{base} in"),
        _ => format!("{sign}{whole} {part}/{base} in"),
    }
}

/// A measured length in inches as it was read off the tape: `1 5/8 in`; one that is no sixteenth keeps
/// its decimals, to the thousandth.
pub fn inches_read(length: Inches) -> String {
    let sixteenths = length.0 * 16.0;
    if (sixteenths - sixteenths.round()).abs() < 0.008 {
        inches_fraction(length)
    } else {
        format!("{} in", (length.0 * 1000.0).round() / 1000.0)
    }
}

/// Breaks text into lines of at most `width` columns at its spaces; a single word that is longer is
/// cut. A number stays with the unit behind it.
pub fn wrap(text: &str, width: usize) -> Vec<String> {
    let width = width.max(1);
    let mut lines = Vec::new();
    let mut line = String::new();
    for piece in unbreakable_pieces(text) {
        let room = if line.is_empty() { 0 } else { 1 } + display_width(&piece);
        if display_width(&line) + room <= width {
            if !line.is_empty() {
                line.push(' ');
            }
            line.push_str(&piece);
            continue;
        }
        if !line.is_empty() {
            lines.push(std::mem::take(&mut line));
        }
        line = cut(&piece, width, &mut lines);
    }
    if !line.is_empty() || lines.is_empty() {
        lines.push(line);
    }
    lines
}

/// Words, with a number and its unit glued together.
fn unbreakable_pieces(text: &str) -> Vec<String> {
    const UNITS: &[&str] = &[
        "ft", "in", "mi", "kip", "kip-ft", "ksi", "in2", "in3", "in4", "tons", "%", "psf", "lb",
        "days", "cars", "car", "sq", "spans", "piers", "pier",
    ];
    let mut pieces: Vec<String> = Vec::new();
    for word in text.split_whitespace() {
        let bare = word.trim_end_matches([',', ';', '.', ':', ')']);
        let follows_number = pieces
            .last()
            .is_some_and(|last| last.starts_with(|c: char| c.is_ascii_digit() || c == '-'));
        match pieces.last_mut() {
            Some(last) if follows_number && (UNITS.contains(&bare) || is_fraction(bare)) => {
                last.push(' ');
                last.push_str(word);
            }
            _ => pieces.push(word.to_owned()),
        }
    }
    pieces
}

/// Whether a word is the fraction of a number before it, as in `8 3/8 in` or `9'-1 3/16"`.
fn is_fraction(word: &str) -> bool {
    let digits = |part: &str| !part.is_empty() && part.chars().all(|c| c.is_ascii_digit());
    let fraction = word.trim_end_matches('"').split_once('/');
    fraction.is_some_and(|(above, below)| digits(above) && digits(below))
}

/// Cuts a piece that is longer than a whole line; full lines go to `lines`, the rest is returned.
fn cut(piece: &str, width: usize, lines: &mut Vec<String>) -> String {
    let mut line = String::new();
    for c in piece.chars() {
        if display_width(&line) + c.width().unwrap_or(0) > width && !line.is_empty() {
            lines.push(std::mem::take(&mut line));
        }
        line.push(c);
    }
    line
}

/// Stands for a space at which a cell must not be broken while it is laid out: the no-break space.
const GLUE: &str = "\u{a0}";

/// How a column of a table is set.
#[derive(Clone, Copy, PartialEq, Eq)]
pub enum Align {
    /// Words.
    Left,
    /// Numbers.
    Right,
}

/// A table of words and numbers, without borders; the widest columns give way in a narrow terminal.
pub struct Table {
    aligns: Vec<Align>,
    header: Option<Vec<String>>,
    rows: Vec<Vec<String>>,
}

impl Table {
    /// An empty table with a column per alignment.
    pub fn new(aligns: &[Align]) -> Self {
        Self { aligns: aligns.to_vec(), header: None, rows: Vec::new() }
    }

    /// With a header row.
    pub fn header(mut self, names: &[&str]) -> Self {
        self.header = Some(names.iter().map(|&name| name.to_owned()).collect());
        self
    }

    /// Adds a row.
    pub fn row<const N: usize>(&mut self, cells: [String; N]) {
        self.row_of(cells.into());
    }

    /// Adds a row of any length.
    pub fn row_of(&mut self, cells: Vec<String>) {
        let cells = cells.iter().map(|cell| {
            let pieces = unbreakable_pieces(&clean(cell));
            pieces.iter().map(|piece| piece.replace(' ', GLUE)).join(" ")
        });
        self.rows.push(cells.collect());
    }

    /// The lines of the table, none wider than `width`.
    fn lines(&self, width: usize) -> Vec<String> {
        let mut grid = Grid::new();
        grid.load_style(presets::NOTHING)
            .set_content_arrangement(ContentArrangement::Dynamic)
            .set_width(u16::try_from(width).unwrap_or(u16::MAX));
        if let Some(header) = &self.header {
            grid.set_header(header);
        }
        for row in &self.rows {
            grid.add_row(row);
        }
        let last = self.aligns.len().saturating_sub(1);
        for (index, align) in self.aligns.iter().enumerate() {
            if let Some(column) = grid.column_mut(index) {
                column.set_padding((0, if index == last { 0 } else { 2 }));
                column.set_cell_alignment(match align {
                    Align::Left => CellAlignment::Left,
                    Align::Right => CellAlignment::Right,
                });
            }
        }
        grid.lines().map(|line| line.replace(GLUE, " ").trim_end().to_owned()).collect()
    }
}

/// A text that grows line by line within a width.
pub struct Page {
    width: usize,
    text: String,
}

impl Page {
    /// An empty page.
    pub fn new(width: usize) -> Self {
        Self { width, text: String::new() }
    }

    /// The width all lines keep.
    pub fn width(&self) -> usize {
        self.width
    }

    /// An empty line.
    pub fn blank(&mut self) {
        self.text.push('\n');
    }

    /// A heading with a rule below and a free line around.
    pub fn heading(&mut self, title: &str) {
        self.blank();
        let lines = wrap(title, self.width);
        let rule = lines.iter().map(|line| display_width(line)).max().unwrap_or(0);
        for line in lines {
            self.push(&line);
        }
        self.push(&"-".repeat(rule));
    }

    /// A paragraph, all lines indented.
    pub fn para(&mut self, indent: usize, text: &str) {
        self.hanging(indent, "", text);
    }

    /// A label and a text that wraps behind it: `  Deck    two cars ...`.
    pub fn hanging(&mut self, indent: usize, label: &str, text: &str) {
        let label = clean(label);
        let inner = indent + display_width(&label);
        let margin = " ".repeat(indent);
        for (number, line) in
            wrap(&clean(text), self.width.saturating_sub(inner).max(1)).into_iter().enumerate()
        {
            let before = if number == 0 { label.clone() } else { " ".repeat(inner - indent) };
            self.push(&format!("{margin}{before}{line}"));
        }
    }

    /// A left and a right text on one line, dots and all left out; two lines where one is too short.
    pub fn ends(&mut self, left: &str, right: &str) {
        let (left, right) = (clean(left), clean(right));
        let used = display_width(&left) + display_width(&right);
        if used + 2 <= self.width {
            let gap = " ".repeat(self.width - used);
            self.push(&format!("{left}{gap}{right}"));
            return;
        }
        self.para(0, &left);
        for line in wrap(&right, self.width) {
            let gap = " ".repeat(self.width - display_width(&line).min(self.width));
            self.push(&format!("{gap}{line}"));
        }
    }

    /// A table, indented.
    pub fn table(&mut self, indent: usize, table: &Table) {
        let margin = " ".repeat(indent);
        for line in table.lines(self.width.saturating_sub(indent)) {
            self.push(&format!("{margin}{line}"));
        }
    }

    /// A line as it is, without trailing spaces; the caller keeps the width.
    pub fn push(&mut self, line: &str) {
        self.text.push_str(line.trim_end());
        self.text.push('\n');
    }

    /// The finished text.
    pub fn finish(self) -> String {
        self.text
    }
}

#[cfg(test)]
mod tests {
    use super::*;

    #[test]
    fn wraps_at_spaces_and_keeps_numbers_with_their_units() {
        for (text, width, lines) in [
            ("", 10, vec![""]),
            ("one two three", 20, vec!["one two three"]),
            ("one two three", 8, vec!["one two", "three"]),
            ("a span of 66.00 ft, at", 14, vec!["a span of", "66.00 ft, at"]),
            ("about 9'-1 3/16\" wide", 12, vec!["about", "9'-1 3/16\"", "wide"]),
            ("gap 1 1/2 in; ok", 9, vec!["gap", "1 1/2 in;", "ok"]),
            ("abcdefghij", 4, vec!["abcd", "efgh", "ij"]),
            ("ab abcdefg", 4, vec!["ab", "abcd", "efg"]),
        ] {
            assert_eq!(wrap(text, width), lines, "{text:?} in {width}");
        }
    }

    #[test]
    fn wide_characters_count_double() {
        assert_eq!(wrap("橋橋 橋", 5), ["橋橋", "橋"]);
    }

    #[test]
    fn control_characters_never_reach_the_terminal() {
        assert_eq!(clean("a\u{1b}[31mred\nb\u{7}"), "a [31mred b ");
    }

    #[test]
    fn fractions_of_an_inch() {
        for (inches, text) in [
            (0.0, "0 in"),
            (1.5, "1 1/2 in"),
            (0.125, "1/8 in"),
            (-0.25, "-1/4 in"),
            (18.0, "18 in"),
        ] {
            assert_eq!(inches_fraction(Inches(inches)), text);
        }
    }

    #[test]
    fn a_measure_off_the_tape_is_never_rounded_to_another() {
        for (inches, text) in [
            (1.625, "1 5/8 in"),
            (2.625, "2 5/8 in"),
            (1.875, "1 7/8 in"),
            (2.375, "2 3/8 in"),
            (2.0, "2 in"),
            (-0.125, "-1/8 in"),
            (0.0625, "1/16 in"),
            (1.3, "1.3 in"),
            (1.627, "1.627 in"),
        ] {
            assert_eq!(inches_read(Inches(inches)), text);
        }
    }

    #[test]
    fn no_line_is_wider_than_the_page() {
        for width in [40, 57, 80] {
            let mut page = Page::new(width);
            page.heading("A heading that is rather long for a page that may be narrow");
            page.hanging(4, "Label  ", "some words that go on and on until they must be wrapped");
            page.ends("A left text that is long enough", "$1,234,567.00");
            let mut table = Table::new(&[Align::Left, Align::Right]).header(&["What", "Amount"]);
            table.row(["words ".repeat(20), "$1.00".to_owned()]);
            page.table(2, &table);
            let text = page.finish();
            assert!(text.contains("Amount"));
            for line in text.lines() {
                assert!(display_width(line) <= width, "{width}: {line:?}");
                assert_eq!(line, line.trim_end());
            }
        }
    }
}
