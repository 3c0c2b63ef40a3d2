//! The rating of a car at a crossing as a page for the engineer's file: a summary for the posting
//! letter, then each calculation sheet. It prints to PDF and names files without their folders.

use askama::Template;

use super::page::NotWritten;
use crate::model::crossing::Crossing;
use crate::model::ends::pier_bearings;
use crate::model::rules::Rules;
use crate::quantity::{Feet, feet_inches};
use crate::rate::posting::Posting;
use crate::rate::sheet::{Line, Sheet};
use crate::rate::{LegalRating, Rating, pier_reactions};
use crate::words::for_page;

const STYLE: &str = include_str!("../../templates/style.css");
const PRINT: &str = include_str!("../../templates/print.css");

/// One car on one span: its rating with the sheet of it, or why there is none.
pub struct Rated {
    /// Dealer and ID of the car.
    pub car: String,
    /// The span.
    pub span: Feet,
    /// The rating with its sheet, or the reasons why there is none.
    pub made: Result<Box<(Rating, Sheet)>, Vec<String>>,
}

#[derive(Template)]
#[template(path = "rating.html")]
struct Page {
    style: String,
    id: String,
    road: String,
    agency: String,
    facts: Vec<(&'static str, String)>,
    spans: Vec<Span>,
    piers: Vec<Pier>,
}

/// One car on one span.
struct Span {
    title: String,
    governs: String,
    vehicles: Vec<Vehicle>,
    members: String,
    reasons: Vec<String>,
    places: String,
    parts: Vec<Part>,
    not_checked: Vec<String>,
    limits: Vec<String>,
}

/// One vehicle in the summary.
struct Vehicle {
    name: String,
    why: &'static str,
    gross: String,
    factor: String,
    sign: String,
}

struct Part {
    title: String,
    lines: Vec<Row>,
}

/// A line of the sheet.
struct Row {
    label: String,
    symbol: String,
    formula: String,
    numbers: String,
    result: String,
    source: String,
    governs: bool,
}

/// The reactions of one pier.
struct Pier {
    title: String,
    rows: Vec<(String, String)>,
}

/// The page of one crossing.
///
/// # Errors
/// Never in practice: the page is written to memory.
pub fn page(crossing: &Crossing, rules: &Rules, rated: &[Rated]) -> Result<String, NotWritten> {
    let level = &rules.rating.allowable_stress_factors;
    let page = Page {
        style: format!(
            "@page {{ size: letter; margin: 0.6in 0.65in 0.8in;\n  @bottom-left {{ content: \
             \"Load rating, not sealed\"; font: 7.5pt Arial, sans-serif; }}\n  @bottom-right {{ \
             content: \"page \" counter(page) \" of \" counter(pages); font: 7.5pt Arial, \
             sans-serif; }}\n}}\n{STYLE}\n{PRINT}\n.next {{ break-before: page; }}\ntd.sym, td.num {{ \
             font-size: 12.5px; }}\ntr.governs td {{ font-weight: 700; }}"
        ),
        id: crossing.id.clone(),
        road: crossing.road.clone(),
        agency: rules.agency.name.clone().unwrap_or_default(),
        facts: vec![
            (
                "Layouts",
                crossing.layouts.iter().map(|l| l.describe()).collect::<Vec<_>>().join("; "),
            ),
            ("Clear width", feet_inches(crossing.clear_width)),
            ("Vehicles named", crossing.vehicles.join(", ")),
            ("Legal vehicles", rules.posting.legal_vehicles.join(", ")),
            ("Their source", rules.posting.legal_vehicles_source.clone()),
            ("Posting by", format!("{} level", level.legal_level.word())),
            ("Source of that", level.legal_level_source.clone()),
        ],
        spans: rated.iter().map(span).collect(),
        piers: piers(crossing, rules),
    };
    Ok(for_page(page.render()?))
}

fn span(rated: &Rated) -> Span {
    let title = format!("{}, span {}", rated.car, feet_inches(rated.span));
    match &rated.made {
        Err(reasons) => Span {
            title,
            governs: "It cannot be rated.".to_owned(),
            vehicles: Vec::new(),
            members: String::new(),
            reasons: reasons.clone(),
            places: String::new(),
            parts: Vec::new(),
            not_checked: Vec::new(),
            limits: Vec::new(),
        },
        Ok(made) => {
            let (rating, sheet) = &**made;
            Span {
                title,
                governs: sheet.governs.clone(),
                vehicles: vehicles(rating),
                members: members(rating),
                reasons: Vec::new(),
                places: format!(
                    "Car: {}. Crossing: {}.",
                    file_name(&sheet.car_place),
                    file_name(&sheet.crossing_place)
                ),
                parts: sheet
                    .parts
                    .iter()
                    .map(|part| Part {
                        title: part.title.clone(),
                        lines: part.lines.iter().map(row).collect(),
                    })
                    .collect(),
                not_checked: sheet.not_checked.clone(),
                limits: sheet.limits.clone(),
            }
        }
    }
}

/// Those that the crossing names, then the legal ones that it does not.
fn vehicles(rating: &Rating) -> Vec<Vehicle> {
    let named = rating.vehicles.iter().map(|v| {
        let vehicle = &v.on_span.vehicle;
        Vehicle {
            name: vehicle.name.clone(),
            why: "named by the crossing",
            gross: vehicle.gross().to_string(),
            factor: v.least.to_string(),
            sign: sign(v.posting),
        }
    });
    let is_named = |legal: &&LegalRating| {
        rating.vehicles.iter().any(|v| v.on_span.vehicle.name == legal.vehicle)
    };
    let legal = rating.legal.iter().filter(|legal| !is_named(legal)).map(|legal| Vehicle {
        name: legal.vehicle.clone(),
        why: match legal.member {
            Some(part) => match part {
                crate::rate::local::Part::Stringer => "legal; a stringer governs",
                crate::rate::local::Part::CrossMember => "legal; a cross-member governs",
            },
            None => "legal",
        },
        gross: legal.gross.to_string(),
        factor: legal.least.to_string(),
        sign: sign(legal.posting),
    });
    named.chain(legal).collect()
}

fn members(rating: &Rating) -> String {
    let local = &rating.girder.local;
    let unknown: Vec<&str> =
        [(&local.stringer, "stringers"), (&local.cross_member, "cross-members")]
            .into_iter()
            .filter(|(member, _)| member.is_err())
            .map(|(_, name)| name)
            .collect();
    if unknown.is_empty() {
        "Stringers and cross-members are rated.".to_owned()
    } else {
        format!("Not rated, to confirm before a sign is put up: {}.", unknown.join(" and "))
    }
}

fn sign(posting: Posting) -> String {
    match posting {
        Posting::NotNeeded => "none".to_owned(),
        Posting::NotAllowed => "not allowed".to_owned(),
        Posting::UpTo { sign, .. } => format!("{:.0} tons", sign.0),
    }
}

fn row(line: &Line) -> Row {
    let place = file_name(&line.place);
    let source = [line.source.as_str(), place.as_str()];
    let source: Vec<&str> = source.into_iter().filter(|text| !text.is_empty()).collect();
    Row {
        label: line.label.clone(),
        symbol: line.symbol.clone(),
        formula: line.formula.clone(),
        numbers: line.numbers.clone(),
        result: line.result.to_string(),
        source: source.join("; "),
        governs: line.governs,
    }
}

/// A place without the folders of its file: the page goes outside.
fn file_name(place: &str) -> String {
    let of = |word: &str| word.rsplit(['/', '\\']).next().unwrap_or_default().to_owned();
    place.split(' ').map(of).collect::<Vec<_>>().join(" ")
}

fn piers(crossing: &Crossing, rules: &Rules) -> Vec<Pier> {
    let mut piers = Vec::new();
    let bearings = pier_bearings(&rules.screen, crossing);
    for (index, layout) in crossing.layouts.iter().enumerate() {
        for pier in 0..layout.piers() {
            let Ok(reactions) = pier_reactions(crossing, index, pier, rules) else { continue };
            let title = format!(
                "Pier {} of {}, {bearings} between its bearings",
                pier + 1,
                layout.describe()
            );
            let rows = reactions.into_iter();
            let rows = rows.map(|found| (found.vehicle, found.reaction.to_string())).collect();
            piers.push(Pier { title, rows });
        }
    }
    piers
}

#[cfg(test)]
mod tests {
    use super::*;

    #[test]
    fn no_folder_is_named() {
        for (place, name) in [
            ("/home/pat/county/lists/cars.csv:12:3", "cars.csv:12:3"),
            ("lists\\cars.csv:12", "cars.csv:12"),
            ("rules rating.truck_share", "rules rating.truck_share"),
            ("", ""),
        ] {
            assert_eq!(file_name(place), name);
        }
    }
}
