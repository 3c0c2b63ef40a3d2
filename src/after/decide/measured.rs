//! Measured values in place of the dealer's.

use crate::model::car::{Car, MemberCondition};
use crate::quantity::Percent;

/// The columns of an inventory that can be measured. The main girder's plates are one measurement.
pub const MEASURABLE: &[&str] = &[
    "kind",
    "section",
    "apart",
    "length_ft",
    "truck_centers_ft",
    "width_ft",
    "camber_in",
    "year_built",
    "yield_ksi",
    "yield_source",
    "modulus_in3",
    "modulus_source",
    "webs",
    "web_depth_in",
    "web_thickness_in",
    "web_depth_at_trucks_in",
    "top_flange_width_in",
    "top_flange_thickness_in",
    "bottom_flange_width_in",
    "bottom_flange_thickness_in",
    "top_cover_width_in",
    "top_cover_thickness_in",
    "bottom_cover_width_in",
    "bottom_cover_thickness_in",
    "web_loss_pct",
    "top_loss_pct",
    "bottom_loss_pct",
    "unbraced_ft",
    "exterior_depth_in",
    "stringer_modulus_in3",
    "stringer_spacing_ft",
    "cross_member_modulus_in3",
    "cross_member_spacing_ft",
    "weight_lb",
    "deck",
    "deck_condition",
    "coating",
    "lead",
    "main_girder",
    "exterior_girders",
    "bolsters",
    "cross_members",
    "stringers",
    "wrecked",
    "available",
];

/// Puts the measured values of these columns into a car.
///
/// # Errors
/// The column that contradicts what is known of the car otherwise, and why.
pub fn replace(
    car: &mut Car,
    values: &Car,
    columns: &[&'static str],
) -> Result<(), (&'static str, String)> {
    for &column in columns {
        one(car, values, column);
    }
    if columns.contains(&"deck") && !columns.contains(&"deck_condition") {
        car.deck_condition = None;
    }
    if columns.contains(&"main_girder") && !columns.contains(&"webs") {
        thin(car);
    }
    let at = |column: &'static str| if columns.contains(&column) { column } else { "length_ft" };
    if let (Some(length), Some(centers)) = (car.length, car.truck_centers)
        && centers.0 >= length.0
    {
        let wrong = format!("leaves truck centers of {centers} in a length of {length}");
        return Err((at("truck_centers_ft"), wrong));
    }
    if let (Some(length), Some(unbraced)) = (car.length, car.girder.unbraced_ft)
        && unbraced.0 > length.0
    {
        let wrong = format!("leaves {unbraced} without support in a length of {length}");
        return Err((at("unbraced_ft"), wrong));
    }
    Ok(())
}

fn one(car: &mut Car, values: &Car, column: &str) {
    match column {
        "kind" => car.kind = values.kind,
        "section" => car.section.clone_from(&values.section),
        "apart" => car.apart.clone_from(&values.apart),
        "length_ft" => car.length = values.length,
        "truck_centers_ft" => car.truck_centers = values.truck_centers,
        "width_ft" => car.width = values.width,
        "camber_in" => car.camber = values.camber,
        "year_built" => car.year_built = values.year_built,
        "yield_ksi" => car.steel_yield = values.steel_yield,
        "yield_source" => car.yield_source.clone_from(&values.yield_source),
        "modulus_in3" => car.girder.stated_modulus = values.girder.stated_modulus,
        "modulus_source" => car.girder.modulus_source.clone_from(&values.girder.modulus_source),
        "unbraced_ft" => car.girder.unbraced_ft = values.girder.unbraced_ft,
        "exterior_depth_in" => car.exterior_depth = values.exterior_depth,
        "stringer_modulus_in3" => {
            car.secondary.stringer_modulus = values.secondary.stringer_modulus;
        }
        "stringer_spacing_ft" => car.secondary.stringer_spacing = values.secondary.stringer_spacing,
        "cross_member_modulus_in3" => {
            car.secondary.cross_member_modulus = values.secondary.cross_member_modulus;
        }
        "cross_member_spacing_ft" => {
            car.secondary.cross_member_spacing = values.secondary.cross_member_spacing;
        }
        "weight_lb" => car.weight = values.weight,
        "deck" => car.deck = values.deck,
        "deck_condition" => car.deck_condition = values.deck_condition,
        "coating" => car.coating = values.coating,
        "lead" => car.lead = values.lead,
        "main_girder" => car.members.main_girder = values.members.main_girder,
        "exterior_girders" => car.members.exterior_girders = values.members.exterior_girders,
        "bolsters" => car.members.bolsters = values.members.bolsters,
        "cross_members" => car.members.cross_members = values.members.cross_members,
        "stringers" => car.members.stringers = values.members.stringers,
        "wrecked" => car.wrecked = values.wrecked,
        "available" => car.available = values.available,
        // Every other column is one of the plates, which the reader admits all or none.
        _ => car.girder.plates = values.girder.plates,
    }
}

/// A loss seen on the main girder holds for plates measured earlier too: theirs rises to it. It
/// never falls, and a loss that nobody put a number to leaves plates of no use.
fn thin(car: &mut Car) {
    let Some(plates) = &mut car.girder.plates else { return };
    let loss = match car.members.main_girder {
        Some(MemberCondition::Sound) => Percent(0.0),
        Some(MemberCondition::Corroded(loss)) => loss,
        _ => {
            car.girder.plates = None;
            return;
        }
    };
    for of_plate in
        [&mut plates.web_loss_pct, &mut plates.top_loss_pct, &mut plates.bottom_loss_pct]
    {
        of_plate.0 = of_plate.0.max(loss.0);
    }
}
