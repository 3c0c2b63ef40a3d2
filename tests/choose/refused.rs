//! What stands in for a car that is refused, against trying all decks with one such car less on offer.

use spanyard::choose::{ChosenLayout, Effort, choose, if_refused};

use crate::choose::brute;
use crate::testkit::market;

#[test]
fn the_cheapest_decks_without_a_car_are_found() {
    let (mut found, mut none) = (0, 0);
    for seed in 0..150 {
        let market = market::small(seed);
        let choice = choose(&market, &Effort::default());
        let all = if_refused(&market, &choice, &Effort::default());
        assert_eq!(all.len(), market.crossings.len());
        for (crossing, refused) in all.iter().enumerate() {
            for one in refused {
                let mut fewer = market.clone();
                fewer.offers[one.offer].quantity -= 1;
                // A layout that no market has, so that no decks are left out.
                let mut laid = choice.clone();
                laid.crossings[crossing] = Some(ChosenLayout { layout: 99, decks: vec![] });
                let expected = brute::cheapest_other(&fewer, &laid, crossing);
                let extra = one.other.decks.as_ref().map(|(_, extra)| extra.0);
                let offer = &market.offers[one.offer];
                // Of a lot with one car less, that car's worth is gone as well.
                let worth = offer.lot.map_or(0, |_| offer.stock_value.0);
                let within = match (extra, expected) {
                    (Some(extra), Some(expected)) => (extra..=extra + worth).contains(&expected),
                    (None, None) => true,
                    _ => false,
                };
                assert!(within, "seed {seed}, crossing {crossing}: {extra:?} {expected:?}");
                assert!(one.other.proven);
                let again = one.other.decks.iter().flat_map(|(decks, _)| decks.decks.concat());
                let left = market.offers[one.offer].quantity - 1;
                let again = again.filter(|offer| *offer == one.offer).count();
                assert!(again <= left as usize);
                found += usize::from(extra.is_some());
                none += usize::from(extra.is_none());
            }
        }
    }
    assert!(found > 50 && none > 10, "{found} {none}");
}
