//! Values that cars do not have, with the likely cause, in our own columns and in a dealer's.

use spanyard::read::{SourceText, Sources};

use crate::read::county::{good, messages, sources};

/// The same car as a tidy row and as a row of a dealer's list with these headers and cells.
fn both(cells: &[(&str, &str, &str)]) -> [Sources; 2] {
    let line = |cells: Vec<&str>| cells.join(",");
    let (ours, theirs, values): (Vec<_>, Vec<_>, Vec<_>) = cells.iter().fold(
        (vec!["car", "dealer", "yard"], vec!["Car no.", "Vendor", "Yard name"], Vec::new()),
        |(mut ours, mut theirs, mut values), (our, their, value)| {
            ours.push(*our);
            theirs.push(*their);
            values.push(*value);
            (ours, theirs, values)
        },
    );
    [ours, theirs].map(|header| {
        let text =
            format!("{}\nA,Drumfell Reclaim,Upper Drum,{}\n", line(header), line(values.clone()));
        Sources { inventories: vec![SourceText::new("cars.csv", text)], ..sources() }
    })
}

#[test]
fn what_no_car_has_is_a_problem_with_its_likely_cause() {
    const LENGTH: (&str, &str) = ("length_ft", "Length (ft)");
    const WIDTH: (&str, &str) = ("width_ft", "Width (ft)");
    const CENTERS: (&str, &str) = ("truck_centers_ft", "Truck centers (ft)");
    const CAMBER: (&str, &str) = ("camber_in", "Camber (in)");
    const PRICE: (&str, &str) = ("price_usd", "Price");
    for (cells, expected) in [
        (
            vec![(WIDTH, "89")],
            "D05 width_ft: `89` is outside 5 to 14 ft; correct it; is it the length, or in inches?",
        ),
        (
            vec![(WIDTH, "2.75")],
            "D05 width_ft: `2.75` is outside 5 to 14 ft; correct it, or the unit; is it in meters?",
        ),
        (
            vec![(LENGTH, "1072")],
            "D05 length_ft: `1072` is outside 20 to 120 ft; correct it, or the unit; is it in inches or centimeters?",
        ),
        (
            vec![(CAMBER, "38")],
            "D05 camber_in: `38` is outside -6 to 12 in; correct it, or the unit; is it in millimeters or sixteenths?",
        ),
        (
            vec![(PRICE, "45")],
            "D05 price_usd: `45` is outside 100 to 1,000,000 US dollars; correct it, or the unit; is it in thousands?",
        ),
        (
            vec![(LENGTH, "60"), (CENTERS, "75.5")],
            "D12 truck_centers_ft: `75.5` is not less than the length over ends, 60 ft; measure both again; are the two in each other's column?",
        ),
        // A length in meters is another cause, and a warning of its own.
        (
            vec![(LENGTH, "27.2"), (CENTERS, "66")],
            "D12 truck_centers_ft: `66` is not less than the length over ends, 27.2 ft; measure both again",
        ),
    ] {
        let cells: Vec<_> =
            cells.into_iter().map(|((our, their), value)| (our, their, value)).collect();
        for files in both(&cells) {
            let found = messages(&files);
            assert!(found.len() == 1 && found[0].ends_with(expected), "{found:?}");
        }
    }
}

#[test]
fn feet_and_inches_swapped_are_asked_for() {
    let text = "Car no.,Vendor,Yard name,Length\nA,Drumfell Reclaim,Upper Drum,4'-89\n";
    let inventories = vec![SourceText::new("cars.csv", text)];
    let found = messages(&Sources { inventories, ..sources() });
    assert_eq!(
        found,
        [
            "cars.csv:2:31: D04 length_ft: `4'-89` has 12 inches and more beside feet; write feet and inches like 89'-4\"; are the two swapped?"
        ]
    );
}

#[test]
fn what_few_cars_have_is_a_warning_with_its_likely_cause() {
    for (cells, expected) in [
        (
            vec![("length_ft", "Length (ft)", "27.2")],
            "D20 length_ft: `27.2` is short for a car, which has 30 ft at least; measure it again; is it in meters? Then it is 89.2 ft",
        ),
        (
            vec![
                ("length_ft", "Length (ft)", "89"),
                ("truck_centers_ft", "Truck centers (ft)", "20.1"),
            ],
            "D20 truck_centers_ft: `20.1` is little for a length over ends of 89 ft; measure it again; is it in meters? Then it is 65.9 ft",
        ),
        (
            vec![("camber_in", "Camber (in)", "12")],
            "D20 camber_in: `12` is more camber than cars have, 6 in at most; measure it again, perhaps it was typed in mm or sixteenths",
        ),
    ] {
        for files in both(&cells) {
            let warnings: Vec<_> = good(&files).warnings.iter().map(ToString::to_string).collect();
            let found: Vec<_> =
                warnings.iter().filter(|warning| warning.starts_with("cars.csv")).collect();
            assert!(found.len() == 1 && found[0].ends_with(expected), "{found:?}");
        }
    }
}

#[test]
fn ids_that_may_have_lost_their_leading_zeros_are_told() {
    let lost = "D20 car: `4567` may have lost its leading zeros, for most IDs have 6 digits; fewer have 123, 4567; compare with the cars, and write the zeros that a spreadsheet took";
    for (ids, expected) in [
        (&["104567", "4567", "123", "204568", "304569", "404570"][..], Some((3, lost))),
        // Zeros that are there have not been lost.
        (&["104567", "4567", "004568", "304569", "404570"], None),
        // Counted from 1, and IDs with letters.
        (&["7", "8", "9", "10", "11", "12", "13", "14"], None),
        (&["UD-104567", "UD-7", "UD-204568"], None),
    ] {
        for header in ["car,dealer,yard", "Car no.,Vendor,Yard name"] {
            let rows: Vec<_> =
                ids.iter().map(|id| format!("{id},Drumfell Reclaim,Upper Drum\n")).collect();
            let text = format!("{header}\n{}", rows.concat());
            let inventories = vec![SourceText::new("cars.csv", text)];
            let warnings = good(&Sources { inventories, ..sources() }).warnings;
            let found: Vec<_> = warnings.iter().filter(|warning| warning.name == "car").collect();
            let told = found.iter().map(|warning| warning.to_string()).collect::<Vec<_>>();
            let expected: Vec<_> =
                expected.iter().map(|(line, text)| format!("cars.csv:{line}:1: {text}")).collect();
            assert_eq!(told, expected, "{header} {ids:?}");
        }
    }
}
