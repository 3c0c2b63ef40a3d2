//! S17 width for the roadway.
//!
//! With 16 ft between rails and 0.75 ft of rail on each side the width required is 17.5 ft, the most
//! with the allowance 19.5 ft, the middle 18.5 ft.

use spanyard::check::{Check, Code, Outcome};
use spanyard::quantity::{Feet, Inches};

use crate::testkit::fixture::{asked, margin, near};

/// The first car of these widths and of one section is asked; all have girders of one depth.
fn asked_with(widths: &[f64], depth: f64, most_abreast: u8) -> Check {
    asked(Code::WidthPossible, |inputs| {
        let car = inputs.cars[0].clone();
        inputs.cars = widths
            .iter()
            .map(|&width| {
                let mut car = car.clone();
                car.width = Some(Feet(width));
                car.exterior_depth = Some(Inches(depth));
                car
            })
            .collect();
        inputs.crossings[0].most_abreast = most_abreast;
    })
}

#[test]
fn cars_alike_reach_the_width_with_some_number_and_joint() {
    for (width, depth, abreast, outcome, total, by, note) in [
        // 2 x 9.0 + 6 in = 18.5, the middle of the range.
        (
            9.0,
            14.0,
            2,
            Outcome::Pass,
            18.5,
            1.0,
            "as 2 cars alike with concrete beam joints of 6.00 in",
        ),
        // Too shallow for the wide joint: 2 x 9.0 + 2 in.
        (
            9.0,
            10.0,
            2,
            Outcome::Pass,
            18.0 + 2.0 / 12.0,
            2.0 / 3.0,
            "as 2 cars alike with bolted plate joints of 2.00 in",
        ),
        // 2 x 8.0 + 18 in = 17.5: just enough.
        (
            8.0,
            14.0,
            2,
            Outcome::Pass,
            17.5,
            0.0,
            "as 2 cars alike with concrete beam joints of 18.00 in",
        ),
        (
            7.9,
            14.0,
            2,
            Outcome::Fail,
            17.3,
            -0.2,
            "as 2 cars alike with concrete beam joints of 18.00 in",
        ),
        // 8 ft and too shallow for the wide joint: 16 ft and 2 in.
        (
            8.0,
            10.0,
            2,
            Outcome::Fail,
            16.0 + 2.0 / 12.0,
            -4.0 / 3.0,
            "as 2 cars alike with bolted plate joints of 2.00 in",
        ),
        // Closed up, 2 x 9.75 is the most admitted; 2 x 9.8 is over by 0.1.
        (
            9.75,
            14.0,
            2,
            Outcome::Pass,
            19.5,
            0.0,
            "as 2 cars alike with bolted plate joints of 0.00 in",
        ),
        (
            9.8,
            14.0,
            2,
            Outcome::Fail,
            19.6,
            -0.1,
            "as 2 cars alike with bolted plate joints of 0.00 in",
        ),
        // One more abreast: 3 x 6.0 + 2 x 4 in = 18.67; closed up 18.0; 18.33 with plates of 2 in lies nearest to the middle.
        (
            6.0,
            14.0,
            3,
            Outcome::Pass,
            18.0 + 4.0 / 12.0,
            1.0 - 1.0 / 6.0,
            "as 3 cars alike with bolted plate joints of 2.00 in",
        ),
        // One car wide enough alone.
        (18.5, 2.0, 1, Outcome::Pass, 18.5, 1.0, "1 car alone"),
        (9.0, 14.0, 1, Outcome::Fail, 9.0, -8.5, "1 car alone"),
    ] {
        let check = asked_with(&[width], depth, abreast);
        assert_eq!(check.outcome, outcome, "{width} ft, {depth} in, {abreast}");
        let found = (check.measured.number().unwrap(), margin(&check).unwrap());
        assert!(near(found.0, total) && near(found.1, by), "{width} ft, {depth} in: {found:?}");
        assert_eq!(check.note, note, "{width} ft, {depth} in");
    }
}

#[test]
fn a_neighbor_of_another_width_turns_the_bar_into_a_caution() {
    // 7.9 + 8.2 + 18 in = 17.6: beside the wider car of its section it could lie.
    let check = asked_with(&[7.9, 8.2], 14.0, 2);
    assert_eq!(check.outcome, Outcome::Caution);
    assert!(near(margin(&check).unwrap(), -0.2));
    assert!(
        check.note.ends_with("of another width, 7.90 ft to 8.20 ft on offer"),
        "{}",
        check.note
    );
    // 7.9 + 8.0 + 18 in = 17.4: not even so.
    assert_eq!(asked_with(&[7.9, 8.0], 14.0, 2).outcome, Outcome::Fail);
    // 9.8 + 9.6 = 19.4: beside a narrower one.
    assert_eq!(asked_with(&[9.8, 9.6], 14.0, 2).outcome, Outcome::Caution);
    // Alone, no neighbor helps.
    assert_eq!(asked_with(&[9.0, 9.5], 14.0, 1).outcome, Outcome::Fail);
}

#[test]
fn a_wider_car_of_another_section_does_not_help() {
    let check = asked(Code::WidthPossible, |inputs| {
        inputs.cars[0].width = Some(Feet(7.9));
        let mut other = inputs.cars[0].clone();
        (other.width, other.section) = (Some(Feet(9.0)), Some("S-71".to_owned()));
        inputs.cars.push(other);
    });
    assert_eq!(check.outcome, Outcome::Fail);
}

#[test]
fn an_unmeasured_width_is_unknown() {
    let check = asked(Code::WidthPossible, |inputs| inputs.cars[0].width = None);
    assert_eq!(check.outcome, Outcome::Unknown);
    assert_eq!(
        check.sentence(),
        "S17 Width for the roadway: unknown, must be from 17.50 ft to 19.50 ft; width not measured"
    );
}
