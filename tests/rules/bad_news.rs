//! S25: bad news in the words of a list bars until somebody answers it; and what sisters say of cars
//! whose stringers nobody measured.

use spanyard::after::decide;
use spanyard::check::{Check, Code, Outcome};
use spanyard::evidence::settle;
use spanyard::model::decision::{Decision, Goods, What};
use spanyard::model::inputs::Inputs;
use spanyard::quantity::{CubicInches, Feet};
use spanyard::screen::screen;

use crate::testkit::fixture::{CAR, SITE, inputs, row, sound_car};

fn asked(inputs: &Inputs) -> Option<Check> {
    screen(inputs, CAR, SITE).into_iter().find(|check| check.code == Code::BadNews)
}

fn with(id: &str, notes: Option<&str>) -> Inputs {
    let mut inputs = inputs();
    inputs.cars[0].id = id.to_owned();
    inputs.cars[0].notes = notes.map(str::to_owned);
    inputs
}

#[test]
fn a_row_with_bad_news_is_barred_and_others_are_not_asked() {
    for (id, notes) in [
        ("P-1", "SOLD 5/20"),
        ("P-1", "center sill cracked at bolster; was in derailment 1994"),
        ("P-1", "repaired and certified"),
        ("P-11 (sold)", "fine car"),
    ] {
        let check = asked(&with(id, Some(notes))).unwrap();
        assert_eq!(check.outcome, Outcome::Unknown, "{id} {notes}");
    }
    assert_eq!(asked(&with("P-1", Some("no cracks seen"))).unwrap().outcome, Outcome::Caution);
    for notes in [None, Some("planks good, paint holding")] {
        assert_eq!(asked(&with("P-1", notes)), None);
    }
}

#[test]
fn an_answer_lets_the_car_through_and_stays_with_it() {
    let before = with("P-1", Some("SOLD 5/20"));
    let goods = Goods::Car { dealer: before.cars[0].dealer.clone(), car: "P-1".to_owned() };
    let decision = Decision {
        what: What::Answered(goods),
        part: None,
        on: None,
        note: Some("the sale fell through, dealer's letter of 6/2".to_owned()),
        place: row("week.toml", 3),
    };
    let after = decide::apply(&before, std::slice::from_ref(&decision)).unwrap();
    let check = asked(&after).unwrap();
    assert_eq!(check.outcome, Outcome::Caution);
    assert_eq!(
        check.note,
        "answered at week.toml:3: the sale fell through, dealer's letter of 6/2"
    );
    assert!(decide::apply(&before, &[decision.clone(), decision]).is_err());
}

/// Of three sisters two are measured: the third gets the lesser modulus and the wider spacing, and
/// one of another section nothing.
#[test]
fn a_car_nobody_measured_gets_its_sisters_worst_figures() {
    let mut inputs = inputs();
    let sister = |id: &str, figures: Option<(f64, f64)>| {
        let mut car = sound_car(id);
        car.secondary.stringer_modulus = figures.map(|(modulus, _)| CubicInches(modulus));
        car.secondary.stringer_spacing = figures.map(|(_, spacing)| Feet(spacing));
        car
    };
    let mut stranger = sister("D", None);
    stranger.section = Some("other".to_owned());
    inputs.cars = vec![
        sister("A", Some((17.5, 1.5))),
        sister("B", Some((10.5, 1.25))),
        sister("C", None),
        stranger,
    ];
    settle(&mut inputs);
    let given = |inputs: &Inputs, at: usize| {
        let found = inputs.cars[at].secondary;
        (found.stringer_modulus.map(|x| x.0), found.stringer_spacing.map(|x| x.0))
    };
    assert_eq!(given(&inputs, 2), (Some(10.5), Some(1.5)));
    assert_eq!(given(&inputs, 3), (None, None));
    // No paper shows it to a dealer as his.
    assert_eq!(inputs.cars[2].as_told().secondary.stringer_modulus, None);
    assert_eq!(inputs.cars[0].as_told(), inputs.cars[0]);
    // The measured keep their own, and to settle again changes nothing.
    assert_eq!(given(&inputs, 0), (Some(17.5), Some(1.5)));
    let once = inputs.clone();
    settle(&mut inputs);
    assert_eq!(inputs.cars, once.cars);
    // Without the weak one the third follows the other.
    inputs.cars.remove(1);
    settle(&mut inputs);
    assert_eq!(given(&inputs, 1), (Some(17.5), Some(1.5)));
}
