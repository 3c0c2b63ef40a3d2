//! Drawings to scale as SVG, made from the plan's numbers and labeled with them.
//!
//! Each is a pure function returning one `<svg>` element, complete in itself: with a title and a
//! description for screen readers, told apart by patterns and words, never by color alone, and
//! lettered so that it can be read at half its size. Dimension lines carry their length in feet
//! (`data-ft`) and what they measure (`data-what`); the drawing carries its scale (`data-px-per-ft`).
//! What is not to scale says so in the drawing.

pub mod budget_chart;
pub mod camber_chart;
pub mod cost_bars;
pub mod deck_section;
mod dimension;
pub mod elevation;
pub mod inspection;
mod lettering;
pub mod map;
pub mod plan_view;
mod profile;
mod shape;
pub mod sites;
mod svg;
pub mod timeline;
mod under;

pub use lettering::escape;

use crate::model::inputs::Inputs;
use crate::model::plan::Deck;
use crate::quantity::feet_inches;
use crate::report::text::inches_read;

/// Width of a drawing in its own units: about the room between the margins of a Letter page, in
/// CSS pixels.
pub const WIDTH: f64 = 700.0;

/// The cars of a deck in words, numbered across.
fn car_list(inputs: &Inputs, deck: &Deck) -> String {
    let words: Vec<String> = (1..)
        .zip(&deck.cars)
        .map(|(number, placed)| {
            let car = inputs.car(placed.car);
            let width = car.width.map(feet_inches).unwrap_or_else(|| "unknown".to_owned());
            let camber = car.camber.map(inches_read).unwrap_or_else(|| "unknown".to_owned());
            format!("{number}, {}, width {width}, camber {camber}", car.id)
        })
        .collect();
    words.join("; ")
}
