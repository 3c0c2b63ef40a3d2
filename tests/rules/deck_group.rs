//! G01 to G09: the checks of one finished deck.

use spanyard::check::{Check, Code, Outcome, all_pass};
use spanyard::group::deck_checks;
use spanyard::model::car::Car;
use spanyard::model::inputs::{CarIx, Inputs};
use spanyard::quantity::{Feet, Inches};

use crate::testkit::fixture::{SITE, inputs_with, margin, near};

/// The checks of a deck of all cars, in order, with a joint of the rules and its gap.
fn deck(inputs: &Inputs, joint: Option<(&str, f64)>) -> Vec<Check> {
    let cars: Vec<CarIx> = inputs.car_indices().collect();
    let joint = joint.map(|(name, gap)| (inputs.rules.joint_type(name).unwrap(), Inches(gap)));
    deck_checks(inputs, SITE, &cars, joint)
}

fn of(checks: &[Check], code: Code) -> &Check {
    checks.iter().find(|check| check.code == code).unwrap()
}

fn sound(_: &mut Car) {}

#[test]
fn two_sound_cars_make_a_deck() {
    let checks = deck(&inputs_with(&[&sound, &sound]), Some(("bolted plate", 0.5)));
    let ids: Vec<&str> = checks.iter().map(|check| check.code.id()).collect();
    let always = ["G01", "G02", "G03", "G04", "G05", "G06", "G07", "G08", "G09"];
    let alike = ["G13", "G14", "G15", "G16", "G17", "G18", "G19", "G20", "G21"];
    assert_eq!(ids, [&always[..], &alike].concat());
    assert!(all_pass(&checks));
    // Depth over all, ride height and make are not known of the sound car.
    for check in &checks {
        let to_confirm = ["G19", "G20", "G21"].contains(&check.code.id());
        let outcome = if to_confirm { Outcome::Caution } else { Outcome::Pass };
        assert_eq!(check.outcome, outcome, "{}", check.sentence());
    }
    // 9 + 9 ft and half an inch against 17.5 and 19.5 ft.
    assert!(near(margin(of(&checks, Code::WidthLeast)).unwrap(), 0.5 + 0.5 / 12.0));
    assert!(near(margin(of(&checks, Code::WidthMost)).unwrap(), 1.5 - 0.5 / 12.0));
}

#[test]
fn sections_must_be_one() {
    for (section, outcome) in [
        (Some("S-70"), Outcome::Pass),
        (Some("S-71"), Outcome::Fail),
        (Some("s-70"), Outcome::Fail), // another spelling is another section
        (None, Outcome::Unknown),
    ] {
        let other = |car: &mut Car| car.section = section.map(str::to_owned);
        let checks = deck(&inputs_with(&[&sound, &other]), Some(("bolted plate", 0.0)));
        assert_eq!(of(&checks, Code::OneSection).outcome, outcome, "{section:?}");
    }
}

type Change = Box<dyn Fn(&mut Car)>;

/// Both tolerances of the built-in rules are 1: 1 in of camber, 1 ft of truck centers.
#[test]
fn spreads_against_their_tolerances() {
    for (second, third, outcome, by) in [
        (Some(1.5), Some(1.5), Outcome::Pass, Some(1.0)),
        (Some(1.0), Some(2.0), Outcome::Pass, Some(0.0)),
        (Some(0.75), Some(2.0), Outcome::Fail, Some(-0.25)),
        (Some(2.75), Some(2.0), Outcome::Fail, Some(-0.25)),
        (Some(-0.25), Some(0.5), Outcome::Fail, Some(-0.75)),
        (Some(1.5), None, Outcome::Unknown, None),
    ] {
        // The first car has a camber of 1.5 in; truck centers are moved by the same numbers.
        let cambers = |value: Option<f64>| move |car: &mut Car| car.camber = value.map(Inches);
        let centers = |value: Option<f64>| {
            move |car: &mut Car| car.truck_centers = value.map(|v| Feet(64.5 + v))
        };
        let cases: [(Code, [Change; 2]); 2] = [
            (Code::CamberSpread, [Box::new(cambers(second)), Box::new(cambers(third))]),
            (Code::CentersSpread, [Box::new(centers(second)), Box::new(centers(third))]),
        ];
        for (code, [second_car, third_car]) in cases {
            let inputs = inputs_with(&[&sound, &*second_car, &*third_car]);
            let checks = deck(&inputs, Some(("bolted plate", 0.0)));
            let check = of(&checks, code);
            assert_eq!(check.outcome, outcome, "{code} {second:?} {third:?}");
            assert_eq!(margin(check), by, "{code} {second:?} {third:?}");
        }
    }
}

#[test]
fn no_more_cars_than_the_crossing_allows() {
    for (cars, outcome, by) in [
        (0, Outcome::Fail, -1.0),
        (1, Outcome::Pass, 0.0),
        (2, Outcome::Pass, 0.0),
        (3, Outcome::Fail, -1.0),
    ] {
        let changes: Vec<&dyn Fn(&mut Car)> = vec![&sound; cars];
        let checks = deck(&inputs_with(&changes), None);
        let check = of(&checks, Code::Abreast);
        assert_eq!((check.outcome, margin(check)), (outcome, Some(by)), "{cars} cars");
    }
}

#[test]
fn total_width_within_the_range() {
    // Required 17.5 ft, most 19.5 ft; a gap of 6 in is 0.5 ft.
    for (width, gap, least, most) in [
        (8.5, 6.0, (Outcome::Pass, 0.0), (Outcome::Pass, 2.0)),
        (8.25, 6.0, (Outcome::Fail, -0.5), (Outcome::Pass, 2.5)),
        (9.5, 6.0, (Outcome::Pass, 2.0), (Outcome::Pass, 0.0)),
        (9.75, 6.0, (Outcome::Pass, 2.5), (Outcome::Fail, -0.5)),
    ] {
        let wide = |car: &mut Car| car.width = Some(Feet(width));
        let checks = deck(&inputs_with(&[&wide, &wide]), Some(("concrete beam", gap)));
        for (code, (outcome, by)) in [(Code::WidthLeast, least), (Code::WidthMost, most)] {
            let check = of(&checks, code);
            assert_eq!(check.outcome, outcome, "{code} {width}");
            assert!(near(margin(check).unwrap(), by), "{code} {width}");
        }
    }
    let unmeasured = |car: &mut Car| car.width = None;
    let checks = deck(&inputs_with(&[&sound, &unmeasured]), Some(("bolted plate", 0.0)));
    for code in [Code::WidthLeast, Code::WidthMost] {
        assert_eq!(of(&checks, code).outcome, Outcome::Unknown);
    }
}

/// A gap for each pair of neighbors: three cars of 6 ft with two gaps of 6 in make 19 ft.
#[test]
fn every_joint_adds_its_gap() {
    let narrow = |car: &mut Car| car.width = Some(Feet(6.0));
    let checks = deck(&inputs_with(&[&narrow, &narrow, &narrow]), Some(("concrete beam", 6.0)));
    assert_eq!(of(&checks, Code::WidthLeast).measured.number(), Some(19.0));
}

#[test]
fn the_gap_lies_in_the_joints_range() {
    for (joint, outcome, by) in [
        (Some(("concrete beam", 4.0)), Outcome::Pass, Some(0.0)),
        (Some(("concrete beam", 17.0)), Outcome::Pass, Some(1.0)),
        (Some(("concrete beam", 3.5)), Outcome::Fail, Some(-0.5)),
        (Some(("bolted plate", 2.25)), Outcome::Fail, Some(-0.25)),
        (None, Outcome::Fail, None), // neighbors without a joint
    ] {
        let checks = deck(&inputs_with(&[&sound, &sound]), joint);
        let check = of(&checks, Code::JointGap);
        assert_eq!((check.outcome, margin(check)), (outcome, by), "{joint:?}");
        if joint.is_none() {
            assert_eq!(of(&checks, Code::JointGirders).outcome, Outcome::Fail);
        }
    }
}

#[test]
fn the_shallowest_girder_carries_the_joint() {
    for (depth, joint, outcome, by) in [
        (Some(13.0), "concrete beam", Outcome::Pass, Some(1.0)),
        (Some(12.0), "concrete beam", Outcome::Pass, Some(0.0)),
        (Some(11.5), "concrete beam", Outcome::Fail, Some(-0.5)),
        (Some(11.5), "bolted plate", Outcome::Pass, Some(3.5)),
        (Some(20.0), "concrete beam", Outcome::Pass, Some(2.0)), // the other car's 14 in governs
        (None, "bolted plate", Outcome::Unknown, None),
    ] {
        let other = |car: &mut Car| car.exterior_depth = depth.map(Inches);
        let checks = deck(&inputs_with(&[&sound, &other]), Some((joint, 4.0)));
        let check = of(&checks, Code::JointGirders);
        assert_eq!((check.outcome, margin(check)), (outcome, by), "{depth:?} {joint}");
    }
}

#[test]
fn a_single_car_has_no_joint() {
    let wide = |car: &mut Car| {
        (car.width, car.exterior_depth) = (Some(Feet(18.0)), None);
    };
    let inputs = inputs_with(&[&wide]);
    let checks = deck(&inputs, None);
    assert!(all_pass(&checks), "{checks:?}");
    assert!(!checks.iter().any(|check| check.code == Code::CamberStep));
    // A joint on nothing is a contradiction.
    let checks = deck(&inputs, Some(("bolted plate", 0.0)));
    assert_eq!(of(&checks, Code::JointGap).outcome, Outcome::Fail);
    assert_eq!(of(&checks, Code::JointGirders).note, "a single car has no neighbor");
}

#[test]
fn each_joint_reports_its_camber_step() {
    let camber = |inches: f64| move |car: &mut Car| car.camber = Some(Inches(inches));
    let inputs = inputs_with(&[&camber(0.5), &camber(0.75), &camber(1.625)]);
    let checks = deck(&inputs, Some(("bolted plate", 0.0)));
    let steps: Vec<_> = checks
        .iter()
        .filter(|check| check.code == Code::CamberStep)
        .map(|check| (check.part.as_str(), check.measured.number(), check.outcome))
        .collect();
    assert_eq!(
        steps,
        [("joint 1", Some(0.25), Outcome::Pass), ("joint 2", Some(0.875), Outcome::Fail)]
    );
    let unknown = |car: &mut Car| car.camber = None;
    let checks = deck(&inputs_with(&[&sound, &unknown]), Some(("bolted plate", 0.0)));
    assert_eq!(of(&checks, Code::CamberStep).outcome, Outcome::Unknown);
}
