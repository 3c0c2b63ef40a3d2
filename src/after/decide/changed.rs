//! Changed facts of a crossing.

use crate::model::crossing::Crossing;
use crate::model::crossing_columns::CrossingColumn as C;

/// Puts the value of one column into a crossing.
pub(super) fn copy(to: &mut Crossing, from: &Crossing, column: C) {
    match column {
        C::Crossing => {}
        C::Road => to.road.clone_from(&from.road),
        C::Span => {
            to.layouts.retain(|layout| layout.piers() > 0);
            let bare = from.layouts.iter().filter(|layout| layout.piers() == 0);
            to.layouts.splice(0..0, bare.cloned());
        }
        // Both are changed together.
        C::PierLayouts => {
            to.layouts.retain(|layout| layout.piers() == 0);
            to.layouts.extend(from.layouts.iter().filter(|layout| layout.piers() > 0).cloned());
        }
        C::PierCost => {}
        C::Other => to.other = from.other,
        // What another bridge costs is stated together.
        C::OtherBridge => to.other_bridge.clone_from(&from.other_bridge),
        C::OtherBridgeIs | C::OtherBridgeYears => {
            if let (Some(to), Some(from)) = (&mut to.other_bridge, &from.other_bridge) {
                match column {
                    C::OtherBridgeIs => to.what.clone_from(&from.what),
                    _ => to.years = from.years,
                }
            }
        }
        C::OtherFor => to.other_for.clone_from(&from.other_for),
        C::PierBearings => to.pier_bearings = from.pier_bearings,
        C::ClearWidth => to.clear_width = from.clear_width,
        C::Vehicles => to.vehicles.clone_from(&from.vehicles),
        C::Deck => to.deck_system.clone_from(&from.deck_system),
        C::MostAbreast => to.most_abreast = from.most_abreast,
        C::HaulLength => to.haul_length_limit = from.haul_length_limit,
        C::HaulWeight => to.haul_weight_limit = from.haul_weight_limit,
        C::HaulHeight => to.haul_height_limit = from.haul_height_limit,
        C::HaulWidth => to.haul_width_limit = from.haul_width_limit,
        C::Crane => to.crane_limit = from.crane_limit,
        C::Priority => to.priority = from.priority,
        C::NeededBy => to.needed_by = from.needed_by,
        C::NoHaul => to.no_haul.clone_from(&from.no_haul),
        C::NoStreamWork => to.no_stream_work.clone_from(&from.no_stream_work),
        C::Fund => to.fund.clone_from(&from.fund),
        C::Keep => to.keep.clone_from(&from.keep),
        C::Latitude => to.position.latitude_deg = from.position.latitude_deg,
        C::Longitude => to.position.longitude_deg = from.position.longitude_deg,
        C::LeastPosting => to.least_posting = from.least_posting,
    }
}
