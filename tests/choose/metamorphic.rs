//! Changes of a market that must not make the choice worse, or must not change it at all.

use spanyard::check::Code;
use spanyard::choose::{Choice, Effort, Market, Offer, choose};
use spanyard::group::Candidate;
use spanyard::quantity::Cents;

use crate::choose::brute;
use crate::testkit::market;

fn solve(market: &Market) -> Choice {
    let choice = choose(market, &Effort::default());
    assert!(choice.cheapest && choice.service, "{choice:?} {market:#?}");
    choice
}

fn key(market: &Market) -> brute::Key {
    brute::key(market, &solve(market))
}

/// Compares a market with a changed one, on many seeds; how many changed the key is returned.
fn compare(
    change: impl Fn(&mut Market, &mut market::Rng) -> bool,
    holds: impl Fn(&brute::Key, &brute::Key) -> bool,
) -> usize {
    compare_from(market::small, change, holds)
}

/// [`compare`] on markets made in another way.
fn compare_from(
    make: impl Fn(u64) -> Market,
    change: impl Fn(&mut Market, &mut market::Rng) -> bool,
    holds: impl Fn(&brute::Key, &brute::Key) -> bool,
) -> usize {
    let mut differ = 0;
    for seed in 0..250 {
        let before = make(seed);
        let mut after = before.clone();
        if !change(&mut after, &mut market::Rng::new(seed)) {
            continue;
        }
        let (a, b) = (key(&before), key(&after));
        assert!(holds(&a, &b), "seed {seed}: {a:?}, then {b:?}");
        differ += usize::from(a != b);
    }
    differ
}

#[test]
fn one_more_offer_never_makes_it_worse() {
    let differ = compare(
        |market, rng| {
            let like = rng.int(0, market.offers.len() as i64 - 1) as usize;
            let mut offer = market.offers[like].clone();
            offer.lot = None;
            offer.stock_value = Cents(0);
            offer.price = Cents(rng.int(0, 30));
            let new = market.offers.len();
            market.offers.push(offer);
            for span in spans(market) {
                let twin = span.candidates.iter().find(|c| c.offer == like).cloned();
                if let Some(mut twin) = twin {
                    twin.offer = new;
                    span.candidates.push(twin);
                }
            }
            true
        },
        |before, after| after <= before,
    );
    assert!(differ > 20, "{differ}");
}

#[test]
fn a_higher_budget_never_makes_it_worse() {
    let differ = compare(
        |market, rng| {
            market.budget = market.budget.map(|budget| budget + Cents(rng.int(1, 120)));
            market.budget.is_some()
        },
        |before, after| after.0 <= before.0 && (after.0 < before.0 || after.1 <= before.1),
    );
    assert!(differ > 5, "{differ}");
}

#[test]
fn a_larger_fund_never_makes_it_worse() {
    let differ = compare_from(
        market::with_funds,
        |market, rng| {
            let fund = rng.int(0, market.funds.len() as i64 - 1) as usize;
            market.funds[fund] += Cents(rng.int(1, 120));
            true
        },
        |before, after| after <= before,
    );
    assert!(differ > 20, "{differ}");
}

#[test]
fn a_fund_that_pays_for_everything_changes_nothing() {
    for seed in 0..250 {
        let without = market::with_levels(seed);
        let mut with = without.clone();
        with.funds = vec![Cents(10_000)];
        with.crossings.iter_mut().for_each(|crossing| crossing.fund = Some(0));
        assert_eq!(key(&with), key(&without), "seed {seed}");
    }
}

#[test]
fn where_nothing_is_shared_one_fund_for_all_is_a_budget() {
    // Neither trips nor lots nor price levels.
    for seed in 0..250 {
        let mut budget = market::small(seed);
        budget.trips.iter_mut().for_each(|trip| *trip = Cents(0));
        budget.lots.iter_mut().for_each(|price| *price = None);
        let limit = Cents(market::Rng::new(seed).int(0, 220));
        let mut fund = Market { budget: None, funds: vec![limit], ..budget.clone() };
        fund.crossings.iter_mut().for_each(|crossing| crossing.fund = Some(0));
        budget.budget = Some(limit);
        assert_eq!(key(&fund), key(&budget), "seed {seed}");
    }
}

#[test]
fn a_narrower_camber_tolerance_never_makes_it_better() {
    let differ = compare(
        |market, _| {
            for span in spans(market) {
                span.rule.tolerances = span.rule.tolerances.with(Code::CamberSpread, 0.25);
            }
            true
        },
        |before, after| after >= before,
    );
    assert!(differ > 10, "{differ}");
}

#[test]
fn the_order_of_offers_and_crossings_does_not_matter() {
    let differ = compare(
        |market, rng| {
            let order = shuffled(market.offers.len(), rng);
            reorder(market, &order);
            for span in spans(market) {
                let at = rng.int(0, span.candidates.len() as i64) as usize;
                span.candidates.rotate_left(at);
            }
            market.crossings.reverse();
            true
        },
        |before, after| after == before,
    );
    assert_eq!(differ, 0);
}

#[test]
fn all_amounts_times_seven_make_the_cost_times_seven() {
    compare(
        |market, _| {
            let times = |cents: &mut Cents| *cents = *cents * 7;
            for offer in &mut market.offers {
                times(&mut offer.price);
                times(&mut offer.stock_value);
            }
            market.trips.iter_mut().for_each(times);
            market.lots.iter_mut().flatten().for_each(times);
            market.budget.iter_mut().for_each(times);
            for layout in market.crossings.iter_mut().flat_map(|c| &mut c.layouts) {
                times(&mut layout.fixed);
            }
            for span in spans(market) {
                times(&mut span.fixed);
                span.candidates.iter_mut().for_each(|c| times(&mut c.cost));
                let joints = span.rule.joints.iter_mut().flat_map(|j| &mut j.costs);
                joints.chain(&mut span.rule.rails).for_each(&times);
            }
            true
        },
        |before, after| after.0 == before.0 && after.1 == 7 * before.1,
    );
}

#[test]
fn a_lot_at_the_sum_of_its_prices_is_never_better_than_its_cars_singly() {
    let differ = compare(
        |market, rng| {
            // The singles of one yard become a lot at the sum of their prices.
            let yard = market.offers[0].yard;
            let lot = market.lots.len();
            let mut sum = Cents(0);
            for offer in market.offers.iter_mut().filter(|o| o.lot.is_none() && o.yard == yard) {
                sum += offer.price * i64::from(offer.quantity);
                offer.stock_value = Cents(offer.price.0 * rng.int(0, 4) / 4);
                offer.price = Cents(0);
                offer.lot = Some(lot);
            }
            market.lots.push(Some(sum));
            market.offers.iter().any(|offer| offer.lot == Some(lot))
        },
        |before, after| after >= before,
    );
    assert!(differ > 20, "{differ}");
}

#[test]
fn own_stock_never_makes_it_worse() {
    let differ = compare_from(
        market::with_levels,
        |market, rng| {
            let like = rng.int(0, market.offers.len() as i64 - 1) as usize;
            // A yard of its own, without a trip.
            let yard = market.trips.len();
            market.trips.push(Cents(0));
            let new = market.offers.len();
            let quantity = market.offers[like].quantity;
            market.offers.push(Offer {
                quantity,
                yard,
                lot: None,
                price: Cents(0),
                stock_value: Cents(0),
                quotes: Vec::new(),
            });
            for span in spans(market) {
                let twin = span.candidates.iter().find(|c| c.offer == like).cloned();
                span.candidates.extend(twin.map(|twin| Candidate { offer: new, ..twin }));
            }
            true
        },
        |before, after| after <= before,
    );
    assert!(differ > 40, "{differ}");
}

#[test]
fn a_price_break_never_makes_it_dearer() {
    let differ = compare_from(
        market::small,
        |market, rng| {
            let yard = rng.int(0, market.trips.len() as i64 - 1) as usize;
            market::add_levels(market, yard, rng);
            market.levels[yard][0] = 1;
            true
        },
        |before, after| after <= before,
    );
    assert!(differ > 8, "{differ}");
}

#[test]
fn a_minimum_order_never_makes_it_cheaper() {
    let differ = compare_from(
        market::with_levels,
        |market, rng| {
            let yard = rng.int(0, market.trips.len() as i64 - 1) as usize;
            let Some(levels) = market.levels.get_mut(yard).filter(|l| !l.is_empty()) else {
                return false;
            };
            let more = rng.int(1, 2) as u32;
            levels.iter_mut().for_each(|least| *least += more);
            true
        },
        |before, after| after >= before,
    );
    assert!(differ > 20, "{differ}");
}

#[test]
fn more_cars_to_a_trailer_never_make_it_dearer() {
    let fewer = |seed| {
        let mut market = market::with_truckloads(seed);
        for candidate in spans(&mut market).flat_map(|span| &mut span.candidates) {
            let Some(haul) = &mut candidate.haul else { continue };
            haul.shared.truncate((candidate.offer + seed as usize) % 3);
        }
        market
    };
    let differ = compare_from(
        fewer,
        |market, rng| {
            let more = rng.int(1, 2) as usize;
            for candidate in spans(market).flat_map(|span| &mut span.candidates) {
                let Some(haul) = &mut candidate.haul else { continue };
                let greatest = *haul.shared.last().unwrap_or(&haul.alone);
                haul.shared.extend(vec![greatest; more]);
            }
            true
        },
        |before, after| after <= before,
    );
    assert!(differ > 20, "{differ}");
}

#[test]
fn the_order_of_offers_does_not_matter_where_cars_share_trailers() {
    let differ = compare_from(
        market::with_truckloads,
        |market, rng| {
            let order = shuffled(market.offers.len(), rng);
            reorder(market, &order);
            market.crossings.reverse();
            true
        },
        |before, after| after == before,
    );
    assert_eq!(differ, 0);
}

#[test]
fn trailers_of_one_car_are_a_cost_of_the_car() {
    for seed in 0..250 {
        let mut alone = market::with_truckloads(seed);
        let mut within = alone.clone();
        for candidate in spans(&mut alone).flat_map(|span| &mut span.candidates) {
            candidate.haul.iter_mut().for_each(|haul| haul.shared.clear());
        }
        for candidate in spans(&mut within).flat_map(|span| &mut span.candidates) {
            candidate.cost += candidate.haul.take().map_or(Cents(0), |haul| haul.alone.total());
        }
        assert_eq!(key(&alone), key(&within), "seed {seed}");
    }
}

#[test]
fn the_same_market_gives_the_same_choice() {
    for seed in 0..60 {
        let market = market::small(seed);
        assert_eq!(solve(&market), solve(&market), "seed {seed}");
    }
}

/// Puts the offers in another order.
fn reorder(market: &mut Market, order: &[usize]) {
    let old = market.offers.clone();
    for (place, &from) in order.iter().enumerate() {
        market.offers[place] = old[from].clone();
    }
    for candidate in spans(market).flat_map(|span| &mut span.candidates) {
        let new = order.iter().position(|from| *from == candidate.offer);
        candidate.offer = new.unwrap_or(candidate.offer);
    }
}

fn spans(market: &mut Market) -> impl Iterator<Item = &mut spanyard::choose::SpanDemand> {
    market.crossings.iter_mut().flat_map(|c| &mut c.layouts).flat_map(|l| &mut l.spans)
}

fn shuffled(length: usize, rng: &mut market::Rng) -> Vec<usize> {
    let mut order: Vec<usize> = (0..length).collect();
    for at in (1..length).rev() {
        order.swap(at, rng.int(0, at as i64) as usize);
    }
    order
}
