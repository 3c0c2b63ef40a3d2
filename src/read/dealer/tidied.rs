//! A dealer's file as a tidy table, with the way back from each of its cells.

use std::collections::HashSet;
use std::sync::Arc;

use super::grid::{Grid, GridRow};
use crate::model::place::RowPlace;
use crate::read::NotTaken;
use crate::read::problem::shown;
use crate::read::spot::Spot;
use crate::read::text::SourceText;

/// Where a tidy cell comes from.
#[derive(Clone, Copy, Debug, Default, PartialEq, Eq)]
pub(super) enum Origin {
    #[default]
    Absent,
    Cell(usize),
    Constant,
}

/// A dealer's file as a tidy table.
#[derive(Debug)]
pub(in crate::read) struct Tidied {
    /// The tidy table as CSV: a header, and one line for each row taken.
    pub csv: SourceText,
    /// The file's name; of a workbook with that of the sheet.
    pub(super) file: Arc<str>,
    pub(super) grid: Grid,
    /// For each line of the table after its header, the row of the grid.
    pub(super) rows: Vec<usize>,
    /// For each of our columns, where it comes from.
    pub(super) origins: Vec<Origin>,
    /// Rows and columns whose cells were reported already.
    pub(super) reported: HashSet<(usize, usize)>,
    /// Rows that were not taken, by place.
    pub not_taken: Vec<NotTaken>,
}

impl Tidied {
    fn row(&self, line: u64) -> Option<(usize, &GridRow)> {
        let at = *self.rows.get(usize::try_from(line.checked_sub(2)?).ok()?)?;
        Some((at, self.grid.rows.get(at)?))
    }

    /// The dealer's row behind a line of the table; of a sheet, with the sheet's name.
    pub fn place(&self, line: u64) -> RowPlace {
        RowPlace { file: self.file.clone(), line: self.row(line).map_or(0, |(_, row)| row.number) }
    }

    /// The place and text of the dealer's cell behind a cell of the table; the row's place where
    /// there is none.
    pub fn back(&self, line: u64, column: usize) -> (Spot, String) {
        let Some((_, row)) = self.row(line) else { return (Spot::default(), String::new()) };
        match self.origins.get(column) {
            Some(Origin::Cell(cell)) => (self.grid.spot(row, Some(*cell)), shown(row.cell(*cell))),
            _ => (self.grid.spot(row, None), String::new()),
        }
    }

    /// Whether the cell was reported before it came into the table.
    pub fn is_reported(&self, line: u64, column: usize) -> bool {
        self.row(line).is_some_and(|(at, _)| self.reported.contains(&(at, column)))
    }
}
