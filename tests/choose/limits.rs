//! What is left to do when a search has ended keeps to its time, and never tells of a cheaper change
//! that it did not make. Time is counted in looks at the clock, not measured.

use std::sync::atomic::{AtomicU64, Ordering};
use std::time::Duration;

use spanyard::choose::{
    Choice, Effort, Market, WhyUnserved, beside, cheapest_other, choose, explain_all_unserved,
    site_by_site, totals, with_others,
};
use spanyard::deadline::Timer;
use spanyard::model::plan::Stop;
use spanyard::quantity::Cents;

use crate::choose::brute;
use crate::testkit::{county, market};

/// A clock that goes on by a step whenever somebody looks.
pub struct Counting {
    looks: AtomicU64,
    step: Duration,
}

impl Counting {
    pub fn new(step: Duration) -> Self {
        Self { looks: AtomicU64::new(0), step }
    }

    fn looks(&self) -> u64 {
        self.looks.load(Ordering::Relaxed)
    }
}

impl Timer for Counting {
    fn now(&self) -> Duration {
        self.step * self.looks.fetch_add(1, Ordering::Relaxed) as u32
    }
}

/// Choices in which one crossing has other decks than in the cheapest, which cost more.
fn dearer(market: &Market) -> Vec<Choice> {
    let best = choose(market, &Effort::default());
    let others = (0..market.crossings.len()).filter_map(|crossing| {
        let (layout, extra) = cheapest_other(market, &best, crossing)?;
        let mut choice = Choice { cheapest: false, net: best.net + extra, ..best.clone() };
        choice.crossings[crossing] = Some(layout);
        let offers = choice.crossings.iter().flatten().flat_map(|c| c.decks.concat());
        choice.lots = offers.filter_map(|offer| market.offers[offer].lot).collect();
        choice.lots.sort_unstable();
        choice.lots.dedup();
        (extra > Cents::ZERO).then_some(choice)
    });
    others.collect()
}

#[test]
fn a_plan_that_knows_a_cheaper_change_makes_it() {
    let (mut improved, mut cut_short) = (0, 0);
    let with_truckloads = (0..150).map(market::with_truckloads);
    for (number, market) in (0..200).map(market::small).chain(with_truckloads).enumerate() {
        if !market.levels.is_empty() {
            // There others are compared at the lowest prices only.
            continue;
        }
        for start in dearer(&market) {
            for step in [None, Some(100), Some(300)] {
                let timer = Counting::new(Duration::from_millis(step.unwrap_or(0)));
                let limit = step.map(|_| Duration::from_secs(1));
                let effort = Effort { time_limit: limit, timer: Some(&timer), ..Effort::default() };
                let (choice, others) = with_others(&market, start.clone(), &effort, false);
                let net = totals(&market, &choice).map(|totals| totals.net);
                assert_eq!(net, Some(choice.net), "market {number}");
                assert!(choice.net <= start.net && choice.bound <= choice.net, "market {number}");
                improved += usize::from(choice.net < start.net);
                for (crossing, other) in others.iter().enumerate() {
                    let extra = other.decks.as_ref().map(|(_, extra)| extra.0);
                    assert!(extra.is_none_or(|extra| extra >= 0), "market {number}: {extra:?}");
                    cut_short += usize::from(!other.proven);
                    if step.is_none() {
                        let expected = brute::cheapest_other(&market, &choice, crossing);
                        assert_eq!(extra, expected, "market {number}, {crossing}");
                        assert!(other.proven && choice.net < start.net, "market {number}");
                    }
                }
            }
        }
    }
    assert!(improved > 60 && cut_short > 20, "{improved} {cut_short}");
}

#[test]
fn other_decks_are_looked_for_no_longer_than_there_is_time() {
    let market = county::county(40, 400, 1);
    let timer = Counting::new(Duration::from_millis(20));
    let limit = Some(Duration::from_secs(2));
    let effort = Effort { time_limit: limit, timer: Some(&timer), ..Effort::default() };
    let found = choose(&market, &effort);
    assert_eq!(found.stopped, Some(Stop::TimeLimit));
    let before = timer.looks();
    let (choice, others) = with_others(&market, found.clone(), &effort, false);
    // A second is fifty looks.
    let looks = timer.looks() - before;
    assert!(looks <= 50, "{looks}");
    assert_eq!(totals(&market, &choice).map(|totals| totals.net), Some(choice.net));
    assert!(choice.net <= found.net && choice.bound == found.bound);
    assert!(others.iter().any(|other| !other.proven));
    let extras = others.iter().filter_map(|other| other.decks.as_ref());
    assert!(extras.clone().count() > 0);
    assert!(extras.clone().all(|(_, extra)| *extra >= Cents::ZERO));
}

#[test]
fn a_plan_that_is_to_be_kept_is_kept() {
    let mut cheaper = 0;
    for seed in 0..200 {
        let market = market::small(seed);
        for start in dearer(&market) {
            let (choice, others) = with_others(&market, start.clone(), &Effort::default(), true);
            assert_eq!(choice, start, "seed {seed}");
            for (crossing, other) in others.iter().enumerate() {
                let expected = brute::cheapest_other(&market, &choice, crossing);
                let told = expected.filter(|extra| *extra >= 0);
                assert_eq!(other.decks.as_ref().map(|(_, extra)| extra.0), told, "seed {seed}");
                cheaper += usize::from(expected != told);
            }
        }
    }
    assert!(cheaper > 20, "{cheaper}");
}

#[test]
fn a_search_looks_at_the_clock_all_the_time() {
    for (shape, limit) in county::SHAPES.iter().flat_map(|shape| [(shape, 5), (shape, 400)]) {
        let market = county::shaped(40, 400, 1, shape);
        let timer = Counting::new(Duration::from_millis(10));
        let effort = Effort {
            time_limit: Some(Duration::from_millis(10 * limit)),
            timer: Some(&timer),
            ..Effort::default()
        };
        let choice = choose(&market, &effort);
        assert_eq!(choice.stopped, Some(Stop::TimeLimit), "{}", shape.name);
        // Whatever is in hand when the time is up ends after few more looks.
        let looks = timer.looks();
        assert!(looks <= limit + 60, "{} {limit}: {looks}", shape.name);
        assert_eq!(totals(&market, &choice).map(|t| t.net), Some(choice.net), "{}", shape.name);
        // No stage goes on for long without looking: there are some looks for every crossing.
        let free = Counting::new(Duration::ZERO);
        let effort = Effort { timer: Some(&free), ..effort };
        let _ = choose(&market, &Effort { gap: Some(spanyard::quantity::Percent(50.0)), ..effort });
        assert!(free.looks() >= 40, "{}: {}", shape.name, free.looks());
    }
}

#[test]
fn reasons_are_looked_for_no_longer_than_there_is_time() {
    let mut market = county::county(40, 400, 1);
    // Few cars, so that many go without.
    market.offers.iter_mut().skip(40).for_each(|offer| offer.quantity = 0);
    let choice = choose(
        &market,
        &Effort { gap: Some(spanyard::quantity::Percent(50.0)), ..Effort::default() },
    );
    let all = explain_all_unserved(&market, &choice, &Effort::default());
    let told = |all: &[Option<WhyUnserved>]| {
        let known = all.iter().flatten().filter(|why| **why != WhyUnserved::NotLookedInto);
        known.count()
    };
    assert!(told(&all) > 10 && told(&all) == all.iter().flatten().count(), "{all:?}");
    let timer = Counting::new(Duration::from_millis(20));
    let effort = Effort {
        time_limit: Some(Duration::from_secs(2)),
        timer: Some(&timer),
        ..Effort::default()
    };
    let cut = explain_all_unserved(&market, &choice, &effort);
    assert!(told(&cut) > 0 && told(&cut) < told(&all), "{cut:?}");
    assert!(timer.looks() < 120, "{}", timer.looks());
    for (cut, all) in cut.iter().zip(&all) {
        assert!(cut == all || *cut == Some(WhyUnserved::NotLookedInto) && all.is_some());
    }
}

#[test]
fn all_that_is_told_beside_a_plan_ends_in_time() {
    let market = county::county(40, 400, 1);
    let enough = Effort { gap: Some(spanyard::quantity::Percent(50.0)), ..Effort::default() };
    let choice = choose(&market, &enough);
    let limit = Some(Duration::from_secs(2));
    let timer = Counting::new(Duration::from_millis(20));
    let effort = Effort { time_limit: limit, timer: Some(&timer), ..Effort::default() };
    let _ = beside(&market, choice.clone(), &effort, false);
    // Twice a quarter of a second and twice a third of that, at fifty looks a second, and a few looks more.
    assert!(timer.looks() <= 34 + 30, "{}", timer.looks());
    // The time is up at every look: nothing is told that would take time.
    let timer = Counting::new(Duration::from_secs(9));
    let effort = Effort { time_limit: limit, timer: Some(&timer), ..Effort::default() };
    let (same, told) = beside(&market, choice.clone(), &effort, false);
    assert_eq!((same.net, told.site_by_site), (choice.net, None));
    assert!(told.others.iter().zip(&choice.crossings).all(|(o, c)| c.is_none() || !o.proven));
    assert!(told.refused.iter().flatten().all(|refused| !refused.other.proven));
    // That no car passes is known without a look.
    let quick = |why: &WhyUnserved| {
        matches!(why, WhyUnserved::NotLookedInto | WhyUnserved::NoCandidates { .. })
    };
    assert!(told.why.iter().flatten().all(quick), "{:?}", told.why);
    // With all the time there is, it is told.
    let greedy = site_by_site(&market);
    let served = greedy.crossings.iter().flatten().count();
    let (_, told) = beside(&market, choice, &Effort::default(), true);
    assert_eq!(told.site_by_site, Some((served, greedy.net)));
}
