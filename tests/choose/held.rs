//! Cars that must lie on a span, against a brute force.

use spanyard::choose::{Effort, Market, choose, totals};

use crate::choose::brute::{best, key};
use crate::testkit::market::{Rng, small};

/// A small market in which some span must hold one of its candidates, or a car that is none.
fn with_a_hold(seed: u64) -> Option<Market> {
    let mut market = small(seed);
    let mut rng = Rng::new(seed + 77);
    let crossing = rng.int(0, market.crossings.len() as i64 - 1) as usize;
    let span = &market.crossings[crossing].layouts[0].spans[0];
    let candidates: Vec<usize> = span.candidates.iter().map(|c| c.offer).collect();
    let offer = *candidates.get(rng.int(0, 6) as usize % candidates.len().max(1))?;
    let times = if market.offers[offer].quantity > 1 && rng.chance(0.3) { 2 } else { 1 };
    for (number, demand) in market.crossings.iter_mut().enumerate() {
        let spans = demand.layouts.iter_mut().flat_map(|layout| &mut layout.spans);
        for (place, span) in spans.enumerate() {
            if number != crossing {
                span.candidates.retain(|candidate| candidate.offer != offer);
            } else if place == 0 {
                span.holds = vec![offer; times];
            }
        }
    }
    Some(market)
}

#[test]
fn the_best_choice_with_held_cars_is_that_of_the_brute_force() {
    let (mut held, mut served) = (0, 0);
    for market in (0..400).filter_map(with_a_hold) {
        let Some(best) = best(&market, 100_000.0) else { continue };
        let choice = choose(&market, &Effort::default());
        assert_eq!(key(&market, &choice), best);
        assert_eq!(totals(&market, &choice).map(|totals| totals.net), Some(choice.net));
        for (demand, chosen) in market.crossings.iter().zip(&choice.crossings) {
            let Some(chosen) = chosen else { continue };
            for (span, deck) in demand.layouts[chosen.layout].spans.iter().zip(&chosen.decks) {
                let there = |offer: usize| deck.iter().filter(|car| **car == offer).count();
                served += usize::from(!span.holds.is_empty());
                for offer in &span.holds {
                    assert!(there(*offer) >= span.holds.iter().filter(|o| *o == offer).count());
                }
            }
        }
        held += 1;
    }
    assert!(held > 300 && served > 60, "{held} markets, {served} decks with held cars");
}
