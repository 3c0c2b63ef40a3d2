//! The fewest questions: against trying all pairs of cars by hand.

use itertools::Itertools;
use spanyard::after::ask::{Asked, ask};
use spanyard::check::{Limit, Value};
use spanyard::choose::Effort;
use spanyard::model::car::Car;
use spanyard::model::inputs::{CarIx, Inputs, YardIx};
use spanyard::model::inventory::Inventory as C;
use spanyard::model::yard::Yard;
use spanyard::quantity::{Cents, Feet, Inches};

use crate::testkit::fixture::{inputs_with, yard};
use crate::testkit::rng::Rng;

fn asked(inputs: &Inputs) -> Asked {
    ask(inputs, &Effort::default())
}

/// Two cars abreast, the way to the crossing surveyed.
fn market(changes: &[&dyn Fn(&mut Car)]) -> Inputs {
    let mut inputs = inputs_with(changes);
    inputs.crossings[0].haul_width_limit = Some(Feet(12.0));
    inputs
}

#[test]
fn an_unknown_depth_is_asked_of_both_cars_with_the_least_that_serves() {
    let shallow = |car: &mut Car| car.exterior_depth = None;
    let found = asked(&market(&[&shallow, &shallow]));
    assert_eq!((found.served.len(), found.questions.len(), found.visits.len()), (1, 2, 1));
    assert_eq!(found.weight, 2 + 3);
    assert!(found.proven);
    for question in &found.questions {
        assert_eq!(question.fact, C::ExteriorDepth);
    }
    // The bolted plate joint asks for 8 in; the plan is verified with just that.
    let plan = found.plan.unwrap();
    assert_eq!(plan.served_count(), 1);
    assert_eq!(found.inputs.cars[0].exterior_depth, Some(Inches(8.0)));
    let value = &found.questions[0].value;
    let least = match value {
        Limit::AtLeast(Value::Inches(least)) | Limit::Between(Value::Inches(least), _) => least,
        other => panic!("{other:?}"),
    };
    assert_eq!(*least, Inches(8.0));
}

#[test]
fn what_is_known_and_fails_is_never_asked_about() {
    let wrecked = |car: &mut Car| (car.wrecked, car.camber) = (Some(true), None);
    let told = |car: &mut Car| {
        car.camber = None;
        car.notes = Some("center sill cracked".to_owned());
    };
    let found = asked(&market(&[&wrecked, &told, &|_| {}]));
    assert_eq!((found.served.len(), found.questions.len()), (0, 0));
    let found = asked(&market(&[&wrecked, &|car| car.wrecked = None, &|_| {}]));
    let facts: Vec<_> = found.questions.iter().map(|q| (q.car, q.fact)).collect();
    assert_eq!(facts, [(CarIx(1), C::Wrecked)]);
}

#[test]
fn a_served_crossing_needs_no_question() {
    let found = asked(&market(&[&|_| {}, &|_| {}, &|car| car.camber = None]));
    assert_eq!((found.served.len(), found.questions.len(), found.weight), (1, 0, 0));
}

/// Every pair of four cars of two yards makes the deck; each has some unknowns.
#[test]
fn no_pair_of_cars_asks_less() {
    for seed in 0..12 {
        let mut rng = Rng::new(seed);
        let mut inputs = market(&[&|_| {}, &|_| {}, &|_| {}, &|_| {}]);
        inputs.yards.push(Yard { dealer: "Sallowby Steel and Rail".to_owned(), ..yard() });
        let mut unknown = Vec::new();
        for (at, car) in inputs.cars.iter_mut().enumerate() {
            if at > 1 {
                (car.dealer, car.yard) = ("Sallowby Steel and Rail".to_owned(), YardIx(1));
            }
            car.price = Some(Cents::dollars(rng.int(5_000, 9_000)));
            let facts: [fn(&mut Car); 4] = [
                |car| car.wrecked = None,
                |car| car.camber = None,
                |car| car.exterior_depth = None,
                |car| car.members.bolsters = None,
            ];
            let asked: Vec<bool> = facts.iter().map(|_| rng.chance(0.5)).collect();
            facts.iter().zip(&asked).filter(|(_, asked)| **asked).for_each(|(drop, _)| drop(car));
            unknown.push(asked.into_iter().filter(|asked| *asked).count());
        }
        let weight = |pair: &[usize]| {
            let yards = pair.iter().filter(|at| unknown[**at] > 0).map(|at| at / 2).unique();
            pair.iter().map(|at| unknown[*at]).sum::<usize>() + 3 * yards.count()
        };
        let least = (0..4).combinations(2).map(|pair| weight(&pair)).min().unwrap();
        let found = asked(&inputs);
        assert_eq!((found.weight, found.proven), (least as u64, true), "seed {seed}: {unknown:?}");
    }
}
