//! R12: the vehicles that are legal in the state, rated whatever a crossing names.

use spanyard::check::{Check, Code, Outcome};
use spanyard::model::car::MemberCondition;
use spanyard::model::rules::{Level, OwnVehicle};
use spanyard::quantity::{CubicInches, Feet, Kips, Tons};
use spanyard::rate::{Rating, rate_checks};

use crate::rating::support::{car, crossing, rules};

const LEGAL: [&str; 7] = ["Type 3", "Type 3S2", "Type 3-3", "SU4", "SU5", "SU6", "SU7"];

fn asked(
    least: Option<f64>,
    change: impl FnOnce(&mut spanyard::model::rules::Rules),
) -> Vec<Check> {
    let mut rules = rules();
    change(&mut rules);
    let mut x = crossing(60.0, &["H15"]);
    x.least_posting = least.map(Tons);
    let checks = rate_checks(&car(), &x, Feet(60.0), &rules);
    checks.into_iter().filter(|check| check.code == Code::LegalTrucks).collect()
}

/// The crossing names H15 alone; what the sign says is what the crossing would get if it named each.
#[test]
fn the_sign_is_by_the_legal_trucks_and_not_by_those_that_the_crossing_names() {
    let named = Rating::of(&car(), &crossing(60.0, &LEGAL), Feet(60.0), &rules()).unwrap();
    let asked = asked(None, |_| {});
    let posted: Vec<_> = named.vehicles.iter().filter(|v| v.posting.sign().is_some()).collect();
    assert!(!posted.is_empty(), "a span on which the car needs a sign");
    assert_eq!(asked.len(), posted.len());
    for (check, vehicle) in asked.iter().zip(posted) {
        assert_eq!(check.part, vehicle.on_span.vehicle.name);
        assert_eq!(check.measured.number(), vehicle.posting.sign().map(|tons| tons.0));
        assert_eq!(check.outcome, Outcome::Caution);
    }
}

#[test]
fn what_the_crossing_accepts_bars_and_the_rules_say_what_is_legal() {
    let bars = |checks: Vec<Check>| checks.iter().any(|check| check.outcome.bars());
    assert!(!bars(asked(Some(3.0), |_| {})));
    assert!(bars(asked(Some(80.0), |_| {})));
    assert!(bars(asked(None, |rules| rules.posting.close_below_tons = Tons(50.0))));
    let parts =
        |checks: Vec<Check>| -> Vec<String> { checks.into_iter().map(|c| c.part).collect() };
    let only = parts(asked(None, |rules| rules.posting.legal_vehicles = vec!["SU7".to_owned()]));
    assert_eq!(only, ["SU7"]);
    let emergency = parts(asked(None, |rules| rules.posting.emergency_vehicles = true));
    assert!(emergency.contains(&"EV3".to_owned()), "{emergency:?}");
    let none = asked(None, |rules| rules.posting.legal_vehicles.clear());
    assert_eq!(none[0].outcome, Outcome::NotChecked);
}

/// A stringer of 6 in3 over 5.5 ft, 1.8 ft apart, under one wheel of Type 3, by hand: half of its 17-kip axle
/// at mid-span, spread over 10 in along: 8.5 x 5.5 / 4 - 8.5 x (10 / 12) / 8 = 10.802 kip-ft, more than two
/// wheels 4 ft apart bring: 8.5 (5.5 - 2)^2 / (2 x 5.5) = 9.466. Only the allowable-stress form counts.
#[test]
fn a_weak_stringer_decides_the_sign() {
    let mut rules = rules();
    rules.rating.load_and_resistance = false;
    let mut car = car();
    car.members.stringers = Some(MemberCondition::Sound);
    car.members.cross_members = Some(MemberCondition::Sound);
    car.secondary.stringer_modulus = Some(CubicInches(6.0));
    car.secondary.stringer_spacing = Some(Feet(1.8));
    car.secondary.cross_member_modulus = Some(CubicInches(90.0));
    car.secondary.cross_member_spacing = Some(Feet(5.5));
    let span = Feet(30.0);
    let rating = Rating::of(&car, &crossing(span.0, &["H15"]), span, &rules).unwrap();
    let type3 = rating.legal.iter().find(|legal| legal.vehicle == "Type 3").unwrap();
    let (length, width) = (car.length.unwrap().0, car.width.unwrap().0);
    let psf = car.weight.unwrap().0 * 1000.0 / length / width + 17.0; // 4 in of timber
    let dead = psf * 1.8 * 5.5 * 5.5 / 8.0 / 1000.0;
    let steel = rating.girder.steel.strength.0;
    let by_hand = (0.55 * steel * 6.0 / 12.0 - dead) / (10.802_083 * 1.30);
    assert!((type3.least.0 - by_hand).abs() < 1e-6, "{} is not {by_hand}", type3.least);
    assert_eq!(type3.member.map(|part| part.word()), Some("stringer"));
    let checks = rate_checks(&car, &crossing(span.0, &["H15"]), span, &rules);
    let legal: Vec<_> = checks.iter().filter(|c| c.code == Code::LegalTrucks).collect();
    assert!(legal.iter().all(|check| check.measured.number().is_some()), "{legal:?}");
    let note = &legal.iter().find(|check| check.part == "Type 3").unwrap().note;
    assert!(note.contains("of a stringer: a sign is needed"), "{note}");
}

#[test]
fn members_that_nobody_measured_are_to_confirm() {
    let mut car = car();
    car.girder.plates = None;
    car.girder.stated_modulus = Some(CubicInches(4_000.0));
    car.girder.modulus_source = Some("drawing 7".to_owned());
    let checks = rate_checks(&car, &crossing(40.0, &["H15"]), Feet(40.0), &rules());
    let check = checks.iter().find(|check| check.code == Code::LegalTrucks).unwrap();
    assert_eq!(check.outcome, Outcome::Caution, "{}", check.sentence());
    assert!(
        check.note.ends_with("to confirm, not rated: stringers, cross-members"),
        "{}",
        check.note
    );
}

#[test]
fn a_vehicle_of_the_agency_may_be_legal_in_the_state() {
    let legal = asked(None, |rules| {
        rules.vehicle.push(OwnVehicle {
            name: "beet truck".to_owned(),
            axles_kip: vec![Kips(20.0), Kips(30.0), Kips(30.0)],
            spacings_ft: vec![Feet(12.0), Feet(4.0)],
            source: "state law".to_owned(),
        });
        rules.posting.legal_vehicles = vec!["beet truck".to_owned()];
    });
    assert_eq!(legal[0].part, "beet truck");
    assert!(legal[0].measured.number().is_some());
}

/// A factor is a straight line in the stress: at the mean stress it is the mean of the two factors.
#[test]
fn between_inventory_and_operating_is_halfway() {
    let mut rules = rules();
    rules.rating.load_and_resistance = false;
    let factor = |level, rules: &mut spanyard::model::rules::Rules| {
        rules.rating.allowable_stress_factors.legal_level = level;
        let rating = Rating::of(&car(), &crossing(55.0, &["SU7"]), Feet(55.0), rules).unwrap();
        let named = &rating.vehicles[0];
        assert_eq!(named.least, rating.legal.iter().find(|l| l.vehicle == "SU7").unwrap().least);
        (named.bending.by_allowable().factor.0, named.least.0)
    };
    let low = factor(Level::Inventory, &mut rules);
    let high = factor(Level::Operating, &mut rules);
    let between = factor(Level::Between, &mut rules);
    assert!((between.0 - f64::midpoint(low.0, high.0)).abs() < 1e-12, "{between:?}");
    assert!(low.1 < between.1 && between.1 < high.1, "{low:?} {between:?} {high:?}");
}
