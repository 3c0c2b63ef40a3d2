//! S27 underframe, S28 sweep, twist, repairs, cover plates, toughness, S29 height on the road.

use spanyard::check::{Check, Code, Outcome};
use spanyard::model::car::Underframe;
use spanyard::model::inputs::Inputs;
use spanyard::quantity::{Feet, Inches};
use spanyard::screen::screen;

use crate::testkit::fixture::{CAR, SITE, asked, inputs};

fn asked_all(change: impl FnOnce(&mut Inputs)) -> Vec<Check> {
    let mut inputs = inputs();
    change(&mut inputs);
    let checks = screen(&inputs, CAR, SITE);
    checks.into_iter().filter(|check| check.code == Code::ShapeAndHistory).collect()
}

fn part<'c>(checks: &'c [Check], part: &str) -> &'c Check {
    checks.iter().find(|check| check.part == part).unwrap()
}

#[test]
fn a_sliding_center_sill_bars_and_an_unknown_one_is_to_confirm() {
    for (underframe, outcome) in [
        (Some(Underframe::Fixed), Outcome::Pass),
        (Some(Underframe::Sliding), Outcome::Fail),
        (None, Outcome::Caution),
    ] {
        let check = asked(Code::Underframe, |inputs| inputs.cars[0].underframe = underframe);
        assert_eq!(check.outcome, outcome, "{}", check.sentence());
        assert_eq!(check.note.starts_with("to confirm"), underframe.is_none());
    }
}

/// The limits are 1 in each: common practice, no source.
#[test]
fn sweep_and_twist_keep_their_limits() {
    for (inches, outcome) in [(0.0, Outcome::Pass), (1.0, Outcome::Pass), (1.1, Outcome::Fail)] {
        let checks = asked_all(|inputs| {
            (inputs.cars[0].sweep, inputs.cars[0].twist) =
                (Some(Inches(inches)), Some(Inches(inches)));
        });
        assert_eq!(part(&checks, "sweep").outcome, outcome);
        assert_eq!(part(&checks, "twist").outcome, outcome);
    }
}

#[test]
fn what_is_not_known_is_told_in_one_line() {
    let checks = asked_all(|_| {});
    let [check] = &checks[..] else { panic!("{checks:?}") };
    assert_eq!(check.outcome, Outcome::Caution);
    // The sound car of the fixture has cover plates.
    let all = "to confirm, not known: sweep, twist, prior repairs, ends of the cover plates, notch \
               toughness of its steel in cold winters";
    assert_eq!(check.note, all);
    let mild = asked_all(|inputs| {
        inputs.rules.screen.cold_winters = false;
        let car = &mut inputs.cars[0];
        (car.sweep, car.twist, car.repaired) = (Some(Inches(0.5)), Some(Inches(0.0)), Some(false));
        car.cover_length = car.truck_centers;
    });
    assert!(mild.iter().all(|check| check.outcome == Outcome::Pass), "{mild:?}");
    assert_eq!(mild.len(), 4);
}

#[test]
fn repairs_are_looked_at_and_short_covers_are_not_counted_on() {
    let checks = asked_all(|inputs| {
        inputs.cars[0].repaired = Some(true);
        inputs.cars[0].cover_length = Some(Feet(30.0));
        inputs.cars[0].toughness = Some("15 ft-lb at 40 F, certificate 12".to_owned());
    });
    assert_eq!(part(&checks, "prior repairs").outcome, Outcome::Caution);
    assert_eq!(part(&checks, "notch toughness").outcome, Outcome::Pass);
    let cover = part(&checks, "cover plates");
    assert_eq!(cover.outcome, Outcome::Unknown, "{}", cover.sentence());
    assert!(cover.note.contains("record the plates without it"), "{}", cover.note);
}

/// 60 in of car on a trailer deck of 5 ft make 10 ft.
#[test]
fn a_car_on_its_trailer_goes_under_what_hangs_over_the_route() {
    for (depth, limit, outcome) in [
        (Some(60.0), Some(10.0), Outcome::Pass),
        (Some(60.5), Some(10.0), Outcome::Fail),
        (Some(60.0), None, Outcome::Pass), // the states' 13 ft 6 in
        (Some(110.0), None, Outcome::Fail),
        (None, Some(10.0), Outcome::Caution),
    ] {
        let check = asked(Code::HaulHeight, |inputs| {
            inputs.cars[0].depth_over_all = depth.map(Inches);
            inputs.crossings[0].haul_height_limit = limit.map(Feet);
        });
        assert_eq!(check.outcome, outcome, "{}", check.sentence());
    }
}

/// Stake pockets stand out of the side sills: the road is asked for the width over all.
#[test]
fn the_width_on_the_road_is_that_over_all() {
    let check = asked(Code::HaulWidth, |inputs| {
        inputs.cars[0].width = Some(Feet(9.0));
        inputs.cars[0].width_over_all = Some(Feet(9.75));
        inputs.crossings[0].haul_width_limit = Some(Feet(9.5));
    });
    assert_eq!(check.outcome, Outcome::Fail, "{}", check.sentence());
}
