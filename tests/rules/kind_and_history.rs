//! S01 kind of car, S02 wreck history.

use spanyard::check::{Code, Outcome};
use spanyard::model::car::CarKind;

use crate::testkit::fixture::{asked, asked_of};

#[test]
fn only_the_kinds_of_the_rules_pass() {
    for (kind, outcome) in [
        (Some(CarKind::Flat), Outcome::Pass),
        (Some(CarKind::BulkheadFlat), Outcome::Fail),
        (Some(CarKind::Gondola), Outcome::Fail),
        (Some(CarKind::Boxcar), Outcome::Fail),
        (Some(CarKind::CarHauler), Outcome::Unknown), // a rack on a flat car, perhaps
        (None, Outcome::Unknown),
    ] {
        let check = asked_of(Code::CarKind, |car| car.kind = kind);
        assert_eq!(check.outcome, outcome, "{kind:?}");
    }
}

#[test]
fn the_agency_may_allow_more_kinds() {
    let check = asked(Code::CarKind, |inputs| {
        inputs.rules.screen.kinds_allowed.push(CarKind::BulkheadFlat);
        inputs.cars[0].kind = Some(CarKind::BulkheadFlat);
    });
    assert_eq!(check.outcome, Outcome::Pass);
    assert_eq!(
        check.sentence(),
        "S01 Kind of car: bulkhead flat, must be one of flat, bulkhead flat"
    );
}

#[test]
fn a_wreck_is_out_and_so_is_an_unknown_history() {
    for (wrecked, outcome) in
        [(Some(false), Outcome::Pass), (Some(true), Outcome::Fail), (None, Outcome::Unknown)]
    {
        let check = asked_of(Code::WreckHistory, |car| car.wrecked = wrecked);
        assert_eq!(check.outcome, outcome);
    }
}
