//! Least change against a brute force over all plans of small markets.

use spanyard::after::replan::{Assignment, Previous, least_change};
use spanyard::choose::{Choice, Effort, Market, choose, totals};
use spanyard::model::inputs::{CarIx, Inputs};
use spanyard::quantity::{Cents, Percent};

use crate::choose::brute;
use crate::testkit::market::{Rng, mixed, share_trailers, small};

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
    for seed in 0..320 {
        let mut before = match seed % 3 {
            0 => mixed(seed),
            _ => small(seed),
        };
        before.funds.clear();
        if seed % 3 == 1 {
            share_trailers(&mut before, 30, &mut Rng::new(seed));
        }
        // A car held by decision has no other place, and here no decision stands behind it.
        let layouts = before.crossings.iter_mut().flat_map(|crossing| &mut crossing.layouts);
        layouts.flat_map(|l| &mut l.spans).for_each(|span| span.holds.clear());
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
    assert!(
        tried > 60 && proven * 100 >= tried * 99 && steadier > 1,
        "{tried} {proven} {steadier}"
    );
}

/// Where money is short the market without a budget serves more, and a bound on its plans says nothing
/// about those that serve as many as the budget allows.
#[test]
fn with_a_budget_too_the_bound_never_says_too_much() {
    let template = crate::testkit::demo::inputs();
    let (mut tried, mut short) = (0, 0);
    for seed in 0..400 {
        let mut before = small(seed);
        before.budget = None;
        if brute::best(&before, 400.0).is_none() {
            continue;
        }
        let inputs = named(&template, &before);
        let was = previous(&inputs, &choose(&before, &Effort::default()));
        let mut market = before.clone();
        let mut rng = Rng::new(seed + 9);
        market.budget = Some(Cents(rng.int(40, 260)));
        let cheapest = choose(&market, &Effort::default());
        let found =
            least_change(&inputs, &market, &cheapest, &was, Percent(10.0), &Effort::default());
        let here = format!("seed {seed}, {found:?}");
        assert_eq!(totals(&market, &found.choice).map(|t| t.net), Some(found.choice.net), "{here}");
        let all = brute::plans(&market);
        let best = all.iter().map(|(_, key)| key.clone()).min().unwrap();
        let near = all.iter().filter(|(_, key)| key.0 == best.0 && key.1 <= found.limit.0);
        let least = near.map(|(placed, _)| changes_of(&inputs, &was, placed)).min().unwrap();
        assert!(found.at_least <= least && least <= found.changes, "{here}, least {least}");
        let free = choose(&before, &Effort::default());
        short += usize::from(brute::key(&before, &free).0 != best.0);
        tried += 1;
    }
    assert!(tried > 60 && short > 10, "{tried} {short}");
}
