//! Each kind of refusal happens, to the car it was written for.

use spanyard::check::Outcome::Pass;
use spanyard::check::registry::{Kind, REGISTRY, Stage};
use spanyard::model::inputs::Site;
use spanyard::survey;

use super::county::{County, car_ix, crossing_ix};

#[test]
fn each_example_of_the_registry_happens_to_the_car_it_was_written_for() {
    let inputs = County::new().inputs();
    for kind in REGISTRY {
        for example in kind.examples {
            let (car, crossing) = (example.car, example.crossing);
            let site = Site { crossing: crossing_ix(&inputs, crossing), layout: 0, span: 0 };
            let checks = survey::checks(&inputs, car_ix(&inputs, car), site);
            let found = |check: &&spanyard::check::Check| check.code == kind.code;
            assert!(
                checks.iter().filter(found).any(|check| check.outcome == example.outcome),
                "{car} at {crossing} should have {} {}: {:#?}",
                kind.id,
                example.outcome.word(),
                checks.iter().filter(found).collect::<Vec<_>>()
            );
        }
    }
}

/// S21 is asked only where somebody decided something: its examples are in tests/week. R11 is a caution
/// where an agency states a share, which this county does not. S26, S30 and S31 are asked only of cars
/// that have a fact below what the rules ask, that two dealers list, or of which two facts contradict each
/// other; this county has none: their examples are in tests/rules.
const WITHOUT_EXAMPLE: &[&str] = &["S21", "S26", "S30", "S31", "R11"];

#[test]
fn no_question_about_a_car_is_left_without_an_example() {
    let asked = |kind: &&Kind| {
        matches!(kind.stage, Stage::Screen | Stage::Rate) && !WITHOUT_EXAMPLE.contains(&kind.id)
    };
    let unseen = REGISTRY
        .iter()
        .filter(asked)
        .filter(|kind| !kind.examples.iter().any(|example| example.outcome != Pass));
    let unseen: Vec<_> = unseen.map(|kind| kind.id).collect();
    assert!(unseen.is_empty(), "no example in src/check/registry/table.rs: {unseen:?}");
}

/// The rows of the table are not barred by luck: where the note names one fault, it is the only one.
#[test]
fn some_cars_are_one_fault_away() {
    let inputs = County::new().inputs();
    for (car, crossing, only) in [
        ("UD-25", "B-12", &["S03", "S25"][..]),
        ("UD-12", "B-07", &["S02", "S25", "R10"]),
        ("UD-08", "B-21", &["S13"]),
        ("SS-131", "B-24", &["S14"]),
        ("SS-132", "B-07", &["S15"]),
        ("SS-140", "B-33", &["S16"]),
        ("Q-02", "B-07", &["S18"]),
        ("SS-113", "B-07", &["S19", "R10"]),
        ("Q-03", "B-07", &["R01"]),
        ("UD-22", "B-33", &["S11"]),
        ("SS-110", "B-24", &["S05"]),
    ] {
        let site = Site { crossing: crossing_ix(&inputs, crossing), layout: 0, span: 0 };
        let checks = survey::checks(&inputs, car_ix(&inputs, car), site);
        let bars = checks.iter().filter(|check| check.outcome.bars());
        let mut codes: Vec<_> = bars.map(|check| check.code.id()).collect();
        codes.dedup();
        assert_eq!(codes, only, "{car} at {crossing}");
    }
}
