//! Of equal plans the choice is one that gives the earlier crossings the earlier cars.

use spanyard::choose::{Choice, Effort, Market, choose, totals};
use spanyard::quantity::Cents;

use crate::testkit::market;

type Place = (usize, usize, usize);

fn places(choice: &Choice) -> Vec<Place> {
    let mut places = Vec::new();
    for (crossing, chosen) in choice.crossings.iter().enumerate() {
        for (span, deck) in chosen.iter().flat_map(|chosen| &chosen.decks).enumerate() {
            places.extend((0..deck.len()).map(|at| (crossing, span, at)));
        }
    }
    places
}

/// The cars of all decks in order.
fn cars(choice: &Choice) -> Vec<usize> {
    choice.crossings.iter().flatten().flat_map(|chosen| chosen.decks.concat()).collect()
}

fn put(choice: &mut Choice, (crossing, span, at): Place, offer: usize) {
    if let Some(chosen) = &mut choice.crossings[crossing] {
        chosen.decks[span][at] = offer;
    }
}

fn in_order(mut choice: Choice) -> Choice {
    for deck in choice.crossings.iter_mut().flatten().flat_map(|chosen| &mut chosen.decks) {
        deck.sort_unstable();
    }
    choice
}

/// Every exchange of two placed cars between decks, tried.
fn exchanges(choice: &Choice) -> Vec<Choice> {
    let (places, cars) = (places(choice), cars(choice));
    let mut all = Vec::new();
    for (i, &here) in places.iter().enumerate() {
        for (j, &there) in places.iter().enumerate().skip(i + 1) {
            if (here.0, here.1) != (there.0, there.1) && cars[i] != cars[j] {
                let mut other = choice.clone();
                put(&mut other, here, cars[j]);
                put(&mut other, there, cars[i]);
                all.push(in_order(other));
            }
        }
    }
    all
}

/// How many exchanges keep the cost; none of them may be earlier by name.
fn free_exchanges(market: &Market, seed: u64) -> usize {
    let choice = choose(market, &Effort::default());
    let cost = totals(market, &choice);
    let free = exchanges(&choice).into_iter().filter(|other| totals(market, other) == cost);
    let mut number = 0;
    for other in free {
        assert!(cars(&choice) <= cars(&other), "seed {seed}: {choice:?}, not {other:?}");
        number += 1;
    }
    number
}

/// A small market in which every car costs the same on every span.
fn of_like_costs(seed: u64) -> Market {
    let mut market = market::small(seed);
    let layouts = market.crossings.iter_mut().flat_map(|crossing| &mut crossing.layouts);
    for car in layouts.flat_map(|layout| &mut layout.spans).flat_map(|span| &mut span.candidates) {
        car.cost = Cents(7);
    }
    market
}

#[test]
fn no_free_exchange_gives_an_earlier_crossing_an_earlier_car() {
    let free: usize = (0..1000).map(|seed| free_exchanges(&of_like_costs(seed), seed)).sum();
    assert!(free > 50, "{free} exchanges kept the cost");
}
