//! Ends cut at the yard before hauling: where only so the car gets there, or where it costs less.

use spanyard::check::{Check, Code, Outcome};
use spanyard::model::inputs::Inputs;
use spanyard::model::plan::{CostItem, CostLine};
use spanyard::price::{car_at, car_cost, hauled_length, is_cut_at_yard};
use spanyard::quantity::{Cents, Feet, Percent};
use spanyard::screen::screen;

use crate::deals::support::{failed, planned};
use crate::testkit::demo;
use crate::testkit::fixture::{CAR, SITE, inputs};

/// A car of 66 ft truck centers and this length on 64 ft, of which 69 ft lie there, on a route that takes
/// so much. Cutting costs 650 an end at the site, 800 at the yard.
fn car(length: f64, route: f64) -> Inputs {
    let mut inputs = inputs();
    inputs.rules.trim.at_yard = true;
    inputs.cars[0].length = Some(Feet(length));
    inputs.crossings[0].haul_length_limit = Some(Feet(route));
    inputs
}

fn length_check(inputs: &Inputs) -> Check {
    let checks = screen(inputs, CAR, SITE);
    checks.into_iter().find(|check| check.code == Code::HaulLength).unwrap()
}

fn of(inputs: &Inputs, item: CostItem) -> Vec<(i64, String)> {
    let lines = car_at(inputs, CAR, SITE).unwrap().into_iter();
    let words = |line: CostLine| (line.amount.0, line.basis);
    lines.filter(|line| line.item == item).map(words).collect()
}

#[test]
fn a_car_too_long_for_its_road_comes_once_it_is_cut() {
    for (route, outcome, cut) in [
        (90.0, Outcome::Pass, None),
        (88.9, Outcome::Caution, Some(69.0)),
        (69.0, Outcome::Caution, Some(69.0)),
        (68.9, Outcome::Fail, None),
    ] {
        let mut inputs = car(89.0, route);
        // Nothing is saved by it, so it is cut only where it must be.
        inputs.rules.haul.escort_minimum_usd = Cents::dollars(100);
        assert_eq!(length_check(&inputs).outcome, outcome, "{route}");
        assert_eq!(is_cut_at_yard(&inputs, CAR, SITE), cut.is_some(), "{route}");
        let hauled = hauled_length(&inputs, CAR, SITE);
        assert_eq!(hauled, Some(Feet(cut.unwrap_or(89.0))), "{route}");
        inputs.rules.trim.at_yard = false;
        let fails = route < 89.0;
        assert_eq!(length_check(&inputs).outcome == Outcome::Fail, fails, "{route}");
        assert!(!is_cut_at_yard(&inputs, CAR, SITE));
    }
    let words = length_check(&car(89.0, 75.0)).sentence();
    assert!(words.contains("its ends must be cut at the yard"), "{words}");
}

/// An escort for 89 ft, over 80: 43.2 mi x 2.25 = 97.20, or the least charge. Cutting at the yard costs
/// 2 x 150 more, and 69 ft need no escort.
#[test]
fn a_cut_that_saves_the_escort_is_made_at_the_yard() {
    for (least, at_yard) in [(300, false), (301, true)] {
        let mut inputs = car(89.0, 95.0);
        inputs.rules.haul.escort_minimum_usd = Cents::dollars(least);
        assert_eq!(is_cut_at_yard(&inputs, CAR, SITE), at_yard);
        let (trim, escorts) = (of(&inputs, CostItem::Trim), of(&inputs, CostItem::Escort));
        let overhang = "overhang 12.50 ft, cut back to 2.50 ft";
        if at_yard {
            let words = format!("2 ends x $800.00, at the yard before hauling; {overhang}");
            assert_eq!((trim, escorts), (vec![(160_000, words)], vec![]));
        } else {
            let words = format!("2 ends x $650.00; {overhang}");
            assert_eq!((trim, escorts.len()), (vec![(130_000, words)], 1));
        }
    }
    // A car that is not cut at all is not cut at the yard.
    assert!(!is_cut_at_yard(&car(69.0, 60.0), CAR, SITE));
}

/// Both ways priced apart: as it is by rules that know no yard, and cut as a car that is as short as what
/// lies there, with the cuts added by hand.
#[test]
fn the_cheaper_of_both_ways_is_taken() {
    for length in [69.5, 75.0, 80.5, 89.0] {
        for escort in [0, 250, 400] {
            for (site, yard) in [(650, 800), (650, 650), (900, 500)] {
                for percent in [0.0, 22.0] {
                    let mut both = car(length, 95.0);
                    both.rules.haul.escort_minimum_usd = Cents::dollars(escort);
                    both.rules.trim.usd_per_end = Cents::dollars(site);
                    both.rules.trim.at_yard_usd_per_end = Cents::dollars(yard);
                    both.rules.overhead.contingency_pct = Percent(percent);
                    let mut there = both.clone();
                    there.rules.trim.at_yard = false;
                    let mut short = there.clone();
                    short.cars[0].length = Some(Feet(69.0));
                    let cuts = Cents::dollars(2 * yard);
                    let cuts = cuts + cuts.times(percent / 100.0);
                    let cut = car_cost(&short, CAR, SITE).unwrap() + cuts;
                    let least = car_cost(&there, CAR, SITE).unwrap().min(cut);
                    assert_eq!(car_cost(&both, CAR, SITE), Some(least), "{length} {escort} {yard}");
                }
            }
        }
    }
}

#[test]
fn the_demonstration_serves_one_crossing_more_with_cuts_at_the_yard() {
    let as_they_are = planned(&demo::inputs());
    let mut inputs = demo::inputs();
    inputs.rules.trim.at_yard = true;
    let plan = planned(&inputs);
    assert_eq!(plan.served_count(), as_they_are.served_count() + 1);
    let decks = || plan.crossings.iter().filter_map(|c| c.served()).flat_map(|s| &s.decks);
    let cut = decks().flat_map(|deck| deck.cars.iter().map(|placed| (placed.car, deck.site)));
    let cut: Vec<_> = cut.filter(|(car, site)| is_cut_at_yard(&inputs, *car, *site)).collect();
    assert!(!cut.is_empty());
    let longest = |site| inputs.crossing(site).haul_length_limit.unwrap();
    let hauled = |(car, site)| hauled_length(&inputs, car, site).unwrap();
    assert!(cut.iter().all(|(car, site)| hauled((*car, *site)) <= longest(site.crossing)));
    // The plan does not stand up where nothing may be cut at the yard.
    inputs.rules.trim.at_yard = false;
    assert!(failed(&inputs, &plan).contains(&Code::CarsSuitable));
}
