//! Least change against a brute force over all plans of small markets.

use spanyard::after::replan::{Assignment, Previous, least_change};
use spanyard::choose::{Choice, Effort, Market, choose, totals};
use spanyard::model::inputs::{CarIx, Inputs};
use spanyard::quantity::Percent;

use crate::choose::brute;
use crate::testkit::market::{Rng, share_trailers, small};

/// Inputs whose cars and crossings have the names of the market's offers and crossings.
fn named(template: &Inputs, market: &Market) -> Inputs {
    let mut inputs = template.clone();
    let (car, crossing) = (inputs.cars[0].clone(), inputs.crossings[0].clone());
    inputs.cars = (0..market.offers.len())
        .map(|offer| {
            let mut car = car.clone();
            (car.id, car.quantity) = (format!("{offer:03}"), market.offers[offer].quantity);
            car
        })
        .collect();
    inputs.crossings = (0..market.crossings.len())
        .map(|at| {
            let mut crossing = crossing.clone();
            crossing.id = format!("{at:03}");
            crossing
        })
        .collect();
    inputs
}

fn previous(inputs: &Inputs, choice: &Choice) -> Previous {
    let mut previous = Previous::default();
    for (at, chosen) in choice.crossings.iter().enumerate() {
        for offer in chosen.iter().flat_map(|chosen| chosen.decks.iter().flatten()) {
            previous.assignments.push(Assignment {
                crossing: inputs.crossings[at].id.clone(),
                dealer: inputs.car(CarIx(*offer)).dealer.clone(),
                car: inputs.car(CarIx(*offer)).id.clone(),
            });
        }
    }
    previous.assignments.sort();
    previous
}

/// Assignments given up and new ones, counted on their own.
fn changes(before: &Previous, now: &Previous) -> usize {
    let mut left = now.assignments.clone();
    let mut given_up = 0;
    for assignment in &before.assignments {
        match left.iter().position(|other| other == assignment) {
            Some(at) => drop(left.remove(at)),
            None => given_up += 1,
        }
    }
    given_up + left.len()
}

/// The changes of a plan of the brute force.
fn changes_of(inputs: &Inputs, before: &Previous, placed: &brute::Placed) -> usize {
    let mut now = Previous::default();
    for (at, used) in placed.iter().enumerate() {
        for (offer, times) in used.iter().flatten() {
            for _ in 0..*times {
                now.assignments.push(Assignment {
                    crossing: inputs.crossings[at].id.clone(),
                    dealer: inputs.car(CarIx(*offer)).dealer.clone(),
                    car: inputs.car(CarIx(*offer)).id.clone(),
                });
            }
        }
    }
    changes(before, &now)
}

#[test]
fn no_plan_within_the_tolerance_changes_less_than_the_bound_says() {
    let template = crate::testkit::demo::inputs();
    let (mut tried, mut proven, mut steadier) = (0, 0, 0);
    for seed in 0..160 {
        let mut before = small(seed);
        if seed.is_multiple_of(2) {
            share_trailers(&mut before, 30, &mut Rng::new(seed));
        }
        if brute::best(&before, 400.0).is_none() {
            continue;
        }
        let inputs = named(&template, &before);
        let was = previous(&inputs, &choose(&before, &Effort::default()));
        // The week goes on: a price changes, a car is gone.
        let mut market = before.clone();
        let mut rng = Rng::new(seed + 5);
        let row = rng.int(0, market.offers.len() as i64 - 1) as usize;
        market.offers[row].quantity = 0;
        let row = rng.int(0, market.offers.len() as i64 - 1) as usize;
        if market.offers[row].lot.is_none() {
            market.offers[row].price.0 += rng.int(-20, 20).max(-market.offers[row].price.0);
        }
        market.budget = None;
        let tolerance = rng.pick(&[0.0, 5.0, 25.0]);
        let inputs = named(&template, &market);
        let cheapest = choose(&market, &Effort::default());
        let found =
            least_change(&inputs, &market, &cheapest, &was, Percent(tolerance), &Effort::default());
        let here = format!("seed {seed}, {found:?}");
        let now = previous(&inputs, &found.choice);
        assert_eq!(found.changes, changes(&was, &now), "{here}");
        assert_eq!(totals(&market, &found.choice).map(|t| t.net), Some(found.choice.net), "{here}");
        assert!(found.choice.net <= found.limit, "{here}");
        let all = brute::plans(&market);
        let best = all.iter().map(|(_, key)| key.clone()).min().unwrap();
        assert_eq!(best, brute::key(&market, &cheapest), "{here}");
        let near = all.iter().filter(|(_, key)| key.0 == best.0 && key.1 <= found.limit.0);
        let least = near.map(|(placed, _)| changes_of(&inputs, &was, placed)).min().unwrap();
        assert!(found.at_least <= least && least <= found.changes, "{here}, least {least}");
        if found.is_proven() {
            assert_eq!(found.changes, least, "{here}");
            proven += 1;
        }
        steadier += usize::from(found.changes < found.cheapest_changes);
        tried += 1;
    }
    assert!(tried > 30 && proven * 10 > tried * 8 && steadier > 1, "{tried} {proven} {steadier}");
}
