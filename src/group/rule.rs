//! The rule by which cars make a deck, as numbers.

use super::candidate::{Candidate, Fit};
use super::matching::{Figures, Spreads};
use crate::check::TOLERANCE;
use crate::model::width::{Gaps, WidthRange, total_width};
use crate::quantity::{Cents, Feet, Inches};

/// A joint type on one span.
#[derive(Clone, Debug, Default, PartialEq)]
pub struct JointOption {
    /// Smallest gap.
    pub gap_min: Inches,
    /// Widest gap.
    pub gap_max: Inches,
    /// Least depth of the exterior girders.
    pub depth_min: Inches,
    /// Cost of one joint along a deck of each of the rule's lengths; it does not fall with the length.
    pub costs: Vec<Cents>,
}

impl JointOption {
    /// The gaps that it closes.
    #[must_use]
    pub fn gaps(&self) -> Gaps {
        Gaps { least: self.gap_min, most: self.gap_max }
    }
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
    /// How far measures of one deck may lie apart, by match rule.
    pub tolerances: Figures,
    /// Greatest difference of camber between neighbors.
    pub step_most: Inches,
    /// Joint types, in the order of the rules.
    pub joints: Vec<JointOption>,
    /// The lengths in which cars lie on the span, rising; a deck is as long as the longest of its cars.
    pub lengths: Vec<Feet>,
    /// Cost of the rails along a deck of each of these lengths; it does not fall with the length. Empty:
    /// they cost nothing.
    pub rails: Vec<Cents>,
}

/// The joint that a deck gets.
#[derive(Clone, Copy, Debug, PartialEq)]
pub struct JointChoice {
    /// Index of the joint type; none for a single car.
    pub joint: Option<usize>,
    /// The gap, the same at every joint.
    pub gap: Inches,
    /// Cost of all that runs along the deck: joints and rails.
    pub cost: Cents,
    /// Widths and gaps together.
    pub total_width: Feet,
}

/// A deck as far as it is made up: a search adds car by car.
#[derive(Clone, Copy, Debug, PartialEq)]
pub struct DeckState {
    /// Its cars.
    pub cars: usize,
    /// Sum of their widths.
    pub widths: Feet,
    /// Depth of the shallowest exterior girder.
    pub shallowest: Inches,
    /// Length of the longest as it lies there.
    pub longest: Feet,
    spreads: Spreads,
}

impl DeckState {
    /// No cars.
    pub const EMPTY: Self = Self {
        cars: 0,
        widths: Feet(0.0),
        shallowest: Inches(f64::INFINITY),
        longest: Feet(0.0),
        spreads: Spreads::NONE,
    };
}

impl DeckRule {
    /// A deck with one car more; none if the car does not match, and then it matches no deck that
    /// these cars are part of. `deck` are the cars that the state has.
    #[inline]
    pub fn with<'a>(
        &self,
        state: &DeckState,
        mut deck: impl Iterator<Item = &'a Fit>,
        car: &Fit,
    ) -> Option<DeckState> {
        let spreads = state.spreads.with(&car.measures, &self.tolerances)?;
        let meets = |other: &Fit| {
            other.section != car.section || (car.apart.is_some() && other.apart == car.apart)
        };
        if deck.any(meets) {
            return None;
        }
        Some(DeckState {
            cars: state.cars + 1,
            widths: state.widths + car.width,
            shallowest: state.shallowest.min(car.exterior_depth),
            longest: state.longest.max(car.laid),
            spreads,
        })
    }

    /// The joint with which these cars make a valid deck, or none if they do not match.
    #[must_use]
    pub fn admits(&self, cars: &[&Candidate]) -> Option<JointChoice> {
        let mut state = DeckState::EMPTY;
        for (place, car) in cars.iter().enumerate() {
            state = self.with(&state, cars[..place].iter().map(|other| &other.fit), &car.fit)?;
        }
        if !self.steps_kept(cars.iter().map(|car| &car.fit)) {
            return None;
        }
        self.joint_for(state.cars, state.widths, state.shallowest, state.longest)
    }

    /// Of costs by length that of a deck of this length; nothing where there are none.
    fn along(&self, costs: &[Cents], length: Feet) -> Cents {
        let at = self.lengths.partition_point(|shorter| shorter.0 < length.0 - TOLERANCE);
        costs.get(at.min(costs.len().saturating_sub(1))).copied().unwrap_or_default()
    }

    /// The least that joints and rails of a deck of so many cars cost; none: no joint type is there.
    #[must_use]
    pub fn least_along(&self, cars: usize) -> Option<Cents> {
        let rails = self.rails.first().copied().unwrap_or_default();
        if cars < 2 {
            return Some(rails);
        }
        let least = |option: &JointOption| option.costs.first().copied().unwrap_or_default();
        Some(rails + self.joints.iter().map(least).min()? * (cars as i64 - 1))
    }

    /// Whether no step between neighbors is too great, with the cars in their order across the deck. A car
    /// more can halve a step, so it is asked of whole decks alone.
    pub fn steps_kept<'a>(&self, deck: impl Iterator<Item = &'a Fit>) -> bool {
        let mut cambers: Vec<f64> = deck.map(|fit| fit.measures.camber()).collect();
        cambers.sort_by(f64::total_cmp);
        cambers.windows(2).all(|pair| pair[1] - pair[0] <= self.step_most.0 + TOLERANCE)
    }

    /// Least and greatest total width.
    #[must_use]
    pub fn widths(&self) -> WidthRange {
        WidthRange { least: self.width_least, most: self.width_most }
    }

    /// The cheapest joint with which cars of these widths make a valid width, or none. Ties go to
    /// the joint type that comes first in the rules.
    ///
    /// Only number, total width, shallowest girder and longest car matter, so a search can ask before it
    /// knows which cars they are.
    #[must_use]
    pub fn joint_for(
        &self,
        cars: usize,
        widths: Feet,
        shallowest: Inches,
        longest: Feet,
    ) -> Option<JointChoice> {
        let rails = self.along(&self.rails, longest);
        if cars == 0 || cars > self.most_abreast {
            return None;
        }
        let range = self.widths();
        if cars == 1 {
            let choice =
                JointChoice { joint: None, gap: Inches(0.0), cost: rails, total_width: widths };
            return range.holds(widths).then_some(choice);
        }
        self.joints
            .iter()
            .enumerate()
            .filter(|(_, option)| shallowest.0 >= option.depth_min.0 - TOLERANCE)
            .filter_map(|(joint, option)| {
                let gap = option.gaps().set_toward(range.least, widths, cars);
                let total_width = total_width(widths, cars, gap);
                range.holds(total_width).then_some(JointChoice {
                    joint: Some(joint),
                    gap,
                    cost: rails + self.along(&option.costs, longest) * (cars as i64 - 1),
                    total_width,
                })
            })
            .min_by_key(|choice| choice.cost)
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
            tolerances: Figures::plain(Inches(1.0), Feet(1.0)),
            step_most: Inches(0.75),
            joints: vec![
                JointOption {
                    gap_min: Inches(0.0),
                    gap_max: Inches(2.0),
                    depth_min: Inches(8.0),
                    costs: vec![Cents(100), Cents(110)],
                },
                JointOption {
                    gap_min: Inches(4.0),
                    gap_max: Inches(18.0),
                    depth_min: Inches(12.0),
                    costs: vec![Cents(300), Cents(330)],
                },
            ],
            lengths: vec![Feet(66.0), Feet(68.5)],
            rails: vec![Cents(20), Cents(22)],
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
            let choice = rule().joint_for(2, Feet(widths), Inches(shallowest), Feet(66.0));
            let found = choice.map(|c| (c.joint.unwrap_or(9), c.gap.0, c.total_width.0));
            assert_eq!(found, expected, "{widths} ft, {shallowest} in");
        }
    }

    /// Cars at 0, 0.5 and 1 in lie within the spread of 1 in and step by 0.5 in; without the one between,
    /// the step is 1 in.
    #[test]
    fn a_car_between_two_halves_their_step() {
        let car = |camber: f64| Fit {
            section: 1,
            apart: None,
            measures: Figures::plain(Inches(camber), Feet(60.0)),
            width: Feet(6.0),
            exterior_depth: Inches(14.0),
            laid: Feet(66.0),
        };
        for (cambers, kept) in [
            (&[0.0, 1.0][..], false),
            (&[0.0, 1.0, 0.5], true),
            (&[0.0, 0.75], true),
            (&[0.0, 0.76], false),
            (&[0.3], true),
        ] {
            let deck: Vec<Fit> = cambers.iter().map(|&camber| car(camber)).collect();
            assert_eq!(rule().steps_kept(deck.iter()), kept, "{cambers:?}");
        }
    }

    #[test]
    fn one_car_needs_no_joint() {
        let choice = rule().joint_for(1, Feet(18.0), Inches(1.0), Feet(66.0)).unwrap();
        assert_eq!((choice.joint, choice.cost), (None, Cents(20)));
        assert!(rule().joint_for(1, Feet(17.0), Inches(1.0), Feet(66.0)).is_none());
    }

    #[test]
    fn joints_and_rails_are_as_long_as_the_longest_car() {
        for (cars, widths, longest, cost) in [
            (2, 18.0, 66.0, 120), // 100 + 20
            (2, 18.0, 68.5, 132), // 110 + 22
            (3, 18.0, 68.5, 242), // 2 x 110 + 22
            (2, 17.0, 68.5, 352), // the wide joint: 330 + 22
            (1, 18.0, 68.5, 22),
        ] {
            let choice = rule().joint_for(cars, Feet(widths), Inches(14.0), Feet(longest));
            assert_eq!(choice.map(|choice| choice.cost), Some(Cents(cost)), "{cars} {longest}");
        }
        assert_eq!([1, 2, 3].map(|cars| rule().least_along(cars).unwrap().0), [20, 120, 220]);
    }
}
