//! The wanted list: the car to ask dealers for, crossing by crossing, each figure with the check that
//! asks for it.
//!
//! Where a figure depends on what the car will be like, the list says what it takes for granted: the
//! section modulus is asked of a car of a stated weight, length and steel, found by rating that car
//! and halving. A car that keeps every line passes every check of the crossing; with a partner that
//! matches, or cars in hand that it matches, it makes a deck.

mod modulus;

use crate::check::{Code, TOLERANCE, Value};
use crate::group::RULES;
use crate::model::closed::Closed;
use crate::model::inputs::{CarIx, CrossingIx, Inputs, Site};
use crate::model::width::{Gaps, WidthRange, admitted};
use crate::quantity::{Feet, Inches, Kips};
use crate::survey::Survey;

pub use modulus::{Assumed, Needed, needed_modulus};

/// The car wanted for one span.
#[derive(Clone, Debug, PartialEq)]
pub struct Wanted {
    /// The crossing.
    pub crossing: CrossingIx,
    /// The layout in words.
    pub layout: String,
    /// How many such spans the layout has.
    pub spans: usize,
    /// The span.
    pub span: Feet,
    /// Truck centers at least; S05.
    pub centers_least: Feet,
    /// Length over the ends at most, where the route is surveyed; S11.
    pub length_most: Option<Feet>,
    /// Weight at most, by route and crane, where both are known; S12, S13.
    pub weight_most: Option<Kips>,
    /// Widths of each car for so many abreast, joint by joint; S17.
    pub widths: Vec<Widths>,
    /// Depth of the exterior girders at least; S07.
    pub exterior_depth_least: Inches,
    /// Section modulus at least, for each steel; R03, R05.
    pub modulus: Vec<Needed>,
    /// Cars in hand or on offer that pass here, beside which the car could lie; G01 and the match rules.
    pub partners: Vec<Partner>,
    /// Ready to leave the yard at the latest, for the date needed; S15.
    pub leaves_by: Option<jiff::civil::Date>,
    /// Why no car can be wanted here, if so.
    pub impossible: Option<String>,
}

/// The width of each of so many cars of one width, joined in one way.
#[derive(Clone, Debug, PartialEq)]
pub struct Widths {
    /// Cars abreast.
    pub cars: usize,
    /// The joint between them; none for a car alone.
    pub joint: Option<String>,
    /// Depth of the exterior girders that the joint asks for at least; S07.
    pub depth_least: Option<Inches>,
    /// Least width.
    pub least: Feet,
    /// Greatest width.
    pub most: Feet,
}

/// A car to match.
#[derive(Clone, Debug, PartialEq)]
pub struct Partner {
    /// The car.
    pub car: CarIx,
    /// Its section, which the wanted car must share.
    pub section: String,
    /// The measures that match it.
    pub ranges: Vec<Range>,
}

/// From where to where a measure of the wanted car may lie to match another's.
#[derive(Clone, Debug, PartialEq)]
pub struct Range {
    /// The check that asks it.
    pub code: Code,
    /// What is measured, in words.
    pub words: &'static str,
    /// Least; of truck centers no less than bears the span.
    pub least: Value,
    /// Greatest.
    pub most: Value,
}

/// The codes behind the figures, in the order of the lines.
pub const CODES: [Code; 7] = [
    Code::Support,
    Code::HaulLength,
    Code::HaulWeight,
    Code::CranePick,
    Code::WidthPossible,
    Code::JointDepth,
    Code::NeedDate,
];

/// The cars wanted for these crossings, for each different span of each layout.
#[must_use]
pub fn wanted(inputs: &Inputs, survey: &Survey, crossings: &[CrossingIx]) -> Vec<Wanted> {
    let mut list: Vec<Wanted> = Vec::new();
    for &crossing in crossings {
        let mut seen: Vec<(usize, Feet)> = Vec::new();
        for site in inputs.sites(crossing) {
            let span = inputs.span(site);
            if !seen.contains(&(site.layout, span)) {
                seen.push((site.layout, span));
                list.push(one(inputs, survey, site, span));
            }
        }
    }
    list
}

fn one(inputs: &Inputs, survey: &Survey, site: Site, span: Feet) -> Wanted {
    let crossing = inputs.crossing(site.crossing);
    let layout = &crossing.layouts[site.layout];
    let rules = &inputs.rules;
    let pick = crossing.crane_limit.map(|limit| limit / rules.screen.pick_weight_factor);
    let weight_most = match (crossing.haul_weight_limit, pick) {
        (Some(route), Some(pick)) => Some(route.min(pick)),
        _ => None,
    };
    let widths = widths(inputs, site);
    let width_most = widths.iter().map(|widths| widths.most).reduce(Feet::max);
    let mut assumed = Assumed::of(inputs, span, crossing.haul_length_limit, weight_most);
    assumed.width = assumed.width.min(width_most.unwrap_or(assumed.width));
    let impossible = impossible(crossing, span);
    let steels = modulus::steels(rules);
    let modulus = match impossible {
        None => steels.iter().map(|steel| needed_modulus(inputs, site, &assumed, *steel)).collect(),
        Some(_) => Vec::new(),
    };
    // The seasons of the yard, which is not known yet, are left out.
    let closed = Closed {
        yard: None,
        route: crossing.no_haul.as_ref(),
        stream: crossing.no_stream_work.as_ref(),
    };
    let days = rules.purchase.lead_time_days;
    Wanted {
        crossing: site.crossing,
        layout: layout.describe(),
        spans: layout.spans.iter().filter(|other| **other == span).count(),
        span,
        centers_least: span,
        length_most: crossing.haul_length_limit,
        weight_most,
        widths,
        exterior_depth_least: rules
            .joint
            .iter()
            .map(|joint| joint.exterior_depth_min_in)
            .fold(Inches(f64::INFINITY), Inches::min),
        modulus,
        partners: partners(inputs, survey, site, span),
        leaves_by: crossing.needed_by.and_then(|day| closed.leaves_by(day, days)),
        impossible,
    }
}

/// What the crossing itself leaves no room for.
fn impossible(crossing: &crate::model::crossing::Crossing, span: Feet) -> Option<String> {
    match crossing.haul_length_limit {
        None => Some("the route is not surveyed: no car passes until it is".to_owned()),
        Some(limit) if limit.0 <= span.0 => Some(format!(
            "a car with truck centers of {span} is longer than the {limit} that the route takes"
        )),
        _ if crossing.haul_weight_limit.is_none() => Some(
            "the weight that the route takes is not known: no car passes until it is".to_owned(),
        ),
        _ if crossing.crane_limit.is_none() => {
            Some("the crane's pick is not known: no car passes until it is".to_owned())
        }
        _ => None,
    }
}

/// For each number of cars abreast and each joint the widths of cars alike that reach the total width. Widths that no car has are left out.
fn widths(inputs: &Inputs, site: Site) -> Vec<Widths> {
    let crossing = inputs.crossing(site.crossing);
    let range = admitted(&inputs.rules, crossing);
    let mut all = Vec::new();
    for cars in 1..=usize::from(crossing.most_abreast) {
        if cars == 1 {
            let WidthRange { least, most } = range;
            all.push(Widths { cars, joint: None, depth_least: None, least, most });
            continue;
        }
        all.extend(inputs.rules.joint.iter().map(|joint| {
            let together = range.of_cars(cars, Gaps::of(joint));
            Widths {
                cars,
                joint: Some(joint.name.clone()),
                depth_least: Some(joint.exterior_depth_min_in),
                least: together.least / cars as f64,
                most: together.most / cars as f64,
            }
        }));
    }
    // No wider than what the route takes; where it is not surveyed, than the law allows everywhere.
    let road = crossing.haul_width_limit.unwrap_or(inputs.rules.haul.permit_over_width_ft);
    all.iter_mut().for_each(|widths| widths.most = widths.most.min(road));
    all.retain(|widths| widths.least.0 <= widths.most.0 + TOLERANCE);
    all.retain(|widths| widths.most.0 >= CAR_WIDTHS.0 && widths.least.0 <= CAR_WIDTHS.1);
    all
}

/// Widths of cars, feet, as the inventory takes them.
const CAR_WIDTHS: (f64, f64) = (5.0, 14.0);

/// Cars that pass here singly, owned ones first, each with what must match it. Cars of one section
/// and equal figures once.
fn partners(inputs: &Inputs, survey: &Survey, site: Site, span: Feet) -> Vec<Partner> {
    let mut cars: Vec<CarIx> = survey.suitable(site).collect();
    cars.sort_by_key(|car| (!inputs.car(*car).owned, *car));
    let mut partners: Vec<Partner> = Vec::new();
    for ix in cars {
        let Some(section) = inputs.car(ix).section.clone() else { continue };
        let partner = Partner { car: ix, section, ranges: ranges(inputs, ix, span) };
        let same = |other: &Partner| Partner { car: ix, ..other.clone() } == partner;
        if !partners.iter().any(same) {
            partners.push(partner);
        }
    }
    partners
}

/// The measures that match a car's, those of it that are known.
fn ranges(inputs: &Inputs, car: CarIx, span: Feet) -> Vec<Range> {
    let ranges = RULES.iter().filter_map(|rule| {
        let (mut least, most) = rule.partners(inputs.car(car), &inputs.rules.group)?;
        if let (Code::CentersSpread, Value::Feet(feet)) = (rule.code, &least) {
            least = Value::Feet(feet.max(span));
        }
        Some(Range { code: rule.code, words: rule.words, least, most })
    });
    ranges.collect()
}
