//! A search that is stopped says so, and its bound holds.

use std::cell::{Cell, RefCell};
use std::ops::ControlFlow;
use std::time::Duration;

use spanyard::choose::{Effort, Progress, choose, totals};
use spanyard::model::plan::Stop;
use spanyard::quantity::{Cents, Percent};

use crate::choose::brute;
use crate::testkit::{county, market};

#[test]
fn a_stopped_search_has_a_valid_plan_and_an_honest_bound() {
    let mut open = 0;
    let with_levels = (0..150).map(|seed| (seed, market::with_levels(seed)));
    let with_truckloads = (0..150).map(|seed| (seed, market::with_truckloads(seed)));
    let small = (0..300).map(|seed| (seed, market::small(seed)));
    for (seed, market) in small.chain(with_levels).chain(with_truckloads) {
        let Some(best) = brute::best(&market, 20_000.0) else { continue };
        for micros in [0, 200, 1_000] {
            let effort =
                Effort { time_limit: Some(Duration::from_micros(micros)), ..Effort::default() };
            let choice = choose(&market, &effort);
            let net = totals(&market, &choice).map(|totals| totals.net);
            assert_eq!(net, Some(choice.net), "seed {seed}");
            let key = brute::key(&market, &choice);
            assert!(key >= best, "seed {seed}");
            if key.0 == best.0 {
                assert!(choice.bound.0 <= best.1, "seed {seed}: {} > {}", choice.bound, best.1);
            } else {
                assert!(!choice.service, "seed {seed}");
            }
            if choice.cheapest && choice.service {
                assert_eq!(key, best, "seed {seed}");
            } else {
                assert_eq!(choice.stopped, Some(Stop::TimeLimit), "seed {seed}");
                open += 1;
            }
        }
    }
    assert!(open > 20, "{open}");
}

#[test]
fn a_gap_ends_the_search_early_and_its_bound_is_honest() {
    let mut early = 0;
    for seed in 0..300 {
        let market = market::small(seed);
        let Some(best) = brute::best(&market, 20_000.0) else { continue };
        for gap in [0.0, 5.0, 40.0] {
            let effort = Effort { gap: Some(Percent(gap)), ..Effort::default() };
            let choice = choose(&market, &effort);
            let key = brute::key(&market, &choice);
            assert!(choice.service, "seed {seed}");
            assert_eq!(key.0, best.0, "seed {seed}");
            assert!(choice.bound.0 <= best.1, "seed {seed}: {} > {}", choice.bound, best.1);
            match choice.stopped {
                None => assert_eq!(key, best, "seed {seed}"),
                Some(stop) => {
                    assert_eq!(stop, Stop::Gap, "seed {seed}");
                    let most = choice.bound.0 as f64 * (1.0 + gap / 100.0);
                    assert!(choice.net.0 as f64 <= most + 1e-6, "seed {seed}");
                    early += 1;
                }
            }
        }
    }
    assert!(early > 20, "{early}");
}

#[test]
fn the_watch_is_told_the_way_and_can_end_it() {
    let market = county::county(12, 90, 1);
    let told: RefCell<Vec<Progress>> = RefCell::default();
    let watch = |progress: &Progress| {
        told.borrow_mut().push(*progress);
        ControlFlow::Continue(())
    };
    let whole = choose(&market, &Effort { watch: Some(&watch), ..Effort::default() });
    let told = told.into_inner();
    assert!(whole.cheapest && whole.stopped.is_none());
    assert!(told.is_sorted_by_key(|progress| progress.elapsed));
    let bounds: Vec<Cents> = told.iter().filter_map(|progress| progress.bound).collect();
    assert!(bounds.is_sorted(), "a bound never falls");
    assert!(bounds.last().is_some_and(|bound| *bound > Cents(0) && *bound <= whole.net));
    let proving: Vec<Cents> =
        told.iter().filter(|p| p.bound.is_some()).map(|progress| progress.net).collect();
    assert!(proving.is_sorted_by(|a, b| a >= b), "the best plan only gets better");

    let calls = Cell::new(0);
    let watch = |_: &Progress| {
        calls.set(calls.get() + 1);
        if calls.get() > 40 { ControlFlow::Break(()) } else { ControlFlow::Continue(()) }
    };
    let ended = choose(&market, &Effort { watch: Some(&watch), ..Effort::default() });
    assert_eq!(calls.get(), 41, "once ended, it is not asked again");
    assert_eq!(ended.stopped, Some(Stop::Interrupt));
    assert_eq!(totals(&market, &ended).map(|totals| totals.net), Some(ended.net));
    assert!(ended.bound <= whole.net);
}
