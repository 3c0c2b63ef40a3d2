//! Without data no number: every missing or impossible input is named.

use spanyard::check::{Check, Code, Outcome};
use spanyard::model::car::{Car, MemberCondition};
use spanyard::quantity::{CubicInches, Feet, Inches, Kips, Ksi, Percent};
use spanyard::rate::rate_checks;

use crate::rating::support::{car, crossing, rules};

fn checks(car: &Car) -> Vec<Check> {
    rate_checks(car, &crossing(40.0, &["HS20"]), Feet(40.0), &rules())
}

fn refusal(change: impl Fn(&mut Car)) -> String {
    let mut car = car();
    change(&mut car);
    match checks(&car).as_slice() {
        [only] => {
            assert_eq!((only.code, only.outcome), (Code::Rateable, Outcome::Unknown));
            only.note.clone()
        }
        many => panic!("expected one unknown check, got {many:?}"),
    }
}

#[test]
fn every_gap_in_the_data_is_named() {
    type Change = fn(&mut Car);
    let cases: [(Change, &str); 10] = [
        (|car| car.girder.plates = None, "no section modulus and no plates"),
        (|car| car.weight = None, "its weight is not known"),
        (|car| car.length = None, "its length is not known"),
        (|car| car.width = None, "its width is not known"),
        (|car| car.weight = Some(Kips(0.0)), "its weight is 0, which must be more than 0"),
        (
            |car| car.members.main_girder = None,
            "the main girder was not inspected, so its losses are unknown",
        ),
        (
            |car| car.members.main_girder = Some(MemberCondition::Cracked),
            "the main girder is cracked, and no formula here stands for that",
        ),
        (
            |car| car.steel_yield = Some(Ksi(36_000.0)),
            "a yield strength of 36000 ksi is not one of structural steel (20 to 120 ksi; was psi \
             meant?)",
        ),
        (
            |car| {
                car.truck_centers = None;
                if let Some(plates) = &mut car.girder.plates {
                    plates.web_depth_at_trucks_in = Some(Inches(18.0));
                }
            },
            "its truck-center distance, needed for a girder that tapers, is not known",
        ),
        (
            |car| {
                if let Some(plates) = &mut car.girder.plates {
                    plates.top_flange.width_in = Inches(109.0);
                }
            },
            "the top flange is wider than the car",
        ),
    ];
    for (change, words) in cases {
        assert_eq!(refusal(change), format!("cannot be rated: {words}"));
    }
}

#[test]
fn all_gaps_are_named_at_once() {
    let words = refusal(|car| {
        car.girder.plates = None;
        car.weight = None;
        car.width = None;
    });
    assert_eq!(
        words,
        "cannot be rated: no section modulus and no plates; its weight is not known; its width is \
         not known"
    );
}

#[test]
fn a_stated_modulus_has_no_shear_no_deflection_and_no_slenderness() {
    let mut car = car();
    car.girder.plates = None;
    car.girder.stated_modulus = Some(CubicInches(900.0));
    car.girder.modulus_source = Some("drawing".to_owned());
    car.members.main_girder = Some(MemberCondition::Corroded(Percent(10.0)));
    let found = checks(&car);
    let outcome = |code| found.iter().find(|c| c.code == code).map(|c| c.outcome);
    for code in [Code::ShearAllowable, Code::ShearFactored, Code::Deflection, Code::Slenderness] {
        assert_eq!(outcome(code), Some(Outcome::NotChecked), "{code}");
    }
    let rateable = &found[0];
    assert_eq!(rateable.measured.number(), Some(810.0));
    assert_eq!(rateable.note, "stated: drawing, less 10.0 % lost of 900.0 in3");
    // Where the rules require shear, it is unknown and bars.
    let mut strict = rules();
    strict.rating.shear_required = true;
    let strict = rate_checks(&car, &crossing(40.0, &["HS20"]), Feet(40.0), &strict);
    let shear = strict.iter().find(|c| c.code == Code::ShearFactored).unwrap();
    assert_eq!(shear.outcome, Outcome::Unknown);
}

#[test]
fn the_inspected_loss_counts_where_the_plates_record_less() {
    let mut car = car();
    car.members.main_girder = Some(MemberCondition::Corroded(Percent(10.0)));
    let raised = checks(&car)[0].clone();
    assert_eq!(raised.outcome, Outcome::Caution);
    // Where one plate records the loss, the others keep theirs.
    if let Some(plates) = &mut car.girder.plates {
        plates.web_loss_pct = Percent(10.0);
    }
    let recorded = checks(&car)[0].clone();
    assert_eq!(recorded.outcome, Outcome::Pass);
    assert!(recorded.measured.number() > raised.measured.number());
}

#[test]
fn a_stated_yield_needs_a_source_to_count_above_the_table() {
    for (stated, source, year, expected, outcome) in [
        (Some(50.0), Some("certificate"), None, 50.0, Outcome::Pass),
        (Some(50.0), None, Some(1950), 33.0, Outcome::Caution),
        (Some(30.0), None, Some(1950), 30.0, Outcome::Caution),
        (None, None, Some(1950), 33.0, Outcome::Pass),
        (None, None, None, 26.0, Outcome::Caution),
    ] {
        let mut car = car();
        car.steel_yield = stated.map(Ksi);
        car.yield_source = source.map(str::to_owned);
        car.year_built = year;
        let found = checks(&car);
        let steel = found.iter().find(|c| c.code == Code::SteelYield).unwrap();
        assert_eq!((steel.measured.number(), steel.outcome), (Some(expected), outcome));
    }
}

#[test]
fn crossing_and_rules_must_make_sense_too() {
    let of = |x: &spanyard::model::crossing::Crossing, span, rules: &_| {
        rate_checks(&car(), x, Feet(span), rules)[0].note.clone()
    };
    let good = crossing(40.0, &["HS20"]);
    assert_eq!(
        of(&good, 0.0, &rules()),
        "cannot be rated: a span of 0 ft with ends of up to 6 ft beyond it is none"
    );
    let mut deckless = good.clone();
    deckless.deck_system = "straw".to_owned();
    assert_eq!(
        of(&deckless, 40.0, &rules()),
        "cannot be rated: the rules have no deck system named `straw`"
    );
    let mut lax = rules();
    lax.rating.resistance_factors.live_legal = 0.0;
    assert_eq!(
        of(&good, 40.0, &lax),
        "cannot be rated: `live_legal` of the rules is 0, with which nothing can be rated"
    );
}

#[test]
fn slender_plates_bar() {
    let mut car = car();
    if let Some(plates) = &mut car.girder.plates {
        plates.top_flange.thickness_in = Inches(0.5); // 24 / 0.5 = 48 against 32.4
    }
    let found = checks(&car);
    let flange = found.iter().find(|c| c.code == Code::Slenderness).unwrap();
    assert_eq!((flange.part.as_str(), flange.outcome), ("top flange", Outcome::Fail));
}
