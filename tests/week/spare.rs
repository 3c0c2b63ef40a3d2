//! Spares against a brute force that tries every purchase beside the plan.

use std::time::Duration;

use spanyard::after::spare::{Substitute, spares};
use spanyard::choose::{Choice, Effort, Market, choose};
use spanyard::quantity::Cents;

use crate::choose::brute;
use crate::choose::limits::Counting;
use crate::testkit::market;

/// Cars of each offer that are owned once the plan and this purchase are bought.
fn owned(market: &Market, choice: &Choice, cars: &[u32], lots: &[bool]) -> Vec<u32> {
    let mut owned = vec![0; market.offers.len()];
    for offer in choice.crossings.iter().flatten().flat_map(|c| c.decks.iter().flatten()) {
        owned[*offer] += 1;
    }
    for (offer, count) in &choice.spares {
        owned[*offer] += count;
    }
    for (offer, terms) in market.offers.iter().enumerate() {
        owned[offer] += cars[offer];
        if terms.lot.is_some_and(|lot| lots[lot] || choice.lots.contains(&lot)) {
            owned[offer] = terms.quantity;
        }
    }
    owned
}

/// Whether these cars alone serve every crossing that the plan serves.
fn serve(market: &Market, choice: &Choice, owned: &[u32]) -> bool {
    let mut only = market.clone();
    only.budget = None;
    only.levels = Vec::new();
    only.lots = vec![Some(Cents(0)); market.lots.len()];
    for (offer, terms) in only.offers.iter_mut().enumerate() {
        (terms.quantity, terms.lot, terms.price) = (owned[offer], None, Cents(0));
        terms.quotes.clear();
    }
    for (demand, chosen) in only.crossings.iter_mut().zip(&choice.crossings) {
        if chosen.is_none() {
            demand.layouts.clear();
        }
    }
    let best = brute::best(&only, f64::INFINITY).unwrap();
    best.0.iter().sum::<usize>() == choice.crossings.iter().filter(|c| c.is_none()).count()
}

/// What a purchase beside the plan costs: prices, lots, trips to yards not visited.
fn cost(market: &Market, choice: &Choice, cars: &[u32], lots: &[bool]) -> i64 {
    let nothing = (vec![0; cars.len()], vec![false; lots.len()]);
    let before = owned(market, choice, &nothing.0, &nothing.1);
    let after = owned(market, choice, cars, lots);
    let visited = |owned: &[u32], yard: usize| {
        market.offers.iter().zip(owned).any(|(terms, count)| terms.yard == yard && *count > 0)
    };
    let mut cost = 0;
    for (terms, count) in market.offers.iter().zip(cars) {
        cost += terms.price.0 * i64::from(*count);
    }
    for (lot, _) in lots.iter().enumerate().filter(|(_, bought)| **bought) {
        cost += market.lots[lot].unwrap().0;
    }
    for (yard, trip) in market.trips.iter().enumerate() {
        if visited(&after, yard) && !visited(&before, yard) {
            cost += trip.0;
        }
    }
    cost
}

/// Every purchase beside the plan: cars per offer, lots.
fn purchases(market: &Market, choice: &Choice) -> Vec<(Vec<u32>, Vec<bool>)> {
    let nothing = vec![0; market.offers.len()];
    let before = owned(market, choice, &nothing, &vec![false; market.lots.len()]);
    let mut all = vec![(Vec::new(), Vec::new())];
    for (offer, terms) in market.offers.iter().enumerate() {
        let most = if terms.lot.is_some() { 0 } else { terms.quantity - before[offer] };
        all = all
            .into_iter()
            .flat_map(|(cars, lots): (Vec<u32>, Vec<bool>)| {
                (0..=most).map(move |n| {
                    let mut cars = cars.clone();
                    cars.push(n);
                    (cars, lots.clone())
                })
            })
            .collect();
    }
    for (lot, price) in market.lots.iter().enumerate() {
        let ways: &[bool] =
            if price.is_some() && !choice.lots.contains(&lot) { &[false, true] } else { &[false] };
        all = all
            .into_iter()
            .flat_map(|(cars, lots)| {
                ways.iter().map(move |way| {
                    let mut lots = lots.clone();
                    lots.push(*way);
                    (cars.clone(), lots)
                })
            })
            .collect();
    }
    all
}

#[test]
fn every_mend_is_the_cheapest_and_the_spares_mend_what_can_be_covered() {
    let (mut markets, mut bought, mut nothing, mut own, mut several) = (0, 0, 0, 0, 0);
    let mut open = 0;
    for seed in 0..220 {
        let mut market = market::small(seed);
        market.budget = None;
        if brute::best(&market, 600.0).is_none() {
            continue;
        }
        let choice = choose(&market, &Effort::default());
        let all = purchases(&market, &choice);
        if all.len() > 128 || choice.crossings.iter().all(Option::is_none) {
            continue;
        }
        markets += 1;
        let found = spares(&market, &choice, &Effort::default(), &|_, _| ());
        let covers = |failed: usize, cars: &[u32], lots: &[bool]| {
            let mut owned = owned(&market, &choice, cars, lots);
            owned[failed] -= 1;
            serve(&market, &choice, &owned)
        };
        for looks in [3, 12, 40] {
            let timer = Counting::new(Duration::from_secs(1) / looks);
            let effort = Effort {
                time_limit: Some(Duration::from_secs(1)),
                timer: Some(&timer),
                ..Effort::default()
            };
            let hasty = spares(&market, &choice, &effort, &|_, _| ());
            assert!(hasty.bound <= hasty.premium, "seed {seed}: {hasty:?}");
            for failure in &hasty.failures {
                let here = format!("seed {seed}, {looks} looks, {failure:?}");
                let good = all.iter().filter(|(cars, lots)| covers(failure.offer, cars, lots));
                let least = good.map(|(cars, lots)| cost(&market, &choice, cars, lots)).min();
                let most = match &failure.substitute {
                    Substitute::Nothing => None,
                    Substitute::Unknown => least,
                    Substitute::OwnCars => Some(0),
                    Substitute::Buy { cost, .. } => Some(cost.0),
                };
                assert!(failure.least.0 <= least.unwrap_or(i64::MAX) && least <= most, "{here}");
                assert!(!failure.proven || least == most, "{here}");
                open += usize::from(!failure.proven);
            }
        }
        let mut coverable = Vec::new();
        for failure in &found.failures {
            let here = format!("seed {seed}, {failure:?}");
            let good = all.iter().filter(|(cars, lots)| covers(failure.offer, cars, lots));
            let least = good.map(|(cars, lots)| cost(&market, &choice, cars, lots)).min();
            match &failure.substitute {
                Substitute::Nothing => {
                    assert_eq!(least, None, "{here}");
                    nothing += 1;
                    continue;
                }
                Substitute::Unknown => panic!("{here}: there was no limit"),
                Substitute::OwnCars => {
                    assert_eq!(least, Some(0), "{here}");
                    own += 1;
                }
                Substitute::Buy { cost, .. } => {
                    assert_eq!(least, Some(cost.0), "{here}");
                    bought += 1;
                }
            }
            coverable.push(failure.offer);
        }
        let mut cars = vec![0; market.offers.len()];
        found.cars.iter().for_each(|offer| cars[*offer] += 1);
        let lots: Vec<bool> = (0..market.lots.len()).map(|l| found.lots.contains(&l)).collect();
        let here = format!("seed {seed}, {found:?}");
        assert!(coverable.iter().all(|failed| covers(*failed, &cars, &lots)), "{here}");
        assert_eq!(found.premium.0, cost(&market, &choice, &cars, &lots), "{here}");
        let best = all
            .iter()
            .filter(|(cars, lots)| coverable.iter().all(|failed| covers(*failed, cars, lots)))
            .map(|(cars, lots)| cost(&market, &choice, cars, lots))
            .min()
            .unwrap();
        assert_eq!(found.premium.0, best, "{here}");
        assert!(found.is_cheapest(), "{here}");
        several += usize::from(found.cars.len() + found.lots.len() > 1);
    }
    let counts = format!(
        "{markets} markets, {bought} bought, {nothing} nothing, {own} own, {several} several"
    );
    assert!(markets > 40 && bought > 20 && nothing > 20 && own > 3 && several > 3, "{counts}");
    assert!(open > 40, "{open} left open where there is no time");
}
