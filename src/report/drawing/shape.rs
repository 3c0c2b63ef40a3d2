//! Cars of one deck that look alike from the side.

use crate::check::TOLERANCE;
use crate::model::car::Car;
use crate::model::inputs::Inputs;
use crate::model::plan::Deck;
use crate::quantity::{Feet, Inches};

/// Cars of one length and one distance of truck centers.
#[derive(Clone, Debug, PartialEq)]
pub struct Shape {
    /// Numbers of the cars across the deck, from 1.
    pub numbers: Vec<usize>,
    /// Length over ends.
    pub length: Feet,
    /// Distance between the bolsters.
    pub centers: Feet,
    /// Least camber.
    pub camber_low: Inches,
    /// Greatest camber.
    pub camber_high: Inches,
    /// Depth of the main girder, or of what stands in for it.
    pub depth: Option<Inches>,
    /// How much deeper the girder is at mid-length than at the bolsters: the belly of a fish-belly.
    pub belly: Inches,
    /// What the depth is taken from.
    pub depth_of: Depth,
}

/// What a drawn depth is taken from.
#[derive(Clone, Copy, Debug, Default, PartialEq, Eq)]
pub enum Depth {
    /// The car's own plates.
    #[default]
    Measured,
    /// The plates of a car of the same section in the plan or on offer.
    OfSection,
    /// Nothing that was measured: the exterior girder's depth, or a sign.
    NotMeasured,
}

impl Shape {
    /// How far each end reaches beyond its bearing.
    #[must_use]
    pub fn overhang(&self, span: Feet) -> Feet {
        (self.length - span) / 2.0
    }

    /// How far each bearing lies inside its bolster.
    #[must_use]
    pub fn inset(&self, span: Feet) -> Feet {
        (self.centers - span) / 2.0
    }

    /// `car 1` or `cars 1, 2`.
    #[must_use]
    pub fn cars(&self) -> String {
        let numbers: Vec<String> = self.numbers.iter().map(usize::to_string).collect();
        let noun = if numbers.len() == 1 { "car" } else { "cars" };
        format!("{noun} {}", numbers.join(", "))
    }
}

/// The shapes of a deck, in the order across. A placed car's lengths and camber are always known.
#[must_use]
pub fn shapes(inputs: &Inputs, deck: &Deck) -> Vec<Shape> {
    let mut shapes: Vec<Shape> = Vec::new();
    for (number, placed) in (1..).zip(&deck.cars) {
        let car = inputs.car(placed.car);
        let length = car.length.unwrap_or_default();
        let centers = car.truck_centers.unwrap_or_default();
        let camber = car.camber.unwrap_or_default();
        let (depth, belly, depth_of) = depth(inputs, car);
        let like = |shape: &&mut Shape| {
            (shape.length - length).abs().0 < TOLERANCE
                && (shape.centers - centers).abs().0 < TOLERANCE
        };
        match shapes.iter_mut().find(like) {
            Some(shape) => {
                shape.numbers.push(number);
                shape.camber_low = shape.camber_low.min(camber);
                shape.camber_high = shape.camber_high.max(camber);
                // The better known depth stands for all of them.
                if (depth_of as u8) < (shape.depth_of as u8) {
                    (shape.depth, shape.belly, shape.depth_of) = (depth, belly, depth_of);
                }
            }
            None => shapes.push(Shape {
                numbers: vec![number],
                length,
                centers,
                camber_low: camber,
                camber_high: camber,
                depth,
                belly,
                depth_of,
            }),
        }
    }
    shapes
}

/// Depth of a car's main girder with its belly: its own, else that of a car of its section, else the
/// exterior girder's.
fn depth(inputs: &Inputs, car: &Car) -> (Option<Inches>, Inches, Depth) {
    if let Some((own, belly)) = measured(car) {
        return (Some(own), belly, Depth::Measured);
    }
    let alike = |other: &&Car| {
        other.section.is_some()
            && other.section == car.section
            && other.truck_centers == car.truck_centers
    };
    match inputs.cars.iter().filter(alike).find_map(measured) {
        Some((of_section, belly)) => (Some(of_section), belly, Depth::OfSection),
        None => (car.exterior_depth, Inches(0.0), Depth::NotMeasured),
    }
}

/// Depth of the main girder over its plates, and how much less it is at the bolsters.
fn measured(car: &Car) -> Option<(Inches, Inches)> {
    let plates = car.girder.plates.as_ref()?;
    let web = plates.web.width_in;
    let depth = web + plates.top_flange.thickness_in + plates.bottom_flange.thickness_in;
    let belly = plates.web_depth_at_trucks_in.map_or(Inches(0.0), |at_trucks| web - at_trucks);
    Some((depth, belly.max(Inches(0.0))))
}
