//! What each crossing gets, as JSON.

use jiff::civil::Date;
use serde::Serialize;

use super::shared::{CarName, CheckJson, CostJson, SaidJson};
use crate::check::Outcome;
use crate::model::crossing::Keep;
use crate::model::inputs::{CarIx, CrossingIx, Inputs};
use crate::model::plan::{CrossingPlan, Deck, Fate};
use crate::quantity::{Cents, Feet, Inches, Tons};
use crate::report::facts::PlanReport;
use crate::report::facts::reasons;

#[derive(Debug, Serialize)]
pub(super) struct CrossingJson {
    crossing: String,
    road: String,
    priority: u8,
    needed_by: Option<Date>,
    #[serde(skip_serializing_if = "Option::is_none")]
    fund: Option<String>,
    keep: Vec<Keep>,
    clear_width_ft: Feet,
    vehicles: Vec<String>,
    deck_system: String,
    least_posting_short_tons: Option<Tons>,
    #[serde(flatten)]
    fate: FateJson,
}

#[derive(Debug, Serialize)]
#[serde(tag = "status", rename_all = "snake_case")]
enum FateJson {
    Served {
        layout: LayoutJson,
        signs: Vec<SignJson>,
        decks: Vec<DeckJson>,
        cost_lines: Vec<CostJson>,
        total_usd_cents: Cents,
        lowest_rating: Option<Box<SaidJson>>,
        least_margins: Vec<SaidJson>,
        cautions: Vec<SaidJson>,
        cheapest_alternative: Option<AlternativeJson>,
        /// Whether no alternative costs less or, without one, there is none.
        alternative_proven: bool,
    },
    Unserved {
        reasons: Vec<CheckJson>,
        nearest_miss: Option<NearMissJson>,
        cars_that_pass: Vec<PassingJson>,
    },
}

#[derive(Debug, Serialize)]
struct LayoutJson {
    spans_ft: Vec<Feet>,
    piers: usize,
}

#[derive(Debug, Serialize)]
struct SignJson {
    vehicle: String,
    sign_short_tons: Tons,
}

#[derive(Debug, Serialize)]
struct DeckJson {
    span_number: usize,
    span_ft: Feet,
    cars_left_to_right: Vec<PlacedJson>,
    /// Cars that come on one trailer, load by load.
    #[serde(skip_serializing_if = "Vec::is_empty")]
    shared_loads: Vec<Vec<CarName>>,
    joint: Option<JointJson>,
    total_width_ft: Feet,
    required_width_ft: Feet,
    checks: Vec<CheckJson>,
}

#[derive(Debug, Serialize)]
struct PlacedJson {
    #[serde(flatten)]
    name: CarName,
    /// The ID of the row that it was a part of, where a decision gave it one of its own.
    #[serde(skip_serializing_if = "Option::is_none")]
    first_listed_as: Option<String>,
    section: Option<String>,
    width_ft: Option<Feet>,
    camber_in: Option<Inches>,
    truck_centers_ft: Option<Feet>,
    inventory_row: String,
    checks: Vec<CheckJson>,
}

#[derive(Debug, Serialize)]
struct JointJson {
    name: String,
    gap_in: Inches,
}

#[derive(Debug, Serialize)]
struct AlternativeJson {
    layout: LayoutJson,
    decks: Vec<Vec<CarName>>,
    extra_usd_cents: Cents,
}

#[derive(Debug, Serialize)]
struct NearMissJson {
    #[serde(flatten)]
    name: CarName,
    span_ft: Feet,
    barred_by: Vec<CheckJson>,
}

#[derive(Debug, Serialize)]
struct PassingJson {
    span_ft: Feet,
    cars: Vec<CarName>,
}

fn fate(report: &PlanReport, crossing: CrossingIx, fate: &Fate) -> FateJson {
    let PlanReport { inputs, matching, .. } = *report;
    match fate {
        Fate::Served(served) => FateJson::Served {
            layout: layout(inputs, crossing, served.layout),
            signs: reasons::signs(served)
                .into_iter()
                .map(|sign| SignJson { vehicle: sign.vehicle, sign_short_tons: sign.weight })
                .collect(),
            decks: served.decks.iter().map(|d| deck(inputs, d)).collect(),
            cost_lines: CostJson::all(&served.lines),
            total_usd_cents: served.total(),
            lowest_rating: reasons::lowest_rating(inputs, served)
                .map(|said| Box::new(SaidJson::of(said))),
            least_margins: SaidJson::all(reasons::least_margins(inputs, served, usize::MAX)),
            cautions: SaidJson::all(reasons::with_outcome(inputs, served, Outcome::Caution)),
            cheapest_alternative: served.alternative.as_ref().map(|other| AlternativeJson {
                layout: layout(inputs, crossing, other.layout),
                decks: other.decks.iter().map(|cars| names(inputs, cars)).collect(),
                extra_usd_cents: other.extra,
            }),
            alternative_proven: served.alternative_proven,
        },
        Fate::Unserved(unserved) => FateJson::Unserved {
            reasons: CheckJson::all(&unserved.reasons),
            nearest_miss: unserved.nearest.as_ref().map(|near| NearMissJson {
                name: CarName::of(inputs, near.car),
                span_ft: inputs.span(near.site),
                barred_by: CheckJson::all(&near.barred_by),
            }),
            cars_that_pass: matching
                .passing(inputs, crossing)
                .into_iter()
                .map(|(span_ft, cars)| PassingJson { span_ft, cars: names(inputs, &cars) })
                .collect(),
        },
    }
}

fn layout(inputs: &Inputs, crossing: CrossingIx, layout: usize) -> LayoutJson {
    let layout = &inputs.crossing(crossing).layouts[layout];
    LayoutJson { spans_ft: layout.spans.clone(), piers: layout.piers() }
}

fn deck(inputs: &Inputs, deck: &Deck) -> DeckJson {
    DeckJson {
        span_number: deck.site.span + 1,
        span_ft: deck.span,
        cars_left_to_right: deck
            .cars
            .iter()
            .map(|placed| {
                let car = inputs.car(placed.car);
                PlacedJson {
                    name: CarName::of(inputs, placed.car),
                    first_listed_as: inputs.decided.parted.get(&placed.car).cloned(),
                    section: car.section.clone(),
                    width_ft: car.width,
                    camber_in: car.camber,
                    truck_centers_ft: car.truck_centers,
                    inventory_row: car.place.to_string(),
                    checks: CheckJson::all(&placed.checks),
                }
            })
            .collect(),
        shared_loads: deck.loads.iter().map(|load| names(inputs, &deck.load(load))).collect(),
        joint: deck
            .joint
            .as_ref()
            .map(|joint| JointJson { name: joint.name.clone(), gap_in: joint.gap }),
        total_width_ft: deck.total_width,
        required_width_ft: deck.required_width,
        checks: CheckJson::all(&deck.checks),
    }
}

fn names(inputs: &Inputs, cars: &[CarIx]) -> Vec<CarName> {
    cars.iter().map(|&car| CarName::of(inputs, car)).collect()
}

/// One crossing of the plan.
pub(super) fn crossing(report: &PlanReport, planned: &CrossingPlan) -> CrossingJson {
    let site = report.inputs.crossing(planned.crossing);
    CrossingJson {
        crossing: site.id.clone(),
        road: site.road.clone(),
        priority: site.priority,
        needed_by: site.needed_by,
        fund: site.fund.clone(),
        keep: site.keep.clone(),
        clear_width_ft: site.clear_width,
        vehicles: site.vehicles.clone(),
        deck_system: site.deck_system.clone(),
        least_posting_short_tons: site.least_posting,
        fate: fate(report, planned.crossing, &planned.fate),
    }
}
