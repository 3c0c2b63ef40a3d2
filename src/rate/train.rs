//! A train of axles: loads and the distances between them.

use serde::Serialize;

use crate::quantity::{Feet, Kips};

/// The distance between two neighboring axles, fixed or anywhere in a range.
#[derive(Clone, Copy, Debug, PartialEq, Serialize)]
pub struct Spacing {
    /// Smallest distance.
    #[serde(rename = "least_ft")]
    pub least: Feet,
    /// Largest distance.
    #[serde(rename = "most_ft")]
    pub most: Feet,
}

impl Spacing {
    /// A fixed distance.
    #[must_use]
    pub const fn fixed(distance: Feet) -> Self {
        Self { least: distance, most: distance }
    }

    /// Whether the distance may vary.
    #[must_use]
    pub fn varies(self) -> bool {
        self.most > self.least
    }
}

/// One axle: its load and its distance behind the first axle, at the least spacings.
#[derive(Clone, Copy, Debug, PartialEq, Serialize)]
pub struct Axle {
    /// Load.
    #[serde(rename = "load_kip")]
    pub load: Kips,
    /// Distance behind the first axle.
    #[serde(rename = "behind_first_ft")]
    pub offset: Feet,
}

/// A train of axles, front first, at its least spacings.
///
/// On a simple span the least spacings govern wherever the influence line rises to one peak and falls
/// again, as those of the moment at a section, of the reaction at a bearing and of the deflection at
/// mid-span do. Take any placing of a train with a longer spacing: the axles before the gap and those
/// behind it can be moved toward each other, each part toward the peak and never beyond it, until the gap
/// is at its least; no axle's ordinate falls on the way. So the shortest train reaches at least as much,
/// and longer spacings need not be tried. A test scans them nevertheless. The shear beside a bearing has
/// a second peak at the end of the deck beyond it: see [`Train::with_two_peaks`].
///
/// No ordinate in use is below zero, so leaving off axles never adds.
#[derive(Clone, Debug, PartialEq, Serialize)]
pub struct Train {
    name: &'static str,
    axles: Vec<Axle>,
    spacings: Vec<Spacing>,
}

/// Why the numbers make no train.
#[derive(Clone, Debug, PartialEq, thiserror::Error)]
pub enum TrainError {
    /// No axle at all.
    #[error("it has no axles")]
    NoAxles,
    /// Spacings do not fit the axles.
    #[error("{axles} axles have {} spacings between them, not {spacings}", axles - 1)]
    Count {
        /// Number of axles.
        axles: usize,
        /// Number of spacings.
        spacings: usize,
    },
    /// A load that is no load.
    #[error("axle {axle} weighs {kips} kip; it must weigh more than 0")]
    Load {
        /// Which axle, from 1.
        axle: usize,
        /// The load given.
        kips: f64,
    },
    /// A spacing that is no distance.
    #[error("spacing {spacing} is {feet} ft; it must be more than 0")]
    Spacing {
        /// Which spacing, from 1.
        spacing: usize,
        /// The distance given.
        feet: f64,
    },
    /// More than one distance with a range.
    #[error("spacings {0} and {1} both have a range; one may")]
    Ranges(usize, usize),
    /// A range whose ends are the wrong way round.
    #[error("spacing {spacing} runs from {least} to {most} ft, which is no range")]
    Range {
        /// Which spacing, from 1.
        spacing: usize,
        /// Its smaller end as given.
        least: f64,
        /// Its larger end as given.
        most: f64,
    },
}

impl Train {
    /// A train of these axles, front first, with these distances between neighbors.
    ///
    /// # Errors
    /// No axle, a load or a distance that is not positive and finite, or a wrong count of spacings.
    pub fn new(
        name: &'static str,
        loads: &[Kips],
        spacings: &[Spacing],
    ) -> Result<Self, TrainError> {
        if loads.is_empty() {
            return Err(TrainError::NoAxles);
        }
        if spacings.len() + 1 != loads.len() {
            return Err(TrainError::Count { axles: loads.len(), spacings: spacings.len() });
        }
        let is_amount = |number: f64| number.is_finite() && number > 0.0;
        if let Some(i) = loads.iter().position(|load| !is_amount(load.0)) {
            return Err(TrainError::Load { axle: i + 1, kips: loads[i].0 });
        }
        for (i, Spacing { least, most }) in spacings.iter().enumerate() {
            if !is_amount(least.0) {
                return Err(TrainError::Spacing { spacing: i + 1, feet: least.0 });
            }
            if !most.0.is_finite() || most < least {
                return Err(TrainError::Range { spacing: i + 1, least: least.0, most: most.0 });
            }
        }
        let mut ranges = spacings.iter().enumerate().filter(|(_, spacing)| spacing.varies());
        if let (Some((one, _)), Some((other, _))) = (ranges.next(), ranges.next()) {
            return Err(TrainError::Ranges(one + 1, other + 1));
        }
        let mut offset = Feet(0.0);
        let mut axles = vec![Axle { load: loads[0], offset }];
        for (spacing, &load) in spacings.iter().zip(&loads[1..]) {
            offset += spacing.least;
            axles.push(Axle { load, offset });
        }
        Ok(Self { name, axles, spacings: spacings.to_vec() })
    }

    /// Where the distance that may vary lies, and its range.
    fn range(&self) -> Option<(usize, Spacing)> {
        let mut spacings = self.spacings.iter().copied().enumerate();
        spacings.find(|(_, spacing)| spacing.varies())
    }

    /// The same train with the distance that may vary at this, if there is one.
    #[must_use]
    pub fn at(&self, distance: Option<Feet>) -> Self {
        let mut train = self.clone();
        if let (Some((index, spacing)), Some(distance)) = (self.range(), distance) {
            for axle in &mut train.axles[index + 1..] {
                axle.offset += distance - spacing.least;
            }
            train.spacings[index] = Spacing::fixed(distance);
        }
        train
    }

    /// The distances that may govern under an influence line whose two peaks lie so far apart, falling
    /// and straight in pieces beside them; `None` stands for a train whose distances are fixed.
    ///
    /// The axles before the gap and those behind it are moved one by one, straight pieces under all of
    /// them, until nothing more is gained: then each of the two parts has an axle at a peak, or the gap
    /// is at an end of its range and one of them has.
    #[must_use]
    pub fn with_two_peaks(&self, apart: Feet) -> Vec<Option<Feet>> {
        let Some((index, spacing)) = self.range() else { return vec![None] };
        let mut found = vec![spacing.least, spacing.most];
        for front in &self.axles[..=index] {
            for rear in &self.axles[index + 1..] {
                let distance = apart - (rear.offset - front.offset - spacing.least);
                if distance > spacing.least && distance < spacing.most {
                    found.push(distance);
                }
            }
        }
        found.into_iter().map(Some).collect()
    }

    /// What kind of train it is: `truck`, `tandem`.
    #[must_use]
    pub fn name(&self) -> &'static str {
        self.name
    }

    /// The axles, front first, at the least spacings.
    #[must_use]
    pub fn axles(&self) -> &[Axle] {
        &self.axles
    }

    /// The distances between neighboring axles.
    #[must_use]
    pub fn spacings(&self) -> &[Spacing] {
        &self.spacings
    }

    /// Sum of the axle loads.
    #[must_use]
    pub fn gross(&self) -> Kips {
        self.axles.iter().map(|axle| axle.load).sum()
    }

    /// Distance from the first to the last axle, at the least spacings.
    #[must_use]
    pub fn wheelbase(&self) -> Feet {
        self.axles.last().map_or(Feet(0.0), |axle| axle.offset)
    }

    /// The same train coming from the other side.
    #[must_use]
    pub fn reversed(&self) -> Self {
        let length = self.wheelbase();
        let axles =
            self.axles.iter().rev().map(|a| Axle { load: a.load, offset: length - a.offset });
        let spacings = self.spacings.iter().rev().copied();
        Self { name: self.name, axles: axles.collect(), spacings: spacings.collect() }
    }
}

#[cfg(test)]
mod tests {
    use super::*;

    #[test]
    fn a_train_turned_round_twice_is_itself() {
        let spacings =
            [Spacing::fixed(Feet(14.0)), Spacing { least: Feet(14.0), most: Feet(30.0) }];
        let train = Train::new("truck", &[Kips(8.0), Kips(32.0), Kips(32.0)], &spacings).unwrap();
        assert_eq!(train.reversed().reversed(), train);
        assert_eq!(train.reversed().axles()[0].load, Kips(32.0));
        assert_eq!((train.gross(), train.wheelbase()), (Kips(72.0), Feet(28.0)));
    }
}
