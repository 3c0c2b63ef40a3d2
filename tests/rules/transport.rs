//! S11 length, S12 weight and S24 width on the road, S13 crane pick, S20 weight known.

use spanyard::check::{Check, Code, Outcome, Value};
use spanyard::quantity::{Feet, Kips};

use crate::testkit::fixture::{asked, asked_of, margin, near};

/// Car's value, crossing's limit, outcome, margin, note.
type Case = (Option<f64>, Option<f64>, Outcome, Option<f64>, &'static str);

fn agree(cases: &[Case], ask: impl Fn(Option<f64>, Option<f64>) -> Check) {
    for &(value, limit, outcome, by, note) in cases {
        let check = ask(value, limit);
        assert_eq!(check.outcome, outcome, "{value:?} against {limit:?}");
        match (margin(&check), by) {
            (Some(found), Some(by)) => assert!(near(found, by), "{found} is not {by}"),
            (found, by) => assert_eq!(found, by),
        }
        assert_eq!(check.note, note, "{value:?} against {limit:?}");
    }
}

#[test]
fn length_against_the_route() {
    agree(
        &[
            (Some(76.0), Some(80.0), Outcome::Pass, Some(4.0), ""),
            (Some(80.0), Some(80.0), Outcome::Pass, Some(0.0), ""),
            (Some(89.0), Some(80.0), Outcome::Fail, Some(-9.0), ""),
            (Some(76.0), None, Outcome::Unknown, None, "route not surveyed"),
            (None, Some(80.0), Outcome::Unknown, None, "length not measured"),
            (None, None, Outcome::Unknown, None, "length not measured, route not surveyed"),
        ],
        |length, limit| {
            asked(Code::HaulLength, |inputs| {
                inputs.cars[0].length = length.map(Feet);
                inputs.crossings[0].haul_length_limit = limit.map(Feet);
            })
        },
    );
}

/// Legal width is 102 in (23 CFR 658.15, from memory).
#[test]
fn width_against_the_law_and_the_route() {
    let unsurveyed = "over 8.50 ft: over-width, by permit; the route is not surveyed for width";
    agree(
        &[
            (Some(8.5), None, Outcome::Pass, Some(0.0), ""),
            (Some(9.0), None, Outcome::Unknown, None, unsurveyed),
            (
                Some(13.5),
                Some(14.0),
                Outcome::Caution,
                Some(0.5),
                "over 8.50 ft: over-width, by permit",
            ),
            (Some(13.5), Some(12.0), Outcome::Fail, Some(-1.5), ""),
            (Some(8.0), Some(12.0), Outcome::Pass, Some(4.0), ""),
            (None, Some(12.0), Outcome::Unknown, None, "width not measured"),
        ],
        |width, limit| {
            asked(Code::HaulWidth, |inputs| {
                inputs.cars[0].width = width.map(Feet);
                inputs.crossings[0].haul_width_limit = limit.map(Feet);
            })
        },
    );
}

#[test]
fn weight_against_the_route() {
    agree(
        &[
            (Some(40.0), Some(60.0), Outcome::Pass, Some(20.0), ""),
            (Some(60.0), Some(60.0), Outcome::Pass, Some(0.0), ""),
            (Some(60.5), Some(60.0), Outcome::Fail, Some(-0.5), ""),
            (Some(40.0), None, Outcome::Unknown, None, "route not surveyed"),
            (None, Some(60.0), Outcome::Unknown, None, "weight not known"),
        ],
        |weight, limit| {
            asked(Code::HaulWeight, |inputs| {
                inputs.cars[0].weight = weight.map(Kips);
                inputs.crossings[0].haul_weight_limit = limit.map(Kips);
            })
        },
    );
}

#[test]
fn weight_with_rigging_against_the_crane() {
    // The factor of the built-in rules is 1.1.
    agree(
        &[
            (Some(40.0), Some(50.0), Outcome::Pass, Some(6.0), "40.0 kip x 1.1"),
            (Some(40.0), Some(44.0), Outcome::Pass, Some(0.0), "40.0 kip x 1.1"),
            (Some(40.0), Some(43.0), Outcome::Fail, Some(-1.0), "40.0 kip x 1.1"),
            (Some(40.0), None, Outcome::Unknown, None, "crane not known"),
            (None, Some(50.0), Outcome::Unknown, None, "weight not known"),
        ],
        |weight, limit| {
            asked(Code::CranePick, |inputs| {
                inputs.cars[0].weight = weight.map(Kips);
                inputs.crossings[0].crane_limit = limit.map(Kips);
            })
        },
    );
}

#[test]
fn an_unsurveyed_route_still_shows_the_car_s_side() {
    let check = asked(Code::HaulLength, |inputs| inputs.crossings[0].haul_length_limit = None);
    assert_eq!(check.measured, Value::Feet(Feet(76.0)));
    assert_eq!(
        check.sentence(),
        "S11 Length on the road: 76.00 ft, must be within what the route takes; route not surveyed"
    );
}

#[test]
fn the_weight_must_be_known() {
    for (weight, outcome) in [(Some(40.0), Outcome::Pass), (None, Outcome::Unknown)] {
        let check = asked_of(Code::WeightKnown, |car| car.weight = weight.map(Kips));
        assert_eq!(check.outcome, outcome);
    }
}
