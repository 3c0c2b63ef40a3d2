//! Names that must be unique, and names that must exist, across files.

use spanyard::model::vehicles::BUILT_IN;
use spanyard::read::{SourceText, Sources, check};

use crate::read::county::{CARS, CROSSINGS, LOTS, TODAY, YARDS, messages, sources};

fn with(change: impl FnOnce(&mut Sources)) -> Vec<String> {
    let mut files = sources();
    change(&mut files);
    messages(&files)
}

fn text(name: &str, text: impl Into<Vec<u8>>) -> SourceText {
    SourceText::new(name, text)
}

#[test]
fn duplicates_name_the_first_place() {
    let more =
        "car,dealer,yard\nd-9,Drumfell Reclaim,Upper Drum\nD-9,Orlhaven Equipment,Orlhaven Quay\n";
    let found = with(|files| files.inventories.push(text("more.csv", more)));
    assert_eq!(
        found,
        [
            "more.csv:2:1: D08 car: `d-9` is a car that Drumfell Reclaim lists already at cars.csv:3; give each car its own ID, or merge identical cars into one row with a quantity"
        ]
    );

    let twice = format!("{YARDS}Drumfell Reclaim,Upper Drum,44,-40,1,1\n");
    let found = with(|files| files.yards = Some(text("yards.csv", twice)));
    assert_eq!(
        found,
        [
            "yards.csv:5:18: D08 yard: `Upper Drum` is a yard of Drumfell Reclaim that stands already at yards.csv:2; keep one of the two rows"
        ]
    );

    let twice = format!("{LOTS}Sallowby Steel and Rail,l-1,Sallowby Spur,5000\n");
    let found = with(|files| files.lots = Some(text("lots.csv", twice)));
    assert_eq!(
        found,
        [
            "lots.csv:4:25: D08 lot: `l-1` is a lot of Sallowby Steel and Rail that stands already at lots.csv:2; keep one of the two rows"
        ]
    );

    let twice = CROSSINGS.replace("T-02", "T-01");
    let found = with(|files| files.crossings = Some(text("crossings.csv", twice)));
    assert_eq!(
        found,
        [
            "crossings.csv:3:1: D08 crossing: `T-01` is a crossing that stands already at crossings.csv:2; keep one of the two rows"
        ]
    );
}

#[test]
fn names_that_nothing_defines() {
    let cars = CARS.replace("L-1", "L-9").replace("D-9,Drumfell Reclaim", "D-9,Drumfel Reclaim");
    let found = with(|files| files.inventories = vec![text("cars.csv", cars)]);
    assert_eq!(
        found,
        [
            "cars.csv:2:43: D09 lot: `L-9` is not a lot of Sallowby Steel and Rail in the lots file; write L-1 if that is meant, or add the lot",
            "cars.csv:3:5: D09 dealer: `Drumfel Reclaim` is a dealer without a yard in the yards file; write Drumfell Reclaim if that is meant, or add the dealer's yard",
        ]
    );

    let found = with(|files| files.lots = None);
    assert_eq!(
        found,
        [
            "cars.csv:2:43: D09 lot: `L-1` is a lot, and no lots file was given; give the lots file with --lots, or leave the cell blank"
        ]
    );

    let found = with(|files| files.yards = None);
    assert_eq!(
        found,
        [
            "cars.csv: D09 names yards, and no yards file was given; give the yards file with --yards",
            "lots.csv: D09 names yards, and no yards file was given; give the yards file with --yards",
        ]
    );

    let lots = LOTS.replace("L-2,Sallowby Spur", "L-2,Upper Drum");
    let found = with(|files| files.lots = Some(text("lots.csv", lots)));
    assert_eq!(
        found,
        [
            "lots.csv:3:29: D09 yard: `Upper Drum` is not a yard of Sallowby Steel and Rail in the yards file; add the yard to the yards file, or correct the name"
        ]
    );

    let names: Vec<_> = BUILT_IN.iter().map(|known| known.name).collect();
    let (last, first) = names.split_last().unwrap();
    let vehicles = format!("{} or {last}", first.join(", "));
    let crossings =
        CROSSINGS.replace("HS20; Type 3", "HS 20; School bus").replace("Concrete", "Planks");
    let found = with(|files| files.crossings = Some(text("crossings.csv", crossings)));
    assert_eq!(
        found,
        [
            "crossings.csv:2:24: D09 vehicles: `HS 20; School bus` has the vehicle HS 20, which neither the built-in table nor the rules have; write HS20 if that is meant, or add a [[vehicle]] to the rules",
            format!("crossings.csv:2:24: D09 vehicles: `HS 20; School bus` has the vehicle School bus, which neither the built-in table nor the rules have; write {vehicles}, or add a [[vehicle]] to the rules").as_str(),
            "crossings.csv:3:49: D09 deck: `Planks` is not a deck system of the rules; write timber, concrete, steel plate and asphalt or car deck, or add a [[deck]] to the rules",
        ]
    );
}

#[test]
fn vehicles_and_decks_of_the_rules_count_even_where_the_rules_are_at_fault() {
    let rules =
        "[[vehicle]]\nname = 'school bus'\naxles_kip = [8, 19]\nspacings_ft = [23]\nsource = ''\n";
    let crossings = CROSSINGS.replace("HS20; Type 3", "School Bus");
    let found = with(|files| {
        files.rules = Some(text("rules.toml", rules));
        files.crossings = Some(text("crossings.csv", crossings));
    });
    assert_eq!(
        found,
        ["rules.toml:5:1: D10 vehicle.source: `''` is blank; write text in double quotes"]
    );
}

#[test]
fn a_car_stands_in_the_yard_of_its_lot() {
    let yards = format!("{YARDS}Sallowby Steel and Rail,Low Siding,43.8,-39.6,480,1100\n");
    let cars = CARS.replace(
        "S-2,Sallowby Steel and Rail,Sallowby Spur",
        "S-2,Sallowby Steel and Rail,Low Siding",
    );
    let found = with(|files| {
        files.yards = Some(text("yards.csv", yards));
        files.inventories = vec![text("cars.csv", cars)];
    });
    assert_eq!(
        found,
        [
            "cars.csv:2:40: D12 lot: `L-1` is a lot in yard Sallowby Spur, and the car stands in another; correct the yard here or in the lots file"
        ]
    );
}

#[test]
fn an_inventory_can_be_checked_alone() {
    let files = Sources { inventories: sources().inventories, ..Sources::default() };
    let checked = check(&files, TODAY);
    assert_eq!(checked.problems.len(), 0, "{}", checked.problems);
    assert_eq!(checked.files[0].rows, 3);
    assert_eq!(
        checked.not_checked,
        ["yards of cars and lots: no yards file was given", "lots of cars: no lots file was given"]
    );
    // With everything there, nothing is left unchecked.
    assert!(check(&sources(), TODAY).not_checked.is_empty());
}
