//! One plan without the command line: files as text, then survey, plan, and what came of it.
//!
//! `cargo run --example plan_in_code`

use std::error::Error;

use spanyard::assemble::{PlanOptions, make_plan};
use spanyard::model::plan::Fate;
use spanyard::read::{SourceText, Sources, read};
use spanyard::survey::Survey;

fn main() -> Result<(), Box<dyn Error>> {
    let demo = |name: &str| {
        let path = format!("{}/data-demo/{name}", env!("CARGO_MANIFEST_DIR"));
        std::fs::read(&path).map(|bytes| SourceText::new(name, bytes))
    };
    // One of the three dealers, so that it is told what the others are needed for.
    let sources = Sources {
        inventories: vec![demo("lists/drumfell.csv")?],
        yards: Some(demo("yards.csv")?),
        crossings: Some(demo("crossings.csv")?),
        lots: Some(demo("lots.csv")?),
        rules: Some(demo("rules.toml")?),
        ..Sources::default()
    };
    let reading = read(&sources, jiff::civil::date(2026, 6, 1))?;
    let inputs = &reading.inputs;
    let survey = Survey::new(inputs);
    let plan = make_plan(inputs, &survey, &PlanOptions::default())?;

    let mut out = String::new();
    for crossing in &plan.crossings {
        let site = inputs.crossing(crossing.crossing);
        match &crossing.fate {
            Fate::Served(bridge) => {
                let total: spanyard::quantity::Cents =
                    bridge.lines.iter().map(|line| line.amount).sum();
                let cars = bridge.decks.iter().flat_map(|deck| &deck.cars);
                let names: Vec<_> = cars.map(|placed| inputs.car(placed.car).name()).collect();
                out += &format!("{} {}: {total}, {}\n", site.id, site.road, names.join(" beside "));
            }
            Fate::Unserved(why) => {
                let why: Vec<_> = why.reasons.iter().map(|check| check.code.to_string()).collect();
                out += &format!("{} {}: not served ({})\n", site.id, site.road, why.join(", "));
            }
        }
    }
    std::io::Write::write_all(&mut std::io::stdout(), out.as_bytes())?;
    Ok(())
}
