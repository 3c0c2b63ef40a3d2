//! The choice against the same problem written car by car and solved by a general solver.

use spanyard::choose::{Effort, Market, choose};
use spanyard::group::SharedHaul;
use spanyard::quantity::{Cents, Inches};

use crate::choose::brute;
use crate::testkit::model::{best, best_of};
use crate::testkit::{county, deck_model, market};

#[test]
fn a_car_by_car_model_in_a_general_solver_finds_the_same_best_plan() {
    for seed in 0..60 {
        let market = without_step_limits(market::small(seed));
        let choice = choose(&market, &Effort::default());
        let found = best(&market, None).unwrap_or_else(|error| panic!("seed {seed}: {error}"));
        let found = found.expect("without a limit it ends");
        assert_eq!(brute::key(&market, &choice), found, "seed {seed}");
    }
}

#[test]
fn the_direct_model_agrees_on_markets_of_the_jobs_shape() {
    for (crossings, cars, seed) in [(3, 18, 1), (4, 20, 2), (3, 24, 3)] {
        let market = county::county(crossings, cars, seed);
        let choice = choose(&market, &Effort::default());
        let (unserved, net) = best(&market, None).unwrap().unwrap();
        let (ours, cost) = brute::key(&market, &choice);
        assert_eq!(ours, unserved, "{crossings} x {cars}");
        // The solver's own tolerance on sums of hundred thousands of cents.
        assert!((cost - net).abs() <= 2, "{crossings} x {cars}: {cost} against {net}");
    }
}

#[test]
fn a_model_deck_by_deck_agrees_too() {
    for (crossings, cars, seed) in [(3, 24, 1), (5, 40, 2), (6, 40, 3)] {
        let market = county::county(crossings, cars, seed);
        let model = || deck_model::decks(&market, 100_000).unwrap().0;
        let (unserved, net) = best_of(model, &market, None).unwrap().unwrap();
        let (ours, cost) = brute::key(&market, &choose(&market, &Effort::default()));
        assert_eq!(ours, unserved, "{crossings} x {cars}");
        assert!((cost - net).abs() <= 2, "{crossings} x {cars}: {cost} against {net}");
    }
}

#[test]
fn the_direct_model_agrees_where_cars_share_trailers() {
    let mut dearer = 0;
    for seed in 0..60 {
        let mut market = without_step_limits(market::small(seed));
        market::share_trailers(&mut market, 30, &mut market::Rng::new(seed));
        let mut alone = market.clone();
        // The model has no permits and escorts of single cars.
        for haul in hauls(&mut market).chain(hauls(&mut alone)) {
            for load in haul.shared.iter_mut().chain([&mut haul.alone]) {
                (load.permit, load.escort) = (Cents(0), Cents(0));
            }
        }
        let choice = choose(&market, &Effort::default());
        let found = best(&market, None).unwrap_or_else(|error| panic!("seed {seed}: {error}"));
        let found = found.expect("without a limit it ends");
        assert_eq!(brute::key(&market, &choice), found, "seed {seed}");
        hauls(&mut alone).for_each(|haul| haul.shared.clear());
        dearer += usize::from(brute::key(&alone, &choose(&alone, &Effort::default())) > found);
    }
    assert!(dearer > 3, "{dearer}");
}

/// The model has no limit on the camber step between neighbors, which is no matter of two cars alone;
/// the brute force has it.
fn without_step_limits(mut market: Market) -> Market {
    let layouts = market.crossings.iter_mut().flat_map(|crossing| &mut crossing.layouts);
    for span in layouts.flat_map(|layout| &mut layout.spans) {
        span.rule.step_most = Inches(f64::INFINITY);
    }
    market
}

fn hauls(market: &mut Market) -> impl Iterator<Item = &mut SharedHaul> {
    let layouts = market.crossings.iter_mut().flat_map(|crossing| &mut crossing.layouts);
    let candidates = layouts.flat_map(|l| &mut l.spans).flat_map(|span| &mut span.candidates);
    candidates.filter_map(|candidate| candidate.haul.as_mut())
}
