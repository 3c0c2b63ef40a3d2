//! A table of the folder that is edited here: as written in its file, CSV or workbook, and back.

use std::path::{Path, PathBuf};

use spanyard::folder::{Files, NotKept, open_in, with_rows};
use spanyard::model::columns::Columns as _;
use spanyard::read::{CrossingColumn, FileKind, SourceText, as_written};

use crate::desk::exchange::Asked;

/// Blank rows below those of the file.
pub const MORE: usize = 3;

/// Most rows of a grid; a file with more is edited with a spreadsheet program.
pub const MOST: usize = 400;

/// Header and rows as they stand.
#[derive(Clone, Debug, Default, PartialEq)]
pub struct Grid {
    /// The header, as written.
    pub names: Vec<String>,
    /// Our name for each column; none where it is none of ours.
    pub ours: Vec<Option<&'static str>>,
    /// The line, or the row of the sheet, of each row.
    pub lines: Vec<u64>,
    pub rows: Vec<Vec<String>>,
}

/// How a file can be written again.
#[derive(Clone, Copy, Debug, PartialEq, Eq)]
pub enum Form {
    /// As text, whole.
    Csv,
    /// Cell by cell, where its cells stand.
    Workbook,
    /// Not at all: only as another file beside it.
    Beside,
}

/// How the file of crossings can be written.
pub fn form_of(file: &Path) -> Form {
    let ending = file.extension().map(|end| end.to_string_lossy().to_lowercase());
    match ending.as_deref() {
        Some("csv") => Form::Csv,
        Some("xlsx" | "xlsm") => Form::Workbook,
        _ => Form::Beside,
    }
}

/// The table beside a workbook that takes its place.
pub fn beside(file: &Path) -> PathBuf {
    file.with_extension("csv")
}

/// The crossings as their file has them.
pub fn load(files: &Files) -> Result<(PathBuf, Grid), String> {
    let file = files.crossings.clone().ok_or("spanyard.toml names no file of crossings")?;
    let source = open_in(&files.root, &file).map_err(|problem| problem.to_string())?;
    Ok((file, read(&source)?))
}

/// A table as its file has it.
pub fn read(source: &SourceText) -> Result<Grid, String> {
    if let Ok(text) = std::str::from_utf8(&source.bytes)
        && let Some(grid) = Grid::parse(text)
        && grid.ours.iter().any(Option::is_some)
    {
        return Ok(grid);
    }
    let table = as_written(source, FileKind::Crossings).map_err(|problems| problems.to_string())?;
    let table = table.ok_or("the file is no table")?;
    Ok(Grid {
        names: table.columns.iter().map(|column| column.header.clone()).collect(),
        ours: table.columns.iter().map(|column| column.column).collect(),
        lines: table.rows.iter().map(|row| row.number).collect(),
        rows: table.rows.into_iter().map(|row| row.cells).collect(),
    })
}

impl Grid {
    /// A text in our own columns.
    pub fn parse(text: &str) -> Option<Self> {
        let text = text.strip_prefix('\u{feff}').unwrap_or(text);
        let mut reader = csv::ReaderBuilder::new()
            .has_headers(false)
            .flexible(true)
            .from_reader(text.as_bytes());
        let mut all = reader.records();
        let names: Vec<String> = all.next()?.ok()?.iter().map(str::to_owned).collect();
        let mut grid =
            Self { ours: names.iter().map(|name| ours(name)).collect(), names, ..Self::default() };
        for row in all {
            let row = row.ok()?;
            grid.lines.push(row.position().map_or(0, csv::Position::line));
            let mut row: Vec<String> = row.iter().map(str::to_owned).collect();
            row.resize(grid.names.len(), String::new());
            grid.rows.push(row);
        }
        Some(grid)
    }

    /// As CSV, without blank rows.
    pub fn write(&self) -> Option<String> {
        let mut writer = csv::Writer::from_writer(Vec::new());
        writer.write_record(&self.names).ok()?;
        for row in self.rows.iter().filter(|row| !is_blank(row)) {
            writer.write_record(row).ok()?;
        }
        String::from_utf8(writer.into_inner().ok()?).ok()
    }

    /// The bytes of the file with this grid in place of its rows. A workbook keeps all else that it has.
    pub fn bytes_for(&self, form: Form, source: &SourceText) -> Result<Vec<u8>, NotKept> {
        match form {
            Form::Csv => self
                .write()
                .map(String::into_bytes)
                .ok_or_else(|| NotKept::Broken("the table cannot be written".to_owned())),
            Form::Workbook => with_rows(source, FileKind::Crossings, &self.rows),
            Form::Beside => Err(NotKept::OtherSort),
        }
    }

    /// Out of a form: `h0`, `h1` are the names, `r3c7` a cell. Blank rows at the end are dropped; one
    /// between others is a row that was emptied.
    pub fn of(asked: &Asked) -> Self {
        let mut grid = Self::default();
        for (name, value) in &asked.form {
            if name.strip_prefix('h').is_some_and(|n| n.parse::<usize>().is_ok()) {
                grid.names.push(value.clone());
            } else if let Some((row, column)) =
                name.strip_prefix('r').and_then(|rest| rest.split_once('c'))
                && let (Ok(row), Ok(column)) = (row.parse::<usize>(), column.parse::<usize>())
                && row < MOST + MORE
                && column < grid.names.len()
            {
                while grid.rows.len() <= row {
                    grid.rows.push(vec![String::new(); grid.names.len()]);
                }
                if let Some(cell) = grid.rows.get_mut(row).and_then(|row| row.get_mut(column)) {
                    cell.clone_from(value);
                }
            }
        }
        while grid.rows.last().is_some_and(|row| is_blank(row)) {
            grid.rows.pop();
        }
        grid.ours = grid.names.iter().map(|name| ours(name)).collect();
        grid
    }

    /// The column of ours.
    pub fn column(&self, name: &str) -> Option<usize> {
        self.ours.iter().position(|ours| *ours == Some(name))
    }

    /// The ID of a row.
    pub fn id<'r>(&self, row: &'r [String]) -> &'r str {
        let at = self.column("crossing").unwrap_or(0);
        row.get(at).map_or("", |cell| cell.trim())
    }

    /// What is written for a crossing in a column.
    pub fn cell(&self, crossing: &str, column: &str) -> Option<&str> {
        let row = self.rows.iter().find(|row| self.id(row) == crossing)?;
        row.get(self.column(column)?).map(String::as_str)
    }

    /// Writes a cell of a crossing; a column that the table has not yet is put behind the others.
    pub fn set(&mut self, crossing: &str, column: &str, value: &str) -> Option<()> {
        let at = match self.column(column) {
            Some(at) => at,
            None => {
                self.names.push(column.to_owned());
                self.ours.push(ours(column));
                self.rows.iter_mut().for_each(|row| row.push(String::new()));
                self.names.len() - 1
            }
        };
        let row = self.rows.iter().position(|row| self.id(row) == crossing)?;
        value.clone_into(self.rows.get_mut(row)?.get_mut(at)?);
        Some(())
    }

    /// Rows of the file as it is now, with mine in their places by their IDs, and those of mine behind
    /// that it does not have.
    pub fn over(self, theirs: &Self) -> Self {
        let mut rows = theirs.rows.clone();
        for row in self.rows.iter().filter(|row| !is_blank(row)) {
            let id = self.id(row);
            match theirs.rows.iter().position(|their| theirs.id(their) == id) {
                Some(at) => rows[at].clone_from(row),
                None => rows.push(row.clone()),
            }
        }
        Self { lines: theirs.lines.clone(), rows, ..self }
    }
}

/// Whether a row has nothing in it.
pub fn is_blank(row: &[String]) -> bool {
    row.iter().all(|cell| cell.trim().is_empty())
}

/// Our column of this name.
fn ours(name: &str) -> Option<&'static str> {
    CrossingColumn::ALL.iter().map(|column| column.name).find(|known| *known == name.trim())
}
