//! The vehicles that a crossing may be asked to carry.

use itertools::Itertools;

use crate::rate::bridge_formula::{Excess, Verdict, verdict};
use crate::rate::sheet::Amount;
use crate::rate::train::{Spacing, Train};
use crate::rate::vehicles::{LaneLoad, LaneUse, Vehicle, VehicleClass};
use crate::report::text::{Page, display_width};

/// Axle drawings, lane loads, sources, and what the federal limits say.
#[must_use]
pub fn vehicles(vehicles: &[Vehicle], width: usize) -> String {
    let mut page = Page::new(width);
    page.para(
        0,
        "Axle loads in kips (1 kip is 1,000 lb) from the front, with the distances between them in \
         feet; name vehicles like this in the crossings file.",
    );
    for vehicle in vehicles {
        page.blank();
        page.ends(
            &format!("{} ({})", vehicle.name, vehicle.class),
            &format!("{} gross", Amount::from(vehicle.gross())),
        );
        for train in &vehicle.trains {
            if vehicle.trains.len() > 1 {
                page.para(2, &format!("{}:", train.name()));
            }
            match drawing(train, width.saturating_sub(2)) {
                Some(lines) => lines.iter().for_each(|line| page.push(&format!("  {line}"))),
                None => page.hanging(2, "Axles: ", &axles(train)),
            }
        }
        if let Some(lane) = &vehicle.lane {
            page.hanging(2, "Lane load: ", &lane_words(lane));
        }
        if let Some(words) = on_the_road(vehicle) {
            page.hanging(2, "On the road: ", &words);
        }
        page.hanging(2, "Source: ", &vehicle.source);
    }
    page.finish()
}

fn lane_words(lane: &LaneLoad) -> String {
    let acts = match lane.lane_use {
        LaneUse::InsteadOfTruck => "instead of the truck, whichever is worse",
        LaneUse::WithTruck => "together with the worst of these",
    };
    let concentrated = [lane.for_moment, lane.for_shear]
        .iter()
        .zip(["moment", "shear"])
        .filter(|(load, _)| load.0 > 0.0)
        .map(|(load, what)| format!("{} for {what}", Amount::from(*load)))
        .join(", ");
    let concentrated =
        if concentrated.is_empty() { concentrated } else { format!(" with {concentrated}") };
    format!("{}{concentrated}, {acts}", Amount::from(lane.uniform))
}

/// What the federal limits say of a vehicle that drives on roads; none for a design load.
fn on_the_road(vehicle: &Vehicle) -> Option<String> {
    let excesses: Vec<Excess> = match vehicle.class {
        VehicleClass::Design => return None,
        _ => vehicle
            .trains
            .iter()
            .flat_map(|train| match verdict(train) {
                Verdict::Legal => Vec::new(),
                Verdict::Permit(excesses) => excesses,
            })
            .collect(),
    };
    let source = "federal limits and bridge formula, 23 U.S.C. 127(a)";
    let Some(first) = excesses.first() else {
        return Some(format!("legal by the {source}"));
    };
    let group = match first.axles {
        (a, b) if a == b => format!("axle {a} weighs"),
        (a, b) => format!("axles {a} to {b} over {} weigh", Amount::from(first.over)),
    };
    let more = match excesses.len() {
        1 => String::new(),
        n => format!(", and {} more", n - 1),
    };
    let excess = format!(
        "{group} {}, {} allowed ({}){more}",
        Amount::from(first.weight),
        Amount::from(first.allowed),
        first.limit
    );
    Some(match vehicle.class {
        VehicleClass::Legal => format!(
            "a load model for legal trucks; taken to the letter it is over the {source}: {excess}"
        ),
        VehicleClass::Emergency => {
            format!("over the {source}, allowed as an emergency vehicle: {excess}")
        }
        _ => format!("needs a permit or a law of its own; over the {source}: {excess}"),
    })
}

/// `8 kip, 14 ft, 32 kip, 14 to 30 ft, 32 kip`.
fn axles(train: &Train) -> String {
    let distances = train.spacings().iter().map(|spacing| format!("{} ft", distance(*spacing)));
    let loads = train.axles().iter().map(|axle| Amount::from(axle.load).to_string());
    loads.interleave(distances).join(", ")
}

/// Three lines: loads, axles, distances. A column is a foot where that fits; none where the labels
/// alone are too wide.
fn drawing(train: &Train, width: usize) -> Option<[String; 3]> {
    let heads = ["kip ", "    ", "ft  "];
    let loads: Vec<_> = train.axles().iter().map(|axle| Amount::from(axle.load).bare()).collect();
    let gaps: Vec<_> = train.spacings().iter().map(|spacing| distance(*spacing)).collect();
    let feet: f64 = train.spacings().iter().map(|spacing| spacing.least.0).sum();
    let room = width.saturating_sub(heads[0].len() + 8) as f64;
    let scale = if feet > 0.0 { (room / feet).min(1.0) } else { 1.0 };
    let mut lines = heads.map(str::to_owned);
    for (index, load) in loads.iter().enumerate() {
        lines[0].push_str(load);
        lines[1].push('O');
        let Some(gap) = gaps.get(index) else { continue };
        let drawn = (train.spacings()[index].least.0 * scale).round() as usize;
        let columns = drawn.max(gap.len() + 2).max(load.len() + 1);
        let left = (columns - gap.len()) / 2;
        lines[0].push_str(&" ".repeat(columns - load.len()));
        lines[1].push_str(&"-".repeat(columns - 1));
        lines[2].push_str(&format!(
            "{}{gap}{}",
            " ".repeat(left),
            " ".repeat(columns - gap.len() - left)
        ));
    }
    lines.iter().all(|line| display_width(line) <= width).then_some(lines)
}

fn distance(spacing: Spacing) -> String {
    let least = Amount::from(spacing.least).bare();
    if spacing.varies() {
        format!("{least} to {}", Amount::from(spacing.most).bare())
    } else {
        least
    }
}

#[cfg(test)]
mod tests {
    use super::*;

    #[test]
    fn an_axle_drawing() {
        let hs20 = Vehicle::built_in("HS20").unwrap();
        assert_eq!(
            drawing(&hs20.trains[0], 78),
            [
                "kip 8             32            32",
                "    O-------------O-------------O",
                "ft        14         14 to 30   "
            ]
            .map(str::to_owned)
            .into()
        );
    }

    #[test]
    fn lists_keep_the_width() {
        let all: Vec<_> = crate::model::vehicles::BUILT_IN
            .iter()
            .map(|known| Vehicle::built_in(known.name).unwrap())
            .collect();
        for width in [40, 60, 80, 120] {
            let text = vehicles(&all, width);
            assert!(text.lines().all(|line| display_width(line) <= width), "{width}");
            // A train too long for its drawing is told in words.
            assert_eq!(text.contains("Axles: "), width < 42, "{width}");
        }
    }
}
