//! The cheapest other decks, against trying all of them.

use spanyard::choose::{Choice, Effort, Market, cheapest_other, choose, totals, with_others};

use crate::choose::brute;
use crate::testkit::market;

#[test]
fn the_cheapest_other_decks_are_found() {
    let (mut found, mut none) = (0, 0);
    let with_truckloads = (0..400).map(|seed| (seed, market::with_truckloads(seed)));
    // Where yards have price levels, others are compared at the lowest prices only.
    let plain = |market: &Market| market.levels.is_empty();
    let with_truckloads = with_truckloads.filter(|(_, market)| plain(market));
    let small = (0..400).map(|seed| (seed, market::small(seed)));
    for (seed, market) in small.chain(with_truckloads) {
        let choice = choose(&market, &Effort::default());
        let (same, all) = with_others(&market, choice.clone(), &Effort::default(), false);
        assert_eq!(same, choice, "seed {seed}: it was the cheapest");
        for (crossing, listed) in all.iter().enumerate() {
            let expected = brute::cheapest_other(&market, &choice, crossing);
            let other = cheapest_other(&market, &choice, crossing);
            let extra = other.as_ref().map(|(_, extra)| extra.0);
            assert_eq!(extra, expected, "seed {seed}, crossing {crossing}");
            assert_eq!(listed.decks, other, "seed {seed}, crossing {crossing}");
            assert!(listed.proven, "seed {seed}, crossing {crossing}");
            let Some((layout, extra)) = other else {
                none += usize::from(choice.crossings[crossing].is_some());
                continue;
            };
            found += 1;
            let mut changed: Choice = choice.clone();
            changed.crossings[crossing] = Some(layout);
            let offers = changed.crossings.iter().flatten().flat_map(|c| c.decks.concat());
            changed.lots = offers.filter_map(|offer| market.offers[offer].lot).collect();
            changed.lots.sort_unstable();
            changed.lots.dedup();
            let net = totals(&market, &changed).map(|totals| totals.net);
            assert_eq!(net, Some(choice.net + extra), "seed {seed}, crossing {crossing}");
        }
    }
    assert!(found > 100 && none > 10, "{found} {none}");
}
