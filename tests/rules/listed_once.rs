//! One car that two dealers list is one offer until somebody says that they are two.

use spanyard::assemble::{PlanOptions, choose_offers, make_plan};
use spanyard::check::{Code, Outcome};
use spanyard::model::car::Car;
use spanyard::model::inputs::{CarIx, Inputs, YardIx};
use spanyard::model::yard::Yard;
use spanyard::quantity::{Cents, Feet};
use spanyard::survey::{self, Survey};
use spanyard::verify;

use crate::testkit::fixture::{SITE, inputs_with, yard};
use crate::testkit::rng::Rng;

/// DR-1 of Drumfell, and a second car, of Sallowby, that this changes.
fn two_dealers(change: &dyn Fn(&mut Car)) -> Inputs {
    let sallowby = |car: &mut Car| {
        (car.dealer, car.yard) = ("Sallowby Steel and Rail".to_owned(), YardIx(1));
        "dr 1".clone_into(&mut car.id);
        change(car);
    };
    let mut inputs = inputs_with(&[&|_| {}, &sallowby]);
    let other = Yard { dealer: "Sallowby Steel and Rail".to_owned(), ..yard() };
    inputs.yards.push(other);
    spanyard::evidence::settle(&mut inputs);
    inputs
}

fn outcome(inputs: &Inputs, car: usize) -> Option<Outcome> {
    let checks = survey::checks(inputs, CarIx(car), SITE);
    checks.iter().find(|check| check.code == Code::ListedOnce).map(|check| check.outcome)
}

#[test]
fn a_car_that_two_dealers_list_is_never_laid_beside_itself() {
    let inputs = two_dealers(&|car| car.price = Some(Cents::dollars(9_000)));
    // The cheaper offer counts.
    assert_eq!(
        (outcome(&inputs, 0), outcome(&inputs, 1)),
        (Some(Outcome::Unknown), Some(Outcome::Caution))
    );
    let plan = make_plan(&inputs, &Survey::new(&inputs), &PlanOptions::default()).unwrap();
    assert_eq!(plan.served_count(), 0, "the crossing needs two cars");
}

#[test]
fn cars_that_differ_are_two_cars() {
    type Change = fn(&mut Car);
    let changes: [Change; 4] = [
        |car| "DR-2".clone_into(&mut car.id),
        |car| car.length = car.length.map(|length| length + Feet(0.5)),
        |car| car.year_built = Some(1974),
        |car| car.section = Some("S-71".to_owned()),
    ];
    for change in changes {
        let inputs = two_dealers(&change);
        assert_eq!((outcome(&inputs, 0), outcome(&inputs, 1)), (None, None));
    }
}

#[test]
fn somebody_may_say_that_they_are_two() {
    let mut inputs = two_dealers(&|_| {});
    inputs.decided.different.insert(CarIx(1), 0);
    spanyard::evidence::settle(&mut inputs);
    assert_eq!((outcome(&inputs, 0), outcome(&inputs, 1)), (None, None));
    let plan = make_plan(&inputs, &Survey::new(&inputs), &PlanOptions::default()).unwrap();
    assert_eq!(plan.served_count(), 1);
    // Without that word the plan does not stand, by the verification's own look at the IDs.
    inputs.decided.different.clear();
    let checks = verify::checks(&inputs, &plan);
    let once = checks.iter().find(|check| check.code == Code::CarsOnce).unwrap();
    assert_eq!(once.outcome, Outcome::Fail);
    assert!(once.note.contains("are one car"), "{}", once.note);
}

#[test]
fn what_is_sold_at_one_dealer_is_gone_at_the_other() {
    use spanyard::model::decision::{CarFate, Standing};
    let mut inputs = two_dealers(&|car| car.price = Some(Cents::dollars(9_900)));
    let sold = Standing { fate: CarFate::Sold, decision: 0 };
    inputs.decided.standing.insert(CarIx(1), sold);
    spanyard::evidence::settle(&mut inputs);
    assert_eq!(outcome(&inputs, 0), Some(Outcome::Unknown));
}

/// Two crossings' worth of cars, the first of which two dealers list at their prices, 44 and 600 miles away
/// or so. The plan takes the offer with which it is cheapest, whatever is asked for the car itself.
#[test]
fn the_offer_counts_with_which_the_plan_is_best() {
    let mut rng = Rng::new(15);
    let mut taken = [0, 0];
    for _ in 0..12 {
        let price = |dollars: i64| Some(Cents::dollars(dollars));
        let asked: Vec<i64> = (0..3).map(|_| rng.int(8_000, 10_000)).collect();
        let mut inputs = inputs_with(&[&|_| {}, &|_| {}, &|_| {}]);
        for (car, dollars) in inputs.cars.iter_mut().zip(&asked) {
            car.price = price(*dollars);
        }
        let other = &mut inputs.cars[2];
        (other.dealer, other.yard) = ("Sallowby Steel and Rail".to_owned(), YardIx(1));
        "dr 1".clone_into(&mut other.id);
        let mut far = Yard { dealer: "Sallowby Steel and Rail".to_owned(), ..yard() };
        far.position.latitude_deg += rng.real(0.0, 2.0);
        far.trip = Cents::ZERO;
        inputs.yards.push(far);
        spanyard::evidence::settle(&mut inputs);
        let plan = |inputs: &Inputs| {
            make_plan(inputs, &Survey::new(inputs), &PlanOptions::default()).unwrap().totals.net
        };
        let fixed = |counts: usize| {
            let mut inputs = inputs.clone();
            inputs.decided.twins = [(CarIx(2 - counts), CarIx(counts))].into();
            plan(&inputs)
        };
        let (near, far) = (fixed(0), fixed(2));
        choose_offers(&mut inputs, &PlanOptions::default());
        assert_eq!(plan(&inputs), near.min(far), "{asked:?}");
        taken[usize::from(far < near)] += 1;
        // Never its own partner nor its own spare.
        assert_eq!(inputs.decided.twins.len(), 1);
    }
    assert!(taken.iter().all(|taken| *taken > 0), "{taken:?}");
}
