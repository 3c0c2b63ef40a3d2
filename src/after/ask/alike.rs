//! What the answer about one car must be beside its neighbors: those that are known give ends, and
//! those that are asked about too must only be alike.

use super::{Alike, Hypothesis};
use crate::check::{Limit, Value};
use crate::choose::Choice;
use crate::confirm::camber_window;
use crate::model::car::Car;
use crate::model::inputs::{CarIx, CrossingIx, Site};
use crate::model::inventory::Inventory as C;
use crate::quantity::{Feet, Inches, Percent};

/// A fact that the cars of one deck have in common.
struct Common {
    of: fn(&Car) -> Option<f64>,
    value: fn(f64) -> Value,
    within: f64,
}

impl Common {
    fn of(supposed: &Hypothesis, fact: C) -> Option<Self> {
        let group = &supposed.inputs.rules.group;
        let inches = |number| Value::Inches(Inches(number));
        let feet = |number| Value::Feet(Feet(number));
        Some(match fact {
            C::ExteriorDepth => Self {
                of: |car| car.exterior_depth.map(|depth| depth.0),
                value: inches,
                within: group.exterior_depth_tolerance_in.0,
            },
            C::Camber => Self {
                of: |car| car.camber.map(|camber| camber.0),
                value: inches,
                within: group.camber_tolerance_in.0.min(group.camber_step_in.0),
            },
            C::TruckCenters => Self {
                of: |car| car.truck_centers.map(|centers| centers.0),
                value: feet,
                within: group.truck_centers_tolerance_ft.0,
            },
            C::Length => Self {
                of: |car| car.length.map(|length| length.0),
                value: feet,
                within: group.length_tolerance_ft.0,
            },
            _ => return None,
        })
    }
}

/// The decks of a choice that hold a car: where, and the cars beside it.
fn decks(choice: &Choice, car: CarIx) -> impl Iterator<Item = (Site, Vec<CarIx>)> + '_ {
    let chosen = (0..).zip(&choice.crossings).filter_map(|(at, c)| Some((at, c.as_ref()?)));
    let decks = chosen.flat_map(|(number, chosen)| {
        let site = move |span| Site { crossing: CrossingIx(number), layout: chosen.layout, span };
        chosen.decks.iter().enumerate().map(move |(span, deck)| (site(span), deck))
    });
    decks.filter_map(move |(site, deck)| {
        let mut beside: Vec<CarIx> = deck.iter().map(|offer| CarIx(*offer)).collect();
        let own = beside.iter().position(|other| *other == car)?;
        beside.remove(own);
        Some((site, beside))
    })
}

/// What the answer must be: at least `least`, near the neighbors that are known, and like those that are
/// asked about too. None where the fact is no measure that neighbors have in common.
pub(super) fn beside(
    supposed: &Hypothesis,
    choice: &Choice,
    (car, fact): (CarIx, C),
    least: Option<f64>,
) -> Option<(Limit, Option<Alike>)> {
    let common = Common::of(supposed, fact)?;
    let (mut least, mut most) = (least, None::<f64>);
    let mut alike = Vec::new();
    for (_, others) in decks(choice, car) {
        if fact == C::Camber {
            let open = |other: &CarIx| supposed.supposed(*other).any(|asked| asked == fact);
            let known = others.iter().filter(|other| !open(other));
            let known = known.filter_map(|other| (common.of)(supposed.inputs.car(*other)));
            let (low, high) = camber_window(known.collect(), &supposed.inputs.rules);
            least = Some(least.map_or(low, |least| least.max(low)));
            most = most.into_iter().chain(high).reduce(f64::min);
            alike.extend(others.into_iter().filter(|other| *other != car && open(other)));
            continue;
        }
        for other in others.into_iter().filter(|other| *other != car) {
            if supposed.supposed(other).any(|asked| asked == fact) {
                alike.push(other);
            } else if let Some(known) = (common.of)(supposed.inputs.car(other)) {
                let low = known - common.within;
                least = Some(least.map_or(low, |least| least.max(low)));
                let high = known + common.within;
                most = Some(most.map_or(high, |most| most.min(high)));
            }
        }
    }
    let value = match (least, most) {
        (Some(least), Some(most)) => Limit::Between((common.value)(least), (common.value)(most)),
        (Some(least), None) => Limit::AtLeast((common.value)(least)),
        (None, Some(most)) => Limit::AtMost((common.value)(most)),
        (None, None) => Limit::None,
    };
    alike.sort_unstable();
    alike.dedup();
    let within = (common.value)(common.within);
    Some((value, (!alike.is_empty()).then_some(Alike { cars: alike, within })))
}

/// Cars whose stiffness is asked for beside this one's, and by how much they may differ.
pub(super) fn as_stiff(supposed: &Hypothesis, choice: &Choice, car: CarIx) -> Option<Alike> {
    let asked = |other: &CarIx| supposed.asked(*other).any(|fact| fact == C::Modulus);
    let others = decks(choice, car).flat_map(|(_, others)| others);
    let mut cars: Vec<CarIx> = others.filter(|other| *other != car && asked(other)).collect();
    cars.sort_unstable();
    cars.dedup();
    let within: Percent = supposed.inputs.rules.group.stiffness_tolerance_pct;
    (!cars.is_empty()).then_some(Alike { cars, within: Value::Percent(within) })
}

/// The least that a fact must be at a crossing whatever lies beside it.
pub(super) fn least_alone(
    supposed: &Hypothesis,
    choice: &Choice,
    car: CarIx,
    fact: C,
) -> Option<f64> {
    match fact {
        C::TruckCenters => {
            let spans = decks(choice, car).map(|(site, _)| supposed.inputs.span(site).0);
            spans.reduce(f64::max)
        }
        _ => None,
    }
}
