//! Crossings, yards and hauls as GeoJSON (RFC 7946), for the agency's geographic information system.
//!
//! Positions are longitude, then latitude, in degrees of WGS 84, as the standard wants them; a haul
//! is the straight line between a yard and a crossing, not the road, and is cut in two where it
//! passes the antimeridian. Properties are numbers and texts, no lists, so that a table shows them;
//! `docs/json.md` describes each.

use itertools::Itertools;
use serde_json::{Value, json};

use crate::model::inputs::{CrossingIx, YardIx};
use crate::model::place::Position;
use crate::model::plan::{Fate, Served};
use crate::price;
use crate::quantity::{Cents, Feet};
use crate::report::drawing::map::flows;
use crate::report::facts::PlanReport;
use crate::report::facts::purchases::{cars_bought, destinations, price_of_cars};
use crate::report::facts::sign::put_up;
use crate::report::provenance::PageContext;

/// The whole plan as one feature collection: crossings, then yards, then hauls.
#[must_use]
pub fn plan(report: &PlanReport<'_>, context: &PageContext) -> String {
    let mut features = crossings(report);
    features.extend(yards(report));
    features.extend(hauls(report));
    let collection = json!({
        "type": "FeatureCollection",
        "plan_id": context.plan_id,
        "program": context.version,
        "agency": context.agency,
        "order_date": context.order_date,
        "features": features,
    });
    format!("{collection:#}\n")
}

fn crossings(report: &PlanReport<'_>) -> Vec<Value> {
    let crossings = report.plan.crossings.iter();
    crossings
        .map(|plan| {
            let crossing = report.inputs.crossing(plan.crossing);
            let layout = plan.served().map_or(0, |served| served.layout);
            let mut properties = json!({
                "kind": "crossing",
                "crossing": crossing.id,
                "road": crossing.road,
                "priority": crossing.priority,
                "needed_by": crossing.needed_by,
                "fund": crossing.fund,
                "served": plan.served().is_some(),
                "layout": crossing.layouts.get(layout).map(|layout| layout.describe()),
                "piers": crossing.layouts.get(layout).map(|layout| layout.piers()),
                "deck_system": crossing.deck_system,
                "clear_width_ft": crossing.clear_width,
                "vehicles": crossing.vehicles.join("; "),
            });
            match &plan.fate {
                Fate::Served(served) => served_properties(report, served, &mut properties),
                Fate::Unserved(unserved) => {
                    let reasons = unserved.reasons.iter();
                    let codes = reasons.clone().map(|check| check.code.id()).unique().join("; ");
                    properties["reason_codes"] = json!(codes);
                    properties["reasons"] = json!(reasons.map(|c| c.sentence()).join(". "));
                }
            }
            let geometry = json!({"type": "Point", "coordinates": pair(crossing.position)});
            feature(format!("crossing {}", crossing.id), geometry, properties)
        })
        .collect()
}

fn served_properties(report: &PlanReport<'_>, served: &Served, properties: &mut Value) {
    let placed = || served.decks.iter().flat_map(|deck| &deck.cars);
    let sign = put_up(served);
    let widest = served.decks.iter().map(|deck| deck.total_width).reduce(Feet::max);
    properties["posted"] = json!(!sign.is_empty());
    properties["posting"] = json!(sign.join("; "));
    properties["deck_width_ft"] = json!(widest);
    properties["cars"] = json!(placed().map(|p| report.inputs.car(p.car).name()).join("; "));
    properties["cars_placed"] = json!(placed().count());
    properties["cost_usd"] = json!(served.total().as_dollars());
    properties["cost_usd_cents"] = json!(served.total());
}

fn yards(report: &PlanReport<'_>) -> Vec<Value> {
    let yards = report.inputs.yards.iter().enumerate();
    yards
        .map(|(index, yard)| {
            let bought = report.plan.purchases.iter().find(|bought| bought.yard.0 == index);
            let price = bought.map_or(Cents::ZERO, |bought| price_of_cars(report.inputs, bought));
            let properties = json!({
                "kind": "yard",
                "dealer": yard.dealer,
                "yard": yard.name,
                "cars_bought": bought.map_or(0, cars_bought),
                "price_usd": price.as_dollars(),
            });
            let geometry = json!({"type": "Point", "coordinates": pair(yard.position)});
            feature(format!("yard {}, {}", yard.dealer, yard.name), geometry, properties)
        })
        .collect()
}

fn hauls(report: &PlanReport<'_>) -> Vec<Value> {
    let inputs = report.inputs;
    flows(inputs, report.plan)
        .into_iter()
        .map(|flow| {
            let (yard, crossing) = (inputs.yard(flow.yard), inputs.crossing(flow.crossing));
            let haul = &inputs.rules.haul;
            let miles = price::road_miles(yard.position, crossing.position, haul);
            let properties = json!({
                "kind": "haul",
                "dealer": yard.dealer,
                "yard": yard.name,
                "crossing": crossing.id,
                "cars": flow.cars,
                "road_mi": miles,
                "haul_usd": haul_cost(report, flow.yard, flow.crossing).as_dollars(),
            });
            let id = format!("haul {}, {} to {}", yard.dealer, yard.name, crossing.id);
            feature(id, line(yard.position, crossing.position), properties)
        })
        .collect()
}

/// The hauls of one yard's cars to one crossing, permits and escorts apart.
fn haul_cost(report: &PlanReport<'_>, yard: YardIx, crossing: CrossingIx) -> Cents {
    let purchases = report.plan.purchases.iter().filter(|purchase| purchase.yard == yard);
    let cars = purchases.flat_map(|purchase| {
        let lots = purchase.lots.iter().flat_map(|lot| &lot.placed);
        purchase.singles.iter().chain(&purchase.own).chain(lots)
    });
    let going = cars.flat_map(|cars| destinations(report.inputs, report.plan, cars.car));
    going.filter(|going| going.site.crossing == crossing).map(|going| going.haul).sum()
}

fn feature(id: String, geometry: Value, properties: Value) -> Value {
    json!({"type": "Feature", "id": id, "geometry": geometry, "properties": properties})
}

fn pair(position: Position) -> [f64; 2] {
    [position.longitude_deg, position.latitude_deg]
}

/// A line; two lines where the short way round passes the antimeridian (RFC 7946, 3.1.9).
fn line(from: Position, to: Position) -> Value {
    let across = to.longitude_deg - from.longitude_deg;
    if across.abs() <= 180.0 {
        return json!({"type": "LineString", "coordinates": [pair(from), pair(to)]});
    }
    // The far end as seen from the near one, beyond 180 degrees.
    let edge = if from.longitude_deg < 0.0 { -180.0 } else { 180.0 };
    let beyond = to.longitude_deg + 2.0 * edge;
    let share = (edge - from.longitude_deg) / (beyond - from.longitude_deg);
    let latitude = from.latitude_deg + share * (to.latitude_deg - from.latitude_deg);
    json!({"type": "MultiLineString", "coordinates": [
        [pair(from), [edge, latitude]],
        [[-edge, latitude], pair(to)],
    ]})
}

#[cfg(test)]
mod tests {
    use super::*;

    fn at(latitude_deg: f64, longitude_deg: f64) -> Position {
        Position { latitude_deg, longitude_deg }
    }

    #[test]
    fn longitude_comes_first() {
        let line = line(at(44.0, -40.0), at(45.0, -41.5));
        assert_eq!(line["coordinates"], json!([[-40.0, 44.0], [-41.5, 45.0]]));
    }

    #[test]
    fn a_line_over_the_antimeridian_is_cut_there() {
        for (from, to, cut) in [
            (at(10.0, 179.0), at(12.0, -179.0), [180.0, -180.0]),
            (at(10.0, -179.0), at(12.0, 179.0), [-180.0, 180.0]),
        ] {
            let line = line(from, to);
            assert_eq!(line["type"], "MultiLineString");
            let halves = &line["coordinates"];
            assert_eq!(halves[0][1], json!([cut[0], 11.0]));
            assert_eq!(halves[1][0], json!([cut[1], 11.0]));
        }
    }
}
