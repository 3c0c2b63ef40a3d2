//! The read-back of a list: each cell as written and as understood.

use spanyard::read::{CarBack, ReadBack, SourceText, Sources, State, read_back};
use spanyard::report::{readback, terminal};

use crate::read::county::{TODAY, sources};

const LIST: &str = "Our cars,,,,\nCar no.,Length,Price,Paint,Remarks\nS-1,60'-6\",\"$9,500\",faded,né\n\
                    Sold,,,,\nS-2,sixty,8400-8900,,x\nTotal,,17900,,\n";

fn files() -> Sources {
    let mapping = "[constants]\ndealer = \"Drumfell Reclaim\"\nyard = \"Upper Drum\"\nmain_girder = \"sound\"\n";
    Sources {
        inventories: vec![SourceText::new("lists/spur.csv", LIST)],
        mappings: vec![SourceText::new("lists/spur.mapping.toml", mapping)],
        lots: None,
        ..sources()
    }
}

fn back(name: &str) -> ReadBack {
    read_back(&files(), TODAY, name).unwrap_or_else(|problems| panic!("{problems}"))
}

/// Cell, as written, as understood, state.
fn fact<'b>(car: &'b CarBack, column: &str) -> (&'b str, &'b str, &'b str, State) {
    let fact = car.facts.iter().find(|fact| fact.column == column).unwrap();
    (&fact.cell, &fact.written, &fact.understood, fact.state)
}

#[test]
fn each_cell_as_written_and_as_understood() {
    let back = back("spur");
    let [one, two] = back.cars.as_slice() else { panic!("{:?}", back.cars) };
    assert_eq!((one.car.as_str(), one.line, one.left_out), ("S-1", 3, false));
    assert_eq!(fact(one, "length_ft"), ("B3", "60'-6\"", "60.5 ft", State::Read));
    assert_eq!(fact(one, "price_usd"), ("C3", "$9,500", "$9,500.00", State::Read));
    assert_eq!(fact(one, "coating"), ("D3", "faded", "", State::Unknown));
    let place = "lists/spur.mapping.toml:4";
    assert_eq!(fact(one, "main_girder"), (place, "sound", "sound", State::Assumed));
    assert_eq!((two.car.as_str(), two.left_out), ("S-2", true));
    assert_eq!(fact(two, "length_ft"), ("B5", "sixty", "", State::Refused));
    assert_eq!(fact(two, "price_usd"), ("C5", "8400-8900", "$8,900.00", State::Doubtful));
    let notes = fact(two, "notes");
    assert_eq!((notes.1, notes.2), ("x", "x; under the heading \"Sold\""));
    let lines: Vec<u64> = back.not_taken.iter().map(|row| row.line).collect();
    assert_eq!(lines, [1, 4, 6]);
    let camber = back.absent.iter().find(|absent| absent.column == "camber_in").unwrap();
    assert_eq!(camber.means, "unknown; the car is barred");
}

#[test]
fn a_list_in_our_own_columns_is_read_back_too() {
    let back = read_back(&sources(), TODAY, "cars.csv").unwrap();
    assert_eq!(back.cars.len(), 3);
    assert_eq!(fact(&back.cars[1], "price_usd"), ("Q3", "9500.5", "$9,500.50", State::Read));
}

#[test]
fn a_list_that_is_not_there_is_named_with_the_nearest() {
    let problems = read_back(&files(), TODAY, "lists/spor.csv").unwrap_err().to_string();
    assert!(problems.contains("`lists/spur.csv` if that is meant"), "{problems}");
}

#[test]
fn terminal_csv_and_page_tell_the_same() {
    let back = back("lists/spur.csv");
    let said = [
        terminal::read_back(&back, 100),
        readback::csv(&back).unwrap(),
        readback::page(&back).unwrap(),
    ];
    for text in &said {
        for word in ["S-1", "60.5 ft", "C5", "8400-8900", "not read", "assumed"] {
            assert!(text.contains(word), "{word}: {text}");
        }
    }
    assert!(said[0].lines().all(|line| line.chars().count() <= 100));
}
