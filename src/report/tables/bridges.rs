//! The crossings with what becomes of them, and their decks car by car.

use itertools::Itertools;

use super::{Cell, Column, Kind, Table, column};
use crate::model::plan::{Fate, Served};
use crate::report::facts::PlanReport;
use crate::report::facts::board::lead_word;
use crate::report::facts::sign::put_up;

const CROSSINGS: &[Column] = &[
    column("crossing", "Crossing", Kind::Word),
    column("road", "Road", Kind::Word),
    column("priority", "Priority", Kind::Count),
    column("served", "Served", Kind::Word),
    column("layout", "Layout", Kind::Word),
    column("clear_width_ft", "Clear width, ft", Kind::Measure(2)),
    column("vehicles", "Vehicles", Kind::Words),
    column("deck", "Deck", Kind::Word),
    column("cars", "Cars", Kind::Count),
    column("cost_usd", "Cost, $", Kind::Money),
    column("alternative_usd", "Next best costs more, $", Kind::Money),
    column("signs", "Weight signs", Kind::Words),
    column("needed_by", "Needed by", Kind::Day),
    column("latitude_deg", "Latitude", Kind::Measure(5)),
    column("longitude_deg", "Longitude", Kind::Measure(5)),
    column("remarks", "Why not served", Kind::Words),
];

/// One row for each crossing.
pub fn crossings(report: &PlanReport<'_>) -> Table {
    let rows = report.plan.crossings.iter().map(|plan| {
        let crossing = report.inputs.crossing(plan.crossing);
        let served = plan.served();
        let layout = served.map(|served| served.layout).unwrap_or_default();
        let layout = crossing.layouts.get(layout).map(|layout| layout.describe());
        let why = match &plan.fate {
            Fate::Served(_) => String::new(),
            Fate::Unserved(unserved) => {
                unserved.reasons.iter().map(|check| check.sentence()).join(" | ")
            }
        };
        vec![
            crossing.id.as_str().into(),
            crossing.road.as_str().into(),
            u32::from(crossing.priority).into(),
            if served.is_some() { "yes" } else { "no" }.into(),
            layout.into(),
            crossing.clear_width.0.into(),
            crossing.vehicles.join("; ").into(),
            crossing.deck_system.as_str().into(),
            served.map(cars).into(),
            served.map(Served::total).into(),
            served.and_then(|served| served.alternative.as_ref()).map(|a| a.extra).into(),
            served.map(sign_words).into(),
            crossing.needed_by.into(),
            crossing.position.latitude_deg.into(),
            crossing.position.longitude_deg.into(),
            why.into(),
        ]
    });
    Table { name: "crossings", title: "Crossings", columns: CROSSINGS, rows: rows.collect() }
}

fn cars(served: &Served) -> usize {
    served.decks.iter().map(|deck| deck.cars.len()).sum()
}

fn sign_words(served: &Served) -> String {
    put_up(served).join("; ")
}

const DECKS: &[Column] = &[
    column("crossing", "Crossing", Kind::Word),
    column("span_number", "Span no.", Kind::Count),
    column("span_ft", "Span, ft", Kind::Measure(2)),
    column("place", "Place across", Kind::Count),
    column("dealer", "Dealer", Kind::Word),
    column("yard", "Yard", Kind::Word),
    column("car", "Car", Kind::Word),
    column("section", "Section", Kind::Word),
    column("length_ft", "Length, ft", Kind::Measure(2)),
    column("truck_centers_ft", "Truck centers, ft", Kind::Measure(2)),
    column("width_ft", "Width, ft", Kind::Measure(3)),
    column("camber_in", "Camber, in", Kind::Measure(3)),
    column("weight_lb", "Weight, lb", Kind::Count),
    column("lead_paint", "Lead paint", Kind::Word),
    column("joint", "Joint to the right", Kind::Word),
    column("gap_in", "Gap, in", Kind::Measure(3)),
    column("total_width_ft", "Total width, ft", Kind::Measure(3)),
    column("required_width_ft", "Required width, ft", Kind::Measure(3)),
];

/// One row for each placed car, from left to right across each deck.
pub fn decks(report: &PlanReport<'_>) -> Table {
    let inputs = report.inputs;
    let mut rows = Vec::new();
    let served = report.plan.crossings.iter().filter_map(|crossing| crossing.served());
    for deck in served.flat_map(|served| &served.decks) {
        for (place, placed) in (1_usize..).zip(&deck.cars) {
            let car = inputs.car(placed.car);
            let joint = deck.joint.as_ref().filter(|_| place < deck.cars.len());
            rows.push(vec![
                inputs.crossing(deck.site.crossing).id.as_str().into(),
                (deck.site.span + 1).into(),
                deck.span.0.into(),
                place.into(),
                car.dealer.as_str().into(),
                inputs.yard(car.yard).name.as_str().into(),
                car.id.as_str().into(),
                car.section.clone().into(),
                car.length.map(|length| length.0).into(),
                car.truck_centers.map(|centers| centers.0).into(),
                car.width.map(|width| width.0).into(),
                car.camber.map(|camber| camber.0).into(),
                car.weight
                    .map_or(Cell::Blank, |weight| Cell::Count(weight.pounds().round() as i64)),
                lead_word(car.lead).into(),
                joint.map(|joint| joint.name.clone()).into(),
                joint.map(|joint| joint.gap.0).into(),
                deck.total_width.0.into(),
                deck.required_width.0.into(),
            ]);
        }
    }
    Table { name: "decks", title: "Decks", columns: DECKS, rows }
}
