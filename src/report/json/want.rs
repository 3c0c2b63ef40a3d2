//! Near misses and the wanted list as JSON.

use jiff::civil::Date;
use serde::Serialize;

use super::render;
use super::shared::{CarName, CheckJson};
use crate::after::relax::{NearMisses, Relaxation};
use crate::after::want::{Needed, Range, Wanted};
use crate::check::Value;
use crate::model::inputs::Inputs;
use crate::quantity::{Cents, CubicInches, Feet, Inches, Kips, Ksi};
use crate::report::facts::want::NEVER_OFFERED;

#[derive(Debug, Serialize)]
struct WantJson {
    crossings: Vec<CrossingJson>,
    never_offered: &'static str,
}

#[derive(Debug, Serialize)]
struct CrossingJson {
    crossing: String,
    road: String,
    relaxations: Vec<RelaxationJson>,
    limits_tried: Vec<String>,
    /// Whether the time was up before all limits were tried to their ends.
    stopped: bool,
    wanted: Vec<WantedJson>,
}

#[derive(Debug, Serialize)]
struct RelaxationJson {
    code: &'static str,
    limit: String,
    from: Value,
    to: Value,
    extra_usd_cents: Cents,
    who_decides: &'static str,
    layout: String,
    decks: Vec<Vec<CarName>>,
    caveat: Option<&'static str>,
    proven: bool,
}

#[derive(Debug, Serialize)]
struct WantedJson {
    layout: String,
    spans_alike: usize,
    span_ft: Feet,
    impossible: Option<String>,
    truck_centers_at_least_ft: Feet,
    length_at_most_ft: Option<Feet>,
    weight_at_most_kip: Option<Kips>,
    widths: Vec<WidthsJson>,
    exterior_depth_at_least_in: Inches,
    section_modulus: Vec<ModulusJson>,
    ready_to_leave_by: Option<Date>,
    to_match: Vec<PartnerJson>,
}

#[derive(Debug, Serialize)]
struct WidthsJson {
    cars_abreast: usize,
    joint: Option<String>,
    exterior_depth_at_least_in: Option<Inches>,
    at_least_ft: Feet,
    at_most_ft: Feet,
}

#[derive(Debug, Serialize)]
struct ModulusJson {
    yield_ksi: Ksi,
    at_least_in3: Option<CubicInches>,
    assumed_truck_centers_ft: Feet,
    assumed_length_ft: Feet,
    assumed_width_ft: Feet,
    assumed_weight_kip: Kips,
    decided_by: Option<CheckJson>,
}

#[derive(Debug, Serialize)]
struct PartnerJson {
    #[serde(flatten)]
    car: CarName,
    owned: bool,
    section: String,
    ranges: Vec<RangeJson>,
}

#[derive(Debug, Serialize)]
struct RangeJson {
    code: &'static str,
    measure: &'static str,
    at_least: Value,
    at_most: Value,
}

/// What would serve the crossings.
///
/// # Errors
/// When a value cannot be written as JSON, which does not happen with these types.
pub fn want(inputs: &Inputs, near: &[NearMisses], wanted: &[Wanted]) -> serde_json::Result<String> {
    let crossings = near.iter().map(|misses| {
        let crossing = inputs.crossing(misses.crossing);
        let wanted = wanted.iter().filter(|wanted| wanted.crossing == misses.crossing);
        CrossingJson {
            crossing: crossing.id.clone(),
            road: crossing.road.clone(),
            relaxations: misses.list.iter().map(|one| relaxation(inputs, one)).collect(),
            limits_tried: misses.tried.iter().map(|limit| limit.words()).collect(),
            stopped: misses.stopped,
            wanted: wanted.map(|wanted| car_wanted(inputs, wanted)).collect(),
        }
    });
    let body = WantJson { crossings: crossings.collect(), never_offered: NEVER_OFFERED };
    render("want", body)
}

fn relaxation(inputs: &Inputs, one: &Relaxation) -> RelaxationJson {
    let names = |deck: &Vec<_>| deck.iter().map(|car| CarName::of(inputs, *car)).collect();
    RelaxationJson {
        code: one.limit.code().id(),
        limit: one.limit.words(),
        from: one.from.clone(),
        to: one.to.clone(),
        extra_usd_cents: one.extra,
        who_decides: one.limit.decider().word(),
        layout: one.layout.clone(),
        decks: one.decks.iter().map(names).collect(),
        caveat: one.caveat,
        proven: one.proven,
    }
}

fn car_wanted(inputs: &Inputs, wanted: &Wanted) -> WantedJson {
    WantedJson {
        layout: wanted.layout.clone(),
        spans_alike: wanted.spans,
        span_ft: wanted.span,
        impossible: wanted.impossible.clone(),
        truck_centers_at_least_ft: wanted.centers_least,
        length_at_most_ft: wanted.length_most,
        weight_at_most_kip: wanted.weight_most,
        widths: wanted
            .widths
            .iter()
            .map(|widths| WidthsJson {
                cars_abreast: widths.cars,
                joint: widths.joint.clone(),
                exterior_depth_at_least_in: widths.depth_least,
                at_least_ft: widths.least,
                at_most_ft: widths.most,
            })
            .collect(),
        exterior_depth_at_least_in: wanted.exterior_depth_least,
        section_modulus: wanted.modulus.iter().map(modulus).collect(),
        ready_to_leave_by: wanted.leaves_by,
        to_match: wanted
            .partners
            .iter()
            .map(|partner| PartnerJson {
                car: CarName::of(inputs, partner.car),
                owned: inputs.car(partner.car).owned,
                section: partner.section.clone(),
                ranges: partner.ranges.iter().map(range).collect(),
            })
            .collect(),
    }
}

fn range(range: &Range) -> RangeJson {
    RangeJson {
        code: range.code.id(),
        measure: range.words,
        at_least: range.least.clone(),
        at_most: range.most.clone(),
    }
}

fn modulus(needed: &Needed) -> ModulusJson {
    ModulusJson {
        yield_ksi: needed.steel,
        at_least_in3: needed.modulus,
        assumed_truck_centers_ft: needed.assumed.centers,
        assumed_length_ft: needed.assumed.length,
        assumed_width_ft: needed.assumed.width,
        assumed_weight_kip: needed.assumed.weight,
        decided_by: needed.decided_by.as_ref().map(CheckJson::of),
    }
}
