//! The choice against a brute force, on hundreds of small markets.

mod common;

use common::{brute, market};
use spanyard::choose::{Choice, Effort, Market, choose, totals};

/// Unserved crossings per priority, then net cost.
fn key(market: &Market, choice: &Choice) -> brute::Key {
    let mut ranks: Vec<u8> = market.crossings.iter().map(|c| c.priority).collect();
    ranks.sort_unstable();
    ranks.dedup();
    let unserved = ranks
        .iter()
        .map(|rank| {
            let of_rank = market.crossings.iter().zip(&choice.crossings);
            of_rank.filter(|(demand, chosen)| demand.priority == *rank && chosen.is_none()).count()
        })
        .collect();
    (unserved, choice.net.0)
}

#[test]
fn the_choice_is_the_best_of_all_plans() {
    let mut tried = 0;
    for seed in 0..1_000 {
        let market = market::small(seed);
        let Some(best) = brute::best(&market, 100_000.0) else { continue };
        tried += 1;
        let choice = choose(&market, &Effort::default());
        assert_eq!(totals(&market, &choice).map(|t| t.net), Some(choice.net), "seed {seed}");
        assert_eq!(key(&market, &choice), best, "seed {seed}");
        assert!(choice.cheapest && choice.service && !choice.stopped_early, "seed {seed}");
        assert_eq!(choice.bound, choice.net, "seed {seed}");
    }
    assert!(tried > 500, "{tried}");
}
