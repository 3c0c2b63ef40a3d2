//! Workbooks: XLSX, XLS and ODS. A file is measured before it is unpacked, and a fault of the
//! workbook reader is a fault of the file and not of the run.

use std::collections::BTreeMap;
use std::io::{Cursor, Read as _, Seek as _};
use std::sync::Arc;

use calamine::{
    Data, DataRef, ExcelDateTime, Ods, Range, Reader as _, Sheet, SheetVisible, Xls, Xlsx,
    XlsxFormulaMetadata,
};
use csv::StringRecord;

use super::grid::{Grid, GridRow, Kind, MOST_ROWS, Rows};
use super::guarded::guarded;
use crate::check::Code;
use crate::read::problem::Problem;
use crate::read::spot::Spot;
use crate::read::table::MOST_COLUMNS;
use crate::read::text::SourceText;

/// Most bytes that all parts of a workbook may unpack to.
const MOST_UNPACKED: u64 = 64 << 20;

/// Greatest size of a workbook in the old binary format, which is not packed.
const MOST_XLS: usize = 16 << 20;

/// Most cells between the first and last cell in use.
const MOST_CELLS: u64 = 8_000_000;

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

fn too_large(source: &SourceText, wrong: impl Into<String>) -> Box<Problem> {
    let instead = "save the one sheet with the cars as CSV";
    Box::new(Problem::of_file(Code::FileTooLarge, source.name.clone(), wrong, instead))
}

fn broken(source: &SourceText, why: &str) -> Box<Problem> {
    let wrong = format!("cannot be read as a workbook: {why}");
    let instead = "open and save it again as XLSX, or save the sheet as CSV";
    Box::new(Problem::of_file(Code::FileUnreadable, source.name.clone(), wrong, instead))
}

/// The sheets of a workbook that are not empty, or of these the one named.
pub(super) fn sheets(source: &SourceText, only: Option<&str>) -> Result<Vec<Grid>, Box<Problem>> {
    let read = || match sort(&source.bytes) {
        Some(Sort::Xls) if source.bytes.len() > MOST_XLS => {
            Err(too_large(source, format!("has more than {} MB", MOST_XLS >> 20)))
        }
        Some(Sort::Xls) => match super::xls_spread::spread(&source.bytes) {
            None => Err(broken(source, "its parts cannot be found")),
            Some(cells) if cells > MOST_CELLS => Err(too_large(source, "has cells too far apart")),
            Some(_) => xls(source, only),
        },
        _ => packed(source, only),
    };
    // The workbook reader meets files that nobody wrote with a spreadsheet.
    guarded(read).unwrap_or_else(|| Err(broken(source, "its parts contradict each other")))
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
        let is_content = part.name().is_ok_and(|name| name == "content.xml");
        let mut limited = part.by_ref().take(left + 1);
        let size = if is_content {
            let mut text = String::new();
            limited.read_to_string(&mut text).map_err(|error| why(&error))?;
            let size = text.len() as u64;
            content = Some(text);
            size
        } else {
            std::io::copy(&mut limited, &mut std::io::sink()).map_err(|error| why(&error))?
        };
        left = left.checked_sub(size).ok_or_else(too_much)?;
    }
    drop(archive);
    match content {
        Some(content) if spread(&content) > MOST_CELLS => {
            Err(too_large(source, "has cells too far apart"))
        }
        Some(_) => {
            let mut book: Ods<_> = Ods::new(cursor(source)).map_err(|error| why(&error))?;
            let hidden = hidden(book.sheets_metadata());
            let names = chosen(source, book.sheet_names(), only)?;
            let range = |name: &str| book.worksheet_range(name).map_err(|error| why(&error));
            ranges(source, names, range).map(|grids| marked(grids, &hidden))
        }
        None => xlsx(source, only),
    }
}

fn cursor(source: &SourceText) -> Cursor<&[u8]> {
    let mut cursor = Cursor::new(source.bytes.as_slice());
    // A cursor at its beginning is what the readers expect; this cannot fail.
    let _ = cursor.rewind();
    cursor
}

/// Cells between the first and the last one in use of an ODS file, counted with its repetitions.
fn spread(content: &str) -> u64 {
    let repeats = |tag: &str, name: &str| -> u64 {
        let value = tag.split_once(name).and_then(|(_, rest)| rest.split('"').nth(1));
        value.and_then(|value| value.parse().ok()).unwrap_or(1)
    };
    let (mut most, mut rows, mut used, mut width) = (0_u64, 0_u64, 0_u64, 1_u64);
    for chunk in content.split("<table:table-row") {
        let tag = chunk.split('>').next().unwrap_or_default();
        rows = rows.saturating_add(repeats(tag, "number-rows-repeated"));
        let mut at = 0_u64;
        for cell in chunk.split("<table:").skip(1) {
            let tag = cell.split('>').next().unwrap_or_default();
            if !tag.starts_with("table-cell") && !tag.starts_with("covered-table-cell") {
                continue;
            }
            at = at.saturating_add(repeats(tag, "number-columns-repeated"));
            if tag.contains("value") || tag.contains("formula") || cell.contains("<text:p") {
                (used, width) = (rows, width.max(at));
            }
        }
        most = most.max(used.saturating_mul(width));
    }
    most
}

fn xls(source: &SourceText, only: Option<&str>) -> Result<Vec<Grid>, Box<Problem>> {
    let why = |error: &dyn std::fmt::Display| broken(source, &error.to_string());
    let mut book: Xls<_> = Xls::new(cursor(source)).map_err(|error| why(&error))?;
    let hidden = hidden(book.sheets_metadata());
    let names = chosen(source, book.sheet_names(), only)?;
    let range = |name: &str| book.worksheet_range(name).map_err(|error| why(&error));
    ranges(source, names, range).map(|grids| marked(grids, &hidden))
}

/// The names of the sheets that whoever opens the workbook does not see.
fn hidden(sheets: &[Sheet]) -> Vec<String> {
    let hidden = sheets.iter().filter(|sheet| sheet.visible != SheetVisible::Visible);
    hidden.map(|sheet| sheet.name.clone()).collect()
}

fn marked(mut grids: Vec<Grid>, hidden: &[String]) -> Vec<Grid> {
    for grid in &mut grids {
        grid.hidden = grid.sheet.as_deref().is_some_and(|name| hidden.iter().any(|h| h == name));
    }
    grids
}

fn ranges(
    source: &SourceText,
    names: Vec<String>,
    mut range: impl FnMut(&str) -> Result<Range<Data>, Box<Problem>>,
) -> Result<Vec<Grid>, Box<Problem>> {
    let mut grids = Vec::new();
    for name in names {
        let range = range(&name)?;
        let (row, column) = range.start().unwrap_or_default();
        let mut cells = Cells::default();
        for (r, c, value) in range.used_cells() {
            let place = (row.saturating_add(r as u32), column.saturating_add(c as u32));
            cells.add((source, &name), place, cell(&DataRef::from_data(value)))?;
        }
        grids.extend(cells.grid(&name));
    }
    Ok(grids)
}

fn xlsx(source: &SourceText, only: Option<&str>) -> Result<Vec<Grid>, Box<Problem>> {
    let why = |error: &dyn std::fmt::Display| broken(source, &error.to_string());
    let mut book: Xlsx<_> = Xlsx::new(cursor(source)).map_err(|error| why(&error))?;
    let hidden = hidden(book.sheets_metadata());
    let names = chosen(source, book.sheet_names(), only)?;
    let mut grids = Vec::new();
    for name in names {
        // Cell by cell: a sheet with one cell in its last row and column is small that way.
        let mut cells = Cells::default();
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
                (value, _) => cell(value),
            };
            cells.add((source, &name), record.pos, found)?;
        }
        grids.extend(cells.grid(&name));
    }
    Ok(marked(grids, &hidden))
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

/// Cells in use, by row.
#[derive(Default)]
struct Cells {
    rows: BTreeMap<u32, BTreeMap<u32, (String, Kind)>>,
    /// Columns up to the last one in use.
    width: u64,
}

impl Cells {
    fn add(
        &mut self,
        (source, sheet): (&SourceText, &str),
        (row, column): (u32, u32),
        cell: Option<(String, Kind)>,
    ) -> Result<(), Box<Problem>> {
        let Some(cell) = cell else { return Ok(()) };
        if column as usize >= MOST_COLUMNS {
            let place = (u64::from(row) + 1, u64::from(column) + 1);
            let spot = Spot::of_cell(sheet.into(), place.0, place.1, &cell.0);
            return Err(Box::new(Problem::too_wide(source.name.clone(), &cell.0, spot)));
        }
        self.rows.entry(row).or_default().insert(column, cell);
        if self.rows.len() > MOST_ROWS {
            return Err(too_large(source, format!("has more than {MOST_ROWS} rows")));
        }
        self.width = self.width.max(u64::from(column) + 1);
        if self.rows.len() as u64 * self.width > MOST_CELLS {
            return Err(too_large(source, "has cells too far apart"));
        }
        Ok(())
    }

    fn grid(self, name: &str) -> Option<Grid> {
        if self.rows.is_empty() {
            return None;
        }
        let rows = self.rows.into_iter().map(|(number, cells)| {
            let (mut record, mut kinds) = (StringRecord::new(), Vec::new());
            for (column, (text, kind)) in cells {
                while (kinds.len() as u64) < u64::from(column) {
                    record.push_field("");
                    kinds.push(Kind::Text);
                }
                record.push_field(&text);
                kinds.push(kind);
            }
            GridRow { number: u64::from(number) + 1, cells: record, kinds, ..GridRow::default() }
        });
        let rows = Rows::Kept(rows.collect());
        Some(Grid { sheet: Some(Arc::from(name)), rows, ..Grid::default() })
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
    // Characters that no cell has are shown as what they are not: text.
    let text: String = text.chars().map(|c| if c.is_control() { ' ' } else { c }).collect();
    (!text.trim().is_empty()).then_some((text, kind))
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

    #[test]
    fn an_ods_file_is_as_large_as_its_last_cell_is_far() {
        let row = |repeated: u32, columns: u32, inside: &str| {
            format!(
                "<table:table-row table:number-rows-repeated=\"{repeated}\"><table:table-cell \
                 table:number-columns-repeated=\"{columns}\">{inside}</table:table-cell></table:table-row>"
            )
        };
        let value = "<text:p>1</text:p>";
        // The text before the first row counts as one row, which does no harm.
        for (content, least, most) in [
            (row(1, 3, value), 3, 6),
            (format!("{}{}", row(1, 3, value), row(1_048_000, 16_384, "")), 3, 6),
            (format!("{}{}", row(100_000, 1, ""), row(1, 100, value)), 10_000_000, 10_000_300),
        ] {
            let found = spread(&content);
            assert!((least..=most).contains(&found), "{found}");
        }
    }

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
