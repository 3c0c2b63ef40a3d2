//! What each crossing gets, as JSON.

use std::borrow::Cow;

use super::shared::{CarName, CheckJson, CostJson, SaidJson};
use crate::check::Outcome;
use crate::model::columns::Columns as _;
use crate::model::inputs::{CarIx, CrossingIx, Inputs};
use crate::model::plan::{Alternative, Confirmation, CrossingPlan, Deck, Fate, IfRefused};
use crate::price;
use crate::quantity::Cents;
use crate::report::facts::PlanReport;
use crate::report::facts::other_bridge::against;
use crate::report::facts::reasons;
use crate::schema;

fn status(report: &PlanReport, crossing: CrossingIx, fate: &Fate) -> schema::Status {
    let PlanReport { inputs, matching, .. } = *report;
    match fate {
        Fate::Served(served) => schema::Status::Served {
            layout: layout(inputs, crossing, served.layout),
            signs: reasons::signs(served)
                .into_iter()
                .map(|sign| schema::Sign { vehicle: sign.vehicle, sign_short_tons: sign.weight })
                .collect(),
            decks: served.decks.iter().map(|d| deck(inputs, d)).collect(),
            cost_lines: CostJson::all(&served.lines),
            total_usd_cents: served.total(),
            paid_already_usd_cents: price::paid_already(inputs, &served.decks),
            lowest_rating: reasons::lowest_rating(inputs, served)
                .map(|said| Box::new(SaidJson::of(said))),
            least_margins: SaidJson::all(reasons::least_margins(inputs, served, usize::MAX)),
            cautions: SaidJson::all(reasons::with_outcome(inputs, served, Outcome::Caution)),
            cheapest_alternative: served
                .alternative
                .as_ref()
                .map(|other| alternative(inputs, crossing, other)),
            alternative_proven: served.alternative_proven,
            firm: served.is_firm(),
            confirmations: served
                .confirmations
                .iter()
                .map(|one| confirmation(inputs, one))
                .collect(),
            if_refused: served
                .if_refused
                .iter()
                .map(|(car, then)| if_refused(report, crossing, *car, then))
                .collect(),
        },
        Fate::Unserved(unserved) => schema::Status::Unserved {
            reasons: CheckJson::all(&unserved.reasons),
            nearest_miss: unserved.nearest.as_ref().map(|near| schema::NearMiss {
                name: CarName::of(inputs, near.car),
                span_ft: inputs.span(near.site),
                barred_by: CheckJson::all(&near.barred_by),
            }),
            cars_that_pass: matching
                .passing(inputs, crossing)
                .into_iter()
                .map(|(span_ft, cars)| schema::Passing { span_ft, cars: names(inputs, &cars) })
                .collect(),
        },
    }
}

fn alternative(inputs: &Inputs, crossing: CrossingIx, other: &Alternative) -> schema::Alternative {
    schema::Alternative {
        layout: layout(inputs, crossing, other.layout),
        decks: other.decks.iter().map(|cars| names(inputs, cars)).collect(),
        extra_usd_cents: other.extra,
    }
}

fn confirmation(inputs: &Inputs, one: &Confirmation) -> schema::Confirmation {
    schema::Confirmation {
        name: CarName::of(inputs, one.car),
        span_number: one.span + 1,
        kind: one.kind,
        fact: Cow::Borrowed(one.fact.column().name),
        evidence_now: one.now,
        evidence_needed: one.needed,
        value_needed: one.value.clone(),
        asked: Cow::Borrowed(one.kind.asked()),
    }
}

fn if_refused(
    report: &PlanReport,
    crossing: CrossingIx,
    car: CarIx,
    then: &IfRefused,
) -> schema::IfRefused {
    let PlanReport { inputs, plan, .. } = *report;
    let (word, instead, change) = match then {
        IfRefused::Instead(other) => {
            ("instead", Some(alternative(inputs, crossing, other)), Some(other.extra))
        }
        IfRefused::Without(change) => ("without", None, *change),
        IfRefused::NotWorkedOut => ("not worked out", None, None),
    };
    schema::IfRefused {
        name: CarName::of(inputs, car),
        then: Cow::Borrowed(word),
        instead,
        plan_net_usd_cents: change.map(|change| plan.totals.net + change),
    }
}

fn layout(inputs: &Inputs, crossing: CrossingIx, layout: usize) -> schema::Layout {
    let layout = &inputs.crossing(crossing).layouts[layout];
    schema::Layout { spans_ft: layout.spans.clone(), piers: layout.piers() }
}

fn deck(inputs: &Inputs, deck: &Deck) -> schema::Deck {
    schema::Deck {
        span_number: deck.site.span + 1,
        span_ft: deck.span,
        cars_left_to_right: deck
            .cars
            .iter()
            .map(|placed| {
                let car = inputs.car(placed.car);
                let cut = price::is_cut_at_yard(inputs, placed.car, deck.site);
                let length = price::hauled_length(inputs, placed.car, deck.site);
                schema::Placed {
                    cut_at_yard_to_ft: length.filter(|_| cut),
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
            .map(|joint| schema::Joint { name: joint.name.clone(), gap_in: joint.gap }),
        total_width_ft: deck.total_width,
        required_width_ft: deck.required_width,
        checks: CheckJson::all(&deck.checks),
    }
}

fn names(inputs: &Inputs, cars: &[CarIx]) -> Vec<CarName> {
    cars.iter().map(|&car| CarName::of(inputs, car)).collect()
}

/// Flat cars against another bridge.
fn other_bridge(inputs: &Inputs, planned: &CrossingPlan) -> Option<schema::OtherBridge> {
    let against = against(inputs, planned)?;
    let stated = inputs.crossing(planned.crossing).other_bridge.as_ref()?;
    let (flat_cars, other) = against.by_the_year().unzip();
    Some(schema::OtherBridge {
        what: stated.what.clone(),
        cost_usd_cents: stated.cost,
        years: stated.years,
        saves_usd_cents: against.saves(),
        by_the_year_usd_cents: other,
        flat_cars_by_the_year_usd_cents: flat_cars,
        is_cheaper: against.left_to_other
            || against.saves().is_some_and(|saves| saves < Cents::ZERO),
    })
}

/// One crossing of the plan.
pub(super) fn crossing(report: &PlanReport, planned: &CrossingPlan) -> schema::Crossing {
    let site = report.inputs.crossing(planned.crossing);
    schema::Crossing {
        crossing: site.id.clone(),
        road: site.road.clone(),
        priority: site.priority,
        needed_by: site.needed_by,
        fund: site.fund.clone(),
        other_bridge: other_bridge(report.inputs, planned),
        keep: site.keep.clone(),
        clear_width_ft: site.clear_width,
        vehicles: site.vehicles.clone(),
        deck_system: site.deck_system.clone(),
        least_posting_short_tons: site.least_posting,
        status: status(report, planned.crossing, &planned.fate),
    }
}
