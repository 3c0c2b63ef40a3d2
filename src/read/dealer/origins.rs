//! From which of the dealer's columns each of ours comes.

use std::collections::HashSet;

use super::Work;
use super::grid::Grid;
use super::header_row::{Head, Part};
use super::headers;
use super::mapping::Entry;
use super::tidied::Origin;
use crate::check::Code;
use crate::read::columns::Columns;
use crate::read::inventory::Inventory;
use crate::read::problem::{Problem, nearest, shown};
use crate::read::text::SourceText;

impl Work<'_> {
    /// Says where each of our columns comes from, and what is wrong with the header.
    pub fn headers(&mut self, grid: &Grid, head: &Head, mapping: Option<&SourceText>) {
        let Some(row) = grid.rows.get(head.row) else { return };
        let used: HashSet<String> =
            (0..row.cells.len()).map(|cell| headers::squeezed(row.cell(cell))).collect();
        if let Some(mapping) = mapping {
            let mut unused: Vec<_> = self
                .rules
                .columns
                .iter()
                .filter(|(key, _)| !used.contains(*key))
                .map(|(_, entry)| entry)
                .collect();
            unused.sort_by_key(|entry| (entry.spot.line, entry.spot.column));
            for Entry { header, spot, .. } in unused {
                let near = nearest(header, (0..row.cells.len()).map(|cell| row.cell(cell)));
                let instead = match near {
                    Some(near) => {
                        format!("write \"{}\" if that is meant, or remove the key", shown(near))
                    }
                    None => "correct the key, or remove it".to_owned(),
                };
                let (name, wrong) =
                    (mapping.name.clone(), format!("is not a header of {}", self.source.name));
                let problem = Problem::of_file(Code::MappingMalformed, name, wrong, instead);
                self.findings
                    .problems
                    .push(Problem { text: shown(header), ..problem.at(spot.clone()) });
            }
        }
        for (cell, part) in head.parts.iter().enumerate() {
            match part {
                Part::Column(column, _) => match self.origins[*column] {
                    Origin::Cell(first) => {
                        let wrong = format!(
                            "can be {}, and so can the header `{}`",
                            Inventory::ALL[*column].name,
                            shown(row.cell(first))
                        );
                        let note = Self::note(
                            Code::HeaderUnsure,
                            wrong,
                            "say in the mapping which is which, with `ignore` or `note` for the other",
                        );
                        let problem = self.at(grid, row, cell, "", note);
                        self.findings.problems.push(problem);
                    }
                    _ => self.origins[*column] = Origin::Cell(cell),
                },
                Part::Note(told) => {
                    self.carried.push((cell, shown(row.cell(cell))));
                    if !told {
                        let instead = match headers::like(&headers::words(row.cell(cell))) {
                            Some(like) => format!(
                                "map it to {like} in the mapping if that is meant, else to `note` or `ignore`"
                            ),
                            None => {
                                "map it in the mapping, to `note` or `ignore` if need be".to_owned()
                            }
                        };
                        let note = Self::note(
                            Code::ColumnCarried,
                            "is no column of ours and is carried with the notes",
                            instead,
                        );
                        let warning = self.at(grid, row, cell, "", note);
                        self.findings.warnings.push(warning);
                    }
                }
                Part::UnitClash(header, stated) => {
                    let wrong = format!(
                        "says {} and another place says {}",
                        header.words(),
                        stated.words()
                    );
                    let note = Self::note(
                        Code::UnitUnknown,
                        wrong,
                        "ask the dealer, and correct the header, the row of units or the mapping",
                    );
                    let problem = self.at(grid, row, cell, "", note);
                    self.findings.problems.push(problem);
                }
                Part::Ignored | Part::Unnamed => {}
            }
        }
        for &column in self.rules.constants.keys() {
            if let Origin::Cell(cell) = self.origins[column] {
                let wrong = format!(
                    "is {}, and the mapping states a constant for it",
                    Inventory::ALL[column].name
                );
                let note = Self::note(
                    Code::HeaderUnsure,
                    wrong,
                    "map the column to `ignore`, or remove the constant",
                );
                let problem = self.at(grid, row, cell, "", note);
                self.findings.problems.push(problem);
            } else {
                self.origins[column] = Origin::Constant;
            }
        }
    }
}
