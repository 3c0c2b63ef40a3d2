//! IDs that may have lost their leading zeros on their way through a spreadsheet.

use std::collections::BTreeMap;
use std::collections::btree_map::Entry;

use super::Inventory as C;
use crate::check::Code;
use crate::read::problem::{Findings, Problem};
use crate::read::row::Row;

/// IDs of fewer digits are counted from 1 and not stencilled. Common practice, no source.
const STENCIL_DIGITS: usize = 4;

/// So many IDs are told one by one.
const TOLD_MOST: usize = 10;

/// Why a text is hardly the ID of one car, and what to do; nothing where it may be one.
fn doubt(id: &str, is_day: bool, quantity: Option<u32>) -> Option<(String, &'static str)> {
    let ask = "compare with the car, and write the ID as it is stenciled";
    if is_day || is_day_of_spreadsheet(id) {
        let wrong = "is a day, which a spreadsheet may have made of an ID";
        return Some((wrong.to_owned(), ask));
    }
    if is_exponent(id) {
        let wrong = "is a number with an exponent, which a spreadsheet may have made of an ID";
        return Some((wrong.to_owned(), ask));
    }
    let several = several(id)?;
    if quantity == Some(several) {
        return None;
    }
    let wrong = format!(
        "looks like the IDs of {several} cars, and the row is of {}",
        quantity.unwrap_or(1)
    );
    Some((wrong, "write a row for each car, or how many they are in `quantity`"))
}

/// `1.23E+05`.
fn is_exponent(id: &str) -> bool {
    let Some((number, exponent)) = id.split_once(['E', 'e']) else { return false };
    let digits = |text: &str| !text.is_empty() && text.bytes().all(|byte| byte.is_ascii_digit());
    exponent.starts_with(['+', '-'])
        && digits(&exponent[1..])
        && number.split('.').all(digits)
        && number.bytes().filter(|byte| *byte == b'.').count() <= 1
}

/// `Mar-12`, `12-Mar`, `3/12/2026`, `2026-03-12`, as spreadsheets show days.
fn is_day_of_spreadsheet(id: &str) -> bool {
    const MONTHS: [&str; 12] =
        ["Jan", "Feb", "Mar", "Apr", "May", "Jun", "Jul", "Aug", "Sep", "Oct", "Nov", "Dec"];
    let parts: Vec<&str> = id.split(['-', '/']).collect();
    let digits = |text: &str, most: usize| {
        (1..=most).contains(&text.len()) && text.bytes().all(|byte| byte.is_ascii_digit())
    };
    let month = |text: &str| MONTHS.contains(&text);
    match *parts.as_slice() {
        [first, second] => {
            (month(first) && digits(second, 4)) || (digits(first, 2) && month(second))
        }
        [first, second, third] => {
            (digits(first, 2)
                && (month(second) || digits(second, 2))
                && digits(third, 4)
                && matches!(third.len(), 2 | 4))
                || (first.len() == 4
                    && digits(first, 4)
                    && second.len() == 2
                    && digits(second, 2)
                    && third.len() == 2
                    && digits(third, 2))
        }
        _ => false,
    }
}

/// How many cars a text names that looks like several IDs: `1005-1009`, `FR 201 thru 204`, `12 & 13`.
fn several(id: &str) -> Option<u32> {
    /// More cars than this are no row of a list.
    const MOST: u32 = 1_000;
    let lower = id.to_lowercase();
    let marks = [" through ", " thru ", " to ", " - ", "–", "—", "..", "-"];
    if let Some((mark, (first, last))) =
        marks.iter().find_map(|mark| Some((mark, lower.split_once(mark)?)))
    {
        let (before, from) = tail(first.trim());
        let (_, to) = tail(last.trim());
        // A second number may leave out what it has in common with the first.
        let same = from.get(..from.len().saturating_sub(to.len())).unwrap_or_default();
        let (low, high): (u32, u32) = (from.parse().ok()?, format!("{same}{to}").parse().ok()?);
        // `UD-08-1` is a part of a row, `60-12` a name; a plain hyphen takes long numbers.
        let plain = *mark == "-" && (from.len() < 3 || to.len() < 2 || before.contains('-'));
        return (!plain && high > low && high - low < MOST).then(|| high - low + 1);
    }
    let listed: Vec<&str> = lower.split([',', '&', ';', '+']).map(str::trim).collect();
    let numbered = |part: &&str| part.contains(|c: char| c.is_ascii_digit());
    (listed.len() > 1 && listed.iter().all(numbered)).then_some(listed.len() as u32)
}

/// The digits at the end of a text, and what stands before them.
fn tail(text: &str) -> (&str, &str) {
    let digits = text.bytes().rev().take_while(u8::is_ascii_digit).count();
    text.split_at(text.len() - digits)
}

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
    /// Takes note of the ID of a row, and tells what is wrong with it.
    pub fn add(&mut self, row: &mut Row<'_, C>) {
        let Some(id) = row.cell(C::Car) else { return };
        let quantity = row.cell(C::Quantity).and_then(|cell| cell.parse().ok());
        // An ID that the mapping states is what it says.
        let said = row.is_corrected(C::Car);
        let doubt = if said { None } else { doubt(id, row.is_kept_as_day(C::Car), quantity) };
        if let Some((wrong, instead)) = doubt {
            row.problem(C::Car, Code::ValueDoubtful, wrong, instead);
        }
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

#[cfg(test)]
mod tests {
    use super::*;

    #[test]
    fn ids_of_several_cars_and_ids_that_a_spreadsheet_made() {
        for (id, quantity, expected) in [
            ("1005-1009", None, Some("the IDs of 5 cars, and the row is of 1")),
            ("1005-1009", Some(5), None),
            ("1005-09", None, Some("the IDs of 5 cars")),
            ("FR 201-204", None, Some("the IDs of 4 cars")),
            ("201 thru 204", Some(3), Some("the IDs of 4 cars, and the row is of 3")),
            ("12 & 13", None, Some("the IDs of 2 cars")),
            ("4411, 4412, 4413", None, Some("the IDs of 3 cars")),
            ("1.23E+05", None, Some("an exponent")),
            ("Mar-12", None, Some("is a day")),
            ("12-Mar", None, Some("is a day")),
            ("3/12/2026", None, Some("is a day")),
            ("2026-03-12", None, Some("is a day")),
            ("UD-08", None, None),
            ("UD-01-B", None, None),
            ("UD-01-1", None, None),
            ("SS-141", None, None),
            ("4471-2", None, None),
            ("60-12", None, None),
            ("MAR-12", None, None),
            ("1E5", None, None),
            ("", None, None),
            ("é–1", None, None),
        ] {
            let found = doubt(id, false, quantity).map(|(wrong, _)| wrong);
            let same = match (&found, expected) {
                (Some(found), Some(expected)) => found.contains(expected),
                (None, None) => true,
                _ => false,
            };
            assert!(same, "{id}: {found:?}");
        }
    }
}
