//! A changed cell changes the plan as a person would expect.

use super::county::County;

#[test]
fn a_car_that_becomes_dear_leaves_the_plan() {
    let county = County::new();
    let before = county.plan();
    // Each of these has a like car on the lists to take its place.
    for car in ["UD-08", "UD-23", "UD-19"] {
        assert!(before.placed().contains(&car), "{car} should be in the plan to begin with");
        let price = before.inputs.car(super::county::car_ix(&before.inputs, car)).price.unwrap();
        let dearer = (price.0 / 100 + 20_000).to_string();
        let after = county.clone().with_car(car, "price_usd", &dearer).plan();
        assert!(!after.placed().contains(&car), "{car} at ${dearer} stays in the plan");
        assert_eq!(after.served_ids(), before.served_ids());
        assert!(after.plan.totals.net > before.plan.totals.net);
    }
}

#[test]
fn a_car_with_another_camber_leaves_its_deck() {
    let county = County::new();
    let before = county.plan();
    for (car, camber, crossing) in [
        ("UD-08", "3.75", "B-07"),
        ("Q-12", "5.375", "B-12"),
        ("SS-111", "4.5", "B-30"),
        ("SS-141", "-1.5", "B-33"),
    ] {
        assert!(before.cars(crossing).concat().contains(&car), "{car} begins at {crossing}");
        let after = county.clone().with_car(car, "camber_in", camber).plan();
        assert!(!after.cars(crossing).concat().contains(&car), "{car} stays at {crossing}");
    }
}

#[test]
fn a_lot_is_bought_when_it_becomes_cheap_and_left_when_it_becomes_dear() {
    let county = County::new();
    assert!(
        county
            .clone()
            .with("lots.csv", "SP-7", "price_usd", "15000")
            .plan()
            .lots()
            .contains(&"SP-7")
    );
    assert!(!county.with("lots.csv", "OQ-2", "price_usd", "49800").plan().lots().contains(&"OQ-2"));
}

#[test]
fn one_more_car_of_the_class_serves_the_crossing_that_went_without() {
    let after = County::new().with_car("Q-12", "quantity", "2").plan();
    assert!(after.served("B-40").is_some());
}

#[test]
fn a_larger_crane_serves_the_gully() {
    let after = County::new().with("crossings.csv", "B-21", "crane_limit_lb", "45000").plan();
    assert!(after.served("B-21").is_some());
}

#[test]
fn ordering_after_a_quote_has_expired_buys_nothing_from_that_list() {
    let county = County::new();
    let rules = county.text("rules.toml").replace("2026-06-01", "2026-08-01");
    let after = county.with_text("rules.toml", rules).plan();
    assert!(after.placed().iter().all(|car| !car.starts_with("UD-")), "{:?}", after.placed());
}
