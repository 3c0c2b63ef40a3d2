//! The vehicles that a crossing may be asked to carry.

use itertools::Itertools;

use crate::rate::train::Train;
use crate::rate::vehicles::{LaneUse, Vehicle};
use crate::report::text::Page;

/// Axle trains, lane loads and sources.
#[must_use]
pub fn vehicles(vehicles: &[Vehicle], width: usize) -> String {
    let mut page = Page::new(width);
    page.para(
        0,
        "Axle loads from the front with the distances between them; name vehicles like this in the crossings file.",
    );
    for vehicle in vehicles {
        page.blank();
        page.ends(
            &format!("{} ({})", vehicle.name, vehicle.class),
            &format!("{} gross", vehicle.gross()),
        );
        for train in &vehicle.trains {
            page.hanging(2, "Axles:  ", &axles(train));
        }
        if let Some(lane) = &vehicle.lane {
            let acts = match lane.lane_use {
                LaneUse::InsteadOfTruck => "instead of the truck, whichever is worse",
                LaneUse::WithTruck => "together with the truck",
            };
            let concentrated = [lane.for_moment, lane.for_shear]
                .iter()
                .zip(["moment", "shear"])
                .filter(|(load, _)| load.0 > 0.0)
                .map(|(load, what)| format!("{load} for {what}"))
                .join(", ");
            let concentrated = if concentrated.is_empty() {
                concentrated
            } else {
                format!(" with {concentrated}")
            };
            page.hanging(2, "Lane:   ", &format!("{}{concentrated}, {acts}", lane.uniform));
        }
        page.hanging(2, "Source: ", &vehicle.source);
    }
    page.finish()
}

/// `8.0 kip, 14 ft, 32.0 kip, 14 to 30 ft, 32.0 kip`.
fn axles(train: &Train) -> String {
    let distances = train.spacings().iter().map(|spacing| {
        if spacing.varies() {
            format!("{} to {} ft", spacing.least.0, spacing.most.0)
        } else {
            format!("{} ft", spacing.least.0)
        }
    });
    let loads = train.axles().iter().map(|axle| axle.load.to_string());
    loads.interleave(distances).join(", ")
}
