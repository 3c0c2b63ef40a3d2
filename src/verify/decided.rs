//! V12: the decisions, read once more against the finished plan.

use std::collections::BTreeMap;

use super::no_faults;
use crate::check::{Check, Code};
use crate::model::car::Car;
use crate::model::columns::Columns as _;
use crate::model::crossing::Crossing;
use crate::model::crossing_columns::CrossingColumn;
use crate::model::decision::{Decision, Goods, Part, What};
use crate::model::inputs::{CarIx, Inputs};
use crate::model::inventory::Inventory;
use crate::model::plan::{CrossingPlan, Plan};
use crate::quantity::{Cents, Feet};

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
        What::Dropped(id) => (is_asked(inputs, id) && !is_added_after(inputs, decision, id))
            .then(|| "is planned for".to_owned()),
        What::Added(added) => {
            let done = inputs.decided.list.iter().any(|other| match &other.what {
                What::Built { crossing, .. } | What::Dropped(crossing) => *crossing == added.id,
                _ => false,
            });
            (!is_asked(inputs, &added.id) && !done).then(|| "is not planned for".to_owned())
        }
        What::Changed { crossing, values, columns } => {
            let found = inputs.crossings.iter().find(|other| other.id == *crossing)?;
            let name = unchanged(found, values, columns)?;
            Some(format!("{name} is not as changed"))
        }
        What::Built { crossing, cars, .. } => {
            let there = is_asked(inputs, crossing).then(|| "is planned for".to_owned());
            there.or_else(|| {
                let lies = |ix: &CarIx| {
                    let car = inputs.car(*ix);
                    let full = format!("{} {}", car.dealer, car.id);
                    let named = cars.iter().any(|name| *name == car.id || *name == full);
                    named || is_fixed(inputs, car, crossing)
                };
                let mut built = inputs.car_indices().filter(lies);
                let again = built.find(|car| !places(inputs, plan, *car).is_empty())?;
                Some(format!("{} is placed again", inputs.car(again).name()))
            })
        }
        What::Held(goods) => {
            let placed = of(goods).any(|car| !places(inputs, plan, car).is_empty());
            placed.then(|| "is placed".to_owned())
        }
        What::Reserved { .. } | What::Quoted { .. } | What::Answered(_) | What::Different(_) => {
            None
        }
    }
}

fn is_asked(inputs: &Inputs, id: &str) -> bool {
    inputs.crossings.iter().any(|crossing| crossing.id == id)
}

/// Whether a crossing that this decision drops is added by a later one.
fn is_added_after(inputs: &Inputs, dropped: &Decision, id: &str) -> bool {
    let after = inputs.decided.list.iter().filter(|other| other.place.line > dropped.place.line);
    after.into_iter().any(|other| matches!(&other.what, What::Added(added) if added.id == id))
}

/// Whether a decision sends the car to this crossing.
fn is_fixed(inputs: &Inputs, car: &Car, id: &str) -> bool {
    inputs.decided.list.iter().any(|decision| match &decision.what {
        What::Fixed { goods: Goods::Car { dealer, car: row }, crossing } => {
            let part = decision.part.as_ref().and_then(|part| part.name.as_ref());
            crossing == id && *dealer == car.dealer && *part.unwrap_or(row) == car.id
        }
        _ => false,
    })
}

/// The first fact of a crossing by which its bridge is chosen that is not the changed one.
fn unchanged(
    found: &Crossing,
    values: &Crossing,
    columns: &[CrossingColumn],
) -> Option<&'static str> {
    let spans = |crossing: &Crossing, piers: bool| -> Vec<Vec<Feet>> {
        let layouts = crossing.layouts.iter().filter(|layout| (layout.spans.len() > 1) == piers);
        layouts.map(|layout| layout.spans.clone()).collect()
    };
    let same = |column: &CrossingColumn| match column {
        CrossingColumn::Span => spans(found, false) == spans(values, false),
        CrossingColumn::PierLayouts => spans(found, true) == spans(values, true),
        CrossingColumn::ClearWidth => found.clear_width == values.clear_width,
        CrossingColumn::Vehicles => found.vehicles == values.vehicles,
        CrossingColumn::Deck => found.deck_system == values.deck_system,
        CrossingColumn::MostAbreast => found.most_abreast == values.most_abreast,
        CrossingColumn::HaulLength => found.haul_length_limit == values.haul_length_limit,
        CrossingColumn::HaulWeight => found.haul_weight_limit == values.haul_weight_limit,
        CrossingColumn::HaulWidth => found.haul_width_limit == values.haul_width_limit,
        CrossingColumn::Crane => found.crane_limit == values.crane_limit,
        CrossingColumn::Priority => found.priority == values.priority,
        CrossingColumn::NeededBy => found.needed_by == values.needed_by,
        CrossingColumn::NoHaul => found.no_haul == values.no_haul,
        CrossingColumn::NoStreamWork => found.no_stream_work == values.no_stream_work,
        CrossingColumn::LeastPosting => found.least_posting == values.least_posting,
        _ => true,
    };
    let other = columns.iter().find(|column| !same(column))?;
    Some(other.column().name)
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
