//! Cars that the agency owns already.

use spanyard::check::Code;
use spanyard::model::inputs::CarIx;
use spanyard::model::plan::{CostItem, Plan};
use spanyard::quantity::Cents;

use crate::deals::support::{failed, lines, planned};
use crate::testkit::demo;

/// The cars that a plan takes from own stock.
fn own(plan: &Plan) -> Vec<CarIx> {
    plan.purchases.iter().flat_map(|yard| &yard.own).map(|own| own.car).collect()
}

/// The first row that the demonstration's plan buys singly.
fn first_single(plan: &Plan) -> CarIx {
    plan.purchases.iter().flat_map(|yard| &yard.singles).next().unwrap().car
}

#[test]
fn a_car_of_the_agencys_own_is_used_and_not_paid_for() {
    let mut inputs = demo::inputs();
    let before = planned(&inputs);
    assert_eq!(own(&before), []);
    let car = first_single(&before);
    let count = before.purchases.iter().flat_map(|yard| &yard.singles).find(|c| c.car == car);
    let saved = inputs.car(car).price.unwrap() * i64::from(count.unwrap().count);

    inputs.cars[car.0].owned = true;
    let after = planned(&inputs);
    assert!(own(&after).contains(&car));
    assert!(after.totals.net <= before.totals.net - saved);
    assert!(after.purchases.iter().flat_map(|yard| &yard.singles).all(|c| c.car != car));
    let name = inputs.car(car).name();
    let said: Vec<_> = lines(&after, CostItem::OwnCar);
    assert!(said.iter().all(|line| line.subject == name && line.amount == Cents::ZERO));
    let worth =
        format!("1 car, not bought, worth {} to the agency", inputs.car(car).price.unwrap());
    assert_eq!(said[0].basis, worth);
    // It is hauled and built like any other.
    let hauled = lines(&after, CostItem::Haul).into_iter().filter(|line| line.subject == name);
    assert_eq!(hauled.count(), said.len());
}

#[test]
fn own_stock_needs_neither_price_nor_quote_and_its_yard_no_trip() {
    let mut inputs = demo::inputs();
    let car = first_single(&planned(&inputs));
    let yard = inputs.car(car).yard;
    for row in inputs.cars.iter_mut().filter(|row| row.yard == yard && row.lot.is_none()) {
        (row.owned, row.price, row.quote_expires) = (true, None, None);
    }
    // Without its lots, nothing is bought at that yard.
    inputs.lots.iter_mut().filter(|lot| lot.yard == yard).for_each(|lot| lot.price = None);
    let plan = planned(&inputs);
    let here = plan.purchases.iter().find(|purchase| purchase.yard == yard).unwrap();
    assert!(!here.own.is_empty() && !here.is_bought());
    assert_eq!(here.lines, []);
    assert_eq!(lines(&plan, CostItem::OwnCar)[0].basis, "1 car, not bought");
}

#[test]
fn to_own_a_car_never_makes_the_plan_worse() {
    let inputs = demo::inputs();
    let before = planned(&inputs);
    let singles = inputs.car_indices().filter(|car| inputs.car(*car).lot.is_none());
    for car in singles.step_by(3) {
        let mut inputs = inputs.clone();
        inputs.cars[car.0].owned = true;
        let after = planned(&inputs);
        let key = |plan: &Plan| (std::cmp::Reverse(plan.served_count()), plan.totals.net);
        assert!(key(&after) <= key(&before), "{}", inputs.car(car).name());
    }
}

#[test]
fn own_stock_passed_off_as_bought_is_caught() {
    let mut inputs = demo::inputs();
    let car = first_single(&planned(&inputs));
    inputs.cars[car.0].owned = true;
    let mut plan = planned(&inputs);
    let yard = plan.purchases.iter_mut().find(|yard| !yard.own.is_empty()).unwrap();
    let own = yard.own.remove(0);
    assert_eq!(failed(&inputs, &plan), [Code::LeftOver]);
    let yard = plan.purchases.iter_mut().find(|yard| yard.yard == inputs.car(car).yard).unwrap();
    yard.singles.push(own);
    assert!(failed(&inputs, &plan).contains(&Code::LeftOver));
}
