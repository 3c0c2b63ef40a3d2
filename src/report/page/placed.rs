//! The cars of a deck and its joints, as the sheets list them.

use crate::model::inputs::Inputs;
use crate::model::plan::Deck;
use crate::quantity::feet_inches;
use crate::report::facts::board::lead_word;
use crate::report::facts::count;
use crate::report::facts::structure::left_words;
use crate::report::text::{inches_fraction, inches_read};

/// A car in its deck.
pub struct Placed {
    pub span: usize,
    pub number: usize,
    pub car: String,
    pub from: String,
    pub section: String,
    pub length: String,
    pub centers: String,
    pub width: String,
    pub camber: String,
    /// What is left of it under the deck.
    pub left: String,
    pub weight: String,
    pub lead: &'static str,
}

/// The cars of a deck, numbered across.
pub(crate) fn placed(inputs: &Inputs, deck: &Deck) -> Vec<Placed> {
    let unknown = || "unknown".to_owned();
    (1..)
        .zip(&deck.cars)
        .map(|(number, placed)| {
            let car = inputs.car(placed.car);
            let lot = car.lot.map(|lot| format!(", lot {}", inputs.lot(lot).name));
            Placed {
                span: deck.site.span + 1,
                number,
                car: car.id.clone(),
                from: format!("{}{}", inputs.yard(car.yard).name, lot.unwrap_or_default()),
                section: car.section.clone().unwrap_or_else(unknown),
                length: car.length.map(feet_inches).unwrap_or_else(unknown),
                centers: car.truck_centers.map(feet_inches).unwrap_or_else(unknown),
                width: car.width.map(feet_inches).unwrap_or_else(unknown),
                camber: car.camber.map(inches_read).unwrap_or_else(unknown),
                left: left_words(inputs, placed.car, deck.site),
                weight: car.weight.map(|weight| weight.to_string()).unwrap_or_else(unknown),
                lead: lead_word(car.lead),
            }
        })
        .collect()
}

/// The joints of a deck in a sentence; none for a single car.
pub(crate) fn joint(deck: &Deck, several: bool) -> Option<String> {
    let joint = deck.joint.as_ref()?;
    let joints = count(deck.cars.len().saturating_sub(1), "joint");
    let span = if several { format!("Span {}: ", deck.site.span + 1) } else { String::new() };
    let gap = if joint.gap.0 > 0.0 {
        format!("gap {}", inches_fraction(joint.gap))
    } else {
        "closed up".to_owned()
    };
    Some(format!("{span}{joints}, {}, {gap}.", joint.name))
}
