//! IDs that may have lost their leading zeros on their way through a spreadsheet.

use std::collections::BTreeMap;
use std::collections::btree_map::Entry;

use super::Inventory as C;
use crate::check::Code;
use crate::read::problem::{Findings, Problem};
use crate::read::table::Row;

/// IDs of fewer digits are counted from 1 and not stencilled. Common practice, no source.
const STENCIL_DIGITS: usize = 4;

/// So many IDs are told one by one.
const TOLD_MOST: usize = 10;

/// What can be seen of the IDs of one file.
#[derive(Default)]
pub(super) struct Ids {
    /// Those that are all digits, by the number of their digits.
    alike: BTreeMap<usize, Alike>,
    /// Whether one begins with a zero, so that zeros have not been lost.
    zero_kept: bool,
    /// How many a workbook keeps as numbers, and what will be said at the first of them.
    numbers: Option<(usize, Problem)>,
}

/// IDs of equally many digits.
struct Alike {
    count: usize,
    /// The first few of them.
    ids: Vec<String>,
    /// What will be said at the first of them.
    first: Problem,
}

impl Ids {
    /// Takes note of the ID of a row.
    pub fn add(&mut self, row: &Row<'_, C>) {
        let Some(id) = row.cell(C::Car) else { return };
        if row.is_kept_as_number(C::Car) {
            let instead = "compare with the stencils, and format the column as text";
            let first =
                || row.of_cell(C::Car, Code::ValueDoubtful, String::new(), instead.to_owned());
            self.numbers.get_or_insert_with(|| (0, first())).0 += 1;
        }
        if !id.bytes().all(|byte| byte.is_ascii_digit()) {
            return;
        }
        self.zero_kept |= id.starts_with('0');
        let instead = "compare with the cars, and write the zeros that a spreadsheet took";
        let first = || row.of_cell(C::Car, Code::ValueDoubtful, String::new(), instead.to_owned());
        let alike = self.alike.entry(id.len());
        let alike = alike.or_insert_with(|| Alike { count: 0, ids: Vec::new(), first: first() });
        alike.count += 1;
        if alike.ids.len() <= TOLD_MOST {
            alike.ids.push(id.to_owned());
        }
    }

    /// Takes note of the IDs of rows that follow.
    pub fn add_all(&mut self, next: Self) {
        for (digits, of_next) in next.alike {
            match self.alike.entry(digits) {
                Entry::Vacant(free) => {
                    free.insert(of_next);
                }
                Entry::Occupied(mut alike) => {
                    let alike = alike.get_mut();
                    alike.count += of_next.count;
                    let room = (TOLD_MOST + 1).saturating_sub(alike.ids.len());
                    alike.ids.extend(of_next.ids.into_iter().take(room));
                }
            }
        }
        self.zero_kept |= next.zero_kept;
        match (&mut self.numbers, next.numbers) {
            (Some((count, _)), Some((more, _))) => *count += more,
            (numbers @ None, of_next) => *numbers = of_next,
            (Some(_), None) => {}
        }
    }

    /// Warns of IDs that are kept as numbers, and of those with fewer digits than most have.
    pub fn report(mut self, findings: &mut Findings) {
        if let Some((count, first)) = self.numbers.take() {
            let wrong = format!(
                "and {} more IDs are kept as numbers, which lose their leading zeros",
                count - 1
            );
            findings.warnings.push(Problem { wrong, ..first });
        }
        let all: usize = self.alike.values().map(|alike| alike.count).sum();
        let usual = self.alike.iter().find(|(_, alike)| 2 * alike.count > all);
        let Some(usual) = usual.map(|(digits, _)| *digits) else { return };
        if self.zero_kept || usual < STENCIL_DIGITS {
            return;
        }
        let short: Vec<Alike> = self
            .alike
            .into_iter()
            .filter(|(digits, _)| *digits < usual)
            .map(|(_, ids)| ids)
            .collect();
        let count: usize = short.iter().map(|alike| alike.count).sum();
        let ids: Vec<&str> =
            short.iter().flat_map(|alike| &alike.ids).map(String::as_str).take(TOLD_MOST).collect();
        let more = match count - ids.len() {
            0 => String::new(),
            more => format!(" and {more} more"),
        };
        let wrong = format!(
            "may have lost its leading zeros, for most IDs have {usual} digits; fewer have {}{more}",
            ids.join(", ")
        );
        let first = short.into_iter().map(|alike| alike.first);
        let first = first.min_by_key(|first| (first.line, first.column));
        findings.warnings.extend(first.map(|first| Problem { wrong, ..first }));
    }
}
