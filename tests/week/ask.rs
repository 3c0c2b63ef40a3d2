//! The fewest questions: against trying all pairs of cars by hand.

use itertools::Itertools;
use spanyard::after::ask::{Asked, ask};
use spanyard::assemble::market as market_of;
use spanyard::check::{Grade, Limit, Value};
use spanyard::choose::{Effort, choose};
use spanyard::model::car::Car;
use spanyard::model::evidence::Evidence;
use spanyard::model::inputs::{CarIx, CrossingIx, Inputs, YardIx};
use spanyard::model::inventory::Inventory as C;
use spanyard::model::yard::Yard;
use spanyard::quantity::{Cents, Feet, Inches};
use spanyard::survey::Survey;

use crate::testkit::fixture::{inputs_with, row, yard};
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
    // Whatever else it is, it only has to be near the other's.
    let question = &found.questions[0];
    assert_eq!(question.value, Limit::AtLeast(Value::Inches(Inches(8.0))));
    let alike = question.alike.as_ref().unwrap();
    assert_eq!((&alike.cars[..], &alike.within), (&[CarIx(1)][..], &Value::Inches(Inches(1.0))));
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

/// A depth that is known beside one that is asked gives both ends: 14 in, and 1 in to either side.
#[test]
fn beside_a_neighbor_that_is_known_the_answer_has_two_ends() {
    let found = asked(&market(&[&|car| car.exterior_depth = None, &|_| {}]));
    let inches = |inches| Value::Inches(Inches(inches));
    assert_eq!(found.questions.len(), 1);
    assert_eq!(found.questions[0].value, Limit::Between(inches(13.0), inches(15.0)));
    assert_eq!(found.questions[0].alike, None);
}

/// What the agency assumed is asked with the value assumed, and opens the crossing.
#[test]
fn what_is_only_assumed_is_asked_too() {
    let assumed = |car: &mut Car| {
        for column in [C::MainGirder, C::Webs] {
            let place = row("list.mapping.toml", 9);
            car.evidence.set(column, Evidence { grade: Grade::Assumed, by: None, place });
        }
    };
    let inputs = market(&[&assumed, &|_| {}]);
    let found = asked(&inputs);
    let facts: Vec<_> = found.questions.iter().map(|q| (q.car, q.fact)).collect();
    assert_eq!(facts, [(CarIx(0), C::MainGirder), (CarIx(0), C::Webs)]);
    assert_eq!((found.weight, found.served.len()), (2 + 3, 1));
    assert!(found.questions[0].value.to_string().contains("sound"));
    assert!(found.questions[1].value.to_string().contains("in3"));
    assert!(found.inputs.conditional);
}

/// Every set of questions tried on small markets of two crossings: each answered as a sound car would
/// be, the rest left open, and planned. The best service, and the least weight that reaches it.
#[test]
fn no_other_set_of_questions_opens_as_much_for_less() {
    type Opened = (C, fn(&mut Car));
    let facts: [Opened; 5] = [
        (C::Wrecked, |car| car.wrecked = None),
        (C::ExteriorDepth, |car| car.exterior_depth = None),
        (C::Bolsters, |car| car.members.bolsters = None),
        (C::Weight, |car| car.weight = None),
        (C::MainGirder, |car| {
            let place = row("list.mapping.toml", 9);
            let evidence = Evidence { grade: Grade::Assumed, by: None, place };
            car.evidence.set(C::MainGirder, evidence);
        }),
    ];
    for seed in 0..6 {
        let mut rng = Rng::new(seed);
        let mut sound = market(&[&|_| {}, &|_| {}, &|_| {}, &|_| {}]);
        sound.yards.push(Yard { dealer: "Sallowby Steel and Rail".to_owned(), ..yard() });
        let mut second = sound.crossings[0].clone();
        (second.id, second.priority) = ("T-08".to_owned(), 2);
        sound.crossings.push(second);
        for (at, car) in sound.cars.iter_mut().enumerate() {
            if at > 1 {
                (car.dealer, car.yard) = ("Sallowby Steel and Rail".to_owned(), YardIx(1));
            }
            car.price = Some(Cents::dollars(rng.int(5_000, 9_000)));
        }
        let mut questions: Vec<(usize, usize)> = Vec::new();
        while questions.len() < 5 {
            let one = (rng.int(0, 3) as usize, rng.int(0, 4) as usize);
            if !questions.contains(&one) {
                questions.push(one);
            }
        }
        let with_open = |open: &[(usize, usize)]| {
            let mut inputs = sound.clone();
            open.iter().for_each(|&(car, fact)| facts[fact].1(&mut inputs.cars[car]));
            inputs
        };
        let tried = questions.iter().copied().powerset().map(|set| {
            let open: Vec<_> = questions.iter().filter(|q| !set.contains(q)).copied().collect();
            let inputs = with_open(&open);
            let market = market_of(&inputs, &Survey::new(&inputs), None);
            let choice = choose(&market, &Effort::default());
            let served: Vec<bool> = choice.crossings.iter().map(Option::is_some).collect();
            let yards = set.iter().map(|(car, _)| car / 2).unique().count();
            (served, std::cmp::Reverse(set.len() + 3 * yards))
        });
        let (service, std::cmp::Reverse(weight)) = tried.max().unwrap();
        let found = asked(&with_open(&questions));
        let serves: Vec<bool> = (0..2).map(|at| found.served.contains(&CrossingIx(at))).collect();
        assert_eq!((serves, found.weight), (service, weight as u64), "seed {seed}: {questions:?}");
        assert!(found.proven);
    }
}
