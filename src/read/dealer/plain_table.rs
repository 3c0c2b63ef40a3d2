//! Tables that are no tables to a spreadsheet: columns set with blanks or upright lines, and web pages
//! saved under another name. They become CSV once, when a list is added, line by line.

use super::grid::{Grid, GridRow};
use super::header_row::{DELIMITERS, score};
use super::mapping::Mapping;
use crate::read::text::SourceText;

/// What a file is that cannot be read as a list, in words; nothing where it may be one.
#[must_use]
pub fn unreadable(source: &SourceText) -> Option<&'static str> {
    let bytes = source.bytes.as_slice();
    let starts = |mark: &[u8]| bytes.starts_with(mark);
    if starts(b"%PDF") {
        return Some(
            "a PDF, perhaps scanned: ask the dealer for the spreadsheet, or type the list",
        );
    }
    if starts(b"\x89PNG") || starts(b"\xFF\xD8\xFF") || starts(b"GIF8") || starts(b"II*\0") {
        return Some("a picture of a list: ask the dealer for the spreadsheet, or type the list");
    }
    if starts(b"{\\rtf") {
        return Some("a text document: save its table as CSV");
    }
    if bytes.iter().all(u8::is_ascii_whitespace) {
        return Some("an empty file");
    }
    None
}

/// The table of a file as CSV, where the file is one of these kinds; nothing where it is another.
#[must_use]
pub fn as_csv(source: &SourceText) -> Option<String> {
    if super::workbook::is_workbook(&source.bytes) || source.bytes.contains(&0) {
        return None;
    }
    let text = match std::str::from_utf8(&source.bytes) {
        Ok(text) => text.trim_start_matches('\u{feff}').to_owned(),
        Err(_) => {
            encoding_rs::WINDOWS_1252.decode_without_bom_handling(&source.bytes).0.into_owned()
        }
    };
    let lower = text.to_ascii_lowercase();
    if lower.trim_start().starts_with('<') && lower.contains("<table") {
        return Some(written(web_page(&text, &lower)));
    }
    // What is a table already stays as it is.
    let rules = Mapping::default();
    let has_header = |delimiter: u8| {
        let grid = Grid::beginning(&text, delimiter, 20);
        grid.block(0..20).iter().any(|row| score(row, &rules) >= 2)
    };
    if DELIMITERS.iter().any(|(delimiter, _)| has_header(*delimiter)) {
        return None;
    }
    if has_header(b'|') {
        return Some(written(text.lines().map(upright).collect()));
    }
    set_with_blanks(&text).map(written)
}

fn written(rows: Vec<Vec<String>>) -> String {
    let width = rows.iter().map(Vec::len).max().unwrap_or(0);
    let quoted = |cell: &str| format!("\"{}\"", cell.replace('"', "\"\""));
    let line = |row: Vec<String>| {
        let blanks = width - row.len();
        let cells = row.iter().map(|cell| quoted(cell));
        let cells = cells.chain(std::iter::repeat_n("\"\"".to_owned(), blanks));
        cells.collect::<Vec<_>>().join(",") + "\n"
    };
    rows.into_iter().map(line).collect()
}

/// The cells between upright lines.
fn upright(line: &str) -> Vec<String> {
    let line = line.trim();
    let line = line.strip_prefix('|').unwrap_or(line);
    let line = line.strip_suffix('|').unwrap_or(line);
    line.split('|').map(|cell| cell.trim().to_owned()).collect()
}

/// The fields of a line that blanks set apart, each with its first and the place behind its last letter.
fn fields(line: &[char]) -> Vec<(usize, usize)> {
    let mut found: Vec<(usize, usize)> = Vec::new();
    for (at, _) in line.iter().enumerate().filter(|(_, c)| !c.is_whitespace()) {
        match found.last_mut() {
            // One blank stands between words.
            Some((_, end)) if at <= *end + 1 => *end = at + 1,
            _ => found.push((at, at + 1)),
        }
    }
    found
}

/// A table whose columns are set with blanks.
fn set_with_blanks(text: &str) -> Option<Vec<Vec<String>>> {
    let rules = Mapping::default();
    let lines: Vec<Vec<char>> = text.lines().map(|line| untabbed(line).collect()).collect();
    let cut = |line: &[char], from: usize, to: usize| -> String {
        let piece = line.get(from.min(line.len())..to.min(line.len())).unwrap_or_default();
        piece.iter().collect::<String>().trim().to_owned()
    };
    let known = |line: &Vec<char>| {
        let cells = fields(line).into_iter().map(|(from, to)| cut(line, from, to));
        score(&GridRow { cells: cells.collect(), ..GridRow::default() }, &rules)
    };
    let header = lines.iter().take(20).max_by_key(|line| known(line)).filter(|l| known(l) >= 2)?;
    let heads = fields(header);
    // Between two headers the cut is where the fewest lines have a letter.
    let letter = |line: &Vec<char>, at: usize| line.get(at).is_some_and(|c| !c.is_whitespace());
    let cuts: Vec<usize> = heads
        .windows(2)
        .map(|pair| {
            let gap = pair[0].1..=pair[1].0;
            let crossed = |at: &usize| lines.iter().filter(|line| letter(line, *at)).count();
            gap.min_by_key(crossed).unwrap_or(pair[1].0)
        })
        .collect();
    let rows = lines.iter().map(|line| {
        // A line with words across a cut is none of the table: a title, or a row to be looked at.
        let across = |at: usize| fields(line).iter().any(|&(from, to)| from < at && at < to);
        if cuts.iter().any(|at| across(*at)) {
            return vec![cut(line, 0, line.len())];
        }
        let ends = cuts.iter().copied().chain([line.len().max(cuts.last().map_or(0, |at| at + 1))]);
        let mut from = 0;
        let cells = ends.map(|to| {
            let cell = cut(line, from, to);
            from = to;
            cell
        });
        cells.collect()
    });
    Some(rows.collect())
}

/// A line with blanks up to each eighth place in the place of tabs.
fn untabbed(line: &str) -> impl Iterator<Item = char> {
    let mut out = Vec::new();
    for c in line.chars() {
        if c == '\t' {
            out.resize(out.len() / 8 * 8 + 8, ' ');
        } else {
            out.push(c);
        }
    }
    out.into_iter()
}

/// The rows of the tables of a web page. What it hides or strikes through is left out, row by row.
fn web_page(text: &str, lower: &str) -> Vec<Vec<String>> {
    let mut rows = Vec::new();
    let (mut row, mut cell): (Option<Vec<String>>, Option<String>) = (None, None);
    let (mut at, mut withdrawn) = (0, false);
    while let Some(open) = text[at..].find('<').map(|found| at + found) {
        if let Some(cell) = &mut cell {
            cell.push_str(&text[at..open]);
        }
        let Some(close) = text[open..].find('>').map(|found| open + found) else { break };
        let tag = &lower[open + 1..close];
        let name = tag.split(|c: char| c.is_whitespace() || c == '/').find(|name| !name.is_empty());
        let ends = tag.starts_with('/');
        let out = tag.contains("display:none") || tag.contains("line-through");
        match (name, ends) {
            (Some("tr"), false) => {
                finish(&mut rows, &mut row, &mut cell, withdrawn);
                (row, withdrawn) = (Some(Vec::new()), out);
            }
            (Some("tr" | "table"), true) => finish(&mut rows, &mut row, &mut cell, withdrawn),
            (Some("td" | "th"), false) => {
                if let (Some(row), Some(cell)) = (&mut row, cell.take()) {
                    row.push(plain(&cell));
                }
                cell = Some(String::new());
                withdrawn |= out;
            }
            (Some("td" | "th"), true) => {
                if let (Some(row), Some(cell)) = (&mut row, cell.take()) {
                    row.push(plain(&cell));
                }
            }
            (Some("s" | "strike" | "del"), false) if cell.is_some() => withdrawn = true,
            (Some("br" | "p" | "div"), _) => cell.iter_mut().for_each(|cell| cell.push(' ')),
            _ => {}
        }
        at = close + 1;
    }
    finish(&mut rows, &mut row, &mut cell, withdrawn);
    rows
}

fn finish(
    rows: &mut Vec<Vec<String>>,
    row: &mut Option<Vec<String>>,
    cell: &mut Option<String>,
    withdrawn: bool,
) {
    let Some(mut cells) = row.take() else { return };
    cells.extend(cell.take().map(|cell| plain(&cell)));
    // A withdrawn row stays, as one that nobody takes for a car.
    rows.push(if withdrawn {
        vec![format!("withdrawn in the list: {}", cells.join(" "))]
    } else {
        cells
    });
}

/// The text of a cell without marks of the page.
fn plain(cell: &str) -> String {
    let mut text = cell.to_owned();
    for (mark, letter) in [
        ("&nbsp;", " "),
        ("&quot;", "\""),
        ("&#39;", "'"),
        ("&lt;", "<"),
        ("&gt;", ">"),
        ("&amp;", "&"),
    ] {
        text = text.replace(mark, letter);
    }
    text.split_whitespace().collect::<Vec<_>>().join(" ")
}

#[cfg(test)]
mod tests {
    use super::*;

    #[test]
    fn tables_of_other_kinds_become_csv() {
        for (text, expected) in [
            (
                "FENWICK ROAD          FLAT CARS    Page 1\n\nCar No.   Length   Price\n-----------------\nFR 201    89'4\"    9,800\nFR 202    60'0\"   12,100\n",
                Some(
                    "\"FENWICK ROAD          FLAT CARS    Page 1\",\"\",\"\"\n\"\",\"\",\"\"\n\"Car No.\",\"Length\",\"Price\"\n\"-----------------\",\"\",\"\"\n\"FR 201\",\"89'4\"\"\",\"9,800\"\n\"FR 202\",\"60'0\"\"\",\"12,100\"\n",
                ),
            ),
            (
                "| Car no. | Length |\n|---|---|\n| A | 60' |\n",
                Some("\"Car no.\",\"Length\"\n\"---\",\"---\"\n\"A\",\"60'\"\n"),
            ),
            (
                "<html><table><tr><th>Car</th><th>Length</th></tr><tr><td>K1</td><td>60&#39;</td></tr><tr><td><s>K2</s></td><td>60</td></tr></table>",
                Some("\"Car\",\"Length\"\n\"K1\",\"60'\"\n\"withdrawn in the list: K2 60\",\"\"\n"),
            ),
            ("Car no.,Length (ft)\nA,60\n", None),
            ("nothing of a table", None),
        ] {
            let found = as_csv(&SourceText::new("list", text));
            assert_eq!(found.as_deref(), expected, "{text}");
        }
    }

    #[test]
    fn what_is_no_list_is_named() {
        assert!(unreadable(&SourceText::new("a", &b"%PDF-1.7"[..])).unwrap().contains("PDF"));
        assert!(
            unreadable(&SourceText::new("a", &b"\xFF\xD8\xFF\xE0"[..]))
                .unwrap()
                .contains("picture")
        );
        assert_eq!(unreadable(&SourceText::new("a", "Car,Price\n")), None);
    }

    proptest::proptest! {
        #[test]
        fn no_text_is_too_strange(text in "[<>/a-z |\t\n\"é,;0-9]{0,200}", page in "[<>/a-z \"=:;-]{0,80}") {
            let _ = as_csv(&SourceText::new("x", text.as_str()));
            let _ = as_csv(&SourceText::new("x", format!("<table>{page}")));
        }
    }
}
