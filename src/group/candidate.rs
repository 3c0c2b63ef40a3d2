//! A car on one span, reduced to what the choice asks of it.

use super::loads::{self, SharedHaul};
use super::matching::Figures;
use crate::quantity::{Cents, Feet, Inches};

/// What decides which other cars a car can lie beside.
#[derive(Clone, Copy, Debug, PartialEq)]
pub struct Fit {
    /// Number of its section: equal numbers, equal sections.
    pub section: u32,
    /// Of cars with equal numbers no two lie in one deck; none: free.
    pub apart: Option<u32>,
    /// Its measures, one for each match rule.
    pub measures: Figures,
    /// Width.
    pub width: Feet,
    /// Depth of the shallower exterior girder.
    pub exterior_depth: Inches,
    /// Length of it that lies on the span, ends included.
    pub laid: Feet,
}

impl Fit {
    /// Whether every figure that must be known is a number.
    #[must_use]
    pub fn is_known(&self) -> bool {
        let figures = [self.width.0, self.exterior_depth.0, self.laid.0];
        figures.iter().all(|figure| figure.is_finite()) && self.measures.is_known()
    }

    /// Its figures in a form that compares exactly.
    pub fn bits(&self) -> impl Iterator<Item = u64> + '_ {
        let words = [u64::from(self.section), self.apart.map_or(u64::MAX, u64::from)];
        let figures = [self.width.0, self.exterior_depth.0, self.laid.0];
        let figures = figures.into_iter().chain(self.measures.all().iter().copied());
        words.into_iter().chain(figures.map(f64::to_bits))
    }
}

/// A car that passes every check of one span, reduced to what matching and cost depend on.
#[derive(Clone, Debug, PartialEq)]
pub struct Candidate {
    /// Index of its offer (and of its car in the inputs).
    pub offer: usize,
    /// Landed and built cost of one car on this span, without its price, and without its haul where
    /// that may be shared.
    pub cost: Cents,
    /// What decides which cars it can lie beside.
    pub fit: Fit,
    /// Its haul, where it may share a trailer; none: it goes alone, and `cost` holds its haul.
    pub haul: Option<SharedHaul>,
}

/// What the haul of a deck's cars costs beside what their own costs hold of it.
#[must_use]
pub fn haul_cost(cars: &[&Candidate]) -> Cents {
    loads::haul_cost(cars.iter().map(|car| car.haul.as_ref()))
}

/// The loads of several cars that a deck's cars go on, each by the places of its cars, rising; the
/// others go alone. Of the cheapest ways to make up the loads it is one with the fewest.
#[must_use]
pub fn shared_loads(cars: &[&Candidate]) -> Vec<Vec<usize>> {
    loads::shared_loads(cars.iter().map(|car| car.haul.as_ref()))
}
