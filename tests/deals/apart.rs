//! Cars that no deck may hold together.

use spanyard::check::Code;
use spanyard::model::inputs::Inputs;
use spanyard::model::plan::{Fate, Plan};

use crate::deals::support::{failed, planned};
use crate::testkit::demo;

/// The decks of the plan with more than one car under this name, in whatever capitals.
fn together(inputs: &Inputs, plan: &Plan) -> usize {
    let served = plan.crossings.iter().filter_map(|crossing| crossing.served());
    let decks = served.flat_map(|served| &served.decks);
    decks
        .filter(|deck| {
            let cars = deck.cars.iter().map(|placed| inputs.car(placed.car));
            cars.filter(|car| car.apart.is_some()).count() > 1
        })
        .count()
}

#[test]
fn cars_of_one_name_are_spread_over_the_decks() {
    let free = demo::inputs();
    let before = planned(&free);
    // The first deck of several cars is suspected of one flaw.
    let decks = before.crossings.iter().filter_map(|crossing| match &crossing.fate {
        Fate::Served(served) => Some(&served.decks),
        Fate::Unserved(_) => None,
    });
    let deck = decks.flatten().find(|deck| deck.cars.len() > 1).unwrap();
    let mut inputs = free.clone();
    for (place, placed) in deck.cars.iter().enumerate() {
        let name = if place == 0 { "cracked series" } else { "Cracked Series" };
        inputs.cars[placed.car.0].apart = Some(name.to_owned());
    }
    assert!(failed(&inputs, &before).contains(&Code::DecksValid));
    let plan = planned(&inputs);
    assert_eq!(together(&inputs, &plan), 0);
    assert!(plan.served_count() <= before.served_count());
    if plan.served_count() == before.served_count() {
        assert!(plan.totals.net >= before.totals.net);
    }
    // A name of its own keeps a car from nobody, and the deck says so.
    let mut alone = free.clone();
    let served = before.crossings.iter().filter_map(|crossing| crossing.served());
    let mut cars = served.flat_map(|s| &s.decks).flat_map(|deck| &deck.cars);
    let single = cars.find(|placed| free.car(placed.car).quantity == 1).unwrap();
    alone.cars[single.car.0].apart = Some("alone".to_owned());
    let plan = planned(&alone);
    assert_eq!(plan.totals, before.totals);
    let served = plan.crossings.iter().filter_map(|crossing| crossing.served());
    let mut checks = served.flat_map(|s| &s.decks).flat_map(|deck| &deck.checks);
    assert!(checks.any(|check| check.code == Code::KeptApart && !check.outcome.bars()));
}
