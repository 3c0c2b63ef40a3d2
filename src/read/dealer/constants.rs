//! What a mapping states in place of the file: constants, and the meanings of words. What is wrong with
//! one by itself is told once, at its place in the mapping, and not at every row.

use super::List;
use super::grid::GridRow;
use super::mapping::Stated;
use super::origins::Origin;
use super::rows::push_cell;
use super::squeezed::squeezed;
use crate::check::{Code, Grade};
use crate::model::columns::Columns as _;
use crate::model::evidence::{Evidence, Fact};
use crate::model::inventory::Inventory;
use crate::model::place::RowPlace;
use crate::read::lines::one_line;
use crate::read::problem::{Findings, Problem, shown};
use crate::read::text::SourceText;

/// What was told of a constant or of the meaning of a word: our column, and what is wrong with it.
#[derive(Debug)]
pub(super) struct Told {
    column: usize,
    /// The meaning, as it comes into the table; none for the constant.
    meaning: Option<String>,
    code: Code,
    wrong: String,
}

/// What the mapping states, as a table of one row in our own columns.
pub(in crate::read) struct Said {
    pub table: SourceText,
    /// Our column and the meaning of a word that the table holds; none if it holds the constants.
    meaning: Option<(usize, Stated)>,
}

impl List<'_> {
    /// What the mapping states for one of our columns, if the file does not.
    pub(super) fn constant(&self, column: usize) -> Option<&Stated> {
        match self.origins.get(column) {
            Some(Origin::Constant) => self.rules.constants.get(&column),
            _ => None,
        }
    }

    /// The facts of cars that the mapping's constants state, each with its place.
    pub(super) fn stated_by_mapping(&self) -> Vec<(Fact, Evidence)> {
        let Some(mapping) = self.mapping else { return Vec::new() };
        let facts = Inventory::EACH.iter().filter(|column| column.is_measurable());
        let stated = facts.filter_map(|column| {
            let line = self.constant(column.index())?.spot.line;
            let place = RowPlace { file: mapping.name.clone(), line };
            Some((column.column().name, Evidence { grade: Grade::Assumed, by: None, place }))
        });
        stated.collect()
    }

    /// The facts of one row that are the mapping's: cells that it fills or corrects, and words that it
    /// reads, each with its place there.
    pub(super) fn mapped_in(&self, row: &GridRow, mut say: impl FnMut(Inventory, Evidence)) {
        let Some(mapping) = self.mapping.filter(|_| self.scheme().mappable) else { return };
        if self.rules.words.is_empty() && row.corrected.is_empty() {
            return;
        }
        for &column in Inventory::EACH.iter().filter(|column| column.is_measurable()) {
            let Some(cell) = self.cell_of(column.index()) else { continue };
            let words = self.rules.words.get(&column.index());
            let read = words.and_then(|words| words.get(&squeezed(row.cell(cell))));
            let corrected = row.corrected.iter().find(|(corrected, _)| *corrected == cell);
            let (grade, spot) = match (corrected, read) {
                (Some((_, was)), _) => {
                    let Some(by) = self.rules.cells.get(&(row.number, cell)) else { continue };
                    let blank = was.trim().is_empty();
                    (if blank { Grade::Assumed } else { Grade::Interpreted }, &by.spot)
                }
                (None, Some(stated)) => (Grade::Interpreted, &stated.spot),
                (None, None) => continue,
            };
            let place = RowPlace { file: mapping.name.clone(), line: spot.line };
            say(column, Evidence { grade, by: None, place });
        }
    }

    /// All that the mapping states: the constants together, and each meaning of a word alone.
    pub fn said(&self) -> Vec<Said> {
        let table = |cells: &[(usize, &Stated)]| {
            let (mut names, mut row) = (String::new(), String::new());
            for (column, stated) in cells {
                for (line, text) in
                    [(&mut names, self.scheme().columns[*column].name), (&mut row, &stated.text)]
                {
                    if !line.is_empty() {
                        line.push(',');
                    }
                    push_cell(line, text);
                }
            }
            let bytes = format!("{names}\n{row}\n").into();
            SourceText { name: self.source.name.clone(), bytes }
        };
        let columns = 0..self.scheme().columns.len();
        let constants: Vec<_> =
            columns.filter_map(|column| Some((column, self.constant(column)?))).collect();
        let mut said = Vec::new();
        if !constants.is_empty() {
            said.push(Said { table: table(&constants), meaning: None });
        }
        let mut of_columns: Vec<_> = self.rules.words.iter().collect();
        of_columns.sort_by_key(|(column, _)| **column);
        for (&column, words) in of_columns {
            for stated in words.values().filter(|stated| !stated.text.trim().is_empty()) {
                let meaning = Some((column, stated.clone()));
                said.push(Said { table: table(&[(column, stated)]), meaning });
            }
        }
        said
    }

    /// Tells at its place in the mapping what was found in a table of what it states.
    pub fn tell(&mut self, said: &Said, found: Findings, findings: &mut Findings) {
        // What is said of all members is one line of the mapping, and is told once.
        let once = |told: Option<Problem>, all: &mut Vec<Problem>| {
            let Some(told) = told else { return };
            let key = |one: &Problem| {
                let place = (one.file.clone(), one.line, one.column);
                (place, one.code, one.wrong.clone())
            };
            if !all.iter().any(|one| key(one) == key(&told)) {
                all.push(told);
            }
        };
        for problem in found.problems {
            once(self.told(said, problem), &mut findings.problems);
        }
        for warning in found.warnings {
            once(self.told(said, warning), &mut findings.warnings);
        }
    }

    /// The same at the place in the mapping. None if it depends on cells that the row alone has.
    fn told(&mut self, said: &Said, problem: Problem) -> Option<Problem> {
        if matches!(problem.code, Code::Contradiction | Code::CellBlank | Code::ColumnMissing) {
            return None;
        }
        let column = self.scheme().position(&problem.name)?;
        let (Stated { text, spot }, meaning) = match &said.meaning {
            Some((of, stated)) if *of == column => (stated, Some(one_line(&stated.text).into())),
            Some(_) => return None,
            None => (self.constant(column)?, None),
        };
        let (text, spot, file) = (shown(text), spot.clone(), self.mapping?.name.clone());
        let Problem { code, name, wrong, instead, .. } = problem;
        self.told.push(Told { column, meaning, code, wrong: wrong.clone() });
        // What is a blank cell in a row is an empty text in a mapping.
        let instead = match said.meaning {
            Some(_) => instead.replace("leave the cell blank", "write \"\""),
            None => instead,
        };
        Some(Problem { name, text, ..Problem::of_file(code, file, wrong, instead).at(spot) })
    }

    /// Whether this was told already of the constant, or of the meaning, behind a cell of the table.
    pub(super) fn is_told(&self, column: usize, cell: &str, code: Code, wrong: &str) -> bool {
        self.told.iter().any(|told| {
            let same = told.column == column && told.code == code && told.wrong == wrong;
            same && told.meaning.as_deref().is_none_or(|meaning| meaning == cell)
        })
    }
}
