//! The sheet for the crew at a crossing: order of cars, lifts, bearings, joints.

use askama::Template;
use itertools::Itertools;

use crate::check::TOLERANCE;
use crate::model::car::LeadStatus;
use crate::model::ends::{cut_words, ends};
use crate::model::inputs::Inputs;
use crate::model::plan::{CrossingPlan, Deck, Served};
use crate::price;
use crate::quantity::feet_inches;
use crate::report::facts::PlanReport;
use crate::report::facts::board::{lead_word, posting};
use crate::report::facts::purchases::trailers;
use crate::report::facts::structure::{left_words, lift_points};
use crate::report::page::{self, Drawn, NotWritten, style};
use crate::report::provenance::PageContext;
use crate::report::text::{inches_fraction, inches_read};
use crate::words::for_page;

use super::request::pounds;

#[derive(Template)]
#[template(path = "sheets/crew.html")]
struct Crew<'a> {
    context: &'a PageContext,
    style: String,
    id: &'a str,
    road: &'a str,
    spans: Vec<Span>,
    /// Spans with their lengths, in a sentence.
    lengths: String,
    crane: String,
    drawings: Vec<Drawn>,
    position: String,
    needed_by: String,
    /// The weight posting; empty where none is needed.
    posting: String,
    /// Bearing lines, from the near abutment to the far one.
    lines: Vec<String>,
    several: bool,
    lead: Vec<String>,
}

/// One span.
struct Span {
    number: usize,
    lifts: Vec<Lift>,
    trailers: Vec<String>,
    bearings: Vec<String>,
    joints: Vec<String>,
}

/// One car to set.
struct Lift {
    number: usize,
    car: String,
    from: String,
    length: String,
    weight: String,
    pick: String,
    /// The bolsters' distances from the ends, where the car is lifted.
    points: String,
    camber: String,
    /// What is left of it under the deck.
    left: String,
    lead: &'static str,
}

/// The sheet of one crossing.
pub fn page(
    report: &PlanReport<'_>,
    plan: &CrossingPlan,
    served: &Served,
    context: &PageContext,
) -> Result<String, NotWritten> {
    let inputs = report.inputs;
    let crossing = inputs.crossing(plan.crossing);
    let mut drawings = vec![page::plan_view(inputs, served, plan.crossing.0)];
    drawings.extend(page::drawings(inputs, served, plan.crossing.0).into_iter().filter(
        // The plan view already stands first.
        |drawn| !drawn.caption.starts_with("Plan view"),
    ));
    let crew = Crew {
        context,
        style: style(context, "valid with the engineer's drawings only"),
        id: &crossing.id,
        road: &crossing.road,
        spans: served.decks.iter().map(|deck| span(inputs, deck)).collect(),
        lengths: lengths(&served.decks),
        crane: crossing.crane_limit.map_or_else(|| "unknown".to_owned(), pounds),
        drawings,
        lead: lead_warnings(inputs, served),
        position: format!(
            "{:.5}, {:.5}",
            crossing.position.latitude_deg, crossing.position.longitude_deg
        ),
        needed_by: crossing.needed_by.map_or_else(|| "no date".to_owned(), |day| day.to_string()),
        posting: posting(served).unwrap_or_default(),
        lines: bearing_lines(served.decks.len()),
        several: served.decks.len() > 1,
    };
    Ok(for_page(crew.render()?))
}

fn span(inputs: &Inputs, deck: &Deck) -> Span {
    let factor = inputs.rules.screen.pick_weight_factor;
    let lifts = (1..).zip(&deck.cars).map(|(number, placed)| {
        let car = inputs.car(placed.car);
        let unknown = || "unknown".to_owned();
        Lift {
            number,
            car: car.id.clone(),
            from: format!("{}, {}", car.dealer, inputs.yard(car.yard).name),
            length: car.length.map(feet_inches).unwrap_or_else(unknown),
            weight: car.weight.map_or_else(unknown, pounds),
            pick: car.weight.map_or_else(unknown, |kips| pounds(kips * factor)),
            points: lift_points(inputs, placed.car, deck.site).unwrap_or_else(unknown),
            camber: car.camber.map(inches_read).unwrap_or_else(unknown),
            left: left_words(inputs, placed.car, deck.site),
            lead: lead_word(car.lead),
        }
    });
    Span {
        number: deck.site.span + 1,
        lifts: lifts.collect(),
        trailers: trailers(inputs, deck),
        bearings: bearings(inputs, deck),
        joints: joints(inputs, deck),
    }
}

/// `Span 1: 45'-0" from bearing to bearing.`
fn lengths(decks: &[Deck]) -> String {
    let spans = decks.iter().map(|deck| {
        format!("span {}: {} from bearing to bearing", deck.site.span + 1, feet_inches(deck.span))
    });
    format!("{}.", page::capital(&spans.collect::<Vec<_>>().join("; ")))
}

/// What may not be done to cars whose paint holds lead, or is taken to; empty where all are free.
fn lead_warnings(inputs: &Inputs, served: &Served) -> Vec<String> {
    let cars = || served.decks.iter().flat_map(|deck| &deck.cars);
    let named = |lead: Option<LeadStatus>| {
        let of = cars().map(|placed| inputs.car(placed.car)).filter(|car| car.lead == lead);
        of.map(|car| car.id.clone()).unique().join(", ")
    };
    let (found, untested) = (named(Some(LeadStatus::Present)), named(None));
    let mut warnings = Vec::new();
    if !found.is_empty() {
        warnings.push(format!(
            "LEAD in the paint of {found}, found by test: no torch, grinding or blasting without the \
             lead protection of the safety plan."
        ));
    }
    if !untested.is_empty() {
        warnings.push(format!(
            "Paint of {untested} not tested, LEAD ASSUMED: treat it as lead paint until a test says \
             otherwise."
        ));
    }
    warnings
}

/// The bearing lines of a bridge of so many spans.
fn bearing_lines(spans: usize) -> Vec<String> {
    let piers = (1..spans).map(|pier| format!("Pier {pier}"));
    let mut lines = vec!["Near abutment".to_owned()];
    lines.extend(piers);
    lines.push("Far abutment".to_owned());
    lines
}

/// Where each car bears, and what is cut off.
fn bearings(inputs: &Inputs, deck: &Deck) -> Vec<String> {
    let (rules, crossing) = (&inputs.rules.screen, inputs.crossing(deck.site.crossing));
    (1..)
        .zip(&deck.cars)
        .filter_map(|(number, placed)| {
            let car = inputs.car(placed.car);
            let (length, centers) = (car.length?, car.truck_centers?);
            let inset = (centers - deck.span) / 2.0;
            let over = (length - deck.span) / 2.0;
            let bears = if inset.0.abs() < TOLERANCE {
                "bears at both bolsters".to_owned()
            } else {
                format!("bears {} inside each bolster", feet_inches(inset))
            };
            let over = feet_inches(over);
            let cut =
                cut_words(ends(rules, crossing, deck.site, length, Some(centers)), feet_inches);
            let at_yard = price::is_cut_at_yard(inputs, placed.car, deck.site);
            let ends = match cut {
                Some(cut) if at_yard => {
                    let length = price::hauled_length(inputs, placed.car, deck.site)?;
                    let length = feet_inches(length);
                    format!("arrives cut to {length}, its ends {cut} at the yard; check the cuts")
                }
                Some(cut) => {
                    format!(
                        "ends reach {over} beyond the bearings: {cut} with the engineer's detail"
                    )
                }
                None => format!("ends reach {over} beyond the bearings"),
            };
            Some(format!("{number}, {}: {bears}; {ends}.", car.id))
        })
        .collect()
}

/// Each joint with its gap and step.
fn joints(inputs: &Inputs, deck: &Deck) -> Vec<String> {
    let Some(joint) = &deck.joint else { return vec!["No joint: one car.".to_owned()] };
    let gap = if joint.gap.0 > 0.0 { inches_fraction(joint.gap) } else { "closed up".to_owned() };
    (1..)
        .zip(deck.cars.windows(2))
        .filter_map(|(number, pair)| {
            let [left, right] = pair else { return None };
            let cambers = (inputs.car(left.car).camber, inputs.car(right.car).camber);
            let step = match cambers {
                (Some(a), Some(b)) if (b - a).abs().0 < TOLERANCE => "none".to_owned(),
                (Some(a), Some(b)) => format!(
                    "{}, {} higher",
                    inches_fraction((b - a).abs()),
                    if b > a { number + 1 } else { number }
                ),
                _ => "unknown".to_owned(),
            };
            Some(format!(
                "Between {number} and {}: {}, gap {gap}, step at mid-length {step}.",
                number + 1,
                joint.name
            ))
        })
        .collect()
}
