//! What money buys, as JSON.

use serde::Serialize;

use super::render;
use crate::quantity::Cents;
use crate::report::facts::sweep::Point;

#[derive(Debug, Serialize)]
struct SweepJson<'a> {
    points: Vec<PointJson<'a>>,
}

#[derive(Debug, Serialize)]
struct PointJson<'a> {
    budget_usd_cents: Cents,
    crossings: usize,
    served: usize,
    service: Vec<ServiceJson>,
    unserved: &'a [String],
    outlay_usd_cents: Cents,
    net_usd_cents: Cents,
    saves_against_other_bridges_usd_cents: Option<Cents>,
    other_bridge_cheaper_at: &'a [String],
    proven: bool,
}

#[derive(Debug, Serialize)]
struct ServiceJson {
    priority: u8,
    served: usize,
    crossings: usize,
}

/// One entry for each budget.
///
/// # Errors
/// When a value cannot be written as JSON, which does not happen with these types.
pub fn sweep(points: &[Point]) -> serde_json::Result<String> {
    let points = points.iter().map(|point| PointJson {
        budget_usd_cents: point.budget,
        crossings: point.crossings(),
        served: point.served(),
        service: point
            .service
            .iter()
            .map(|&(priority, served, crossings)| ServiceJson { priority, served, crossings })
            .collect(),
        unserved: &point.unserved,
        outlay_usd_cents: point.outlay,
        net_usd_cents: point.net,
        saves_against_other_bridges_usd_cents: point.saves,
        other_bridge_cheaper_at: &point.left_to_other,
        proven: point.proven,
    });
    render("budget_sweep", SweepJson { points: points.collect() })
}
