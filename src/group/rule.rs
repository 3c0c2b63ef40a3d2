//! The rule by which cars match, as numbers.

use std::collections::BTreeSet;

use super::loads::SharedHaul;
use crate::check::TOLERANCE;
use crate::quantity::{Cents, Feet, Inches};

/// A car that passes every check of one span, reduced to what matching and cost depend on.
#[derive(Clone, Debug, PartialEq)]
pub struct Candidate {
    /// Index of its offer (and of its car in the inputs).
    pub offer: usize,
    /// Landed and built cost of one car on this span, without its price, and without its haul where
    /// that may be shared.
    pub cost: Cents,
    /// Number of its section: equal numbers, equal sections.
    pub section: u32,
    /// Of cars with equal numbers no two lie in one deck; none: free.
    pub apart: Option<u32>,
    /// Camber.
    pub camber: Inches,
    /// Width.
    pub width: Feet,
    /// Truck centers.
    pub centers: Feet,
    /// Depth of the shallower exterior girder.
    pub exterior_depth: Inches,
    /// Its haul, where it may share a trailer; none: it goes alone, and `cost` holds its haul.
    pub haul: Option<SharedHaul>,
}

/// A joint type on one span.
#[derive(Clone, Debug, PartialEq)]
pub struct JointOption {
    /// Smallest gap.
    pub gap_min: Inches,
    /// Widest gap.
    pub gap_max: Inches,
    /// Least depth of the exterior girders.
    pub depth_min: Inches,
    /// Cost of one joint over the span.
    pub cost: Cents,
}

/// The rule of one span.
#[derive(Clone, Debug, PartialEq)]
pub struct DeckRule {
    /// Most cars abreast.
    pub most_abreast: usize,
    /// Least total width.
    pub width_least: Feet,
    /// Greatest total width.
    pub width_most: Feet,
    /// Largest less smallest camber.
    pub camber_tolerance: Inches,
    /// Largest less smallest truck centers.
    pub centers_tolerance: Feet,
    /// Joint types, in the order of the rules.
    pub joints: Vec<JointOption>,
}

/// The joint that a deck gets.
#[derive(Clone, Copy, Debug, PartialEq)]
pub struct JointChoice {
    /// Index of the joint type; none for a single car.
    pub joint: Option<usize>,
    /// The gap, the same at every joint.
    pub gap: Inches,
    /// Cost of all joints of the deck.
    pub cost: Cents,
    /// Widths and gaps together.
    pub total_width: Feet,
}

/// Crews set gaps to the eighth of an inch; a computed gap is rounded up to it.
const GAP_STEP_PER_INCH: f64 = 8.0;

impl DeckRule {
    /// The cheapest joint with which cars of these widths make a valid width, or none. Ties go to
    /// the joint type that comes first in the rules.
    ///
    /// Only number, total width and shallowest girder matter, so a search can ask before it knows
    /// which cars they are.
    #[must_use]
    pub fn joint_for(&self, cars: usize, widths: Feet, shallowest: Inches) -> Option<JointChoice> {
        if cars == 0 || cars > self.most_abreast {
            return None;
        }
        let fits = |width: Feet| {
            width.0 >= self.width_least.0 - TOLERANCE && width.0 <= self.width_most.0 + TOLERANCE
        };
        if cars == 1 {
            let choice = JointChoice {
                joint: None,
                gap: Inches(0.0),
                cost: Cents::ZERO,
                total_width: widths,
            };
            return fits(widths).then_some(choice);
        }
        let joints = (cars - 1) as f64;
        let wanted = Inches::from(self.width_least - widths) / joints;
        self.joints
            .iter()
            .enumerate()
            .filter(|(_, option)| shallowest.0 >= option.depth_min.0 - TOLERANCE)
            .filter_map(|(joint, option)| {
                let rounded =
                    ((wanted.0 - TOLERANCE) * GAP_STEP_PER_INCH).ceil() / GAP_STEP_PER_INCH;
                let gap = Inches(rounded).max(option.gap_min).min(option.gap_max);
                let total_width = widths + Feet::from(gap * joints);
                fits(total_width).then_some(JointChoice {
                    joint: Some(joint),
                    gap,
                    cost: option.cost * (cars as i64 - 1),
                    total_width,
                })
            })
            .min_by_key(|choice| choice.cost)
    }

    /// The joint with which these cars make a valid deck, or none if they do not match.
    #[must_use]
    pub fn admits(&self, cars: &[&Candidate]) -> Option<JointChoice> {
        let first = cars.first()?;
        if cars.iter().any(|car| car.section != first.section) {
            return None;
        }
        let apart: BTreeSet<u32> = cars.iter().filter_map(|car| car.apart).collect();
        if apart.len() < cars.iter().filter(|car| car.apart.is_some()).count() {
            return None;
        }
        let spread = |value: fn(&Candidate) -> f64| {
            let (low, high) = cars
                .iter()
                .map(|car| value(car))
                .fold((f64::INFINITY, f64::NEG_INFINITY), |(low, high), v| {
                    (low.min(v), high.max(v))
                });
            high - low
        };
        if spread(|car| car.camber.0) > self.camber_tolerance.0 + TOLERANCE
            || spread(|car| car.centers.0) > self.centers_tolerance.0 + TOLERANCE
        {
            return None;
        }
        let widths = cars.iter().map(|car| car.width).sum();
        let shallowest =
            cars.iter().map(|car| car.exterior_depth).fold(Inches(f64::INFINITY), Inches::min);
        self.joint_for(cars.len(), widths, shallowest)
    }
}

/// Puts items in the order across the deck with the smallest camber steps: by rising camber, equal
/// cambers in the order given. No other order has a smaller largest step, nor a smaller sum of steps.
pub fn order_across<T>(items: &mut [T], camber: impl Fn(&T) -> Inches) {
    items.sort_by(|a, b| camber(a).total_cmp(&camber(b)));
}

#[cfg(test)]
mod tests {
    use super::*;

    fn rule() -> DeckRule {
        DeckRule {
            most_abreast: 3,
            width_least: Feet(17.5),
            width_most: Feet(19.5),
            camber_tolerance: Inches(1.0),
            centers_tolerance: Feet(1.0),
            joints: vec![
                JointOption {
                    gap_min: Inches(0.0),
                    gap_max: Inches(2.0),
                    depth_min: Inches(8.0),
                    cost: Cents(100),
                },
                JointOption {
                    gap_min: Inches(4.0),
                    gap_max: Inches(18.0),
                    depth_min: Inches(12.0),
                    cost: Cents(300),
                },
            ],
        }
    }

    #[test]
    fn joint_and_gap_for_two_cars() {
        for (widths, shallowest, expected) in [
            (18.0, 14.0, Some((0, 0.0, 18.0))), // wide enough closed up
            (17.4, 14.0, Some((0, 1.25, 17.504_166_666_666_666))), // 1.2 in, rounded up to the eighth
            (17.0, 14.0, Some((1, 6.0, 17.5))),                    // needs the wide joint
            (17.0, 10.0, None),                                    // too shallow for it
            (18.0, 7.0, None),                                     // too shallow for any
            (19.6, 14.0, None),                                    // too wide
            (15.9, 14.0, None), // 19.2 in is more than the widest gap
        ] {
            let choice = rule().joint_for(2, Feet(widths), Inches(shallowest));
            let found = choice.map(|c| (c.joint.unwrap_or(9), c.gap.0, c.total_width.0));
            assert_eq!(found, expected, "{widths} ft, {shallowest} in");
        }
    }

    #[test]
    fn one_car_needs_no_joint() {
        let choice = rule().joint_for(1, Feet(18.0), Inches(1.0)).unwrap();
        assert_eq!((choice.joint, choice.cost), (None, Cents(0)));
        assert!(rule().joint_for(1, Feet(17.0), Inches(1.0)).is_none());
    }
}
