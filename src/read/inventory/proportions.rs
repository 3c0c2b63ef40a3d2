//! Whether the measures of a car go together. The limits are those of the trade's flat cars with room
//! to spare; common practice, no source.

use super::Inventory as C;
use crate::check::Code;
use crate::quantity::{Feet, Inches};
use crate::read::columns::{Columns, Content, plain};
use crate::read::row::Row;
use crate::read::units::Unit;

/// A car shorter than this deserves a second look, feet.
const LENGTH_LIKELY_FT: f64 = 30.0;

/// Truck centers below this share of the length over ends deserve a second look.
const CENTERS_LIKELY: f64 = 0.4;

/// More camber or sag than this deserves a second look, inches.
const CAMBER_LIKELY_IN: f64 = 6.0;

/// The length over ends: a short one may be meters.
pub(super) fn length(row: &mut Row<'_, C>, length: Option<Feet>) {
    let Some(length) = length.filter(|length| length.0 < LENGTH_LIKELY_FT) else { return };
    let wrong = format!("is short for a car, which has {LENGTH_LIKELY_FT} ft at least");
    let instead = again_or_meters(C::Length, length, |_| true);
    row.warning(C::Length, Code::ValueDoubtful, wrong, instead);
}

/// Truck centers within the length over ends, and not by far.
pub(super) fn centers(row: &mut Row<'_, C>, length: Option<Feet>, centers: Option<Feet>) {
    let (Some(length), Some(centers)) = (length, centers) else { return };
    if centers.0 >= length.0 {
        let wrong = format!("is not less than the length over ends, {} ft", plain(length.0));
        // A length that is short for any car has another cause, which is told with it.
        let swapped =
            centers.0 > length.0 && length.0 >= LENGTH_LIKELY_FT.max(CENTERS_LIKELY * centers.0);
        let instead = match swapped {
            true => "measure both again; are the two in each other's column?",
            false => "measure both again",
        };
        row.problem(C::TruckCenters, Code::Contradiction, wrong, instead);
    } else if centers.0 < CENTERS_LIKELY * length.0 {
        let wrong = format!("is little for a length over ends of {} ft", plain(length.0));
        let instead = again_or_meters(C::TruckCenters, centers, |feet| feet < length.0);
        row.warning(C::TruckCenters, Code::ValueDoubtful, wrong, instead);
    }
}

/// Camber that no car has.
pub(super) fn camber(row: &mut Row<'_, C>, camber: Option<Inches>) {
    if camber.is_some_and(|camber| camber.0.abs() > CAMBER_LIKELY_IN) {
        let wrong = format!("is more camber than cars have, {CAMBER_LIKELY_IN} in at most");
        let instead = "measure it again, perhaps it was typed in mm or sixteenths";
        row.warning(C::Camber, Code::ValueDoubtful, wrong, instead);
    }
}

/// What to do about a length that would be likely in meters.
fn again_or_meters(column: C, length: Feet, fits: impl Fn(f64) -> bool) -> String {
    let feet = (Unit::Meters.convert(length.0, Unit::Feet) * 10.0).round() / 10.0;
    let within = match column.column().content {
        Content::Number { least, most, .. } => (least..=most).contains(&feet),
        _ => false,
    };
    match within && fits(feet) {
        true => format!("measure it again; is it in meters? Then it is {} ft", plain(feet)),
        false => "measure it again".to_owned(),
    }
}
