//! What the sheets of a workbook in the old binary format hide and strike through. Numbers of records
//! and places of fields are those of Microsoft's [MS-XLS], from memory.

use std::collections::HashMap;

use super::kept::Marks;
use super::xls_spread::{stream, u16_at, u32_at};

const BEGIN: u16 = 0x0809;
const SHEET: u16 = 0x0085;
const FONT: u16 = 0x0031;
const STYLE: u16 = 0x00E0;
const ROW: u16 = 0x0208;
const COLUMNS: u16 = 0x007D;
/// Records of one cell: row, column and style first.
const ONE: [u16; 9] = [0x0006, 0x0406, 0x0206, 0x0203, 0x0204, 0x0205, 0x027E, 0x00FD, 0x00D6];
/// A record of several numbers in a row.
const SEVERAL: u16 = 0x00BD;

/// The marks of all sheets, by name; of as much as can be followed.
pub(super) fn marks(bytes: &[u8]) -> HashMap<String, Marks> {
    let Some(stream) = stream(bytes) else { return HashMap::new() };
    let (mut names, mut fonts, mut styles) = (HashMap::new(), Vec::new(), Vec::new());
    let mut found: HashMap<String, Marks> = HashMap::new();
    let mut sheet = None;
    let mut at = 0;
    while let (Some(sort), Some(length)) = (u16_at(&stream, at), u16_at(&stream, at + 2)) {
        let end = at + 4 + usize::from(length);
        let Some(record) = stream.get(at + 4..end) else { break };
        match sort {
            BEGIN => sheet = names.get(&(at as u32)).cloned(),
            SHEET => names.extend(u32_at(record, 0).zip(name(record))),
            // The bit of struck-through text stands behind the height.
            FONT => fonts.push(u16_at(record, 2).is_some_and(|flags| flags & 8 != 0)),
            STYLE => styles.push(u16_at(record, 0).is_some_and(|font| is_struck(&fonts, font))),
            _ => {
                if let Some(sheet) = &sheet {
                    let marks = found.entry(sheet.clone()).or_default();
                    of_sheet(sort, record, &styles, marks);
                }
            }
        }
        at = end;
    }
    found
}

/// Fonts are counted without the fifth, which no file has.
fn is_struck(fonts: &[bool], font: u16) -> bool {
    let at = usize::from(font);
    fonts.get(if at > 4 { at - 1 } else { at }).copied().unwrap_or_default()
}

/// The name of a sheet: its length and a flag for wide letters stand before it.
fn name(record: &[u8]) -> Option<String> {
    let length = usize::from(*record.get(6)?);
    let wide = record.get(7)? & 1 != 0;
    if !wide {
        return Some(record.get(8..8 + length)?.iter().map(|&byte| char::from(byte)).collect());
    }
    let units: Option<Vec<u16>> = (0..length).map(|at| u16_at(record, 8 + 2 * at)).collect();
    Some(String::from_utf16_lossy(&units?))
}

fn of_sheet(sort: u16, record: &[u8], styles: &[bool], marks: &mut Marks) {
    let field = |at: usize| u16_at(record, at).map(u32::from);
    let struck = |style: Option<u32>| {
        style.and_then(|style| styles.get(style as usize)).copied().unwrap_or_default()
    };
    match sort {
        ROW => {
            if let (Some(row), true) = (field(0), field(12).is_some_and(|bits| bits & 0x20 != 0)) {
                marks.hidden_rows.insert(row);
            }
        }
        COLUMNS => {
            let hidden = field(8).is_some_and(|bits| bits & 1 != 0) || field(4) == Some(0);
            if let (true, Some(first), Some(last)) = (hidden, field(0), field(2)) {
                marks.hidden_columns.extend(first..=last.min(255));
            }
        }
        SEVERAL => {
            let (Some(row), Some(first)) = (field(0), field(2)) else { return };
            // Style and value of each cell take six bytes; the last column stands at the end.
            for (column, at) in (first..256).zip((4..record.len().saturating_sub(2)).step_by(6)) {
                if struck(field(at)) {
                    marks.struck.insert((row, column));
                }
            }
        }
        sort if ONE.contains(&sort) => {
            if let (Some(row), Some(column), true) = (field(0), field(2), struck(field(4))) {
                marks.struck.insert((row, column));
            }
        }
        _ => {}
    }
}

#[cfg(test)]
mod tests {
    use super::*;

    #[test]
    fn records_of_a_sheet() {
        let styles = [false, true];
        let mut marks = Marks::default();
        let mut row = vec![3, 0];
        row.extend([0; 10]);
        row.extend([0x20, 0, 0, 0]);
        of_sheet(ROW, &row, &styles, &mut marks);
        of_sheet(COLUMNS, &[2, 0, 3, 0, 0, 8, 0, 0, 1, 0], &styles, &mut marks);
        of_sheet(0x00FD, &[7, 0, 1, 0, 1, 0, 0, 0, 0, 0], &styles, &mut marks);
        of_sheet(
            SEVERAL,
            &[8, 0, 0, 0, 0, 0, 0, 0, 0, 0, 1, 0, 0, 0, 0, 0, 1, 0],
            &styles,
            &mut marks,
        );
        let expected = Marks {
            hidden_rows: [3].into(),
            hidden_columns: [2, 3].into(),
            struck: [(7, 1), (8, 1)].into(),
        };
        assert_eq!(marks, expected);
        assert!(is_struck(&[false, false, false, false, true], 5));
    }

    #[test]
    fn a_name_in_narrow_and_wide_letters() {
        assert_eq!(name(b"\0\0\0\0\0\0\x04\0Cars").as_deref(), Some("Cars"));
        assert_eq!(name(b"\0\0\0\0\0\0\x02\x01C\0a\0").as_deref(), Some("Ca"));
        assert_eq!(name(b"\0\0\0\0\0\0\x09\0Cars"), None);
    }
}
