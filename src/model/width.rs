//! Widths and gaps: what cars side by side add up to, told once.

use super::crossing::Crossing;
use super::rules::{JointType, Rules};
use crate::check::TOLERANCE;
use crate::quantity::{Feet, Inches};

/// Crews set gaps to the eighth of an inch; a computed gap is rounded up to it.
const GAP_STEP_PER_INCH: f64 = 8.0;

/// Least and greatest total width that a span admits.
#[derive(Clone, Copy, Debug, PartialEq)]
pub struct WidthRange {
    /// Least.
    pub least: Feet,
    /// Greatest.
    pub most: Feet,
}

impl WidthRange {
    /// Whether a total width lies in it.
    #[must_use]
    pub fn holds(self, total: Feet) -> bool {
        total.0 >= self.least.0 - TOLERANCE && total.0 <= self.most.0 + TOLERANCE
    }

    /// How far inside a total width lies; below zero outside.
    #[must_use]
    pub fn margin(self, total: Feet) -> Feet {
        (total - self.least).min(self.most - total)
    }

    /// The sums of the cars' widths that with some gap of a joint come to a total width in it.
    #[must_use]
    pub fn of_cars(self, cars: usize, gaps: Gaps) -> Self {
        let all = |gap| total_width(Feet(0.0), cars, gap);
        Self { least: self.least - all(gaps.most), most: self.most - all(gaps.least) }
    }
}

/// The total widths that the rules admit at a crossing.
#[must_use]
pub fn admitted(rules: &Rules, crossing: &Crossing) -> WidthRange {
    let least = rules.width_required(crossing.clear_width);
    WidthRange { least, most: least + rules.group.width_allowance_ft }
}

/// The gaps that a joint type closes.
#[derive(Clone, Copy, Debug, PartialEq)]
pub struct Gaps {
    /// Smallest.
    pub least: Inches,
    /// Widest.
    pub most: Inches,
}

impl Gaps {
    /// The gaps of a joint type of the rules.
    #[must_use]
    pub fn of(joint: &JointType) -> Self {
        Self { least: joint.gap_min_in, most: joint.gap_max_in }
    }

    /// The gap of this joint that brings cars of these widths nearest to a total width.
    #[must_use]
    pub fn toward(self, total: Feet, widths: Feet, cars: usize) -> Inches {
        self.nearest(wanted(total, widths, cars))
    }

    /// As [`Gaps::toward`], rounded up to what a crew sets.
    #[must_use]
    pub fn set_toward(self, total: Feet, widths: Feet, cars: usize) -> Inches {
        let wanted = wanted(total, widths, cars).0 - TOLERANCE;
        self.nearest(Inches((wanted * GAP_STEP_PER_INCH).ceil() / GAP_STEP_PER_INCH))
    }

    fn nearest(self, gap: Inches) -> Inches {
        gap.max(self.least).min(self.most)
    }
}

/// The gap that would bring cars of these widths to a total width.
fn wanted(total: Feet, widths: Feet, cars: usize) -> Inches {
    Inches::from(total - widths) / cars.saturating_sub(1).max(1) as f64
}

/// The total width of cars side by side with one gap between all neighbors.
#[must_use]
pub fn total_width(widths: Feet, cars: usize, gap: Inches) -> Feet {
    widths + Feet::from(gap * cars.saturating_sub(1) as f64)
}
