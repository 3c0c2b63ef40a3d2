//! The cells of a workbook's sheets as they are met, counted on the way: what a file of a few
//! kilobytes unpacks or repeats itself to is refused before there is room for it.

use std::collections::{BTreeSet, HashSet};

use csv::StringRecord;

use super::grid::{Grid, GridRow, Kind, MOST_ROWS, Rows};
use super::refused::{too_large, too_wide};
use crate::read::problem::{MOST_COLUMNS, Problem};
use crate::read::text::SourceText;

/// Most cells in use in all sheets of a workbook.
pub(super) const MOST_IN_USE: usize = 3_000_000;

/// Most bytes of text in all sheets of a workbook.
pub(super) const MOST_TEXT: usize = 32 << 20;

/// Most characters of a cell, as spreadsheets have it.
pub(super) const MOST_IN_A_CELL: usize = 32_767;

/// Most places of cells between the first and the last one in use of a sheet.
const MOST_PLACES: u64 = 8_000_000;

/// What the sheets read so far have used up.
#[derive(Debug, Default)]
pub(super) struct Used {
    cells: usize,
    text: usize,
}

/// A cell in use, its text kept with that of the others.
#[derive(Clone, Copy, Debug)]
struct Cell {
    row: u32,
    column: u32,
    from: u32,
    length: u32,
    kind: Kind,
}

/// What a sheet keeps from the eyes of whoever opens it, or shows as withdrawn. Rows and columns from 0.
#[derive(Clone, Debug, Default, PartialEq, Eq)]
pub(super) struct Marks {
    /// Rows that are not shown.
    pub hidden_rows: BTreeSet<u32>,
    /// Columns that are not shown.
    pub hidden_columns: BTreeSet<u32>,
    /// Cells whose text is struck through.
    pub struck: HashSet<(u32, u32)>,
}

/// The cells in use of one sheet.
pub(super) struct Sheet {
    /// Its name.
    pub name: String,
    /// Whether the workbook hides it from whoever opens it.
    pub hidden: bool,
    /// What it hides and strikes through.
    pub marks: Marks,
    text: String,
    cells: Vec<Cell>,
    /// Rows met; one met again after another counts again.
    rows: usize,
    row: Option<u32>,
    /// Columns up to the last one in use.
    width: u64,
}

impl Sheet {
    pub fn new(name: String, hidden: bool) -> Self {
        let (text, cells) = (String::new(), Vec::new());
        let marks = Marks::default();
        Self { name, hidden, marks, text, cells, rows: 0, row: None, width: 0 }
    }

    /// The same with what it hides and strikes through.
    pub fn marked(self, marks: Marks) -> Self {
        Self { marks, ..self }
    }

    /// Keeps a cell, row and column from 0. A blank text is no cell.
    pub fn add(
        &mut self,
        (source, used): (&SourceText, &mut Used),
        (row, column): (u32, u32),
        text: &str,
        kind: Kind,
    ) -> Result<(), Box<Problem>> {
        if text.trim().is_empty() {
            return Ok(());
        }
        let large = |wrong: String| Err(too_large(source, wrong));
        if column as usize >= MOST_COLUMNS {
            return Err(too_wide(source, &self.name, (row, column), text));
        }
        // Bytes first, which are known at once.
        if text.len() > MOST_IN_A_CELL && text.chars().count() > MOST_IN_A_CELL {
            return large(format!("has a cell of more than {MOST_IN_A_CELL} characters"));
        }
        used.cells += 1;
        used.text += text.len();
        if used.cells > MOST_IN_USE {
            return large(format!("has more than {MOST_IN_USE} cells"));
        }
        if used.text > MOST_TEXT {
            return large(format!("has more than {} MB of text in its cells", MOST_TEXT >> 20));
        }
        if self.row != Some(row) {
            self.row = Some(row);
            self.rows += 1;
        }
        if self.rows > MOST_ROWS {
            return large(format!("has more than {MOST_ROWS} rows"));
        }
        self.width = self.width.max(u64::from(column) + 1);
        if self.rows as u64 * self.width > MOST_PLACES {
            return large("has cells too far apart".to_owned());
        }
        // Both are below 2^32, as was just counted.
        let (from, length) = (self.text.len() as u32, text.len() as u32);
        // Characters that no cell has are shown as what they are not: text.
        self.text.extend(text.chars().map(|c| if c.is_control() { ' ' } else { c }));
        let length = length.min(self.text.len() as u32 - from);
        self.cells.push(Cell { row, column, from, length, kind });
        Ok(())
    }

    /// The sheet, if it has cells.
    pub fn grid(mut self) -> Option<Grid> {
        if self.cells.is_empty() {
            return None;
        }
        // Most sheets are in order already. Of two cells at one place the last one holds.
        self.cells.sort_by_key(|cell| (cell.row, cell.column));
        let mut rows: Vec<GridRow> = Vec::new();
        let text = |cell: &Cell| {
            let from = cell.from as usize;
            self.text.get(from..from + cell.length as usize).unwrap_or_default()
        };
        for run in self.cells.chunk_by(|a, b| a.row == b.row) {
            let (mut record, mut kinds) = (StringRecord::new(), Vec::new());
            for (at, cell) in run.iter().enumerate() {
                if run.get(at + 1).is_some_and(|next| next.column == cell.column) {
                    continue;
                }
                while kinds.len() < cell.column as usize {
                    record.push_field("");
                    kinds.push(Kind::Text);
                }
                record.push_field(text(cell));
                kinds.push(cell.kind);
            }
            let row = run.first().map_or(0, |cell| cell.row);
            let is_struck = |cell: &&Cell| self.marks.struck.contains(&(row, cell.column));
            let struck = run.iter().filter(is_struck).map(|cell| cell.column as usize).collect();
            let hidden = self.marks.hidden_rows.contains(&row);
            let number = u64::from(row) + 1;
            let row =
                GridRow { number, cells: record, kinds, hidden, struck, ..GridRow::default() };
            rows.push(row);
        }
        let sheet = Some(self.name.as_str().into());
        let hidden_columns = self.marks.hidden_columns.iter().map(|at| *at as usize).collect();
        let rows = Rows::Kept(rows);
        Some(Grid { sheet, hidden: self.hidden, hidden_columns, rows, ..Grid::default() })
    }
}
