//! IDs that may have lost their leading zeros on their way through a spreadsheet.

use std::collections::BTreeMap;

use super::Inventory as C;
use crate::check::Code;
use crate::read::problem::{Findings, Problem};
use crate::read::table::Row;

/// IDs of fewer digits are counted from 1 and not stencilled. Common practice, no source.
const STENCIL_DIGITS: usize = 4;

/// So many IDs are told one by one.
const TOLD_MOST: usize = 10;

/// IDs of one file that are all digits, by the number of their digits.
#[derive(Default)]
pub(super) struct DigitIds {
    alike: BTreeMap<usize, Alike>,
    /// Whether one begins with a zero, so that zeros have not been lost.
    zero_kept: bool,
}

/// IDs of equally many digits.
struct Alike {
    count: usize,
    /// The first few of them.
    ids: Vec<String>,
    /// What will be said at the first of them.
    first: Problem,
}

impl DigitIds {
    /// Takes note of the ID of a row.
    pub fn add(&mut self, row: &Row<'_, C>) {
        let Some(id) = row.cell(C::Car) else { return };
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

    /// Warns of IDs with fewer digits than most have.
    pub fn report(self, findings: &mut Findings) {
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
