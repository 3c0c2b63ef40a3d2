//! S31: no two facts of the car contradict each other.

use std::collections::HashMap;

use super::Screening;
use crate::check::{Check, Code, Grade, Limit, Outcome, Value};
use crate::evidence;
use crate::model::car::Car;
use crate::model::inputs::{CarIx, Inputs};
use crate::model::inventory::Inventory as C;
use crate::quantity::{KipsPerFoot, Ksi};
use crate::rate::steel::by_year;

/// Weights per foot of the cars of each section, rising.
pub struct WeightsOfSections(HashMap<String, Vec<f64>>);

impl WeightsOfSections {
    pub fn of(inputs: &Inputs) -> Self {
        let mut all: HashMap<String, Vec<f64>> = HashMap::new();
        for car in &inputs.cars {
            if let (Some(section), Some(weight)) = (&car.section, per_foot(car)) {
                all.entry(section.clone()).or_default().push(weight);
            }
        }
        all.values_mut().for_each(|weights| weights.sort_by(f64::total_cmp));
        Self(all)
    }

    /// The middle one of the others of a car's section; of two in the middle the one nearer to its own.
    fn of_sisters(&self, car: &Car, own: f64) -> Option<f64> {
        let weights = self.0.get(car.section.as_deref()?)?;
        let place = weights.partition_point(|weight| *weight < own);
        let others = weights.len().checked_sub(1).filter(|others| *others > 0)?;
        let other = |at: usize| weights.get(at + usize::from(at >= place)).copied();
        let (low, high) = (other((others - 1) / 2)?, other(others / 2)?);
        Some(if (own - low).abs() <= (own - high).abs() { low } else { high })
    }
}

fn per_foot(car: &Car) -> Option<f64> {
    let (weight, length) = (car.weight?.0, car.length?.0);
    (length > 0.0).then(|| weight / length)
}

/// S31: asked of cars of which two facts contradict each other.
pub fn facts(screening: &Screening, ix: CarIx) -> Vec<Check> {
    let inputs = screening.inputs;
    let car = inputs.car(ix);
    let found = [weight(screening, car), steel(inputs, car)];
    let answered = |mut check: Check, names: &[&str]| {
        let answer = inputs.decided.answered.get(&ix).and_then(|&at| inputs.decided.list.get(at));
        let answer = answer.filter(|decision| {
            let note = decision.note.as_deref().unwrap_or_default().to_lowercase();
            names.iter().any(|name| note.contains(name))
        });
        if let Some(decision) = answer {
            let note = decision.note.as_deref().unwrap_or_default();
            check.outcome = Outcome::Caution;
            check.note = format!("{}; answered at {}: {note}", check.note, decision.place);
        }
        check
    };
    let names: [&[&str]; 2] = [&["weight", "weigh"], &["yield", "steel", "year"]];
    let found = found.into_iter().zip(names);
    found.filter_map(|(check, names)| Some(answered(check?, names))).collect()
}

/// Whether all these facts were found out and not only told.
fn outcome(inputs: &Inputs, car: &Car, facts: &[(C, Grade)]) -> Outcome {
    let known =
        |(fact, least): &(C, Grade)| evidence::of(car, *fact, &inputs.rules).grade >= *least;
    if facts.iter().all(known) { Outcome::Caution } else { Outcome::Unknown }
}

fn weight(screening: &Screening, car: &Car) -> Option<Check> {
    let inputs = screening.inputs;
    let own = per_foot(car)?;
    let all = screening.weights.get_or_init(|| WeightsOfSections::of(inputs));
    let sisters = all.of_sisters(car, own)?;
    let apart = 1.0 + inputs.rules.evidence.weight_from_sisters_pct.fraction();
    let (least, most) = (sisters / apart, sisters * apart);
    if (least..=most).contains(&own) {
        return None;
    }
    let value = |per_foot: f64| Value::KipsPerFoot(KipsPerFoot(per_foot));
    let limit = Limit::Between(value(least), value(most));
    let facts = [(C::Weight, Grade::Inspected), (C::Length, Grade::Inspected)];
    let outcome = outcome(inputs, car, &facts);
    let note = format!("by the weights of section {}", car.section.as_deref().unwrap_or_default());
    Some(Check::new(Code::FactsAgree, value(own), limit, outcome).part("weight").note(note))
}

fn steel(inputs: &Inputs, car: &Car) -> Option<Check> {
    let (stated, year) = (car.steel_yield?, car.year_built?);
    let table = by_year(Some(year), &inputs.rules.steel_by_year)?.strength;
    let most = Ksi(table.0 * inputs.rules.evidence.yield_ratio_max);
    if stated <= most {
        return None;
    }
    let facts = [(C::Yield, Grade::Documented), (C::YearBuilt, Grade::Inspected)];
    let outcome = outcome(inputs, car, &facts);
    let note = format!("built in {year}, for which the table has {table}");
    let limit = Limit::AtMost(Value::Ksi(most));
    Some(
        Check::new(Code::FactsAgree, Value::Ksi(stated), limit, outcome)
            .part("yield strength")
            .note(note),
    )
}
