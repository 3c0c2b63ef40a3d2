//! What a car or a deck costs, landed and built, line by line, in integer cents.
//!
//! A line is a rate times a quantity, rounded once. Every car's lines depend on that car and its
//! span alone, so that the cost of a deck is the exact sum of its cars', joints' and span's lines.

use crate::model::inputs::{CarIx, CrossingIx, Inputs, LotIx, Site, YardIx};
use crate::model::plan::CostLine;
use crate::model::rules::JointType;
use crate::quantity::Cents;

/// The price of one car sold singly; zero lines for a car of a lot.
#[must_use]
pub fn car_price(inputs: &Inputs, car: CarIx) -> Vec<CostLine> {
    let _ = (inputs, car);
    Vec::new()
}

/// Everything one placed car costs on a span, its price or lot share apart: loading, haul, permit,
/// escort, pick, trimming, repair, blasting and paint, lead work, deck on its width.
#[must_use]
pub fn car_at(inputs: &Inputs, car: CarIx, site: Site) -> Vec<CostLine> {
    let _ = (inputs, car, site);
    Vec::new()
}

/// One joint over the span.
#[must_use]
pub fn joint_at(inputs: &Inputs, joint: &JointType, site: Site) -> CostLine {
    let _ = (inputs, joint, site);
    unimplemented!()
}

/// What a span costs whatever its cars: rails.
#[must_use]
pub fn span_fixed(inputs: &Inputs, site: Site) -> Vec<CostLine> {
    let _ = (inputs, site);
    Vec::new()
}

/// What a layout costs whatever its cars: crane, piers.
#[must_use]
pub fn layout_fixed(inputs: &Inputs, crossing: CrossingIx, layout: usize) -> Vec<CostLine> {
    let _ = (inputs, crossing, layout);
    Vec::new()
}

/// The inspection trip to a yard.
#[must_use]
pub fn yard_trip(inputs: &Inputs, yard: YardIx) -> CostLine {
    let _ = (inputs, yard);
    unimplemented!()
}

/// The even shares of a lot's price over its cars, in the order of its rows, copies of a row one
/// after the other: they differ by a cent at most, the larger ones first, and add up to the price.
#[must_use]
pub fn lot_shares(inputs: &Inputs, lot: LotIx) -> Vec<Cents> {
    let _ = (inputs, lot);
    Vec::new()
}

/// Worth of one left-over car of a lot.
#[must_use]
pub fn stock_value(inputs: &Inputs, lot: LotIx) -> Cents {
    let _ = (inputs, lot);
    Cents::ZERO
}
