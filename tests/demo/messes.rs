//! The dealers' own lists say the same as their tidy twins.

use std::fs;

use jiff::civil::date;
use spanyard::model::car::Car;
use spanyard::model::evidence::Evidences;
use spanyard::model::place::RowPlace;
use spanyard::read::{Reading, SourceText, Sources, read};

use super::county::{County, folder};
use crate::testkit::demo::{LISTS, MAPPINGS};

/// The demonstration as the README's command reads it.
fn reading() -> Reading {
    let source = |name: &str| SourceText::new(name, fs::read(folder().join(name)).unwrap());
    let sources = Sources {
        inventories: LISTS.map(source).to_vec(),
        mappings: MAPPINGS.map(source).to_vec(),
        yards: Some(source("yards.csv")),
        lots: Some(source("lots.csv")),
        crossings: Some(source("crossings.csv")),
        rules: Some(source("rules.toml")),
        ..Sources::default()
    };
    read(&sources, date(1999, 12, 31)).unwrap_or_else(|problems| panic!("{problems}"))
}

/// The cars without their places: what stands in a mapping here is stated in the rows there.
fn cars(cars: &[Car]) -> Vec<Car> {
    let nowhere = RowPlace { file: "".into(), line: 0 };
    cars.iter()
        .map(|car| Car { place: nowhere.clone(), evidence: Evidences::default(), ..car.clone() })
        .collect()
}

#[test]
fn the_lists_hold_the_same_cars_as_their_tidy_twins() {
    let (messy, tidy) = (reading(), County::new().inputs());
    for (messy, tidy) in cars(&messy.inputs.cars).iter().zip(&cars(&tidy.cars)) {
        assert_eq!(messy, tidy);
    }
    assert_eq!(messy.inputs.cars.len(), tidy.cars.len());
    assert_eq!(messy.warnings.iter().map(ToString::to_string).collect::<Vec<_>>(), [""; 0]);
}

#[test]
fn every_row_is_a_car_or_has_a_reason() {
    let reading = reading();
    let files: Vec<_> =
        reading.files.iter().take(3).map(|file| (file.rows, file.not_taken.len())).collect();
    // Sallowby: a title. Orlhaven: two titles, a row of units, a total.
    assert_eq!(files, [(26, 0), (25, 1), (24, 4)]);
    let taken: usize = files.iter().map(|(rows, not_taken)| rows - not_taken).sum();
    assert_eq!(taken, reading.inputs.cars.len());
}

#[test]
fn places_are_those_of_the_dealers_files() {
    let reading = reading();
    let place = |id: &str| {
        reading.inputs.cars.iter().find(|car| car.id == id).map(|car| car.place.to_string())
    };
    assert_eq!(place("SS-102").as_deref(), Some("lists/sallowby.csv:4"));
    assert_eq!(place("Q-02").as_deref(), Some("lists/orlhaven.xlsx:Cars:7"));
}
