//! Markets too large for a brute force: what the means against size give must hold like the rest.

use std::cell::Cell;
use std::ops::ControlFlow;

use spanyard::choose::{Choice, Effort, Market, Progress, choose, totals};
use spanyard::quantity::{Cents, Percent};

use crate::testkit::{county, market};

/// The choice when the watch ends the search at its so many-th call.
fn ended(market: &Market, calls: usize) -> Choice {
    let left = Cell::new(calls);
    let watch = |_: &Progress| {
        left.set(left.get().saturating_sub(1));
        if left.get() == 0 { ControlFlow::Break(()) } else { ControlFlow::Continue(()) }
    };
    choose(market, &Effort { watch: Some(&watch), ..Effort::default() })
}

fn valid(market: &Market, choice: &Choice) {
    assert_eq!(totals(market, choice).map(|totals| totals.net), Some(choice.net));
    assert!(choice.bound <= choice.net);
}

#[test]
fn wherever_the_search_ends_its_bound_is_below_the_proven_cost_and_its_plan_valid() {
    let market = county::county(18, 110, 2);
    let proven = choose(&market, &Effort::default());
    valid(&market, &proven);
    assert!(proven.cheapest && proven.service);
    let mut bounds = Vec::new();
    for calls in [100, 200, 300, 400, 600, 800, 1_200, 1_800, 2_700] {
        let choice = ended(&market, calls);
        valid(&market, &choice);
        let served = |choice: &Choice| choice.crossings.iter().flatten().count();
        if served(&choice) == served(&proven) {
            assert!(choice.bound <= proven.net, "{calls}: {} > {}", choice.bound, proven.net);
            assert!(choice.net >= proven.net, "{calls}");
            bounds.push(choice.bound);
        }
    }
    bounds.dedup();
    assert!(bounds.len() > 2, "the ends differ: {bounds:?}");
}

#[test]
fn a_large_market_gives_the_same_choice_each_time() {
    let market = county::county(30, 250, 3);
    let effort = Effort { gap: Some(Percent(0.5)), ..Effort::default() };
    let choice = choose(&market, &effort);
    valid(&market, &choice);
    assert_eq!(choose(&market, &effort), choice);
}

#[test]
fn the_same_holds_where_cars_share_trailers() {
    let mut market = county::county(18, 110, 2);
    let alone = choose(&market, &Effort { gap: Some(Percent(0.5)), ..Effort::default() });
    market::share_trailers(&mut market, 300_000, &mut market::Rng::new(5));
    let proven = choose(&market, &Effort { gap: Some(Percent(0.1)), ..Effort::default() });
    valid(&market, &proven);
    assert!(proven.service && proven.crossings != alone.crossings);
    assert_eq!(choose(&market, &Effort { gap: Some(Percent(0.1)), ..Effort::default() }), proven);
    for calls in [60, 200, 400] {
        let choice = ended(&market, calls);
        valid(&market, &choice);
        let served = |choice: &Choice| choice.crossings.iter().flatten().count();
        if served(&choice) == served(&proven) {
            assert!(choice.bound <= proven.net && choice.net >= proven.bound, "{calls}");
        }
    }
}

#[test]
fn funds_hold_in_a_large_market_and_bind_where_they_are_tight() {
    let free = county::county(18, 110, 2);
    let effort = Effort { gap: Some(Percent(0.2)), ..Effort::default() };
    let without = choose(&free, &effort);
    let mut market = free.clone();
    for crossing in market.crossings.iter_mut().step_by(2) {
        crossing.fund = Some(0);
    }
    let served = |choice: &Choice| choice.crossings.iter().flatten().count();
    for share in [10, 3, 1] {
        market.funds = vec![Cents(without.net.0 * share / 10)];
        let choice = choose(&market, &effort);
        valid(&market, &choice);
        match share {
            10 => assert_eq!(served(&choice), served(&without)),
            _ => assert!(served(&choice) <= served(&without)),
        }
        if served(&choice) == served(&without) {
            // Either is within the gap of its own cheapest.
            assert!(choice.net.0 * 1_000 >= without.net.0 * 997, "{share}");
        }
        // What stands under the fund stands without it.
        valid(&free, &choice);
    }
    assert!(served(&choose(&market, &effort)) < served(&without));
}
