//! Prices to beat in words.

use crate::after::prices::{Beat, Found, PriceToBeat, Subject};
use crate::model::inputs::{CarIx, Inputs};

/// Dealer and ID of a car, or dealer and name of a lot.
#[must_use]
pub fn name(inputs: &Inputs, subject: Subject) -> String {
    match subject {
        Subject::Row(car) => inputs.car(car).name(),
        Subject::Lot(lot) => {
            let lot = inputs.lot(lot);
            format!("{} lot {}", lot.dealer, lot.name)
        }
    }
}

/// How many cars are offered: of the row, or in the lot.
#[must_use]
pub fn offered(inputs: &Inputs, subject: Subject) -> u32 {
    let quantity = |car: &CarIx| inputs.car(*car).quantity;
    match subject {
        Subject::Row(car) => quantity(&car),
        Subject::Lot(lot) => inputs.lot(lot).cars.iter().map(quantity).sum(),
    }
}

/// The price to beat: an amount, or why there is none.
#[must_use]
pub fn beat(offer: &PriceToBeat) -> String {
    match offer.beat {
        Beat::Never => "not even as a gift".to_owned(),
        Beat::Below(price) => price.to_string(),
        Beat::Always => "any price".to_owned(),
    }
}

/// How a price was found.
#[must_use]
pub fn found(offer: &PriceToBeat) -> String {
    let how = match offer.found {
        Found::NoDeck => "no deck holds it".to_owned(),
        Found::ByBound => "by a bound".to_owned(),
        Found::BySolving(1) => "solved once more".to_owned(),
        Found::BySolving(n) => format!("solved {n} times more"),
    };
    match offer.range {
        _ if offer.proven => how,
        Some((least, most)) => format!("{how}, NOT PROVEN: between {least} and {most}"),
        None => format!("{how}, NOT PROVEN"),
    }
}
