//! Cars that share a trailer: which may, and what their load costs.

use spanyard::group::{Sections, candidate};
use spanyard::model::car::Car;
use spanyard::model::inputs::{CarIx, Inputs};
use spanyard::model::plan::{CostItem, CostLine, sum};
use spanyard::model::rules::{Laid, Truckload};
use spanyard::price::{
    car_apart_from_haul, car_at, car_cost, car_cost_apart_from_haul, load_cost, load_lines,
    most_on_trailer,
};
use spanyard::quantity::{Cents, Feet, Kips, Pounds};

use crate::testkit::fixture::{CAR, SITE, inputs, rules, sound_car};

fn truckload(cars: u32, lb: f64, ft: f64, laid: Laid) -> Truckload {
    Truckload {
        cars,
        each_at_most_lb: Pounds(lb),
        each_at_most_ft: Feet(ft),
        laid,
        source: "the hauler".to_owned(),
    }
}

/// Cars of these lengths and weights, with loads of two up to 30,000 lb and 80 ft each.
fn loaded(laid: Laid, cars: &[(f64, f64)]) -> Inputs {
    let mut inputs = inputs();
    inputs.cars = cars
        .iter()
        .zip(1..)
        .map(|(&(length, weight), number)| Car {
            length: Some(Feet(length)),
            weight: Some(Kips(weight)),
            width: Some(Feet(8.5)),
            ..sound_car(&format!("DR-{number}"))
        })
        .collect();
    inputs.rules.haul.truckload = vec![truckload(2, 30_000.0, 80.0, laid)];
    inputs
}

fn said(lines: &[CostLine]) -> Vec<(CostItem, i64, &str)> {
    lines.iter().map(|line| (line.item, line.amount.0, line.basis.as_str())).collect()
}

const BOTH: [CarIx; 2] = [CarIx(0), CarIx(1)];

#[test]
fn two_light_cars_stacked_pay_one_haul() {
    // 43.2 mi x 6.50 = 280.80, below the least charge of 450. 2 x 24 = 48 kips: not over 48. The load
    // is as long as its longer car: 50 ft, not over 53.
    let inputs = loaded(Laid::Stacked, &[(50.0, 24.0), (46.0, 23.0)]);
    let lines = load_lines(&inputs, &BOTH, SITE).unwrap();
    let minimum = "1 load of 2 cars: minimum charge; 43.2 mi x $6.50/mi would be $280.80";
    assert_eq!(said(&lines), [(CostItem::Haul, 45_000, minimum)]);
    assert_eq!(lines[0].subject, "Drumfell Reclaim DR-1 + Drumfell Reclaim DR-2");
}

#[test]
fn a_load_counts_as_if_all_its_cars_were_like_its_longest_and_heaviest() {
    // 172.7 mi x 6.50 = 1,122.55 once; 2 x 25 = 50 kips over 48; the longer car 81 ft: over 53, and
    // over 80 with an escort of 172.7 mi x 2.25 = 388.575.
    let mut inputs = loaded(Laid::Stacked, &[(81.0, 20.0), (46.0, 25.0)]);
    inputs.crossings[0].position.latitude_deg = 46.0; // 172.7 road miles, see distance.rs
    let lines = load_lines(&inputs, &BOTH, SITE).unwrap();
    let expected = [
        (CostItem::Haul, 112_255, "1 load of 2 cars: 172.7 mi x $6.50/mi"),
        (
            CostItem::Permit,
            25_000,
            "1 load of 2 cars: length 81.00 ft over 53.00 ft, weight 2 x 25.0 kip over 48.0 kip",
        ),
        (
            CostItem::Escort,
            38_858,
            "1 load of 2 cars: 172.7 mi x $2.25/mi; length 81.00 ft over 80.00 ft",
        ),
    ];
    assert_eq!(said(&lines), expected);
    // What the search adds up is the same.
    let each = BOTH.map(|car| load_cost(&inputs, car, SITE, 2).unwrap());
    assert_eq!(each[0].total(), Cents(112_255 + 25_000 + 38_858));
    assert_eq!(each[1].total(), Cents(112_255 + 25_000));
    assert_eq!(each[0].greater(&each[1]).total(), sum(&lines));
}

#[test]
fn end_to_end_the_lengths_add_up() {
    // 2 x 27 = 54 ft over 53; 2 x 40 = 80 ft: not over 80; 2 x 40.5 = 81 ft: over 80.
    // 43.2 mi x 2.25 = 97.20, below the least charge of 350.
    for (length, permit, escort) in [
        (26.5, None, None),
        (27.0, Some("1 load of 2 cars: length 2 x 27.00 ft over 53.00 ft"), None),
        (40.0, Some("1 load of 2 cars: length 2 x 40.00 ft over 53.00 ft"), None),
        (
            40.5,
            Some("1 load of 2 cars: length 2 x 40.50 ft over 53.00 ft"),
            Some(
                "1 load of 2 cars: minimum charge; 43.2 mi x $2.25/mi would be $97.20; length 2 x 40.50 ft over 80.00 ft",
            ),
        ),
    ] {
        let inputs = loaded(Laid::EndToEnd, &[(length, 20.0), (20.0, 20.0)]);
        let lines = load_lines(&inputs, &BOTH, SITE).unwrap();
        let of = |item| lines.iter().find(|line| line.item == item);
        let words = |item| of(item).map(|line| line.basis.as_str());
        assert_eq!((words(CostItem::Permit), words(CostItem::Escort)), (permit, escort));
        assert_eq!(of(CostItem::Escort).map(|line| line.amount.0), escort.map(|_| 35_000));
    }
}

#[test]
fn so_many_cars_as_rules_and_route_allow() {
    // Two up to 30,000 lb and 60 ft, three up to 18,000 lb and 50 ft; the route takes 80 ft and 60 kips.
    for (length, weight, route, most) in [
        (60.0, 30.0, 60.0, 2),
        (60.0, 30.1, 80.0, 1),
        (60.1, 30.0, 60.0, 1),
        (50.0, 18.0, 60.0, 3),
        (50.1, 18.0, 60.0, 2),
        (50.0, 18.1, 60.0, 2),
        // 3 x 18 = 54 kips, 2 x 18 = 36.
        (50.0, 18.0, 54.0, 3),
        (50.0, 18.0, 53.9, 2),
        (50.0, 18.0, 35.9, 1),
        (60.0, 30.0, 59.9, 1),
    ] {
        let mut inputs = inputs();
        inputs.rules.haul.truckload = vec![
            truckload(3, 18_000.0, 50.0, Laid::Stacked),
            truckload(2, 30_000.0, 60.0, Laid::Stacked),
        ];
        inputs.crossings[0].haul_weight_limit = Some(Kips(route));
        (inputs.cars[0].length, inputs.cars[0].weight) = (Some(Feet(length)), Some(Kips(weight)));
        let found = most_on_trailer(&inputs, CAR, SITE);
        assert_eq!(found, most, "{length} ft, {weight} kip, route {route} kip");
    }
}

#[test]
fn end_to_end_the_route_must_take_the_whole_length() {
    // The route takes 80 ft: 3 x 26 = 78, 3 x 27 = 81, 2 x 40 = 80. A trailer that takes three takes two.
    for (length, most) in [(26.0, 3), (27.0, 2), (40.0, 2), (40.1, 1)] {
        let mut inputs = inputs();
        inputs.rules.haul.truckload = vec![truckload(3, 20_000.0, 60.0, Laid::EndToEnd)];
        (inputs.cars[0].length, inputs.cars[0].weight) = (Some(Feet(length)), Some(Kips(20.0)));
        assert_eq!(most_on_trailer(&inputs, CAR, SITE), most, "{length} ft");
    }
}

#[test]
fn what_is_unknown_goes_alone() {
    type Change = fn(&mut Inputs);
    let unknowns: [(&str, Change); 5] = [
        ("length", |inputs| inputs.cars[0].length = None),
        ("weight", |inputs| inputs.cars[0].weight = None),
        ("length on the route", |inputs| inputs.crossings[0].haul_length_limit = None),
        ("weight on the route", |inputs| inputs.crossings[0].haul_weight_limit = None),
        ("no truckload", |inputs| inputs.rules = rules()),
    ];
    let known = loaded(Laid::Stacked, &[(50.0, 20.0)]);
    assert_eq!(most_on_trailer(&known, CAR, SITE), 2);
    for (what, forget) in unknowns {
        let mut inputs = known.clone();
        forget(&mut inputs);
        assert_eq!(most_on_trailer(&inputs, CAR, SITE), 1, "{what}");
        assert!(
            candidate(&inputs, CAR, SITE, &Sections::of(&inputs)).is_none_or(|c| c.haul.is_none())
        );
    }
}

#[test]
fn the_cost_of_a_car_is_the_same_with_its_haul_apart() {
    let inputs = loaded(Laid::Stacked, &[(50.0, 20.0), (50.0, 31.0)]);
    for car in BOTH {
        let (all, apart) = (car_at(&inputs, car, SITE), car_apart_from_haul(&inputs, car, SITE));
        let (all, apart) = (all.unwrap(), apart.unwrap());
        let haul = load_lines(&inputs, &[car], SITE).unwrap();
        assert_eq!(sum(&all), sum(&apart) + sum(&haul));
        assert!(all.iter().all(|line| apart.contains(line) || haul.contains(line)));
        assert_eq!(car_cost_apart_from_haul(&inputs, car, SITE), Some(sum(&apart)));
        // A car that may share has its haul apart in the search, one that may not has it within.
        let found = candidate(&inputs, car, SITE, &Sections::of(&inputs)).unwrap();
        match found.haul {
            Some(shared) => {
                assert_eq!(found.cost, sum(&apart));
                assert_eq!(shared.alone.total(), sum(&haul));
                assert_eq!(shared.shared, [load_cost(&inputs, car, SITE, 2).unwrap()]);
            }
            None => assert_eq!(Some(found.cost), car_cost(&inputs, car, SITE)),
        }
        assert_eq!(most_on_trailer(&inputs, car, SITE), if car == CAR { 2 } else { 1 });
    }
}
