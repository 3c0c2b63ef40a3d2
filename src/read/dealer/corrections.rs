//! Single cells that a mapping corrects, and rows that it leaves out, without touching the dealer's file.

use super::List;
use super::grid::{Grid, GridRow};
use super::mapping::Mapping;
use crate::check::Code;
use crate::read::problem::{Findings, Problem, cell_name, shown};
use crate::read::text::SourceText;

/// Puts what the mapping says in place of the grid's cells; what the list does not have there is a
/// problem of the mapping, for it was written for another list.
pub(super) fn correct(
    grid: &mut Grid,
    rules: &Mapping,
    mapping: &SourceText,
    findings: &mut Findings,
) {
    for (&(number, column), correction) in &rules.cells {
        let found = place_of(grid, number).and_then(|at| grid.row(at));
        let has = found.map(|row| row.cell(column).to_owned()).unwrap_or_default();
        if has == correction.was.trim() {
            let here = grid.corrections.entry(number).or_default();
            here.push((column, correction.is.clone()));
            continue;
        }
        let cell = cell_name(column as u64 + 1, number);
        let wrong = match has.is_empty() {
            true => {
                format!("is blank in the list, and the mapping has `{}`", shown(&correction.was))
            }
            false => {
                format!(
                    "is `{}` in the list, and the mapping has `{}`",
                    shown(&has),
                    shown(&correction.was)
                )
            }
        };
        let instead = "look at the list, and correct the key or remove it";
        let problem =
            Problem::of_file(Code::MappingMalformed, mapping.name.clone(), wrong, instead);
        findings.problems.push(Problem { text: cell, ..problem.at(correction.spot.clone()) });
    }
}

/// The place of the row with this number, which is one of rising ones.
fn place_of(grid: &Grid, number: u64) -> Option<usize> {
    let (mut low, mut high) = (0, grid.len());
    while low < high {
        let middle = low + (high - low) / 2;
        match grid.number(middle)?.cmp(&number) {
            std::cmp::Ordering::Less => low = middle + 1,
            std::cmp::Ordering::Equal => return Some(middle),
            std::cmp::Ordering::Greater => high = middle,
        }
    }
    None
}

impl List<'_> {
    /// Why the mapping leaves a row out; none where it does not, or means another car.
    pub(super) fn left_out(&self, row: &GridRow) -> Option<String> {
        let out = self.rules.rows.get(&row.number)?;
        self.has_id(row, &out.car).then(|| format!("left out by the mapping: {}", out.why))
    }

    /// Whether the list has an ID in a row, as written.
    fn has_id(&self, row: &GridRow, id: &str) -> bool {
        let Some(cell) = self.cell_of(self.scheme().id) else { return false };
        let was = row.corrected.iter().find(|(corrected, _)| *corrected == cell);
        row.cell(cell) == id.trim() || was.is_some_and(|(_, was)| was.trim() == id.trim())
    }

    /// Tells the rows that the mapping leaves out and the list does not have.
    pub(super) fn check_left_out(&self, mapping: &SourceText, findings: &mut Findings) {
        for (&number, out) in &self.rules.rows {
            let row = place_of(&self.grid, number).and_then(|at| self.grid.row(at));
            if row.is_some_and(|row| self.has_id(&row, &out.car)) {
                continue;
            }
            let wrong = format!("is not the row of `{}` in the list", shown(&out.car));
            let instead = "look at the list, and correct the row or remove it";
            let code = Code::MappingMalformed;
            let problem = Problem::of_file(code, mapping.name.clone(), wrong, instead);
            let text = number.to_string();
            findings.problems.push(Problem { text, ..problem.at(out.spot.clone()) });
        }
    }
}
