//! Which row is the header, which sheet and which separator, and what each header means.

mod faults;
mod likeness;

pub(super) use likeness::{is_dealers, likeness};

use std::borrow::Cow;

use faults::{missing, no_header, unsure};
use likeness::beginning;

use super::grid::{Grid, GridRow, decoded};
use super::headers::{alias, ours, words};
use super::mapping::{Mapping, Target};
use super::squeezed::squeezed;
use super::workbook;
use crate::read::columns::Content;
use crate::read::parts::Pace;
use crate::read::problem::MOST_COLUMNS;
use crate::read::problem::{Findings, Problem, one_of};
use crate::read::text::SourceText;
use crate::read::units::Unit;

/// A header stands within so many rows that are not blank.
const LOOKED_AT: usize = 20;

/// So many known words make a header.
const KNOWN_LEAST: usize = 2;

/// Characters that may stand between cells.
pub(super) const DELIMITERS: [(u8, &str); 3] =
    [(b',', "comma"), (b';', "semicolon"), (b'\t', "tab")];

/// What a column of the file is.
#[derive(Clone, Copy, Debug, PartialEq, Eq)]
pub(super) enum Part {
    /// One of ours, and the unit of its bare numbers if it is known.
    Column(usize, Option<Unit>),
    /// Carried with the notes; whether somebody said so.
    Note(bool),
    /// Left out because the mapping says so.
    Ignored,
    /// Not shown by the workbook, and named by no mapping: neither read nor carried.
    Hidden,
    /// No header.
    Unnamed,
    /// Two places state different units.
    UnitClash(Unit, Unit),
}

/// The header of a grid.
#[derive(Clone, Debug, Default)]
pub(super) struct Head {
    /// Its row in the grid.
    pub row: usize,
    /// Its cells.
    pub header: GridRow,
    /// The names of the columns: its cells, where titles merged over several columns or rows leave names
    /// in the row below or above it with those.
    pub names: GridRow,
    /// The row below that has names of its columns.
    pub second: Option<usize>,
    /// The row of units under it.
    pub units: Option<usize>,
    /// What each column is.
    pub parts: Vec<Part>,
}

impl Head {
    /// Whether a row of the grid is of the header.
    pub fn is_row(&self, at: usize) -> bool {
        at == self.row || Some(at) == self.second
    }
}

/// Whether a cell has a known word.
fn known(cell: &str, rules: &Mapping) -> bool {
    let words = words(cell);
    !words.whole.is_empty()
        && (rules.columns.contains_key(&words.whole)
            || rules.columns.contains_key(&format!("{}#1", words.whole))
            || ours(&words, rules.scheme).or_else(|| alias(&words, rules.scheme)).is_some())
}

/// How many words of a row are known.
pub(super) fn score(row: &GridRow, rules: &Mapping) -> usize {
    row.cells.iter().take(MOST_COLUMNS).filter(|cell| known(cell, rules)).count()
}

/// A header with the names that its neighbors have for its columns, and the row below it if that is
/// one of those. `Dimensions` may span `Length` and `Width` in the row below, and `Car no.` may span
/// both rows.
fn names(grid: &Grid, row: usize, header: &GridRow, rules: &Mapping) -> (GridRow, Option<usize>) {
    let joined = |other: &GridRow, wanted: &dyn Fn(usize) -> bool| {
        let columns = 0..header.cells.len().max(other.cells.len());
        let cell = |cell| if wanted(cell) { other.cell(cell) } else { header.cell(cell) };
        GridRow { cells: columns.map(cell).collect(), ..header.clone() }
    };
    let below = grid.row(row + 1).filter(|below| {
        let filled: Vec<_> =
            (0..below.cells.len()).filter(|cell| !below.cell(*cell).is_empty()).collect();
        let named =
            |&cell: &usize| known(below.cell(cell), rules) && !known(header.cell(cell), rules);
        filled.len() >= KNOWN_LEAST && filled.iter().all(named)
    });
    if let Some(below) = below {
        return (joined(&below, &|cell| !below.cell(cell).is_empty()), Some(row + 1));
    }
    let above = row.checked_sub(1).and_then(|above| grid.row(above));
    let names = above.map(|above| {
        let names = |cell| header.cell(cell).is_empty() && known(above.cell(cell), rules);
        joined(&above, &names)
    });
    (names.unwrap_or_else(|| header.clone()), None)
}

/// The row with the most known words, the first of equals, and how many they are.
fn best(grid: &Grid, rules: &Mapping) -> Option<(usize, usize)> {
    if let Some(stated) = rules.header_row {
        let row = (0..grid.len()).find(|at| grid.number(*at) == Some(stated))?;
        return Some((row, score(&*grid.row(row)?, rules).max(KNOWN_LEAST)));
    }
    let first = grid.block(0..LOOKED_AT);
    let scores = first.iter().enumerate().map(|(at, row)| (at, score(row, rules)));
    scores.rev().max_by_key(|(_, score)| *score).filter(|(_, score)| *score >= KNOWN_LEAST)
}

/// A row above the header, and not beside it, that may be one as well: of another table.
fn two_headers(grid: &Grid, row: usize, rules: &Mapping) -> Option<usize> {
    if rules.header_row.is_some() {
        return None;
    }
    let above = grid.block(0..row.saturating_sub(1));
    above.iter().position(|above| score(above, rules) >= KNOWN_LEAST)
}

/// Finds the table in a file.
pub(super) fn find(
    source: &SourceText,
    rules: &Mapping,
    pace: &Pace,
    findings: &mut Findings,
) -> Result<(Grid, Head), Box<Problem>> {
    let grid = if workbook::is_workbook(&source.bytes) {
        of_workbook(source, rules, findings)?
    } else {
        if let Some(sheet) = &rules.sheet {
            let wrong = format!("is text, and the mapping names its sheet {sheet}");
            return Err(unsure(source, wrong, "remove `sheet` from the mapping".to_owned()));
        }
        of_text(source, rules, pace)?
    };
    let Some((row, _)) = best(&grid, rules) else { return Err(no_header(source, rules)) };
    if let Some(other) = two_headers(&grid, row, rules) {
        let number = |at: usize| grid.number(at).unwrap_or_default();
        let (one, other) = (number(other), number(row));
        let wrong = format!("has two rows that may be the header of the cars, {one} and {other}");
        let instead = match rules.scheme.mappable {
            true => "name one with `header_row` in a mapping, and save the other table apart",
            false => "save the other table apart",
        };
        return Err(unsure(source, wrong, instead.to_owned()));
    }
    let head = head(&grid, row, rules);
    missing(source, &grid, &head, rules, findings);
    Ok((grid, head))
}

fn of_workbook(
    source: &SourceText,
    rules: &Mapping,
    findings: &mut Findings,
) -> Result<Grid, Box<Problem>> {
    let grids = workbook::sheets(source, rules.sheet.as_deref())?;
    let name = |grid: &Grid| grid.sheet.as_deref().unwrap_or_default().to_owned();
    let (tables, others): (Vec<_>, Vec<_>) =
        grids.into_iter().partition(|grid| best(grid, rules).is_some());
    // Whoever sent the file may not know of a hidden sheet: it is read only if the mapping names it.
    let named = rules.sheet.is_some();
    let (hidden, mut tables): (Vec<_>, Vec<_>) =
        tables.into_iter().partition(|grid| grid.hidden && !named);
    match (tables.pop(), tables.as_slice()) {
        (None, _) => Err(match hidden.first() {
            Some(grid) => unsure(
                source,
                format!("has known headers in the hidden sheet {} alone", name(grid)),
                format!(
                    "unhide and read it; say `sheet = \"{}\"` in a mapping if it is the list",
                    name(grid)
                ),
            ),
            None => no_header(source, rules),
        }),
        (Some(table), []) => {
            let instead = match rules.scheme.mappable {
                true => {
                    format!("say `sheet = \"{}\"` in the mapping if that is meant", name(&table))
                }
                false => "save it apart if it is meant".to_owned(),
            };
            let mut tell = |other: &Grid, what: &str| {
                let wrong = format!("has a {what}, which was not read").replace("{}", &name(other));
                findings.warnings.push(*unsure(source, wrong, instead.clone()));
            };
            others.iter().for_each(|other| tell(other, "sheet {} without known headers"));
            hidden.iter().for_each(|other| tell(other, "hidden sheet {} with known headers"));
            Ok(table)
        }
        (Some(last), rest) => {
            let names: Vec<_> = rest.iter().chain([&last]).map(name).collect();
            let wrong = format!("has several sheets that may hold it: {}", names.join(", "));
            let instead = match rules.scheme.mappable {
                true => "name one with `sheet` in a mapping, and save the others apart",
                false => "keep one of them, and save the others apart",
            };
            Err(unsure(source, wrong, instead.to_owned()))
        }
    }
}

fn of_text(source: &SourceText, rules: &Mapping, pace: &Pace) -> Result<Grid, Box<Problem>> {
    let text = decoded(source, rules)?;
    let delimiter = match rules.delimiter {
        Some(delimiter) => delimiter,
        None => {
            let start = beginning(&text);
            let fits = DELIMITERS.iter().filter(|(delimiter, _)| {
                let grid = Grid::beginning(start, *delimiter, LOOKED_AT);
                best(&grid, rules)
                    .and_then(|(row, _)| grid.row(row))
                    .is_some_and(|row| score(&row, rules) >= KNOWN_LEAST)
            });
            match fits.collect::<Vec<_>>().as_slice() {
                [] => return Err(no_header(source, rules)),
                [(delimiter, _)] => *delimiter,
                several => {
                    let names: Vec<_> = several.iter().map(|(_, name)| *name).collect();
                    let wrong = format!("can be read with {} between the cells", one_of(&names));
                    let instead = match rules.scheme.mappable {
                        true => "state `delimiter` in a mapping",
                        false => "save it as CSV with commas",
                    };
                    return Err(unsure(source, wrong, instead.to_owned()));
                }
            }
        }
    };
    let grid = Grid::of_text(text, delimiter, pace);
    grid.too_wide(source).map_or(Ok(grid), Err)
}

/// The unit that a cell of a row of units states: `(ft)`, `lb`.
fn stated_unit(cell: &str) -> Option<Unit> {
    let cell = cell.trim();
    Unit::from_word(cell.trim_start_matches(['(', '[']).trim_end_matches([')', ']']))
}

/// What the columns under a header are.
pub(super) fn head(grid: &Grid, row: usize, rules: &Mapping) -> Head {
    let Some(header) = grid.row(row).map(Cow::into_owned) else { return Head::default() };
    let (names, second) = names(grid, row, &header, rules);
    let under_row = second.unwrap_or(row) + 1;
    let under = grid.row(under_row).filter(|under| {
        let mut filled =
            (0..under.cells.len()).map(|cell| under.cell(cell)).filter(|cell| !cell.is_empty());
        filled.all(|cell| {
            stated_unit(cell).is_some() || cell.to_lowercase().trim_end_matches(':') == "units"
        })
    });
    let parts = (0..names.cells.len()).map(|cell| {
        let text = names.cell(cell);
        let words = words(text);
        if text.is_empty() {
            return Part::Unnamed;
        }
        let own = |column: usize| Unit::of_column(&rules.scheme.columns[column].content);
        let mapped = mapped(&names, cell, rules);
        let (column, mapped, certain) = match mapped {
            Some(Target::Ignored) => return Part::Ignored,
            Some(Target::Note) => return Part::Note(true),
            Some(Target::Column(column, unit)) => (column, unit, true),
            Some(Target::InCells(column)) => (column, None, false),
            None if grid.hidden_columns.contains(&cell) => return Part::Hidden,
            None => match ours(&words, rules.scheme) {
                Some(column) => (column, None, true),
                None => match alias(&words, rules.scheme) {
                    Some(column) => (
                        column,
                        None,
                        matches!(rules.scheme.columns[column].content, Content::Money { .. }),
                    ),
                    None if text.get(..2).is_some_and(|start| start.eq_ignore_ascii_case("x_")) => {
                        return Part::Note(true);
                    }
                    None => return Part::Note(false),
                },
            },
        };
        let Some(own) = own(column) else { return Part::Column(column, None) };
        // A unit of another kind, as in "Length (lb)", makes it another column.
        if rules.columns.is_empty() && words.unit.is_some_and(|unit| !unit.fits(own)) {
            return Part::Note(false);
        }
        let below = under.as_ref().and_then(|under| stated_unit(under.cell(cell)));
        let mut stated =
            [words.unit, below, mapped].into_iter().flatten().filter(|unit| unit.fits(own));
        let first = stated.next();
        if let (Some(first), Some(other)) = (first, stated.find(|unit| Some(*unit) != first)) {
            return Part::UnitClash(first, other);
        }
        Part::Column(column, first.or(certain.then_some(own)))
    });
    let parts = parts.collect();
    Head { row, header, names, second, units: under.map(|_| under_row), parts }
}

/// What the mapping says of a header. Of several of one name `Depth (in)#2` is the second, and what is
/// said of the name alone holds for those that are not numbered.
fn mapped(names: &GridRow, cell: usize, rules: &Mapping) -> Option<Target> {
    let name = squeezed(names.cell(cell));
    let before = (0..cell).filter(|before| squeezed(names.cell(*before)) == name).count();
    let numbered = rules.columns.get(&format!("{name}#{}", before + 1));
    numbered.or_else(|| rules.columns.get(&name)).map(|entry| entry.target)
}
