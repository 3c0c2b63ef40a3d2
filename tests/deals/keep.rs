//! Crossings that ask for cars of one yard, or for one section on all spans.

use std::collections::BTreeSet;

use spanyard::check::{Code, Outcome};
use spanyard::model::car::Car;
use spanyard::model::crossing::Keep;
use spanyard::model::inputs::Inputs;
use spanyard::model::plan::{Fate, Plan, Served};

use crate::deals::support::{failed, planned};
use crate::testkit::demo;

/// Crossings served, more of them first, then net cost: less is better.
fn key(plan: &Plan) -> (usize, i64) {
    (usize::MAX - plan.served_count(), plan.totals.net.0)
}

fn cars<'a>(inputs: &'a Inputs, served: &'a Served) -> impl Iterator<Item = &'a Car> {
    served.decks.iter().flat_map(|deck| &deck.cars).map(|placed| inputs.car(placed.car))
}

/// The demonstration with one crossing alone, which asks for this; each crossing in turn.
fn each_alone(keep: Keep) -> impl Iterator<Item = Inputs> {
    let all = demo::inputs();
    (0..all.crossings.len()).map(move |crossing| {
        let mut inputs = all.clone();
        inputs.crossings = vec![all.crossings[crossing].clone()];
        inputs.crossings[0].keep = vec![keep];
        inputs
    })
}

/// The best plan when only the cars of one kind may be used, whichever kind is best, without a wish.
fn best_of<K: Ord>(inputs: &Inputs, kind: impl Fn(&Car) -> K) -> (usize, i64) {
    let kinds: BTreeSet<K> = inputs.cars.iter().map(&kind).collect();
    let plans = kinds.iter().map(|only| {
        let mut inputs = inputs.clone();
        inputs.crossings[0].keep.clear();
        for car in inputs.cars.iter_mut().filter(|car| kind(car) != *only) {
            car.wrecked = Some(true);
        }
        key(&planned(&inputs))
    });
    plans.min().unwrap()
}

#[test]
fn one_yard_is_the_best_of_the_yards_by_themselves() {
    for mut inputs in each_alone(Keep::OneYard) {
        // A bridge of several spans may take each deck from another yard.
        inputs.crossings[0].layouts.retain(|layout| layout.spans.len() == 1);
        if inputs.crossings[0].layouts.is_empty() {
            continue;
        }
        let plan = planned(&inputs);
        assert_eq!(key(&plan), best_of(&inputs, |car| car.yard), "{}", inputs.crossings[0].id);
        for served in plan.crossings.iter().filter_map(|crossing| crossing.served()) {
            let yards: BTreeSet<_> = cars(&inputs, served).map(|car| car.yard).collect();
            assert_eq!(yards.len(), 1);
            let said = served.decks[0].checks.iter().find(|check| check.code == Code::OneYard);
            assert_eq!(said.unwrap().outcome, Outcome::Pass);
        }
    }
}

#[test]
fn one_section_is_the_best_of_the_sections_by_themselves() {
    let mut several = 0;
    for mut inputs in each_alone(Keep::OneSection) {
        inputs.crossings[0].layouts.retain(|layout| layout.spans.len() > 1);
        if inputs.crossings[0].layouts.is_empty() {
            continue;
        }
        let plan = planned(&inputs);
        let best = best_of(&inputs, |car| car.section.clone());
        assert_eq!(key(&plan), best, "{}", inputs.crossings[0].id);
        for served in plan.crossings.iter().filter_map(|crossing| crossing.served()) {
            several += 1;
            let said = served.decks[1].checks.iter().find(|c| c.code == Code::OneSectionAcross);
            assert_eq!(said.unwrap().outcome, Outcome::Pass);
        }
    }
    assert!(several > 0);
}

#[test]
fn a_wish_never_makes_the_plan_better_and_what_breaks_it_is_caught() {
    let free = demo::inputs();
    let before = planned(&free);
    let mut inputs = free.clone();
    inputs.crossings.iter_mut().for_each(|c| c.keep = vec![Keep::OneYard, Keep::OneSection]);
    assert!(key(&planned(&inputs)) >= key(&before));
    // The plan made without the wishes stands under them only where it keeps them by chance.
    let kept = |served: &Served| {
        let of_deck = served.decks.iter().all(|deck| {
            let yards = deck.cars.iter().map(|placed| free.car(placed.car).yard);
            yards.collect::<BTreeSet<_>>().len() == 1
        });
        let sections: BTreeSet<_> = cars(&free, served).map(|car| &car.section).collect();
        of_deck && sections.len() == 1
    };
    let mut caught = 0;
    for planned in &before.crossings {
        let Fate::Served(served) = &planned.fate else { continue };
        let mut inputs = free.clone();
        inputs.crossings[planned.crossing.0].keep = vec![Keep::OneYard, Keep::OneSection];
        let broken = failed(&inputs, &before).contains(&Code::DecksValid);
        assert_eq!(broken, !kept(served), "{}", free.crossing(planned.crossing).id);
        caught += usize::from(broken);
    }
    assert!(caught > 0);
}
