//! Workbooks: XLSX, XLS and ODS. A file is measured before it is unpacked, and a fault of the
//! workbook reader is a fault of the file and not of the run.

use std::io::{BufReader, Cursor, Read as _, Seek as _};
use std::time::Duration;

use calamine::{
    Data, DataRef, ExcelDateTime, Reader as _, SheetVisible, Xls, Xlsx, XlsxFormulaMetadata,
};

use super::grid::{Grid, Kind};
use super::guarded::guarded;
use super::kept::{MOST_TEXT, Sheet, Used};
use super::ods;
use super::refused::{broken, too_large};
use super::well_formed::{Fault, walk};
use crate::check::Code;
use crate::parallel::Ended;
use crate::read::problem::Problem;
use crate::read::text::SourceText;

/// Most bytes that all parts of a workbook may unpack to.
const MOST_UNPACKED: u64 = 64 << 20;

/// Greatest size of a workbook as it is, packed or in the old binary format.
const MOST_PACKED: usize = 16 << 20;

/// A workbook of the greatest size takes two seconds, on a busy machine ten.
const DEADLINE: Duration = Duration::from_secs(60);

/// Most cells between the first and the last one in use of all sheets of a workbook in the old binary
/// format, for whose reader they all take room.
const MOST_XLS_CELLS: u64 = 3_000_000;

/// What sort of workbook the bytes are, if they are one.
#[derive(Clone, Copy, Debug, PartialEq, Eq)]
enum Sort {
    Zip,
    Xls,
}

fn sort(bytes: &[u8]) -> Option<Sort> {
    if bytes.starts_with(b"PK\x03\x04") {
        Some(Sort::Zip)
    } else if bytes.starts_with(b"\xD0\xCF\x11\xE0\xA1\xB1\x1A\xE1") {
        Some(Sort::Xls)
    } else {
        None
    }
}

/// Whether the bytes are a workbook.
pub(in crate::read) fn is_workbook(bytes: &[u8]) -> bool {
    sort(bytes).is_some()
}

/// The sheets of a workbook that are not empty, or of these the one named.
pub(super) fn sheets(source: &SourceText, only: Option<&str>) -> Result<Vec<Grid>, Box<Problem>> {
    if source.bytes.len() > MOST_PACKED {
        return Err(too_large(source, format!("has more than {} MB", MOST_PACKED >> 20)));
    }
    // The workbook reader meets files that nobody wrote with a spreadsheet. It works on a copy, for it
    // may have to be left behind.
    let (copy, named) = (source.clone(), only.map(str::to_owned));
    let read = move || unguarded(&copy, named.as_deref());
    match guarded(read, DEADLINE) {
        Ended::Done(sheets) => sheets,
        Ended::Panicked => Err(broken(source, "its parts contradict each other")),
        Ended::Late => {
            let wrong = format!("takes longer than {} seconds to read", DEADLINE.as_secs());
            Err(too_large(source, wrong))
        }
    }
}

fn unguarded(source: &SourceText, only: Option<&str>) -> Result<Vec<Grid>, Box<Problem>> {
    if sort(&source.bytes) != Some(Sort::Xls) {
        return packed(source, only);
    }
    match super::xls_spread::measure(&source.bytes) {
        None => Err(broken(source, "its parts cannot be found")),
        Some(found) if found.places > MOST_XLS_CELLS => {
            Err(too_large(source, "has cells too far apart"))
        }
        Some(found) if found.characters > MOST_TEXT as u64 => Err(too_large(
            source,
            format!("has more than {} MB of text in its cells", MOST_TEXT >> 20),
        )),
        Some(_) => xls(source, only),
    }
}

/// The names to read of all that there are.
fn chosen(
    source: &SourceText,
    names: Vec<String>,
    only: Option<&str>,
) -> Result<Vec<String>, Box<Problem>> {
    let Some(only) = only else { return Ok(names) };
    if names.iter().any(|name| name == only) {
        return Ok(vec![only.to_owned()]);
    }
    let wrong = format!("has no sheet {only}; its sheets are {}", names.join(", "));
    Err(Box::new(Problem::of_file(
        Code::HeaderUnsure,
        source.name.clone(),
        wrong,
        "correct `sheet` in the mapping",
    )))
}

/// What a part of a packed workbook is measured by: the sheets may have cells, the strings and styles
/// that all are kept in memory fewer, and the others are only unpacked.
fn most_elements(name: &str) -> Option<u64> {
    let name = name.to_lowercase();
    let ends = |end: &str| name.ends_with(end);
    if name == "content.xml" || (name.contains("worksheets/") && ends(".xml")) {
        Some(40_000_000)
    } else if ends("sharedstrings.xml") {
        Some(4_000_000)
    } else if name.starts_with("xl/") && ends("styles.xml") || ends("workbook.xml") || ends(".rels")
    {
        Some(1_000_000)
    } else {
        None
    }
}

fn packed(source: &SourceText, only: Option<&str>) -> Result<Vec<Grid>, Box<Problem>> {
    let why = |error: &dyn std::fmt::Display| broken(source, &error.to_string());
    let mut archive =
        zip::ZipArchive::new(Cursor::new(source.bytes.as_slice())).map_err(|error| why(&error))?;
    let mut left = MOST_UNPACKED;
    let mut content = None;
    let too_much = || too_large(source, format!("unpacks to more than {} MB", MOST_UNPACKED >> 20));
    // What the file states is looked at first; what it hides is found by unpacking without keeping.
    let stated: u128 = archive.decompressed_size().unwrap_or(0);
    if stated > u128::from(MOST_UNPACKED) {
        return Err(too_much());
    }
    for at in 0..archive.len() {
        let mut part = archive.by_index(at).map_err(|error| why(&error))?;
        let name = part.name().map(|name| name.into_owned()).unwrap_or_default();
        if name == "content.xml" {
            content = Some(at);
        }
        let mut limited = BufReader::new(part.by_ref().take(left + 1));
        let walked = most_elements(&name).map_or(Ok(()), |most| walk(&mut limited, most));
        std::io::copy(&mut limited, &mut std::io::sink()).map_err(|error| why(&error))?;
        let size = left + 1 - limited.into_inner().limit();
        // A part that is too large is cut by the limit, and that is what is wrong with it.
        left = left.checked_sub(size).ok_or_else(too_much)?;
        walked.map_err(|fault| match fault {
            Fault::Malformed(wrong) => broken(source, &format!("{name}: {wrong}")),
            Fault::TooMany => too_large(source, format!("has too many elements in {name}")),
        })?;
    }
    let Some(content) = content else {
        drop(archive);
        return xlsx(source, only);
    };
    let part = archive.by_index(content).map_err(|error| why(&error))?;
    let sheets = ods::sheets(source, BufReader::new(part.take(MOST_UNPACKED)))?;
    let names = sheets.iter().map(|sheet| sheet.name.clone()).collect();
    let chosen = chosen(source, names, only)?;
    let wanted = sheets.into_iter().filter(|sheet| chosen.contains(&sheet.name));
    Ok(wanted.filter_map(Sheet::grid).collect())
}

fn cursor(source: &SourceText) -> Cursor<&[u8]> {
    let mut cursor = Cursor::new(source.bytes.as_slice());
    // A cursor at its beginning is what the readers expect; this cannot fail.
    let _ = cursor.rewind();
    cursor
}

fn xls(source: &SourceText, only: Option<&str>) -> Result<Vec<Grid>, Box<Problem>> {
    let why = |error: &dyn std::fmt::Display| broken(source, &error.to_string());
    let mut book: Xls<_> = Xls::new(cursor(source)).map_err(|error| why(&error))?;
    let hidden = hidden(book.sheets_metadata());
    let mut used = Used::default();
    let mut grids = Vec::new();
    let mut marks = super::xls_marks::marks(&source.bytes);
    for name in chosen(source, book.sheet_names(), only)? {
        let range = book.worksheet_range(&name).map_err(|error| why(&error))?;
        let (row, column) = range.start().unwrap_or_default();
        let mut sheet = Sheet::new(name.clone(), hidden.contains(&name));
        sheet.marks = marks.remove(&name).unwrap_or_default();
        for (r, c, value) in range.used_cells() {
            let place = (row.saturating_add(r as u32), column.saturating_add(c as u32));
            if let Some((text, kind)) = cell(&DataRef::from_data(value)) {
                sheet.add((source, &mut used), place, &text, kind)?;
            }
        }
        grids.extend(sheet.grid());
    }
    Ok(grids)
}

/// The names of the sheets that whoever opens the workbook does not see.
fn hidden(sheets: &[calamine::Sheet]) -> Vec<String> {
    let hidden = sheets.iter().filter(|sheet| sheet.visible != SheetVisible::Visible);
    hidden.map(|sheet| sheet.name.clone()).collect()
}

fn xlsx(source: &SourceText, only: Option<&str>) -> Result<Vec<Grid>, Box<Problem>> {
    let why = |error: &dyn std::fmt::Display| broken(source, &error.to_string());
    let mut book: Xlsx<_> = Xlsx::new(cursor(source)).map_err(|error| why(&error))?;
    let hidden = hidden(book.sheets_metadata());
    let mut used = Used::default();
    let mut grids = Vec::new();
    let mut marks = super::xlsx_marks::marks(&source.bytes, MOST_UNPACKED);
    for name in chosen(source, book.sheet_names(), only)? {
        // Cell by cell: a sheet with one cell in its last row and column is small that way.
        let mut sheet = Sheet::new(name.clone(), hidden.contains(&name));
        sheet.marks = marks.remove(&name).unwrap_or_default();
        let mut reader = match book.worksheet_cells_reader(&name) {
            Ok(reader) => reader,
            // Charts are sheets too, without cells.
            Err(_) if only.is_none() => continue,
            Err(error) => return Err(why(&error)),
        };
        while let Some(record) =
            reader.next_cell_with_formula_metadata().map_err(|error| why(&error))?
        {
            let found = match (&record.value, &record.formula) {
                (DataRef::Empty, Some(formula)) => Some(unanswered(formula)),
                // Text that many cells share is looked at where it is.
                (DataRef::SharedString(text), _) => {
                    sheet.add((source, &mut used), record.pos, text, Kind::Text)?;
                    None
                }
                (value, _) => cell(value),
            };
            if let Some((text, kind)) = found {
                sheet.add((source, &mut used), record.pos, &text, kind)?;
            }
        }
        grids.extend(sheet.grid());
    }
    Ok(grids)
}

/// A borrowed look at a value of the other readers.
trait FromData<'a> {
    fn from_data(data: &'a Data) -> Self;
}

impl<'a> FromData<'a> for DataRef<'a> {
    fn from_data(data: &'a Data) -> Self {
        match data {
            Data::Int(value) => Self::Int(*value),
            Data::Float(value) => Self::Float(*value),
            Data::String(text) => Self::SharedString(text),
            Data::Bool(value) => Self::Bool(*value),
            Data::DateTime(value) => Self::DateTime(*value),
            Data::DateTimeIso(text) => Self::DateTimeIso(text.clone()),
            Data::DurationIso(text) => Self::DurationIso(text.clone()),
            Data::Error(error) => Self::Error(error.clone()),
            _ => Self::Empty,
        }
    }
}

/// Text and kind of a cell; nothing for an empty one.
fn cell(value: &DataRef<'_>) -> Option<(String, Kind)> {
    let (text, kind) = match value {
        DataRef::Int(value) => (value.to_string(), Kind::Number),
        DataRef::Float(value) => (value.to_string(), Kind::Number),
        DataRef::String(text) => (text.clone(), Kind::Text),
        DataRef::SharedString(text) => ((*text).to_owned(), Kind::Text),
        DataRef::Bool(value) => (if *value { "yes" } else { "no" }.to_owned(), Kind::Text),
        DataRef::DateTime(value) => day(value),
        DataRef::DateTimeIso(text) => {
            (text.split('T').next().unwrap_or_default().to_owned(), Kind::Date)
        }
        DataRef::DurationIso(text) => (text.clone(), Kind::Text),
        DataRef::Error(error) => (error.to_string(), Kind::Error),
        _ => return None,
    };
    Some((text, kind))
}

/// Text and kind of a formula that nobody has worked out, as programs write them that are no
/// spreadsheets: not to be taken for an empty cell.
fn unanswered(formula: &XlsxFormulaMetadata) -> (String, Kind) {
    let formula = match formula {
        XlsxFormulaMetadata::Normal { formula } | XlsxFormulaMetadata::Shared { formula, .. } => {
            formula
        }
        _ => "",
    };
    let formula = formula.chars().map(|c| if c.is_control() { ' ' } else { c });
    (std::iter::once('=').chain(formula).collect(), Kind::Error)
}

fn day(value: &ExcelDateTime) -> (String, Kind) {
    if value.is_duration() {
        return (value.as_f64().to_string(), Kind::Number);
    }
    let (year, month, day, ..) = value.to_ymd_hms_milli();
    (format!("{year:04}-{month:02}-{day:02}"), Kind::Date)
}

#[cfg(test)]
mod tests {
    use super::*;

    proptest::proptest! {
        #![proptest_config(proptest::prelude::ProptestConfig::with_cases(64))]
        #[test]
        fn no_bytes_are_too_strange(bytes in proptest::collection::vec(0_u8..=255, 0..400)) {
            for start in [&b"PK\x03\x04"[..], b"\xD0\xCF\x11\xE0\xA1\xB1\x1A\xE1"] {
                let bytes = [start, &bytes].concat();
                proptest::prop_assert!(sheets(&SourceText::new("x", bytes), None).is_err());
            }
        }
    }
}
