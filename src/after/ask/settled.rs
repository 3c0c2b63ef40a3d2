//! The conditional plan: each fact asked for has the least value that serves where its cars lie.

use std::collections::{BTreeMap, BTreeSet};

use super::{Hypothesis, Route, RouteQuestion};
use crate::assemble::{self, PlanOptions};
use crate::check::{Limit, Value};
use crate::choose::{Choice, Effort, Market};
use crate::confirm::least_modulus;
use crate::group::Candidate;
use crate::model::car::Car;
use crate::model::closed::Closed;
use crate::model::inputs::{CarIx, CrossingIx, Inputs, Site};
use crate::model::inventory::Inventory as C;
use crate::model::plan::{CrossingPlan, Plan};
use crate::quantity::{CubicInches, Feet, Inches, Kips};
use crate::rate::{SpanLoads, Stiffness};
use crate::survey::Survey;

/// The conditional plan, what it stands on, and the least depths and moduli that it needs.
pub(super) struct Settled {
    pub plan: Option<Plan>,
    pub inputs: Inputs,
    pub depths: BTreeMap<CarIx, Inches>,
    pub moduli: BTreeMap<CarIx, CubicInches>,
}

/// The plan of a choice and the inputs that it stands on; no plan where they cannot be made to fit.
pub(super) fn settle(
    supposed: &Hypothesis,
    market: &Market,
    choice: &Choice,
    effort: &Effort,
) -> Settled {
    let mut inputs = supposed.inputs.clone();
    inputs.rules.fund.clear();
    inputs.rules.grant.clear();
    inputs.conditional = true;
    let (depths, moduli) = needed(supposed, market, choice);
    for (&car, &depth) in &depths {
        inputs.cars[car.0].exterior_depth = Some(depth);
    }
    for (&car, &modulus) in &moduli {
        // A modulus that the list states, and nobody vouches for yet, stays as stated.
        let stated = &mut inputs.cars[car.0].girder.stated_modulus;
        if stated.is_none_or(|stated| stated.0 >= super::hypothesis::MOST) {
            *stated = Some(modulus);
        }
    }
    for asked in routes(supposed, choice) {
        if let Limit::AtLeast(value) = &asked.value {
            let limit = value.number().unwrap_or_default();
            asked.route.set(&mut inputs.crossings[asked.crossing.0], limit);
        }
    }
    let survey = Survey::new(&inputs);
    let own = assemble::market(&inputs, &survey, None);
    let fits = (0..).zip(&choice.crossings).all(|(crossing, chosen): (usize, _)| {
        chosen.as_ref().is_none_or(|chosen| {
            let of = |market: &Market| {
                Some(market.crossings.get(crossing)?.layouts.get(chosen.layout)?.layout)
            };
            of(&own).is_some() && of(&own) == of(market)
        })
    });
    if !fits {
        return Settled { plan: None, inputs, depths, moduli };
    }
    let options = PlanOptions { budget: None, effort: *effort };
    let made = assemble::planned(&inputs, &survey, own, choice.clone(), &options);
    Settled { plan: made.ok().map(|solved| solved.plan), inputs, depths, moduli }
}

/// What the cars laid ask of the ways to their crossings, as far as that is not known.
pub(super) fn routes(supposed: &Hypothesis, choice: &Choice) -> Vec<RouteQuestion> {
    let inputs = &supposed.inputs;
    let factor = inputs.rules.screen.pick_weight_factor;
    let mut asked = Vec::new();
    for (number, chosen) in choice.crossings.iter().enumerate() {
        let Some(chosen) = chosen else { continue };
        for &route in supposed.routes(CrossingIx(number)) {
            let cars = chosen.decks.iter().flatten().map(|offer| inputs.car(CarIx(*offer)));
            let least = cars.map(|car| route.of(car, factor)).fold(0.0, f64::max);
            let value = match route {
                Route::Length | Route::Width => Value::Feet(Feet(least)),
                Route::Weight | Route::Crane => Value::Kips(Kips(least)),
            };
            let crossing = CrossingIx(number);
            asked.push(RouteQuestion { crossing, route, value: Limit::AtLeast(value) });
        }
    }
    asked
}

/// The least depths of exterior girders and the least moduli that the decks of a choice need.
fn needed(
    supposed: &Hypothesis,
    market: &Market,
    choice: &Choice,
) -> (BTreeMap<CarIx, Inches>, BTreeMap<CarIx, CubicInches>) {
    let inputs = &supposed.inputs;
    let (group, rules) = (&inputs.rules.group, &inputs.rules);
    let mut depths: BTreeMap<CarIx, Inches> = BTreeMap::new();
    let mut moduli: BTreeMap<CarIx, CubicInches> = BTreeMap::new();
    for (number, chosen) in choice.crossings.iter().enumerate() {
        let Some(chosen) = chosen else { continue };
        let Some(layout) = market.crossings[number].layouts.get(chosen.layout) else { continue };
        for (span, (demand, deck)) in layout.spans.iter().zip(&chosen.decks).enumerate() {
            let site = Site { crossing: CrossingIx(number), layout: layout.layout, span };
            let of = |offer: &usize| demand.candidates.iter().find(|c| c.offer == *offer);
            let candidates: Vec<&Candidate> = deck.iter().filter_map(of).collect();
            let widths = candidates.iter().map(|candidate| candidate.fit.width).sum();
            let asks = |car: CarIx, fact: C| supposed.supposed(car).any(|asked| asked == fact);
            let known = |fact: C, of: fn(&Car) -> Option<f64>| {
                let cars = deck.iter().map(|offer| CarIx(*offer));
                let cars = cars.filter(|car| !asks(*car, fact));
                cars.filter_map(|car| of(inputs.car(car))).reduce(f64::max)
            };
            let beside = known(C::ExteriorDepth, |car| car.exterior_depth.map(|depth| depth.0));
            let beside = beside.map(|deepest| deepest - group.exterior_depth_tolerance_in.0);
            // The shallowest girders under which the deck still has a joint.
            let joints = demand.rule.joints.iter().map(|joint| joint.depth_min);
            let enough = |depth: &Inches| {
                // The length of the cars changes what the joint costs, not whether there is one.
                let joint = demand.rule.joint_for(deck.len(), widths, *depth, Feet(0.0));
                joint.is_some_and(|joint| {
                    joint.joint.is_none_or(|at| demand.rule.joints[at].depth_min.0 <= depth.0)
                })
            };
            let joint = joints.filter(enough).min_by(|a, b| a.0.total_cmp(&b.0));
            let depth = joint.map(|depth| depth.0).into_iter().chain(beside).reduce(f64::max);
            let strong = known(C::Modulus, |car| Some(Stiffness::of(car)?.modulus.0));
            let over = 1.0 + group.stiffness_tolerance_pct.fraction();
            let loads = SpanLoads::at(inputs.crossing(site.crossing), site, rules);
            for car in deck.iter().map(|offer| CarIx(*offer)) {
                if let Some(depth) = depth.filter(|_| asks(car, C::ExteriorDepth)) {
                    let most = depths.entry(car).or_default();
                    *most = most.max(Inches(depth));
                }
                if asks(car, C::Modulus) {
                    let bending = least_modulus(inputs.car(car), &loads, rules).map(|m| m.0);
                    let beside = strong.map(|strong| strong / over);
                    let least = bending.into_iter().chain(beside).reduce(f64::max);
                    let most = moduli.entry(car).or_default();
                    *most = most.max(CubicInches(least.unwrap_or_default()));
                }
            }
        }
    }
    (depths, moduli)
}

/// The last day on which a car may leave its yard for these crossings.
pub(super) fn leaves(inputs: &Inputs, car: CarIx, crossings: &BTreeSet<CrossingIx>) -> Limit {
    let days = inputs.rules.purchase.lead_time_days;
    let last = crossings.iter().filter_map(|at| {
        let crossing = inputs.crossing(*at);
        let closed = Closed::of(inputs, inputs.car(car), crossing);
        closed.leaves_by(crossing.needed_by?, days)
    });
    let last = last.min();
    last.map_or(Limit::None, |day| Limit::AtMost(Value::Date(day)))
}

/// What the answer to a question must be.
pub(super) fn value(
    plan: Option<&Plan>,
    moduli: &BTreeMap<CarIx, CubicInches>,
    car: CarIx,
    fact: C,
) -> Limit {
    if let (Some(least), C::Modulus) = (moduli.get(&car), fact) {
        return Limit::AtLeast(Value::CubicInches(*least));
    }
    let served = plan.into_iter().flat_map(|plan| &plan.crossings).filter_map(CrossingPlan::served);
    let asked = served.flat_map(|served| &served.confirmations);
    let mut of_car = asked.filter(|one| one.car == car && one.fact == fact);
    match (of_car.next(), fact) {
        (Some(one), _) => one.value.clone(),
        (None, C::Price) => Limit::words("stated"),
        (None, C::QuoteExpires) => Limit::words("on the day of the order or later"),
        (None, _) => Limit::None,
    }
}
