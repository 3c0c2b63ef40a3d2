//! From which of the dealer's columns each of ours comes.

use std::collections::{HashMap, HashSet};

use super::List;
use super::grid::GridRow;
use super::header_row::Part;
use super::headers;
use super::mapping::Entry;
use super::squeezed::squeezed;
use super::values::note;
use crate::check::Code;
use crate::read::problem::{Findings, Problem, shown};
use crate::read::units::Unit;
use crate::words::nearest;

/// Where a tidy cell comes from.
#[derive(Clone, Copy, Debug, Default, PartialEq, Eq)]
pub(super) enum Origin {
    #[default]
    Absent,
    Cell(usize),
    Constant,
}

impl List<'_> {
    /// Says where each of our columns comes from, and what is wrong with the header.
    pub fn headers(&mut self, findings: &mut Findings) {
        let row = self.head.names.clone();
        self.unused_keys(&row, findings);
        for (cell, part) in self.head.parts.clone().into_iter().enumerate() {
            match part {
                Part::Column(column, _) => match self.cell_of(column) {
                    Some(first) => {
                        findings.problems.push(self.two_for_one(&row, cell, column, first));
                    }
                    None => self.origins[column] = Origin::Cell(cell),
                },
                Part::Note(told) => {
                    let name = shown(row.cell(cell));
                    let same = self.carried.iter().filter(|(_, other)| *other == name).count();
                    if same > 0 && !told {
                        findings.warnings.push(self.named_twice(&row, cell));
                    }
                    self.carried.push((cell, name));
                    if !told && self.scheme().notes.is_some() {
                        findings.warnings.push(self.carried_unasked(&row, cell));
                    } else if !told {
                        findings.problems.push(self.unknown(&row, cell));
                    }
                }
                Part::UnitClash(header, stated) => {
                    findings.problems.push(self.unit_clash(&row, cell, header, stated));
                }
                Part::Hidden => findings.warnings.push(self.hidden_column(&row, cell)),
                Part::Ignored | Part::Unnamed => {}
            }
        }
        for &column in self.rules.constants.keys() {
            match self.cell_of(column) {
                Some(cell) => {
                    findings.problems.push(self.constant_beside_column(&row, cell, column));
                }
                None => self.origins[column] = Origin::Constant,
            }
        }
    }

    /// Tells the keys of the mapping that are no headers of the file.
    fn unused_keys(&self, row: &GridRow, findings: &mut Findings) {
        let Some(mapping) = self.mapping else { return };
        let mut used = HashSet::new();
        let mut times: HashMap<String, usize> = HashMap::new();
        for name in (0..row.cells.len()).map(|cell| squeezed(row.cell(cell))) {
            let times = times.entry(name.clone()).or_default();
            *times += 1;
            used.insert(format!("{name}#{times}"));
            used.insert(name);
        }
        let columns = self.rules.columns.iter();
        let mut unused: Vec<_> =
            columns.filter(|(key, _)| !used.contains(*key)).map(|(_, entry)| entry).collect();
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
            findings.problems.push(Problem { text: shown(header), ..problem.at(spot.clone()) });
        }
    }

    fn two_for_one(&self, row: &GridRow, cell: usize, column: usize, first: usize) -> Problem {
        let wrong = format!(
            "can be {}, and so can the header `{}`",
            self.scheme().columns[column].name,
            shown(row.cell(first))
        );
        let (one, other) = (row.cell(first), row.cell(cell));
        let instead = match squeezed(one) == squeezed(other) {
            true => {
                let (one, other) = (shown(one), shown(other));
                format!(
                    "say in the mapping which is which: \"{one}#1\" is the first and \"{other}#2\" the second"
                )
            }
            false => "say in the mapping which is which, with `ignore` or `note` for the other"
                .to_owned(),
        };
        self.at(row, Some(cell), "", note(Code::HeaderUnsure, wrong, instead))
    }

    fn named_twice(&self, row: &GridRow, cell: usize) -> Problem {
        let name = shown(row.cell(cell));
        let wrong = "is a header that stands more than once";
        let instead =
            format!("in the mapping \"{name}#1\" is the first and \"{name}#2\" the second");
        self.at(row, Some(cell), "", note(Code::HeaderUnsure, wrong, instead))
    }

    fn unknown(&self, row: &GridRow, cell: usize) -> Problem {
        let instead = match headers::like(&headers::words(row.cell(cell)), self.scheme()) {
            Some(like) => format!("write `{like}` if that is meant, else `x_` before the name"),
            None => "write a name of docs/formats.md, or `x_` before the name to carry it unread"
                .to_owned(),
        };
        let wrong = "is not a column of such a file";
        self.at(row, Some(cell), "", note(Code::ColumnUnknown, wrong, instead))
    }

    fn carried_unasked(&self, row: &GridRow, cell: usize) -> Problem {
        if let Some(asked) = headers::asked(&headers::words(row.cell(cell))) {
            let wrong = "is no column of ours and is carried with the notes";
            return self.at(row, Some(cell), "", note(Code::ColumnCarried, wrong, asked));
        }
        let instead = match headers::like(&headers::words(row.cell(cell)), self.scheme()) {
            Some(like) => format!(
                "map it to {like} in the mapping if that is meant, else to `note` or `ignore`"
            ),
            None => "map it in the mapping, to `note` or `ignore` if need be".to_owned(),
        };
        let wrong = "is no column of ours and is carried with the notes";
        self.at(row, Some(cell), "", note(Code::ColumnCarried, wrong, instead))
    }

    fn hidden_column(&self, row: &GridRow, cell: usize) -> Problem {
        let wrong = "is a hidden column, neither read nor published";
        let instead = match self.scheme().mappable {
            true => "map it in the mapping if it is to be read",
            false => "show the column, or delete it",
        };
        self.at(row, Some(cell), "", note(Code::SetAside, wrong, instead))
    }

    fn unit_clash(&self, row: &GridRow, cell: usize, header: Unit, stated: Unit) -> Problem {
        let wrong = format!("says {} and another place says {}", header.words(), stated.words());
        let instead = "ask the dealer, and correct the header, the row of units or the mapping";
        self.at(row, Some(cell), "", note(Code::UnitUnknown, wrong, instead))
    }

    fn constant_beside_column(&self, row: &GridRow, cell: usize, column: usize) -> Problem {
        let name = self.scheme().columns[column].name;
        let wrong = format!("is {name}, and the mapping states a constant for it");
        let instead = "map the column to `ignore`, or remove the constant";
        self.at(row, Some(cell), "", note(Code::HeaderUnsure, wrong, instead))
    }
}
