//! An inventory, ours or a dealer's, whose rows can be read in parts at the same time.

use super::parts::{Mark, Pace};
use super::problem::Findings;
use super::row::Row;
use super::table::Went;
use crate::model::inventory::Inventory;
use crate::model::place::RowPlace;

/// An inventory whose rows can be read in parts.
pub(super) trait Parted: Sync {
    /// What tells a part.
    type Part: Sync;

    /// All rows in parts.
    fn parts(&self, pace: &Pace) -> Vec<Self::Part>;

    /// About how many rows a part has, for which room is made.
    fn rows_about(&self, part: &Self::Part) -> usize;

    /// Reads the rows of one part: those that can be read go to `take`, and everything that is wrong
    /// to `findings`.
    fn rows(
        &self,
        part: &Self::Part,
        findings: &mut Findings,
        take: impl FnMut(&mut Row<'_, Inventory>),
    ) -> Went;

    /// What `look` makes of the row with this mark, which was read before.
    fn row_at<T>(&self, mark: Mark, look: impl FnMut(&mut Row<'_, Inventory>) -> T) -> Option<T>;

    /// The place of the row with this mark.
    fn place(&self, mark: Mark) -> RowPlace;
}
