//! The demonstration county as inputs.

use spanyard::model::inputs::Inputs;
use spanyard::read::{self, SourceText, Sources};

/// The dealers' lists of data-demo.
pub const LISTS: [&str; 3] = ["lists/drumfell.csv", "lists/sallowby.csv", "lists/orlhaven.xlsx"];

/// What two of them mean.
pub const MAPPINGS: [&str; 2] = ["lists/sallowby.mapping.toml", "lists/orlhaven.mapping.toml"];

/// The files of data-demo that the README's command reads.
pub fn sources() -> Sources {
    let file = |name: &str| {
        let path = format!("{}/data-demo/{name}", env!("CARGO_MANIFEST_DIR"));
        let bytes = std::fs::read(&path).unwrap_or_else(|error| panic!("{path}: {error}"));
        SourceText::new(&format!("data-demo/{name}"), bytes)
    };
    Sources {
        inventories: LISTS.map(file).into(),
        mappings: MAPPINGS.map(file).into(),
        yards: Some(file("yards.csv")),
        lots: Some(file("lots.csv")),
        crossings: Some(file("crossings.csv")),
        hauls: Some(file("hauls.csv")),
        rules: Some(file("rules.toml")),
        ..Sources::default()
    }
}

/// Reads data-demo as the README's command does.
#[allow(dead_code)]
pub fn inputs() -> Inputs {
    // The rules of the demonstration fix the order date, so this day is not used.
    let today = jiff::civil::date(2026, 1, 1);
    match read::read(&sources(), today) {
        Ok(reading) => reading.inputs,
        Err(problems) => panic!("{problems}"),
    }
}
