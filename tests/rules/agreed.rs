//! S31: facts that contradict each other bar until somebody finds out which is wrong, or answers.

use spanyard::check::{Check, Code, Grade, Outcome};
use spanyard::model::car::Car;
use spanyard::model::decision::{Decision, Goods, What};
use spanyard::model::evidence::Evidence;
use spanyard::model::inputs::{CarIx, Inputs};
use spanyard::model::inventory::Inventory as C;
use spanyard::quantity::{Kips, Ksi};
use spanyard::screen::screen;

use crate::testkit::fixture::{SITE, inputs_with, row};

fn asked(inputs: &Inputs, car: usize) -> Vec<(String, Outcome)> {
    let checks = screen(inputs, CarIx(car), SITE).into_iter();
    let of = checks.filter(|check: &Check| check.code == Code::FactsAgree);
    of.map(|check| (check.part, check.outcome)).collect()
}

fn found(car: &mut Car, column: C, grade: Grade) {
    let evidence = Evidence { grade, by: Some("foreman".to_owned()), place: row("week.toml", 3) };
    car.evidence.set(column, evidence);
}

fn answer(inputs: &mut Inputs, note: &str) {
    let goods = Goods::Car { dealer: "Drumfell Reclaim".to_owned(), car: "DR-1".to_owned() };
    let what = What::Answered(goods);
    let (note, place) = (Some(note.to_owned()), row("week.toml", 3));
    inputs.decided.list = vec![Decision { what, part: None, on: None, note, place }];
    inputs.decided.answered.insert(CarIx(0), 0);
}

/// 76 ft: 40 kip are 0.526 kip/ft; a quarter more is 50 kip, a quarter less 32.
#[test]
fn a_weight_far_from_its_sisters_is_a_question() {
    let weight = |kips: f64| move |car: &mut Car| car.weight = Some(Kips(kips));
    let sisters = weight(40.0);
    for (kips, odd) in [(40.0, false), (49.9, false), (50.1, true), (32.1, false), (31.9, true)] {
        let own = weight(kips);
        let inputs = inputs_with(&[&own, &sisters, &sisters]);
        let expected = if odd { vec![("weight".to_owned(), Outcome::Unknown)] } else { vec![] };
        assert_eq!(asked(&inputs, 0), expected, "{kips}");
        // One odd car does not throw doubt on the others.
        assert_eq!(asked(&inputs, 1), [], "{kips}");
    }
    // Of two that differ nobody knows which is wrong.
    let heavy = weight(60.0);
    let two = inputs_with(&[&heavy, &sisters]);
    assert_eq!((asked(&two, 0).len(), asked(&two, 1).len()), (1, 1));
    // A car alone has no sisters, nor has one of another section.
    let other = |car: &mut Car| car.section = Some("S-71".to_owned());
    assert_eq!(asked(&inputs_with(&[&heavy, &other]), 0), []);
}

#[test]
fn a_scale_ticket_or_an_answer_that_names_the_weight_lets_it_through() {
    let heavy = |car: &mut Car| car.weight = Some(Kips(60.0));
    let weighed = |car: &mut Car| {
        heavy(car);
        found(car, C::Weight, Grade::Documented);
        found(car, C::Length, Grade::Inspected);
    };
    let caution = [("weight".to_owned(), Outcome::Caution)];
    assert_eq!(asked(&inputs_with(&[&weighed, &|_| {}, &|_| {}]), 0), caution);
    let mut inputs = inputs_with(&[&heavy, &|_| {}, &|_| {}]);
    answer(&mut inputs, "the sale fell through, dealer's letter of 6/2");
    assert_eq!(asked(&inputs, 0), [("weight".to_owned(), Outcome::Unknown)]);
    answer(&mut inputs, "weight is right, it has a steel deck; dealer's letter of 6/2");
    assert_eq!(asked(&inputs, 0), caution);
}

/// The table gives 36 ksi for 1975 and 33 for 1963: 1.6 times are 57.6 and 52.8.
#[test]
fn a_yield_strength_that_the_year_does_not_allow_is_a_question() {
    for (year, ksi, odd) in [
        (1975, 50.0, false),
        (1975, 57.0, false),
        (1975, 80.0, true),
        (1963, 50.0, false),
        (1963, 55.0, true),
    ] {
        let change =
            |car: &mut Car| (car.year_built, car.steel_yield) = (Some(year), Some(Ksi(ksi)));
        let inputs = inputs_with(&[&change]);
        let expected =
            if odd { vec![("yield strength".to_owned(), Outcome::Unknown)] } else { vec![] };
        assert_eq!(asked(&inputs, 0), expected, "{year} {ksi}");
    }
    // No year, no contradiction: the table's lowest is taken unless a document says more.
    let unknown = |car: &mut Car| (car.year_built, car.steel_yield) = (None, Some(Ksi(80.0)));
    assert_eq!(asked(&inputs_with(&[&unknown]), 0), []);
    // A certificate and a stencil that somebody has seen.
    let seen = |car: &mut Car| {
        car.steel_yield = Some(Ksi(80.0));
        found(car, C::YearBuilt, Grade::Inspected);
    };
    let caution = [("yield strength".to_owned(), Outcome::Caution)];
    assert_eq!(asked(&inputs_with(&[&seen]), 0), caution);
}
