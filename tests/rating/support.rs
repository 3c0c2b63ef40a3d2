//! The car and the crossing that the rating tests vary: the fixture's, with round numbers for sums by
//! hand and nothing that no rating asks for.

use spanyard::model::car::{Car, CarKind, GirderPlates, MainGirder, MemberCondition, Members};
use spanyard::model::crossing::{Crossing, Layout};
use spanyard::model::inputs::YardIx;
use spanyard::quantity::{Cents, Feet, Inches, Kips, Ksi};

use crate::testkit::fixture::{self, box_of, row};
pub use crate::testkit::fixture::{plate, rules};

/// A box of two webs 28.5 x 0.5 in between flanges 24 x 0.75 in: section modulus 642.056 in3.
pub fn box_girder() -> GirderPlates {
    box_of(plate(28.5, 0.5), plate(24.0, 0.75))
}

/// A sound flat car of 60 ft and 45 kips, 9 ft wide, with the box and steel of 36 ksi.
pub fn car() -> Car {
    Car {
        kind: Some(CarKind::Flat),
        section: Some("A".to_owned()),
        length: Some(Feet(60.0)),
        truck_centers: Some(Feet(46.0)),
        width: Some(Feet(9.0)),
        camber: Some(Inches(1.0)),
        year_built: Some(1970),
        steel_yield: Some(Ksi(36.0)),
        yield_source: Some("mill certificate".to_owned()),
        girder: MainGirder { plates: Some(box_girder()), ..MainGirder::default() },
        exterior_depth: Some(Inches(14.0)),
        weight: Some(Kips(45.0)),
        members: Members { main_girder: Some(MemberCondition::Sound), ..Members::default() },
        wrecked: Some(false),
        price: Some(Cents::dollars(10_000)),
        ..Car::unknown("T-1", "Drumfell Reclaim", YardIx(0), row("test.csv", 2))
    }
}

/// One lane, timber deck, two cars abreast; nothing surveyed.
pub fn crossing(span: f64, vehicles: &[&str]) -> Crossing {
    Crossing {
        layouts: vec![Layout { spans: vec![Feet(span)], piers_cost: Cents(0) }],
        vehicles: vehicles.iter().map(|&v| v.to_owned()).collect(),
        haul_length_limit: None,
        haul_width_limit: None,
        haul_weight_limit: None,
        crane_limit: None,
        needed_by: None,
        ..fixture::crossing()
    }
}
