//! Cars of one deck that look alike from the side.

use crate::check::TOLERANCE;
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
    /// Depth of the main girder or, where nobody measured it, of the exterior girder.
    pub depth: Option<Inches>,
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
        let depth = car
            .girder
            .plates
            .as_ref()
            .map(|plates| {
                plates.web.width_in
                    + plates.top_flange.thickness_in
                    + plates.bottom_flange.thickness_in
            })
            .or(car.exterior_depth);
        let like = |shape: &&mut Shape| {
            (shape.length - length).abs().0 < TOLERANCE
                && (shape.centers - centers).abs().0 < TOLERANCE
        };
        match shapes.iter_mut().find(like) {
            Some(shape) => {
                shape.numbers.push(number);
                shape.camber_low = shape.camber_low.min(camber);
                shape.camber_high = shape.camber_high.max(camber);
            }
            None => shapes.push(Shape {
                numbers: vec![number],
                length,
                centers,
                camber_low: camber,
                camber_high: camber,
                depth,
            }),
        }
    }
    shapes
}
