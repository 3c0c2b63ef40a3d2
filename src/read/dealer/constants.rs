//! The constants of a mapping. What is wrong with one by itself is told once, at its place in the
//! mapping, and not at every row.

use super::List;
use super::mapping::Constant;
use super::origins::Origin;
use super::rows::push_cell;
use crate::check::Code;
use crate::read::columns::Columns;
use crate::read::inventory::Inventory;
use crate::read::problem::{Findings, Problem, shown};
use crate::read::text::SourceText;

/// What was told of a constant: our column, and what is wrong with it.
#[derive(Debug)]
pub(super) struct Told {
    column: usize,
    code: Code,
    wrong: String,
}

impl List<'_> {
    /// What the mapping states for one of our columns, if the file does not.
    pub(super) fn constant(&self, column: usize) -> Option<&Constant> {
        match self.origins.get(column) {
            Some(Origin::Constant) => self.rules.constants.get(&column),
            _ => None,
        }
    }

    /// The constants alone, as a table of one row in our own columns. None if there are none.
    pub fn constants(&self) -> Option<SourceText> {
        let (mut names, mut cells) = (String::new(), String::new());
        for (at, column) in Inventory::ALL.iter().enumerate() {
            let Some(constant) = self.constant(at) else { continue };
            for (line, text) in [(&mut names, column.name), (&mut cells, &constant.text)] {
                if !line.is_empty() {
                    line.push(',');
                }
                push_cell(line, text);
            }
        }
        (!names.is_empty()).then(|| SourceText {
            name: self.source.name.clone(),
            bytes: format!("{names}\n{cells}\n").into(),
        })
    }

    /// Tells at their places in the mapping what was found in the table of constants alone.
    pub fn tell_of_constants(&mut self, found: Findings, findings: &mut Findings) {
        for problem in found.problems {
            findings.problems.extend(self.told_of_constant(problem));
        }
        for warning in found.warnings {
            findings.warnings.extend(self.told_of_constant(warning));
        }
    }

    /// The same at the place of the constant. None if it depends on cells that the row alone has.
    fn told_of_constant(&mut self, problem: Problem) -> Option<Problem> {
        if matches!(problem.code, Code::Contradiction | Code::CellBlank | Code::ColumnMissing) {
            return None;
        }
        let column = Inventory::ALL.iter().position(|column| column.name == problem.name)?;
        let constant = self.constant(column)?;
        let (spot, text) = (constant.spot.clone(), shown(&constant.text));
        let file = self.mapping?.name.clone();
        let Problem { code, name, wrong, instead, .. } = problem;
        self.told.push(Told { column, code, wrong: wrong.clone() });
        Some(Problem { name, text, ..Problem::of_file(code, file, wrong, instead).at(spot) })
    }

    /// Whether this was told of a constant already.
    pub(super) fn is_told(&self, column: usize, code: Code, wrong: &str) -> bool {
        let same = |told: &Told| told.column == column && told.code == code && told.wrong == wrong;
        self.told.iter().any(same)
    }
}
