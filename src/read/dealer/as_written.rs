//! A county's own table as its file has it, cell by cell, so that it can be edited where it stands.

use super::List;
use super::scheme::Scheme;
use crate::read::FileKind;
use crate::read::parts::Pace;
use crate::read::problem::{Findings, Problems};
use crate::read::text::SourceText;

/// A table as its file has it.
#[derive(Clone, Debug, Default, PartialEq, Eq)]
pub struct AsWritten {
    /// The sheet of a workbook.
    pub sheet: Option<String>,
    /// Number of the last row of the header.
    pub header_row: u64,
    /// Its columns that have a header, from left to right.
    pub columns: Vec<WrittenColumn>,
    /// Its rows that are not blank, in the order of the file.
    pub rows: Vec<WrittenRow>,
}

/// A column.
#[derive(Clone, Debug, PartialEq, Eq)]
pub struct WrittenColumn {
    /// The header, as written.
    pub header: String,
    /// Our name for it; none where it is none of ours.
    pub column: Option<&'static str>,
    /// Its place, from 0.
    pub at: usize,
}

/// A row.
#[derive(Clone, Debug, PartialEq, Eq)]
pub struct WrittenRow {
    /// Its number in the file.
    pub number: u64,
    /// Its cells, in the order of the columns, without surrounding blanks.
    pub cells: Vec<String>,
}

/// A county's table as its file has it; none for a kind of file that is no table.
///
/// # Errors
/// It has no header that can be understood.
pub fn as_written(source: &SourceText, kind: FileKind) -> Result<Option<AsWritten>, Problems> {
    let Some(scheme) = Scheme::of_kind(kind) else { return Ok(None) };
    let mut findings = Findings::default();
    let Some(list) = List::open(source, None, scheme, &Pace::whole(), &mut findings) else {
        return Err(Problems(findings.problems));
    };
    let ours = |cell: usize| {
        let column = (0..scheme.columns.len()).find(|&column| list.cell_of(column) == Some(cell));
        column.map(|column| scheme.columns[column].name)
    };
    let names = &list.head.names;
    let columns = (0..names.cells.len()).map(|at| WrittenColumn {
        header: names.cell(at).to_owned(),
        column: ours(at),
        at,
    });
    let columns: Vec<_> = columns.filter(|column| !column.header.is_empty()).collect();
    let first = list.head.row;
    let is_head = |at: usize| list.head.is_row(at) || list.head.units == Some(at);
    let body = (first + 1..list.grid.len()).filter(|&at| !is_head(at));
    let rows = body.filter_map(|at| list.grid.row(at)).filter(|row| !list.is_header_again(row));
    let rows = rows.map(|row| WrittenRow {
        number: row.number,
        cells: columns.iter().map(|column| row.cell(column.at).to_owned()).collect(),
    });
    Ok(Some(AsWritten {
        sheet: list.grid.sheet.as_deref().map(str::to_owned),
        header_row: (0..list.grid.len())
            .filter(|&at| is_head(at))
            .filter_map(|at| list.grid.number(at))
            .max()
            .unwrap_or(1),
        rows: rows.collect(),
        columns: columns.clone(),
    }))
}
