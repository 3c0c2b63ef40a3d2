//! The shortest list of questions: which facts, if they turn out well enough, open which crossings.
//!
//! Every fact of a car that is unknown, and that no known fact makes useless, is taken to be as good as
//! it must be. Of all plans of that market the one is chosen that serves most, by priority; of those one
//! with the least weight of questions, a yard visit counting once for its yard; of those the cheapest.
//! Budget and funds are left out: what is asked comes before what is spent. What is known and fails
//! stays out, and so does a car whose list tells bad news that nobody has answered.
//!
//! A limit of the way to a crossing that the crossings file leaves blank is a question to the agency itself,
//! wherever that crossing is served.
//!
//! The plan that comes of it is conditional. It is verified like any other, from inputs in which each
//! fact asked for has the least value that serves; it is no purchase.

mod alike;
mod hypothesis;
mod search;
mod settled;

use std::collections::{BTreeMap, BTreeSet};

use crate::assemble::market;
use crate::check::{Limit, Value};
use crate::choose::{Choice, Effort};
use crate::model::inputs::{CarIx, CrossingIx, Inputs, YardIx};
use crate::model::inventory::Inventory;
use crate::model::plan::Plan;
use crate::survey::Survey;

use settled::Settled;

pub use hypothesis::{Hypothesis, Route, hypothesis};

/// One fact to ask for.
#[derive(Clone, Debug, PartialEq)]
pub struct Question {
    /// The car.
    pub car: CarIx,
    /// The fact.
    pub fact: Inventory,
    /// What it must be; words where it has no measure.
    pub value: Limit,
    /// Cars asked about the same, which must be alike.
    pub alike: Option<Alike>,
    /// The crossings that it helps to open.
    pub opens: BTreeSet<CrossingIx>,
}

/// Cars whose answers must lie near each other, whatever they are.
#[derive(Clone, Debug, PartialEq)]
pub struct Alike {
    /// The other cars.
    pub cars: Vec<CarIx>,
    /// By how much they may differ.
    pub within: Value,
}

/// One limit of the way to a crossing to find out.
#[derive(Clone, Debug, PartialEq)]
pub struct RouteQuestion {
    /// The crossing.
    pub crossing: CrossingIx,
    /// The limit.
    pub route: Route,
    /// The least that it must be.
    pub value: Limit,
}

/// The questions, and what they would open.
#[derive(Clone, Debug)]
pub struct Asked {
    /// The questions, yard by yard and car by car.
    pub questions: Vec<Question>,
    /// What the agency has to find out itself, crossing by crossing.
    pub routes: Vec<RouteQuestion>,
    /// Yards where something is asked.
    pub visits: BTreeSet<YardIx>,
    /// What questions and visits weigh together.
    pub weight: u64,
    /// Crossings served if every answer is as needed.
    pub served: BTreeSet<CrossingIx>,
    /// The inputs with each fact asked for as it must be at least.
    pub inputs: Inputs,
    /// The conditional plan, verified; none where one row of several alike would have to be two things.
    pub plan: Option<Plan>,
    /// Whether no list of less weight opens as many, by priority.
    pub proven: bool,
}

/// Asks which facts would open crossings.
#[must_use]
pub fn ask(inputs: &Inputs, effort: &Effort) -> Asked {
    let end = effort.deadline();
    let supposed = hypothesis(inputs);
    let survey = Survey::new(&supposed.inputs);
    let mut market = market(&supposed.inputs, &survey, None);
    market.funds.clear();
    market.crossings.iter_mut().for_each(|demand| demand.fund = None);
    supposed.free(&mut market);
    let found = search::least_questions(inputs, &supposed, &market, effort, end);
    let settled = settled::settle(&supposed, &market, &found.choice, effort);
    let mut questions = Vec::new();
    let mut by_car: BTreeMap<CarIx, BTreeSet<CrossingIx>> = BTreeMap::new();
    for (number, chosen) in found.choice.crossings.iter().enumerate() {
        for &offer in chosen.iter().flat_map(|chosen| chosen.decks.iter().flatten()) {
            by_car.entry(CarIx(offer)).or_default().insert(CrossingIx(number));
        }
    }
    for (&car, crossings) in &by_car {
        for fact in supposed.asked(car) {
            let concerned = |at: &&CrossingIx| supposed.concerns(fact, inputs.crossing(**at));
            let opens: BTreeSet<_> = crossings.iter().filter(concerned).copied().collect();
            if !opens.is_empty() {
                let (value, alike) =
                    answer(&supposed, &found.choice, &settled, (car, fact), &opens);
                questions.push(Question { car, fact, value, alike, opens });
            }
        }
    }
    let routes = settled::routes(&supposed, &found.choice);
    questions.sort_by_key(|question| (inputs.car(question.car).yard, question.car));
    let served = (0..).zip(&found.choice.crossings).filter(|(_, chosen)| chosen.is_some());
    Asked {
        visits: questions.iter().map(|question| inputs.car(question.car).yard).collect(),
        weight: found.weight,
        served: served.map(|(number, _)| CrossingIx(number)).collect(),
        questions,
        routes,
        inputs: settled.inputs,
        plan: settled.plan,
        proven: found.proven,
    }
}

/// What the answer to a question must be, and with which others it must go.
fn answer(
    supposed: &Hypothesis,
    choice: &Choice,
    settled: &Settled,
    (car, fact): (CarIx, Inventory),
    opens: &BTreeSet<CrossingIx>,
) -> (Limit, Option<Alike>) {
    if fact == Inventory::Available {
        return (settled::leaves(&supposed.inputs, car, opens), None);
    }
    if supposed.supposed(car).any(|unknown| unknown == fact) {
        let alone = match fact {
            Inventory::ExteriorDepth => settled.depths.get(&car).map(|depth| depth.0),
            _ => alike::least_alone(supposed, choice, car, fact),
        };
        if let Some(found) = alike::beside(supposed, choice, (car, fact), alone) {
            return found;
        }
    }
    let stiff = || alike::as_stiff(supposed, choice, car);
    let alike = if fact == Inventory::Modulus { stiff() } else { None };
    (settled::value(settled.plan.as_ref(), &settled.moduli, car, fact), alike)
}
