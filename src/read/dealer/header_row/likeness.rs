//! Whether a file looks like a table of a kind, by the words of its header.

use super::{DELIMITERS, KNOWN_LEAST, LOOKED_AT, Part, best, head};
use crate::read::dealer::grid::Grid;
use crate::read::dealer::headers::{alias, ours, words};
use crate::read::dealer::mapping::Mapping;
use crate::read::dealer::scheme::Scheme;
use crate::read::dealer::workbook;
use crate::read::problem::MOST_COLUMNS;
use crate::read::text::SourceText;

/// A piece of a text's beginning, long enough for its header.
pub(super) fn beginning(text: &str) -> &str {
    let mut end = text.len().min(64 << 10);
    while !text.is_char_boundary(end) {
        end -= 1;
    }
    &text[..end]
}

/// Whether the beginning of a file shows the trade's words and not our own columns.
pub(in crate::read::dealer) fn is_dealers(start: &str, scheme: &'static Scheme) -> bool {
    let grid = Grid::beginning(start, b',', LOOKED_AT);
    let tidy = |cell: &str| {
        scheme.columns.iter().any(|column| column.name.eq_ignore_ascii_case(cell.trim()))
    };
    if let Some(first) = grid.row(0)
        && first.cells.iter().any(tidy)
    {
        return first.cells.iter().take(MOST_COLUMNS).any(|cell| {
            !tidy(cell) && {
                let words = words(cell);
                ours(&words, scheme).or_else(|| alias(&words, scheme)).is_some()
            }
        });
    }
    DELIMITERS.iter().any(|(delimiter, _)| {
        let rules = Mapping { scheme, ..Mapping::default() };
        best(&Grid::beginning(start, *delimiter, LOOKED_AT), &rules).is_some()
    })
}

/// How much a file looks like a table of this kind: the known words of its header, fewer where none
/// names its rows.
pub(in crate::read::dealer) fn likeness(source: &SourceText, scheme: &'static Scheme) -> usize {
    let rules = Mapping { scheme, ..Mapping::default() };
    let grids = if workbook::is_workbook(&source.bytes) {
        workbook::sheets(source, None).unwrap_or_default()
    } else {
        let start = source.bytes.get(..source.bytes.len().min(64 << 10)).unwrap_or_default();
        let start = String::from_utf8_lossy(start);
        let start = start.strip_prefix('\u{feff}').unwrap_or(&start);
        let grid = |(delimiter, _)| Grid::beginning(start, delimiter, LOOKED_AT);
        DELIMITERS.map(grid).into()
    };
    let likeness = |grid: &Grid| {
        let (row, score) = best(grid, &rules)?;
        let parts = head(grid, row, &rules).parts;
        let id = |part: &Part| matches!(part, Part::Column(column, _) if *column == scheme.id);
        Some(if parts.iter().any(id) { score } else { score.saturating_sub(KNOWN_LEAST) })
    };
    grids.iter().filter_map(likeness).max().unwrap_or(0)
}
