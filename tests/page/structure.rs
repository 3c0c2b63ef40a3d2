//! Camber left, lift points and what a pier carries, by hand.

use spanyard::model::crossing::Layout;
use spanyard::model::inputs::Inputs;
use spanyard::quantity::{Cents, Feet};
use spanyard::rate::{Rating, camber_left, pier_dead_load};
use spanyard::report::facts::structure::lift_points;

use crate::rating::support;
use crate::testkit::fixture::{CAR, SITE, inputs};

/// 17 psf on 10.5 ft, a joint of 0.160 and a rail of 0.050 kip/ft lie on the bare car, 0.3885 kip/ft: on 40 ft
/// it settles 5 x 0.3885 x 40^4 x 1728 / (384 x 29000 x 9630.844) = 0.08012 in. Of a camber of 1 in over 46 ft
/// a parabola has (40 / 46)^2 = 0.75614 in over 40 ft.
#[test]
fn camber_is_left_over_what_the_deck_takes() {
    let (car, crossing, rules) =
        (support::car(), support::crossing(40.0, &["H15"]), support::rules());
    let left = camber_left(&car, &crossing, Feet(40.0), &rules).unwrap().0;
    assert!((left - (0.75614 - 0.08012)).abs() < 2e-5, "{left}");
    let rating = Rating::of(&car, &crossing, Feet(40.0), &rules).unwrap();
    assert!((rating.camber_left.unwrap().0 - left).abs() < 1e-12);
    let unknown = spanyard::model::car::Car { camber: None, ..car };
    assert_eq!(camber_left(&unknown, &crossing, Feet(40.0), &rules), None);
}

/// Two cars on each of two spans of 45 ft, bearings 2 ft apart on the pier, ends 11.5 in beyond them: each car
/// 45 / 60 + 0.3885 = 1.1385 kip/ft, lays 1.1385 x 45.958333^2 / 90 = 26.7186 kip on it.
#[test]
fn a_pier_carries_the_dead_load_of_both_spans() {
    let (car, rules) = (support::car(), support::rules());
    let mut crossing = support::crossing(90.0, &["H15"]);
    crossing.layouts = vec![Layout { spans: vec![Feet(45.0); 2], piers_cost: Cents(0) }];
    crossing.pier_bearings = Some(Feet(2.0));
    let cars = [&car, &car];
    let found = pier_dead_load(&crossing, 0, 0, [&cars, &cars], &rules).unwrap().0;
    let one = 1.1385 * (45.0 + 11.5 / 12.0_f64).powi(2) / 90.0;
    assert!((found - 4.0 * one).abs() < 1e-9 && (one - 26.7186).abs() < 1e-3, "{found}");
    assert!(pier_dead_load(&crossing, 0, 1, [&cars, &cars], &rules).is_none());
}

/// 89 ft with 66 ft between the bolsters on a span of 64 ft: they lie 11.5 ft from the ends as the car comes,
/// and 1.5 ft from them where it comes cut behind them.
#[test]
fn a_car_is_lifted_where_steel_stays() {
    let of = |length: f64, centers: f64, span: f64, route: f64, change: fn(&mut Inputs)| {
        let mut inputs = inputs();
        let car = &mut inputs.cars[0];
        (car.length, car.truck_centers) = (Some(Feet(length)), Some(Feet(centers)));
        inputs.crossings[0].layouts[0].spans = vec![Feet(span)];
        inputs.crossings[0].haul_length_limit = Some(Feet(route));
        change(&mut inputs);
        lift_points(&inputs, CAR, SITE).unwrap()
    };
    let at_yard = |inputs: &mut Inputs| inputs.rules.trim.at_yard = true;
    assert_eq!(of(89.0, 66.0, 64.0, 120.0, |_| ()), "11'-6\"");
    assert_eq!(of(89.0, 66.0, 64.0, 75.0, at_yard), "1'-6\"");
    // Centers of 90 ft on 60: 14 ft come off each end, and the bolsters 5 ft from it with them.
    let words = of(100.0, 90.0, 60.0, 120.0, |_| ());
    assert!(words.starts_with("5'-0\", before the ends are cut"), "{words}");
    let words = of(100.0, 90.0, 60.0, 80.0, at_yard);
    assert!(words.contains("no bolster left"), "{words}");
}
