//! The rows of a file: of a table in our own columns, or of a dealer's list by way of tidy tables.

use std::ops::Range;

use super::FileKind;
use super::columns::Columns;
use super::dealer::{List, Scheme, Tidying, is_dealers, is_too_large};
use super::parted::Parted;
use super::parts::{Mark, Pace};
use super::problem::Findings;
use super::row::Row;
use super::table::{Table, Taken, Went};
use super::text::SourceText;
use crate::model::inventory::Inventory;
use crate::model::place::RowPlace;

/// So many rows are tidied before they are read, so that a long list costs no more memory than a
/// short one.
const TIDIED_MOST: usize = 2048;

/// Reads a file of a kind row by row, in our own columns or as a county's office keeps it: every row that has the header's number of cells and is not blank goes to
/// `take`; everything that is wrong with the others, the header and the file goes to `findings`.
pub(super) fn each_row<C: Columns>(
    source: &SourceText,
    kind: FileKind,
    findings: &mut Findings,
    take: impl FnMut(&mut Row<'_, C>),
) -> Taken {
    let scheme = Scheme::of_kind(kind).filter(|scheme| is_dealers(source, None, scheme));
    if let Some(scheme) = scheme {
        if let Some(problem) = is_too_large(source) {
            findings.problems.push(problem);
            return Taken::default();
        }
        let list = List::open(source, None, scheme, &Pace::whole(), findings);
        let taken = list.map(|list| list.each_row(findings, take)).unwrap_or_default();
        findings.unite();
        return taken;
    }
    let Some(table) = Table::open(source, None, findings) else { return Taken::default() };
    let rows = table.rows_of(&table.body, findings, take).rows;
    findings.unite();
    Taken { rows, reached: true, not_taken: Vec::new() }
}

impl Parted for List<'_> {
    type Part = Range<usize>;

    fn parts(&self, pace: &Pace) -> Vec<Range<usize>> {
        let rows = self.len();
        let step = pace.rows.clamp(1, rows.max(1));
        (0..rows).step_by(step).map(|from| from..rows.min(from + step)).collect()
    }

    fn rows_about(&self, part: &Range<usize>) -> usize {
        part.len()
    }

    fn rows(
        &self,
        part: &Range<usize>,
        findings: &mut Findings,
        take: impl FnMut(&mut Row<'_, Inventory>),
    ) -> Went {
        self.rows_of(part, findings, take)
    }

    fn row_at<T>(
        &self,
        mark: Mark,
        mut look: impl FnMut(&mut Row<'_, Inventory>) -> T,
    ) -> Option<T> {
        let mut made = None;
        let one = mark.at..mark.at.saturating_add(1);
        self.rows(&one, &mut Findings::default(), |row| made = Some(look(row)));
        made
    }

    fn place(&self, mark: Mark) -> RowPlace {
        self.place_of(mark.at)
    }
}

impl List<'_> {
    /// Reads all rows of a table of another kind than cars.
    pub(super) fn each_row<C: Columns>(
        &self,
        findings: &mut Findings,
        take: impl FnMut(&mut Row<'_, C>),
    ) -> Taken {
        let went = self.rows_of(&self.all(), findings, take);
        let rows = went.rows + went.not_taken.len();
        Taken { rows, reached: true, not_taken: went.not_taken }
    }

    /// All rows as one part.
    pub(super) fn all(&self) -> Range<usize> {
        0..self.len()
    }

    /// Reads the rows of one part.
    pub(super) fn rows_of<C: Columns>(
        &self,
        part: &Range<usize>,
        findings: &mut Findings,
        mut take: impl FnMut(&mut Row<'_, C>),
    ) -> Went {
        let mut tidying = Tidying::new(self);
        let mut went = Went::default();
        for from in part.clone().step_by(TIDIED_MOST) {
            let to = part.end.min(from.saturating_add(TIDIED_MOST));
            let (tidied, mut not_taken) = tidying.table(from..to);
            let Some(table) = Table::open(&tidied.csv, Some(&tidied), findings) else { continue };
            let read = table.rows_of(&table.body, findings, &mut take);
            if let Some(last) = tidied.row_of(read.rows) {
                not_taken.retain(|row| row.line < self.place_of(last).line);
            }
            went.add(Went { not_taken, ..read });
            if went.stopped {
                break;
            }
        }
        went
    }
}
