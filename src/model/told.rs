//! What is told of a car, and by whom.

use super::car::Car;
use super::evidence::Evidence;
use super::inventory::Inventory;
use crate::check::Grade;

impl Car {
    /// What one of its facts rests on: what was found since, what the agency's mapping states for the
    /// whole list, else the dealer's row.
    #[must_use]
    pub fn evidence(&self, column: Inventory) -> Evidence {
        self.evidence.of(column).cloned().unwrap_or_else(|| Evidence {
            grade: Grade::Stated,
            by: None,
            place: self.place.clone(),
        })
    }

    /// The car without what the agency assumed or read into it: what the dealer stated, and what was found since.
    #[must_use]
    pub fn as_told(&self) -> Self {
        let mut told = self.clone();
        let nothing = Self::unknown("", "", self.yard, self.place.clone());
        for &column in Inventory::EACH {
            if self.evidence(column).grade < Grade::Stated {
                column.copy(&mut told, &nothing);
            }
        }
        told
    }
}
