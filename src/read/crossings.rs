//! Crossings: one bridge site to a row.

use super::FileKind;
use super::columns::Columns as _;
use super::lines::trim;
use super::names::Names;
use super::plain::is_plain_number;
use super::problem::{Findings, one_of};
use super::row::Row;
use super::rows::each_row;
use super::seasons::seasons;
use super::table::Taken;
use super::text::SourceText;
use super::yards::position;
use crate::check::Code;
use crate::model::crossing::{Crossing, Keep, Layout, OtherBridge};
use crate::model::crossing_columns::{CrossingColumn as C, SPAN};
use crate::model::vehicles::{BUILT_IN, VehicleClass};
use crate::quantity::{Cents, Feet, Kips, Tons};
use crate::words::nearest;

/// What the rows may refer to.
#[derive(Debug, Default)]
pub(super) struct Known {
    /// Vehicles, built-in and of the rules; `None` where the rules could not be read.
    pub vehicles: Option<Vec<String>>,
    /// Deck systems; `None` where the rules could not be read.
    pub decks: Option<Vec<String>>,
    /// Funds; `None` where the rules could not be read.
    pub funds: Option<Vec<String>>,
}

/// Reads the crossings file, sorted by ID.
pub(super) fn read(
    source: &SourceText,
    known: &Known,
    findings: &mut Findings,
) -> (Vec<Crossing>, Taken) {
    let mut seen = Names::default();
    let mut list = Vec::new();
    let taken = each_row::<C>(source, FileKind::Crossings, findings, |row| {
        list.extend(crossing(row, known, &mut seen))
    });
    list.sort_by(|a, b| a.id.cmp(&b.id));
    (list, taken)
}

fn crossing(row: &mut Row<'_, C>, known: &Known, seen: &mut Names) -> Option<Crossing> {
    let id = row.text(C::Crossing);
    if let Some(first) = id.as_ref().and_then(|id| seen.add("", id, row.place())) {
        let wrong = format!("is a crossing that stands already at {first}");
        row.problem(C::Crossing, Code::Duplicate, wrong, "keep one of the two rows");
    }
    let road = row.text(C::Road);
    let pier_bearings = row.number(C::PierBearings).map(Feet);
    let layouts = layouts(row, pier_bearings.unwrap_or_default());
    let other = row.money(C::Other);
    let other_for = row.text(C::OtherFor);
    if other.is_none() && row.cell(C::OtherFor).is_some() && row.cell(C::Other).is_none() {
        let wrong = "says what a cost is for, and other_usd is blank";
        row.warning(C::OtherFor, Code::Contradiction, wrong, "write the cost, 0 if there is none");
    }
    let other_bridge = other_bridge(row);
    let clear_width = row.number(C::ClearWidth).map(Feet);
    let vehicles = vehicles(row, known.vehicles.as_deref());
    let deck_system = deck_system(row, known.decks.as_deref());
    let most_abreast = row.whole(C::MostAbreast);
    let haul_length_limit = row.number(C::HaulLength).map(Feet);
    let haul_width_limit = row.number(C::HaulWidth).map(Feet);
    let haul_height_limit = row.number(C::HaulHeight).map(Feet);
    let haul_weight_limit = row.number(C::HaulWeight).map(Kips::from_pounds);
    let crane_limit = row.number(C::Crane).map(Kips::from_pounds);
    let priority = row.whole(C::Priority);
    let needed_by = row.date(C::NeededBy);
    let no_haul = seasons(row, C::NoHaul);
    let no_stream_work = seasons(row, C::NoStreamWork);
    let fund = fund(row, known.funds.as_deref());
    let keep = keep(row);
    let position = position(row, C::Latitude, C::Longitude);
    let least_posting = row.number(C::LeastPosting).map(Tons);
    Some(Crossing {
        id: id?,
        road: road?,
        layouts: layouts?,
        other,
        other_for,
        other_bridge,
        clear_width: clear_width?,
        vehicles: vehicles?,
        deck_system: deck_system?,
        most_abreast: u8::try_from(most_abreast?).ok()?,
        haul_length_limit,
        haul_width_limit,
        haul_height_limit,
        haul_weight_limit,
        crane_limit,
        priority: u8::try_from(priority?).ok()?,
        fund: fund?,
        needed_by,
        no_haul: no_haul?,
        no_stream_work: no_stream_work?,
        keep: keep?,
        position: position?,
        least_posting,
        pier_bearings,
        place: row.place(),
    })
}

/// What another bridge would cost.
fn other_bridge(row: &mut Row<'_, C>) -> Option<OtherBridge> {
    let cost = row.money(C::OtherBridge);
    let what = row.text(C::OtherBridgeIs);
    let years = row.whole(C::OtherBridgeYears).and_then(|years| u16::try_from(years).ok());
    if row.cell(C::OtherBridge).is_none() {
        for column in [C::OtherBridgeIs, C::OtherBridgeYears] {
            if row.cell(column).is_some() {
                let wrong = "tells of another bridge, and other_bridge_usd is blank";
                let instead = "write what it would cost, or leave the cell blank";
                row.warning(column, Code::Contradiction, wrong, instead);
            }
        }
    }
    Some(OtherBridge { cost: cost?, what, years })
}

/// What must be kept together.
fn keep(row: &mut Row<'_, C>) -> Option<Vec<Keep>> {
    let mut kept: Vec<Keep> = Vec::new();
    let mut sound = true;
    let cell = row.cell(C::Keep).unwrap_or_default();
    for text in cell.split(';').map(trim).filter(|text| !text.is_empty()) {
        let (code, wrong) = match Keep::from_word(text) {
            Some(keep) if !kept.contains(&keep) => {
                kept.push(keep);
                continue;
            }
            Some(keep) => (Code::Duplicate, format!("has {keep} twice")),
            None => (Code::WordUnknown, format!("has {text}, which is no word for this column")),
        };
        let instead = format!("write {}", C::Keep.column().content.allowed());
        row.problem(C::Keep, code, wrong, instead);
        sound = false;
    }
    kept.sort_unstable();
    sound.then_some(kept)
}

/// The layout without piers, if there is one, then those with piers as written; `bearings` lie between two
/// spans on a pier, as far as the row says so.
fn layouts(row: &mut Row<'_, C>, bearings: Feet) -> Option<Vec<Layout>> {
    let one_span = row.number(C::Span).map(Feet);
    let pier = row.money(C::PierCost);
    let with_piers = row.cell(C::PierLayouts);
    match (with_piers, row.cell(C::Span), row.cell(C::PierCost)) {
        (None, None, _) if row.has(C::Span) || row.has(C::PierLayouts) => {
            let wrong = "is blank, and so is pier_layouts_ft";
            row.problem(C::Span, Code::CellBlank, wrong, "write the span, or a layout with piers");
        }
        (None, None, _) => {
            let wrong = "is not in the header row, nor is pier_layouts_ft";
            row.problem(C::Span, Code::CellBlank, wrong, "add one of the two columns");
        }
        (Some(_), _, None) => {
            let wrong = "is blank, and pier_layouts_ft has piers";
            row.problem(C::PierCost, Code::CellBlank, wrong, "write the cost of one pier");
        }
        (None, Some(_), Some(_)) => {
            let wrong = "is not used, because there is no layout with piers";
            let instead = "write pier_layouts_ft, or leave the cell blank to quiet this";
            row.warning(C::PierCost, Code::Contradiction, wrong, instead);
        }
        _ => {}
    }
    let mut layouts: Vec<Layout> = Vec::new();
    let mut complete = true;
    if let Some(span) = one_span {
        layouts.push(Layout { spans: vec![span], piers_cost: Cents::ZERO });
    }
    for text in with_piers.unwrap_or_default().split(';').map(trim).filter(|text| !text.is_empty())
    {
        let Some(spans) = spans(row, text) else {
            complete = false;
            continue;
        };
        if layouts.iter().any(|layout| layout.spans == spans) {
            let wrong = format!("has the layout {text} twice");
            row.problem(C::PierLayouts, Code::Duplicate, wrong, "write each layout once");
            complete = false;
            continue;
        }
        let piers = spans.len() as i64 - 1;
        let layout = Layout { spans, piers_cost: pier.unwrap_or_default() * piers };
        let total = layout.total(bearings);
        if let Some(whole) = one_span
            && (total.0 - whole.0).abs() > whole.0 / 10.0
        {
            let wrong =
                format!("has the layout {text}, {} ft in all, and span_ft is {}", total.0, whole.0);
            let instead = "look again; the spans of a layout bridge the same opening";
            row.warning(C::PierLayouts, Code::Contradiction, wrong, instead);
        }
        layouts.push(layout);
    }
    (complete && !layouts.is_empty()).then_some(layouts)
}

/// The spans of one layout with piers.
fn spans(row: &mut Row<'_, C>, text: &str) -> Option<Vec<Feet>> {
    let parts: Vec<_> = text.split('+').map(trim).collect();
    if let Some(part) = parts.iter().find(|part| !is_plain_number(part)) {
        let wrong = match part.is_empty() {
            true => format!("has a span missing in the layout {text}"),
            false => format!("has {part} for a span, which is not a plain number"),
        };
        let instead = format!("write {}", C::PierLayouts.column().content.allowed());
        row.problem(C::PierLayouts, Code::NotANumber, wrong, instead);
        return None;
    }
    let spans: Vec<_> = parts.iter().filter_map(|part| part.parse().ok()).map(Feet).collect();
    if let Some(span) = spans.iter().find(|span| !(SPAN.0..=SPAN.1).contains(&span.0)) {
        let wrong = format!("has a span of {} ft, outside {} to {} ft", span.0, SPAN.0, SPAN.1);
        row.problem(C::PierLayouts, Code::OutOfRange, wrong, "write each span in decimal feet");
        return None;
    }
    if spans.len() < 2 {
        let wrong = format!("has the layout {text}, which has no pier");
        let instead = "write a single span in span_ft, and here two or more joined by +";
        row.problem(C::PierLayouts, Code::Contradiction, wrong, instead);
        return None;
    }
    Some(spans)
}

/// The vehicles, each under the name that the table of vehicles or the rules give it.
fn vehicles(row: &mut Row<'_, C>, known: Option<&[String]>) -> Option<Vec<String>> {
    let Some(cell) = row.cell(C::Vehicles) else { return row.require(C::Vehicles, None) };
    let mut vehicles: Vec<String> = Vec::new();
    let mut complete = true;
    for name in cell.split(';').map(trim).filter(|name| !name.is_empty()) {
        let name = super::lines::one_line(name);
        let found = match known {
            None => Some(name.to_string()),
            Some(known) => known.iter().find(|known| known.eq_ignore_ascii_case(&name)).cloned(),
        };
        let Some(vehicle) = found else {
            let wrong = format!(
                "has the vehicle {name}, which neither the built-in table nor the rules have"
            );
            row.problem(C::Vehicles, Code::RefersToNothing, wrong, vehicle_advice(&name, known));
            complete = false;
            continue;
        };
        if vehicles.contains(&vehicle) {
            let wrong = format!("has the vehicle {vehicle} twice");
            row.problem(C::Vehicles, Code::Duplicate, wrong, "write each vehicle once");
            complete = false;
            continue;
        }
        vehicles.push(vehicle);
    }
    if vehicles.is_empty() && complete {
        let instead = "write at least one vehicle";
        row.problem(C::Vehicles, Code::CellBlank, "names no vehicle", instead);
    }
    if complete && !vehicles.is_empty() {
        one_sided(row, &vehicles);
        return Some(vehicles);
    }
    None
}

/// Design loads alone, or vehicles of the agency's own alone, are not what drives there.
fn one_sided(row: &mut Row<'_, C>, vehicles: &[String]) {
    let class = |name: &String| {
        let known = BUILT_IN.iter().find(|known| known.name.eq_ignore_ascii_case(name));
        known.map_or(VehicleClass::Own, |known| known.class)
    };
    let all = |wanted| vehicles.iter().all(|name| class(name) == wanted);
    let wrong = if all(VehicleClass::Design) {
        "names design loads alone, which no driver can read on a sign"
    } else if all(VehicleClass::Own) {
        "names vehicles of the agency's own alone, and others will come"
    } else {
        return;
    };
    let instead = "name the legal trucks that must cross, such as Type 3; posting.legal_vehicles are rated \
                   for the sign alone";
    row.warning(C::Vehicles, Code::ValueDoubtful, wrong, instead);
}

fn vehicle_advice(name: &str, known: Option<&[String]>) -> String {
    let known = known.unwrap_or_default();
    if name.contains(',') {
        return "separate the names with semicolons".to_owned();
    }
    match nearest(name, known.iter().map(String::as_str)) {
        Some(near) => format!("write {near} if that is meant, or add a [[vehicle]] to the rules"),
        None => format!("write {}, or add a [[vehicle]] to the rules", one_of(known)),
    }
}

/// The fund that pays, under the name that the rules give it; `Some(None)` where none is named.
fn fund(row: &mut Row<'_, C>, known: Option<&[String]>) -> Option<Option<String>> {
    if row.cell(C::Fund).is_none() {
        return Some(None);
    }
    let name = row.text(C::Fund)?;
    let Some(known) = known else { return Some(Some(name)) };
    let found = known.iter().find(|known| known.eq_ignore_ascii_case(&name)).cloned();
    if found.is_none() {
        let instead = match known {
            [] => "add a [[fund]] to the rules, or leave the cell blank".to_owned(),
            known => format!("write {}, or add a [[fund]] to the rules", one_of(known)),
        };
        row.problem(C::Fund, Code::RefersToNothing, "is not a fund of the rules", instead);
    }
    found.map(Some)
}

/// The deck system, under the name that the rules give it.
fn deck_system(row: &mut Row<'_, C>, known: Option<&[String]>) -> Option<String> {
    let name = row.text(C::Deck)?;
    let Some(known) = known else { return Some(name) };
    let found = known.iter().find(|known| known.eq_ignore_ascii_case(&name)).cloned();
    if found.is_none() {
        let instead = format!("write {}, or add a [[deck]] to the rules", one_of(known));
        let wrong = "is not a deck system of the rules";
        row.problem(C::Deck, Code::RefersToNothing, wrong, instead);
    }
    found
}
