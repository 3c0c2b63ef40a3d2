//! S07 exterior girder for a joint, S18 section known, S19 camber known.

use spanyard::check::{Check, Code, Limit, Outcome, Value};
use spanyard::quantity::Inches;

use crate::testkit::fixture::{asked, asked_of, margin};

fn joint_depth(depth: Option<f64>, most_abreast: u8) -> Check {
    asked(Code::JointDepth, |inputs| {
        inputs.cars[0].exterior_depth = depth.map(Inches);
        inputs.crossings[0].most_abreast = most_abreast;
    })
}

/// The built-in rules have joints for girders of at least 8 and 12 in.
#[test]
fn the_exterior_girder_carries_at_least_one_joint_type() {
    for (depth, outcome, by, note) in [
        (Some(14.0), Outcome::Pass, Some(6.0), "deep enough for: bolted plate, concrete beam"),
        (Some(12.0), Outcome::Pass, Some(4.0), "deep enough for: bolted plate, concrete beam"),
        (Some(11.5), Outcome::Pass, Some(3.5), "deep enough for: bolted plate"),
        (Some(8.0), Outcome::Pass, Some(0.0), "deep enough for: bolted plate"),
        (Some(7.75), Outcome::Fail, Some(-0.25), ""),
        (None, Outcome::Unknown, None, "exterior girder not measured"),
    ] {
        let check = joint_depth(depth, 2);
        assert_eq!((check.outcome, margin(&check)), (outcome, by), "{depth:?}");
        assert_eq!(check.note, note, "{depth:?}");
    }
}

#[test]
fn a_car_alone_needs_no_joint() {
    for depth in [Some(2.0), None] {
        let check = joint_depth(depth, 1);
        assert_eq!((check.outcome, &check.limit), (Outcome::Pass, &Limit::None));
        assert_eq!(check.note, "one car abreast: no joint");
    }
}

#[test]
fn rules_without_joints_leave_the_question_open() {
    let check = asked(Code::JointDepth, |inputs| inputs.rules.joint.clear());
    assert_eq!(check.outcome, Outcome::Unknown);
}

#[test]
fn section_and_camber_must_be_known_to_match() {
    let check = asked_of(Code::SectionKnown, |_| {});
    assert_eq!(check.outcome, Outcome::Pass);
    assert_eq!(check.measured, Value::Text("S-70".to_owned()));
    let check = asked_of(Code::SectionKnown, |car| car.section = None);
    assert_eq!(check.outcome, Outcome::Unknown);

    for (camber, outcome) in [
        (Some(1.5), Outcome::Pass),
        (Some(-0.75), Outcome::Pass), // a sag is a camber too; its neighbors decide
        (None, Outcome::Unknown),
    ] {
        let check = asked_of(Code::CamberKnown, |car| car.camber = camber.map(Inches));
        assert_eq!(check.outcome, outcome);
        assert_eq!(check.measured, camber.map_or(Value::Unknown, |c| Value::Inches(Inches(c))));
    }
}

/// S23: a car that hangs 2 in below its bolsters has yielded or is broken.
#[test]
fn a_girder_that_sags_bars() {
    use spanyard::quantity::Inches;
    for (camber, outcome) in [
        (Some(1.5), Outcome::Pass),
        (Some(0.0), Outcome::Pass),
        (Some(-0.25), Outcome::Fail),
        (Some(-2.0), Outcome::Fail),
        (None, Outcome::NotChecked),
    ] {
        let check = asked(Code::Sag, |inputs| inputs.cars[0].camber = camber.map(Inches));
        assert_eq!(check.outcome, outcome, "{camber:?}");
    }
}
