//! A search that is stopped says so, and its bound holds.

use std::time::Duration;

use spanyard::choose::{Effort, choose, totals};

use crate::{brute, market};

#[test]
fn a_stopped_search_has_a_valid_plan_and_an_honest_bound() {
    let mut open = 0;
    let with_levels = (0..150).map(|seed| (seed, market::with_levels(seed)));
    for (seed, market) in (0..300).map(|seed| (seed, market::small(seed))).chain(with_levels) {
        let Some(best) = brute::best(&market, 20_000.0) else { continue };
        for micros in [0, 200, 1_000] {
            let effort = Effort { time_limit: Some(Duration::from_micros(micros)) };
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
                assert!(choice.stopped_early, "seed {seed}");
                open += 1;
            }
        }
    }
    assert!(open > 20, "{open}");
}
