//! Prices to beat against a brute force that tries every plan at the prices around.

use spanyard::after::prices::{Beat, PriceToBeat, Question, Subject, Worth, prices_for};
use spanyard::choose::{Choice, Effort, Market, choose};
use spanyard::model::inputs::{CarIx, LotIx};
use spanyard::quantity::{Cents, Percent};

use crate::choose::brute;
use crate::testkit::market;

/// Share of a lot's price that a left-over car is worth, in per cent.
const SHARE: f64 = 20.0;

/// The market with one thing at another price; worked out here on its own.
fn at(market: &Market, subject: Subject, price: i64) -> Market {
    let mut market = market.clone();
    match subject {
        Subject::Row(car) => market.offers[car.0].price = Cents(price),
        Subject::Lot(lot) => {
            market.lots[lot.0] = Some(Cents(price));
            let of_lot = |lot: LotIx, offer: &spanyard::choose::Offer| offer.lot == Some(lot.0);
            let cars: u32 =
                market.offers.iter().filter(|o| of_lot(lot, o)).map(|o| o.quantity).sum();
            let worth = (price as f64 * SHARE / 100.0 / f64::from(cars)).round() as i64;
            for offer in market.offers.iter_mut().filter(|o| of_lot(lot, o)) {
                offer.stock_value = Cents(worth);
            }
        }
    }
    market
}

/// The market without it.
fn without(market: &Market, subject: Subject) -> Market {
    let mut market = market.clone();
    match subject {
        Subject::Row(car) => market.offers[car.0].quantity = 0,
        Subject::Lot(lot) => market.lots[lot.0] = None,
    }
    market
}

/// A small market whose lots' stock values follow from their prices; in half of them cars share trailers.
fn consistent(seed: u64) -> Market {
    let mut market = market::small(seed);
    if seed.is_multiple_of(2) {
        market::share_trailers(&mut market, 30, &mut market::Rng::new(seed));
    }
    for lot in 0..market.lots.len() {
        if let Some(price) = market.lots[lot] {
            market = at(&market, Subject::Lot(LotIx(lot)), price.0);
        }
    }
    market
}

fn subjects(market: &Market) -> Vec<Subject> {
    let rows = (0..market.offers.len()).filter(|row| market.offers[*row].lot.is_none());
    let has_cars = |lot: &usize| market.offers.iter().any(|offer| offer.lot == Some(*lot));
    let lots = (0..market.lots.len()).filter(|lot| market.lots[*lot].is_some() && has_cars(lot));
    rows.map(|row| Subject::Row(CarIx(row)))
        .chain(lots.map(|lot| Subject::Lot(LotIx(lot))))
        .collect()
}

fn used(choice: &Choice, subject: Subject) -> bool {
    match subject {
        Subject::Row(car) => choice
            .crossings
            .iter()
            .flatten()
            .any(|c| c.decks.iter().flatten().any(|offer| *offer == car.0)),
        Subject::Lot(lot) => choice.lots.contains(&lot.0),
    }
}

#[test]
fn every_price_to_beat_is_where_the_best_plan_changes() {
    const FAR: i64 = 100_000;
    let question = Question {
        discount_pct: 10.0,
        worth: Worth { share: Percent(SHARE), scrap: &[], sales_tax: Percent(0.0) },
        time_limit: None,
        in_all: None,
        interrupt: None,
    };
    let (mut below, mut never, mut always, mut bounded) = (0, 0, 0, 0);
    for seed in 0..260 {
        let market = consistent(seed);
        if brute::best(&market, 3_000.0).is_none() {
            continue;
        }
        let best = |market: &Market| brute::best(market, f64::INFINITY).unwrap();
        let choice = choose(&market, &Effort::default());
        let found = prices_for(&market, &choice, &subjects(&market), &question, &|_, _| ());
        for offer in &found.list {
            let here = format!("seed {seed}, {offer:?}");
            let base = best(&without(&market, offer.subject));
            let at = |price: i64| best(&at(&market, offer.subject, price));
            assert!(offer.proven, "{here}");
            if offer.chosen > 0 {
                assert_eq!((offer.without.unserved.clone(), offer.without.net.0), base, "{here}");
            }
            match offer.beat {
                Beat::Never => {
                    assert_eq!(at(0), base, "{here}");
                    assert!(offer.chosen == 0 || offer.asked == Cents(0), "{here}");
                    never += 1;
                }
                Beat::Always => {
                    assert!(at(FAR) < base, "{here}");
                    always += 1;
                }
                Beat::Below(price) => {
                    assert!(at(price.0 - 1) < base, "{here}");
                    assert_eq!(at(price.0), base, "{here}");
                    assert_eq!(at(FAR), base, "{here}");
                    below += 1;
                }
            }
            bounded += usize::from(matches!(offer.found, spanyard::after::prices::Found::ByBound));
            agrees_with_the_plan(offer, used(&choice, offer.subject), &here);
            saving(offer, &at, &found.plan.unserved, &here);
        }
    }
    let counts = format!("{below} below, {never} never, {always} always, {bounded} by bound");
    assert!(below > 100 && never > 100 && always > 30 && bounded > 10, "{counts}");
}

/// A thing in the plan is asked for less than its price to beat, or as much; one that is not, for
/// more, or as much.
fn agrees_with_the_plan(offer: &PriceToBeat, used: bool, here: &str) {
    assert_eq!(offer.chosen > 0, used, "{here}");
    if let Beat::Below(price) = offer.beat {
        assert!(if used { offer.asked <= price } else { offer.asked >= price }, "{here}");
    }
}

/// What ten per cent off saves.
fn saving(offer: &PriceToBeat, at: &dyn Fn(i64) -> brute::Key, unserved: &[usize], here: &str) {
    let offered = Cents::from_dollars(offer.asked.as_dollars() * 0.9);
    let (now, then) = (at(offer.asked.0), at(offered.0));
    assert_eq!(now.0, unserved, "{here}");
    let saves = if then.0 == now.0 { now.1 - then.1 } else { 0 };
    assert_eq!(offer.saves.0, saves, "{here}");
}

/// Cut short, a price is told as a range that holds the one found with all the time in the world.
#[test]
fn ranges_hold_the_price_to_beat() {
    let all = Question {
        discount_pct: 10.0,
        worth: Worth { share: Percent(SHARE), scrap: &[], sales_tax: Percent(0.0) },
        time_limit: None,
        in_all: None,
        interrupt: None,
    };
    let none = Question { time_limit: Some(std::time::Duration::ZERO), ..all };
    let (mut ranges, mut never) = (0, 0);
    for seed in 0..400 {
        let mut market = consistent(seed);
        market.budget = None;
        let choice = choose(&market, &Effort::default());
        let exact = prices_for(&market, &choice, &subjects(&market), &all, &|_, _| ());
        let short = prices_for(&market, &choice, &subjects(&market), &none, &|_, _| ());
        for offer in &short.list {
            let exact = exact.list.iter().find(|other| other.subject == offer.subject).unwrap();
            let here = format!("seed {seed}, {offer:?}, {exact:?}");
            if offer.proven {
                assert_eq!(offer.beat, exact.beat, "{here}");
                never += usize::from(offer.beat == Beat::Never);
            }
            let Some((least, most)) = offer.range else { continue };
            let price = match exact.beat {
                Beat::Never => Cents(0),
                Beat::Below(price) => price,
                Beat::Always => panic!("{here}"),
            };
            assert!(least <= price && price <= most, "{here}");
            ranges += 1;
        }
    }
    // How narrow they are is not asked: a search without any time finds no plan but the one it has.
    assert!(ranges > 100 && never > 50, "{ranges} ranges, {never} never");
}
