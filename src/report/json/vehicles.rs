//! Vehicles as JSON.

use serde::Serialize;

use super::render;
use crate::quantity::Tons;
use crate::rate::bridge_formula::{Verdict, verdict};
use crate::rate::vehicles::Vehicle;

#[derive(Debug, Serialize)]
struct Vehicles<'a> {
    vehicles: Vec<Entry<'a>>,
}

#[derive(Debug, Serialize)]
struct Entry<'a> {
    #[serde(flatten)]
    vehicle: &'a Vehicle,
    gross_short_tons: Tons,
    /// The federal weight limits and bridge formula, one entry per axle train.
    federal_limits: Vec<Verdict>,
}

/// Axle trains, lane loads and sources.
///
/// # Errors
/// When a value cannot be written as JSON, which does not happen with these types.
pub fn vehicles(vehicles: &[Vehicle]) -> serde_json::Result<String> {
    let vehicles = vehicles
        .iter()
        .map(|vehicle| Entry {
            vehicle,
            gross_short_tons: vehicle.gross(),
            federal_limits: vehicle.trains.iter().map(verdict).collect(),
        })
        .collect();
    render("vehicles", Vehicles { vehicles })
}
