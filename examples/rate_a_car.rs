//! One car on one span for one vehicle: every rating check in a sentence.
//!
//! `cargo run --example rate_a_car`

use std::error::Error;
use std::io::Write as _;

use spanyard::model::rules::{DEFAULT_RULES, Rules};
use spanyard::quantity::{Feet, Ksi};
use spanyard::rate::rate_checks;
use spanyard::read::{SourceText, Sources, check};

const CROSSING: &str = "\
crossing,road,span_ft,clear_width_ft,vehicles,deck,most_abreast,priority,latitude_deg,longitude_deg
B-1,Mill Lane,40,16,H15,timber,2,1,44.0,-40.0
";

const CAR: &str = "\
car,dealer,yard,kind,length_ft,truck_centers_ft,width_ft,weight_lb,modulus_in3,main_girder
D-1,Drumfell Reclaim,Upper Drum,flat,60,48,9.2,38000,900,sound
";

const YARD: &str = "\
dealer,yard,latitude_deg,longitude_deg,loading_usd,trip_usd
Drumfell Reclaim,Upper Drum,44.3,-40.2,350,600
";

fn main() -> Result<(), Box<dyn Error>> {
    let sources = Sources {
        inventories: vec![SourceText::new("car.csv", CAR)],
        yards: Some(SourceText::new("yard.csv", YARD)),
        crossings: Some(SourceText::new("crossing.csv", CROSSING)),
        ..Sources::default()
    };
    let checked = check(&sources, jiff::civil::date(2026, 6, 1));
    let inputs = checked.inputs.ok_or_else(|| checked.problems.to_string())?;
    let rules: Rules = toml::from_str(&DEFAULT_RULES)?;
    let mut car = inputs.cars[0].clone();
    let mut out = std::io::stdout().lock();
    // As listed, then as it is after somebody has found its mill certificate.
    for steel in [None, Some(Ksi(50.0))] {
        car.steel_yield = steel;
        writeln!(out, "{}, steel {}:", car.name(), steel.map_or("unknown", |_| "50 ksi"))?;
        for check in rate_checks(&car, &inputs.crossings[0], Feet(40.0), &rules) {
            writeln!(out, "  {}", check.sentence())?;
        }
    }
    Ok(())
}
