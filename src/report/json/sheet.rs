//! Calculation sheets as JSON.

use serde::Serialize;

use super::render;
use crate::quantity::Feet;
use crate::rate::Unrateable;
use crate::rate::sheet::Sheet;

/// What rating one car on one span came to.
#[derive(Clone, Debug, Serialize)]
#[serde(untagged)]
pub enum SheetOrReasons {
    /// The sheet.
    Sheet(Box<Sheet>),
    /// Why there is none.
    Reasons {
        /// Dealer and ID of the car.
        car: String,
        /// ID of the crossing.
        crossing: String,
        /// The span between bearings.
        span_ft: Feet,
        /// Every reason.
        cannot_be_rated: Unrateable,
    },
}

#[derive(Debug, Serialize)]
struct Sheets<'a> {
    sheets: &'a [SheetOrReasons],
}

/// The sheets of one car or several on the spans of a crossing.
///
/// # Errors
/// When a value cannot be written as JSON, which does not happen with these types.
pub fn sheets(sheets: &[SheetOrReasons]) -> serde_json::Result<String> {
    render("calculation_sheets", Sheets { sheets })
}
