//! V12: the decisions, read once more against the finished plan.

use std::collections::BTreeMap;

use super::no_faults;
use crate::check::{Check, Code};
use crate::model::car::Car;
use crate::model::columns::Columns as _;
use crate::model::decision::{Decision, Goods, Part, What};
use crate::model::inputs::{CarIx, Inputs};
use crate::model::inventory::Inventory;
use crate::model::plan::{CrossingPlan, Plan};
use crate::quantity::Cents;

/// V12: from the decisions as written, not from what was made of them.
pub fn decisions_kept(inputs: &Inputs, plan: &Plan) -> Check {
    let mut faults = Vec::new();
    let mut paid = Cents::ZERO;
    for decision in &inputs.decided.list {
        paid += price_paid(decision);
        faults.extend(fault(inputs, plan, decision).map(|fault| {
            format!("{} (decided at {}): {fault}", decision.sentence(), decision.place)
        }));
    }
    if paid != inputs.decided.paid {
        faults.push(format!("paid already are {paid}, not {}", inputs.decided.paid));
    }
    no_faults(Code::DecisionsKept, faults)
}

/// What a decision paid.
fn price_paid(decision: &Decision) -> Cents {
    match &decision.what {
        What::Bought { goods: Goods::Lot { .. }, price } => *price,
        // Only a row of one car needs no count.
        What::Bought { price, .. } => {
            *price * decision.part.as_ref().map_or(1, |p| i64::from(p.count))
        }
        _ => Cents::ZERO,
    }
}

/// The rows that a decision on a car names: the part that it made, else the row. A part made of a
/// part later is another row.
fn rows<'a>(
    inputs: &'a Inputs,
    decision: &'a Decision,
    goods: &'a Goods,
) -> impl Iterator<Item = CarIx> + 'a {
    inputs.car_indices().filter(move |ix| {
        let car = inputs.car(*ix);
        match (goods, &decision.part) {
            (Goods::Car { dealer, .. }, Some(Part { name: Some(name), .. })) => {
                car.dealer == *dealer && car.id == *name
            }
            (Goods::Car { dealer, car: id }, _) => car.dealer == *dealer && car.id == *id,
            (Goods::Lot { .. }, _) => false,
        }
    })
}

/// How often a car stands in the decks of each crossing.
fn places(inputs: &Inputs, plan: &Plan, car: CarIx) -> BTreeMap<String, u32> {
    let mut places = BTreeMap::new();
    for crossing in &plan.crossings {
        let cars = crossing.served().into_iter().flat_map(|served| &served.decks);
        let here = cars.flat_map(|deck| &deck.cars).filter(|placed| placed.car == car).count();
        if here > 0 {
            places.insert(inputs.crossing(crossing.crossing).id.clone(), here as u32);
        }
    }
    places
}

fn fault(inputs: &Inputs, plan: &Plan, decision: &Decision) -> Option<String> {
    let of = |goods| rows(inputs, decision, goods);
    match &decision.what {
        What::Bought { goods: Goods::Lot { dealer, lot }, .. } => {
            let bought = plan.purchases.iter().flat_map(|yard| &yard.lots);
            let again = bought.map(|purchase| inputs.lot(purchase.lot));
            again
                .into_iter()
                .any(|other| other.name == *lot && other.dealer == *dealer)
                .then(|| "is bought again".to_owned())
        }
        What::Bought { goods, .. } => {
            let singles = || plan.purchases.iter().flat_map(|yard| &yard.singles);
            let again = of(goods).any(|car| singles().any(|single| single.car == car));
            again.then(|| "is bought again".to_owned())
        }
        What::Sold(goods @ Goods::Car { .. }) | What::Refused(goods) => {
            let placed = of(goods).any(|car| !places(inputs, plan, car).is_empty());
            placed.then(|| "is placed".to_owned())
        }
        What::Sold(Goods::Lot { dealer, lot }) => {
            let lots = plan.purchases.iter().flat_map(|yard| &yard.lots);
            let mut lots = lots.map(|purchase| inputs.lot(purchase.lot));
            lots.any(|other| other.name == *lot && other.dealer == *dealer)
                .then(|| "is bought".to_owned())
        }
        What::Fixed { goods, crossing } => of(goods).find_map(|car| {
            let places = places(inputs, plan, car);
            let elsewhere = places.keys().find(|place| *place != crossing);
            if let Some(place) = elsewhere {
                return Some(format!("lies at {place}"));
            }
            let served = served(inputs, plan, crossing);
            let all = places.get(crossing) == Some(&inputs.car(car).quantity);
            (served && !all).then(|| "the crossing is served without it".to_owned())
        }),
        What::Measured { goods, values, columns, .. } => of(goods).find_map(|car| {
            differing(inputs.car(car), values, columns)
                .map(|column| format!("{column} is not as measured"))
        }),
        What::Dropped(id) => {
            let there = inputs.crossings.iter().any(|crossing| crossing.id == *id);
            there.then(|| "is planned for".to_owned())
        }
        What::Added(added) => {
            let there = inputs.crossings.iter().any(|crossing| crossing.id == added.id);
            (!there).then(|| "is not planned for".to_owned())
        }
        What::Reserved { .. } | What::Quoted { .. } | What::Answered(_) | What::Different(_) => {
            None
        }
    }
}

fn served(inputs: &Inputs, plan: &Plan, id: &str) -> bool {
    let of = |crossing: &&CrossingPlan| inputs.crossing(crossing.crossing).id == id;
    plan.crossings.iter().find(of).is_some_and(|crossing| crossing.served().is_some())
}

/// The first measure by which cars are matched or carried that is not the one measured.
fn differing(car: &Car, values: &Car, columns: &[Inventory]) -> Option<&'static str> {
    let same = |column: &Inventory| match column {
        Inventory::Camber => car.camber == values.camber,
        Inventory::TruckCenters => car.truck_centers == values.truck_centers,
        Inventory::Width => car.width == values.width,
        Inventory::Length => car.length == values.length,
        Inventory::Weight => car.weight == values.weight,
        Inventory::Section => car.section == values.section,
        Inventory::Modulus => car.girder.stated_modulus == values.girder.stated_modulus,
        Inventory::Webs => car.girder.plates == values.girder.plates,
        Inventory::MainGirder => car.members.main_girder == values.members.main_girder,
        Inventory::ExteriorGirders => {
            car.members.exterior_girders == values.members.exterior_girders
        }
        Inventory::Bolsters => car.members.bolsters == values.members.bolsters,
        _ => true,
    };
    let other = columns.iter().find(|column| !same(column))?;
    Some(other.column().name)
}
