//! What was given: the car and the crossing, with the place of every cell.

use super::Case;
use super::amount::Amount;
use super::line::{Line, Part};
use crate::check::Grade;
use crate::model::car::{Car, GirderPlates, Plate};
use crate::model::inventory::Inventory;
use crate::quantity::Inches;
use crate::rate::strength::{Losses, Strength};

/// Where a fact of the car stands, with what it rests on unless that is the dealer's row.
pub(super) fn place(car: &Car, column: &str) -> String {
    let evidence = Inventory::named(column).map(|column| car.evidence(column));
    match evidence {
        Some(evidence) if evidence.grade != Grade::Stated => {
            format!("{} {column}, {evidence}", evidence.place)
        }
        _ => format!("{} {column}", car.place),
    }
}

/// The car.
pub(super) fn car(case: &Case) -> Part {
    let mut part = Part::new("Given: the car");
    let (car, girder) = (case.car, &case.rating.girder);
    let cell = |column: &str| place(car, column);
    part.push(Line::new("Length over ends", "Lc", girder.length).at(cell("length_ft")));
    part.push(Line::new("Width", "b", girder.width).at(cell("width_ft")));
    part.push(Line::new("Weight", "W", girder.weight).at(cell("weight_lb")));
    if let Some(centers) = girder.truck_centers {
        part.push(Line::new("Truck centers", "Lt", centers).at(cell("truck_centers_ft")));
    }
    if let Some(camber) = girder.camber {
        part.push(Line::new("Camber at mid-length", "c", camber).at(cell("camber_in")));
    }
    let condition = car.members.main_girder.map_or("not inspected".to_owned(), |c| c.words());
    let who = car.evidence(Inventory::MainGirder).to_string();
    part.push(
        Line::new("Main girder", "", Amount::words(condition)).source(who).at(cell("main_girder")),
    );
    match &girder.strength {
        Strength::Stated { stated, source, .. } => {
            let who = source.clone().unwrap_or_else(|| "stated, source not named".to_owned());
            part.push(
                Line::new("Section modulus as stated", "S0", *stated)
                    .source(who)
                    .at(cell("modulus_in3")),
            );
        }
        Strength::Plates { measured, losses, .. } => {
            plates(&mut part, measured, losses, &cell);
            if let Some(unbraced) = car.girder.unbraced_ft {
                part.push(Line::new("Unbraced length", "Lb", unbraced).at(cell("unbraced_ft")));
            }
        }
    }
    part
}

fn plates(
    part: &mut Part,
    measured: &GirderPlates,
    losses: &Losses,
    cell: &impl Fn(&str) -> String,
) {
    part.push(
        Line::new("Number of webs", "n", Amount::count(measured.webs.into())).at(cell("webs")),
    );
    let mut length = |label: &str, symbol: &str, value: Inches, column: &str| {
        part.push(Line::new(label, symbol, value).at(cell(column)));
    };
    length("Web depth at mid-span", "D", measured.web.width_in, "web_depth_in");
    length("Web thickness", "tw", measured.web.thickness_in, "web_thickness_in");
    if let Some(depth) = measured.web_depth_at_trucks_in {
        length("Web depth at the wheel trucks", "Dt", depth, "web_depth_at_trucks_in");
    }
    let mut plate = |name: &str, symbol: &str, plate: &Plate, column: &str| {
        let (width, thickness) = (format!("{column}_width_in"), format!("{column}_thickness_in"));
        length(&format!("{name}, width"), &format!("b{symbol}"), plate.width_in, &width);
        length(
            &format!("{name}, thickness"),
            &format!("t{symbol}"),
            plate.thickness_in,
            &thickness,
        );
    };
    plate("Top flange", "tf", &measured.top_flange, "top_flange");
    plate("Bottom flange", "bf", &measured.bottom_flange, "bottom_flange");
    if let Some(cover) = &measured.top_cover {
        plate("Top cover plate", "tc", cover, "top_cover");
    }
    if let Some(cover) = &measured.bottom_cover {
        plate("Bottom cover plate", "bc", cover, "bottom_cover");
    }
    let raised = if losses.raised_to_inspection {
        "the inspected loss of the girder, which no plate's own loss reaches"
    } else {
        ""
    };
    for (name, symbol, loss, column) in [
        ("Loss of the webs", "pw", losses.web_pct, "web_loss_pct"),
        ("Loss of the top flange", "pt", losses.top_pct, "top_loss_pct"),
        ("Loss of the bottom flange", "pb", losses.bottom_pct, "bottom_loss_pct"),
    ] {
        part.push(Line::new(name, symbol, loss).source(raised).at(cell(column)));
    }
}

/// The crossing and what the rules lay on it.
pub(super) fn crossing(case: &Case) -> Part {
    let mut part = Part::new("Given: the crossing");
    let (crossing, loads) = (case.crossing, &case.rating.loads);
    let cell = |column: &str| format!("{} {column}", crossing.place);
    // The layout without piers is the column span_ft; the others are in pier_layouts_ft.
    let piers = !crossing
        .layouts
        .iter()
        .any(|layout| layout.spans.len() == 1 && layout.spans[0] == loads.span());
    let column = if piers { "pier_layouts_ft" } else { "span_ft" };
    part.push(Line::new("Span between bearings", "L", loads.span()).at(cell(column)));
    part.push(
        Line::new("Clear width of the roadway", "wc", crossing.clear_width)
            .at(cell("clear_width_ft")),
    );
    part.push(
        Line::new("Vehicles", "", Amount::words(crossing.vehicles.join("; "))).at(cell("vehicles")),
    );
    part.push(
        Line::new("Deck system", "", Amount::words(crossing.deck_system.clone())).at(cell("deck")),
    );
    if let Some(least) = loads.least_posting {
        part.push(Line::new("Least posting accepted", "", least).at(cell("least_posting_tons")));
    }
    part
}
