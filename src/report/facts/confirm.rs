//! What has to be confirmed before money is paid, in words.

use itertools::Itertools;

use super::count;
use crate::check::{Grade, Limit};
use crate::model::inputs::{CarIx, Inputs};
use crate::model::inventory::Inventory;
use crate::model::plan::{Confirmation, CrossingPlan, IfRefused, Plan, Served};
use crate::model::rules::FactKind;

/// `3 firm, 5 to confirm`.
#[must_use]
pub fn firmness(plan: &Plan) -> String {
    let firm = plan.firm_count();
    format!("{firm} firm, {} to confirm", plan.served_count() - firm)
}

/// Which cars are to be looked at before they are paid for, by the visits that it takes, and how many
/// facts that settles; none where nothing is to confirm.
#[must_use]
pub fn total(inputs: &Inputs, plan: &Plan) -> Option<String> {
    let served = || plan.crossings.iter().filter_map(CrossingPlan::served);
    let facts = served().map(|served| served.confirmations.len()).sum::<usize>();
    let to_see =
        |served: &Served, car: CarIx| served.confirmations.iter().any(|one| one.car == car);
    let cars = served().flat_map(|served| {
        let placed = served.decks.iter().flat_map(|deck| &deck.cars).map(|placed| placed.car);
        placed.filter(|car| to_see(served, *car)).collect::<Vec<_>>()
    });
    let yards = cars.map(|car| inputs.car(car).yard).counts();
    let all = yards.values().sum::<usize>();
    let each = yards.iter().sorted().map(|(yard, cars)| {
        let yard = inputs.yard(*yard);
        format!("{cars} at {}", yard.name)
    });
    let visits = match yards.len() {
        1 => "one visit".to_owned(),
        n => format!("one visit to each of {n} yards"),
    };
    (facts > 0).then(|| {
        format!(
            "{} in {visits} ({}; {})",
            count(all, "car"),
            each.format(", "),
            count(facts, "fact")
        )
    })
}

/// What is to confirm of one car of a bridge.
#[derive(Clone, Debug, PartialEq)]
pub struct OfCar {
    /// The car.
    pub car: CarIx,
    /// What is known of it is known so well, with what each fact must be.
    pub facts: Vec<(String, Vec<String>)>,
    /// What follows if it is refused, as a sentence.
    pub if_refused: String,
}

/// What is to confirm of the cars of a bridge, car by car.
#[must_use]
pub fn of_bridge(inputs: &Inputs, plan: &Plan, served: &Served) -> Vec<OfCar> {
    let cars = served.confirmations.iter().map(|one| one.car).unique();
    cars.map(|car| {
        let of_car = served.confirmations.iter().filter(|one| one.car == car);
        let grades = of_car.clone().map(|one| one.now).unique().sorted();
        let facts = grades.map(|now| {
            let same = of_car.clone().filter(|one| one.now == now);
            let facts = same.map(|one| (fact(one), &one.value)).dedup();
            (known(now).to_owned(), merged(facts.collect()))
        });
        OfCar { car, facts: facts.collect(), if_refused: if_refused(inputs, plan, served, car) }
    })
    .collect()
}

/// Of what is to confirm of the cars of a bridge, what is the same of all of them, and the rest car by car.
#[must_use]
pub fn shared(cars: Vec<OfCar>) -> (Vec<(String, Vec<String>)>, Vec<OfCar>) {
    let has = |car: &OfCar, known: &str, fact: &String| {
        car.facts.iter().any(|(other, facts)| other == known && facts.contains(fact))
    };
    let of_all = |known: &str, fact: &String| cars.iter().all(|car| has(car, known, fact));
    let Some(first) = cars.first().filter(|_| cars.len() > 1) else { return (Vec::new(), cars) };
    let kept = |car: &OfCar, in_all: bool| -> Vec<(String, Vec<String>)> {
        let facts = car.facts.iter().map(|(known, facts)| {
            let facts = facts.iter().filter(|fact| of_all(known, fact) == in_all).cloned();
            (known.clone(), facts.collect::<Vec<_>>())
        });
        facts.filter(|(_, facts)| !facts.is_empty()).collect()
    };
    let all = kept(first, true);
    let rest = cars.iter().map(|car| OfCar { facts: kept(car, false), ..car.clone() }).collect();
    (all, rest)
}

/// What a dealer is asked to confirm of a car, wherever it goes, in words; empty where nothing is.
#[must_use]
pub fn asked_of(plan: &Plan, car: CarIx) -> String {
    let served = plan.crossings.iter().filter_map(CrossingPlan::served);
    let of_car = served.flat_map(|served| &served.confirmations).filter(|one| one.car == car);
    let facts = of_car
        .map(|one| (fact(one), &one.value))
        .unique_by(|(name, value)| (*name, value.to_string()));
    merged(facts.collect()).join("; ")
}

/// The value that a fact of a car must have in its deck, in words; none where it is not asked for.
#[must_use]
pub fn needed(of: &[Confirmation], car: CarIx, column: Inventory) -> Option<String> {
    let mut of_car = of.iter().filter(|one| one.car == car);
    let one = of_car.find(|one| one.fact == column)?;
    Some(one.value.to_string()).filter(|words| !words.is_empty())
}

/// How a fact is known now.
#[must_use]
pub fn known(now: Option<Grade>) -> &'static str {
    now.map_or("unknown", Grade::words)
}

/// Facts that must be alike are told together.
fn merged(facts: Vec<(&'static str, &Limit)>) -> Vec<String> {
    let runs = facts.into_iter().chunk_by(|(_, value)| (*value).clone());
    let runs = runs.into_iter().map(|(value, run)| (run.map(|(name, _)| name).join(", "), value));
    runs.map(|(names, value)| with_value(&names, &value)).collect()
}

/// A fact with what it must be: `camber from 0.25 in to 2.25 in`.
fn with_value(name: &str, value: &Limit) -> String {
    match value {
        Limit::None => name.to_owned(),
        Limit::OneOf(_) | Limit::Words(_) => format!("{name} ({value})"),
        _ => format!("{name} {value}"),
    }
}

/// The name of what is to confirm.
#[must_use]
pub fn fact(one: &Confirmation) -> &'static str {
    match (one.kind, one.fact) {
        (FactKind::Plates, _) => "main girder's plates, section modulus",
        (FactKind::Web, Inventory::Webs) => "web and flanges",
        _ => one.fact.fact().label,
    }
}

/// What follows if a car of a bridge is refused.
#[must_use]
pub fn if_refused(inputs: &Inputs, plan: &Plan, served: &Served, car: CarIx) -> String {
    let net = plan.totals.net;
    match served.if_refused(car) {
        Some(IfRefused::Instead(other)) => {
            let now: Vec<CarIx> =
                served.decks.iter().flat_map(|deck| &deck.cars).map(|p| p.car).collect();
            let then = other.decks.concat();
            let new = then.iter().filter(|other| !now.contains(other)).unique();
            let new = new.map(|&other| inputs.car(other).name()).join(" + ");
            let instead = if new.is_empty() { "an identical car".to_owned() } else { new };
            format!(
                "{instead} instead, {} more; the plan then costs {} net.",
                other.extra,
                net + other.extra
            )
        }
        Some(IfRefused::Without(Some(change))) => format!(
            "no other deck, the rest of the plan as it is: the crossing goes without, and the plan \
             costs {} net.",
            net + *change
        ),
        Some(IfRefused::Without(None)) => "no other deck, the rest of the plan as it is: the \
             crossing goes without, and a minimum order is no longer met."
            .to_owned(),
        Some(IfRefused::NotWorkedOut) | None => {
            "not worked out, the time was up: plan again without the car.".to_owned()
        }
    }
}
