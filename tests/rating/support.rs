//! A car, a crossing and the default rules to vary in the tests.

use std::sync::Arc;

use spanyard::model::car::{
    Car, CarKind, GirderPlates, MainGirder, MemberCondition, Members, Plate, SecondaryMembers,
};
use spanyard::model::crossing::{Crossing, Layout};
use spanyard::model::inputs::YardIx;
use spanyard::model::place::{Position, RowPlace};
use spanyard::model::rules::{DEFAULT_RULES, Rules};
use spanyard::quantity::{Cents, Feet, Inches, Kips, Ksi, Percent};

pub fn rules() -> Rules {
    toml::from_str(DEFAULT_RULES).unwrap()
}

fn place() -> RowPlace {
    RowPlace { file: Arc::from("test.csv"), line: 2 }
}

pub fn plate(width: f64, thickness: f64) -> Plate {
    Plate { width_in: Inches(width), thickness_in: Inches(thickness) }
}

/// A box of two webs 28.5 x 0.5 in between flanges 24 x 0.75 in: section modulus 642.056 in3.
pub fn box_girder() -> GirderPlates {
    GirderPlates {
        webs: 2,
        web: plate(28.5, 0.5),
        web_depth_at_trucks_in: None,
        top_flange: plate(24.0, 0.75),
        bottom_flange: plate(24.0, 0.75),
        top_cover: None,
        bottom_cover: None,
        web_loss_pct: Percent(0.0),
        top_loss_pct: Percent(0.0),
        bottom_loss_pct: Percent(0.0),
    }
}

/// A sound flat car of 60 ft and 45 kips, 9 ft wide, with the box and steel of 36 ksi.
pub fn car() -> Car {
    Car {
        id: "T-1".to_owned(),
        dealer: "Drumfell Reclaim".to_owned(),
        yard: YardIx(0),
        lot: None,
        quantity: 1,
        kind: Some(CarKind::Flat),
        section: Some("A".to_owned()),
        apart: None,
        length: Some(Feet(60.0)),
        truck_centers: Some(Feet(46.0)),
        width: Some(Feet(9.0)),
        camber: Some(Inches(1.0)),
        year_built: Some(1970),
        steel_yield: Some(Ksi(36.0)),
        yield_source: Some("mill certificate".to_owned()),
        girder: MainGirder {
            stated_modulus: None,
            modulus_source: None,
            plates: Some(box_girder()),
            unbraced_ft: None,
        },
        exterior_depth: Some(Inches(14.0)),
        secondary: SecondaryMembers::default(),
        weight: Some(Kips(45.0)),
        deck: None,
        deck_condition: None,
        coating: None,
        lead: None,
        members: Members { main_girder: Some(MemberCondition::Sound), ..Members::default() },
        wrecked: Some(false),
        owned: false,
        price: Some(Cents::dollars(10_000)),
        quote_expires: None,
        available: None,
        notes: None,
        place: place(),
    }
}

/// One lane, timber deck, two cars abreast.
pub fn crossing(span: f64, vehicles: &[&str]) -> Crossing {
    Crossing {
        id: "X-1".to_owned(),
        road: "Test Road".to_owned(),
        layouts: vec![Layout { spans: vec![Feet(span)], piers_cost: Cents(0) }],
        clear_width: Feet(16.0),
        vehicles: vehicles.iter().map(|&v| v.to_owned()).collect(),
        deck_system: "timber".to_owned(),
        most_abreast: 2,
        haul_length_limit: None,
        haul_weight_limit: None,
        crane_limit: None,
        priority: 1,
        fund: None,
        needed_by: None,
        keep: vec![],
        position: Position { latitude_deg: 44.0, longitude_deg: -40.0 },
        least_posting: None,
        place: place(),
    }
}
