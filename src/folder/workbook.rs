//! Cells of a workbook changed where they stand: every other part of the file stays as it is, byte for
//! byte, and of the sheet every other cell.

mod scribe;

use std::collections::BTreeMap;
use std::io::{Cursor, Read as _, Write as _};

use quick_xml::events::{BytesStart, Event};
use quick_xml::{Reader, Writer, XmlVersion};
use zip::write::SimpleFileOptions;
use zip::{CompressionMethod, ZipArchive, ZipWriter};

use scribe::{Scribe, letters};

use crate::read::{AsWritten, FileKind, SourceText, as_written};

/// Why a workbook's cells cannot be changed where they stand.
#[derive(Debug, thiserror::Error)]
pub enum NotKept {
    /// It is another workbook than XLSX.
    #[error("only workbooks in XLSX can be edited here")]
    OtherSort,
    /// What formulas give would no longer be what the cells say.
    #[error("it has formulas, whose results only a spreadsheet program works out")]
    Formulas,
    /// Its signature would no longer hold.
    #[error("it is signed")]
    Signed,
    /// It cannot be taken apart.
    #[error("its parts cannot be changed: {0}")]
    Broken(String),
    /// Read again it says something else than was written.
    #[error("cell {0} would not be read as it was typed")]
    ReadOtherwise(String),
}

/// Most bytes of a part that is changed; the reader has its own, lower limits.
const MOST_PART: u64 = 64 << 20;

fn broken(error: impl std::fmt::Display) -> NotKept {
    NotKept::Broken(error.to_string())
}

/// A workbook of a kind of table with these rows in place of its own: of each row the cells, in the order
/// of the columns, those behind the last one as new rows. What is read of it again is held against what
/// was to be written.
///
/// # Errors
/// [`NotKept`]; nothing is lost then, for the bytes are as they were.
pub fn with_rows(
    source: &SourceText,
    kind: FileKind,
    rows: &[Vec<String>],
) -> Result<Vec<u8>, NotKept> {
    let before = read(source, kind)?;
    let sheet = before.sheet.clone().ok_or(NotKept::OtherSort)?;
    let changes = changes(&before, rows);
    if changes.is_empty() {
        return Ok(source.bytes.clone());
    }
    let bytes = changed(&source.bytes, &sheet, before.header_row, &changes)?;
    let after = read(&SourceText::new(&source.name, bytes.as_slice()), kind)?;
    let wanted: Vec<Vec<&str>> = rows
        .iter()
        .map(|row| row.iter().map(|cell| cell.trim()).collect())
        .filter(|row: &Vec<&str>| row.iter().any(|cell| !cell.is_empty()))
        .collect();
    for at in 0..wanted.len().max(after.rows.len()) {
        let found = after.rows.get(at);
        for (number, column) in before.columns.iter().enumerate() {
            let is = found.and_then(|row| row.cells.get(number)).map_or("", String::as_str);
            let was = wanted.get(at).and_then(|row| row.get(number)).copied().unwrap_or_default();
            if is != was {
                let line = found.map_or(0, |row| row.number);
                return Err(NotKept::ReadOtherwise(format!("{}{line}", letters(column.at))));
            }
        }
    }
    Ok(bytes)
}

fn read(source: &SourceText, kind: FileKind) -> Result<AsWritten, NotKept> {
    let read = as_written(source, kind).map_err(broken)?;
    read.ok_or(NotKept::OtherSort)
}

/// What is to stand in cells, by row and column.
type Changes = BTreeMap<u64, BTreeMap<usize, String>>;

fn changes(before: &AsWritten, rows: &[Vec<String>]) -> Changes {
    let mut changes = Changes::new();
    let last = before.rows.iter().map(|row| row.number).max().unwrap_or(before.header_row);
    let mut next = last.max(before.header_row);
    for (at, row) in rows.iter().enumerate() {
        let standing = before.rows.get(at);
        if standing.is_none() && row.iter().all(|cell| cell.trim().is_empty()) {
            continue;
        }
        let number = standing.map_or_else(
            || {
                next += 1;
                next
            },
            |row| row.number,
        );
        for (place, (column, cell)) in before.columns.iter().zip(row).enumerate() {
            let was = standing.and_then(|row| row.cells.get(place));
            if was.map_or("", String::as_str) != cell.trim() {
                changes.entry(number).or_default().insert(column.at, cell.trim().to_owned());
            }
        }
    }
    changes
}

fn changed(
    bytes: &[u8],
    sheet: &str,
    header_row: u64,
    changes: &Changes,
) -> Result<Vec<u8>, NotKept> {
    if !bytes.starts_with(b"PK\x03\x04") {
        return Err(NotKept::OtherSort);
    }
    let mut archive = ZipArchive::new(Cursor::new(bytes)).map_err(broken)?;
    let names: Vec<String> = archive.file_names().flatten().map(Into::into).collect();
    if names.iter().any(|name| name.starts_with("_xmlsignatures/")) {
        return Err(NotKept::Signed);
    }
    if !names.iter().any(|name| name == "xl/workbook.xml") {
        return Err(NotKept::OtherSort);
    }
    let target = part_of(&mut archive, sheet)?;
    for name in
        names.iter().filter(|name| name.starts_with("xl/worksheets/") && name.ends_with(".xml"))
    {
        if has_formulas(&part(&mut archive, name)?)? {
            return Err(NotKept::Formulas);
        }
    }
    let new = sheet_with(&part(&mut archive, &target)?, header_row, changes)?;
    let mut writer = ZipWriter::new(Cursor::new(Vec::new()));
    for at in 0..archive.len() {
        let file = archive.by_index_raw(at).map_err(broken)?;
        if file.name().is_ok_and(|name| name == target) {
            let mut options =
                SimpleFileOptions::default().compression_method(CompressionMethod::Deflated);
            if let Some(time) = file.last_modified() {
                options = options.last_modified_time(time);
            }
            writer.start_file(target.as_str(), options).map_err(broken)?;
            writer.write_all(&new).map_err(broken)?;
        } else {
            writer.raw_copy_file(file).map_err(broken)?;
        }
    }
    Ok(writer.finish().map_err(broken)?.into_inner())
}

fn part(archive: &mut ZipArchive<Cursor<&[u8]>>, name: &str) -> Result<Vec<u8>, NotKept> {
    let file = archive.by_name(name).map_err(broken)?;
    let mut bytes = Vec::new();
    file.take(MOST_PART + 1).read_to_end(&mut bytes).map_err(broken)?;
    if bytes.len() as u64 > MOST_PART { Err(broken("a part is too large")) } else { Ok(bytes) }
}

/// An attribute by the end of its name.
fn attribute(start: &BytesStart<'_>, name: &str) -> Option<String> {
    let found = start.attributes().flatten().find(|a| a.key.local_name().as_ref() == name)?;
    found.normalized_value(XmlVersion::Implicit1_0).ok().map(Into::into)
}

/// The part that holds a sheet, by the sheet's name.
fn part_of(archive: &mut ZipArchive<Cursor<&[u8]>>, sheet: &str) -> Result<String, NotKept> {
    let find = |xml: &[u8], element: &str, key: &str, value: &str, wanted: &str| {
        let mut reader = Reader::from_reader(xml);
        loop {
            match reader.read_event().map_err(broken)? {
                Event::Start(start) | Event::Empty(start)
                    if start.local_name().as_ref() == element
                        && attribute(&start, key).as_deref() == Some(value) =>
                {
                    return Ok(attribute(&start, wanted));
                }
                Event::Eof => return Ok(None),
                _ => {}
            }
        }
    };
    let book = part(archive, "xl/workbook.xml")?;
    let id: Option<String> = find(&book, "sheet", "name", sheet, "id")?;
    let id = id.ok_or_else(|| broken("the sheet is not found"))?;
    let links = part(archive, "xl/_rels/workbook.xml.rels")?;
    let target = find(&links, "Relationship", "Id", &id, "Target")?;
    let target = target.ok_or_else(|| broken("the sheet's part is not found"))?;
    Ok(match target.strip_prefix('/') {
        Some(whole) => whole.to_owned(),
        None => format!("xl/{target}"),
    })
}

fn has_formulas(xml: &[u8]) -> Result<bool, NotKept> {
    let mut reader = Reader::from_reader(xml);
    loop {
        match reader.read_event().map_err(broken)? {
            Event::Start(start) | Event::Empty(start) if start.local_name().as_ref() == "f" => {
                return Ok(true);
            }
            Event::Eof => return Ok(false),
            _ => {}
        }
    }
}

/// The sheet with the changes.
fn sheet_with(xml: &[u8], header_row: u64, changes: &Changes) -> Result<Vec<u8>, NotKept> {
    let mut scribe = Scribe {
        reader: Reader::from_reader(xml),
        writer: Writer::new(Vec::with_capacity(xml.len() + 4_096)),
        header_row,
        styles: BTreeMap::new(),
    };
    let mut left = changes.clone();
    let mut last_row = 0;
    loop {
        let event = scribe.reader.read_event().map_err(broken)?;
        match event {
            Event::Eof => break,
            // How far the sheet goes is worked out by whoever reads it.
            Event::Empty(start) if start.local_name().as_ref() == "dimension" => {}
            Event::Empty(start) if start.local_name().as_ref() == "sheetData" => {
                scribe.write(Event::Start(start.clone()))?;
                scribe.rows_below(&mut left, u64::MAX)?;
                scribe.write(Event::End(start.to_end()))?;
            }
            Event::Start(start) if start.local_name().as_ref() == "row" => {
                last_row = number_of(&start).unwrap_or(last_row + 1);
                scribe.rows_below(&mut left, last_row)?;
                scribe.row(
                    start.into_owned(),
                    last_row,
                    &left.remove(&last_row).unwrap_or_default(),
                )?;
            }
            Event::Empty(start) if start.local_name().as_ref() == "row" => {
                last_row = number_of(&start).unwrap_or(last_row + 1);
                scribe.rows_below(&mut left, last_row)?;
                match left.remove(&last_row) {
                    None => scribe.write(Event::Empty(start))?,
                    Some(cells) => scribe.new_row(start, last_row, &cells)?,
                }
            }
            Event::End(end) if end.local_name().as_ref() == "sheetData" => {
                scribe.rows_below(&mut left, u64::MAX)?;
                scribe.write(Event::End(end))?;
            }
            Event::Empty(start) if start.local_name().as_ref() == "col" => {
                let number = |name: &str| attribute(&start, name)?.parse::<usize>().ok();
                if let (Some(first), Some(last), Some(style)) =
                    (number("min"), number("max"), attribute(&start, "style"))
                {
                    for column in first..=last.min(first + 1_000) {
                        scribe.styles.insert(column.saturating_sub(1), style.clone());
                    }
                }
                scribe.write(Event::Empty(start))?;
            }
            other => scribe.write(other)?,
        }
    }
    if left.is_empty() {
        Ok(scribe.writer.into_inner())
    } else {
        Err(broken("the sheet has no rows"))
    }
}

fn number_of(row: &BytesStart<'_>) -> Option<u64> {
    attribute(row, "r")?.parse().ok()
}
