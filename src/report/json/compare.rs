//! Plans side by side as JSON.

use serde::Serialize;

use super::render;
use crate::after::compare::{Scenario, served_by_all};
use crate::quantity::Cents;

#[derive(Debug, Serialize)]
struct CompareJson<'a> {
    served_by_all: Vec<&'a str>,
    plans: Vec<ScenarioJson<'a>>,
}

#[derive(Debug, Serialize)]
struct ScenarioJson<'a> {
    file: &'a str,
    crossings: usize,
    served: usize,
    service: Vec<ServiceJson>,
    unserved: Vec<&'a str>,
    outlay_usd_cents: Cents,
    already_paid_usd_cents: Cents,
    stock_value_usd_cents: Cents,
    net_usd_cents: Cents,
    served_by_all_usd_cents: Cents,
    budget_usd_cents: Option<Cents>,
    proven: bool,
    cars_bought: u64,
    yards: usize,
    lots: usize,
    lowest_rating: Option<RatingJson<'a>>,
    weight_postings: &'a [String],
    cautions: usize,
    totals: Vec<TotalJson<'a>>,
}

#[derive(Debug, Serialize)]
struct ServiceJson {
    priority: u64,
    served: usize,
    crossings: usize,
}

#[derive(Debug, Serialize)]
struct RatingJson<'a> {
    ratio: f64,
    crossing: &'a str,
}

#[derive(Debug, Serialize)]
struct TotalJson<'a> {
    crossing: &'a str,
    total_usd_cents: Option<Cents>,
}

/// The plans, one entry each.
///
/// # Errors
/// When a value cannot be written as JSON, which does not happen with these types.
pub fn compare(scenarios: &[Scenario]) -> serde_json::Result<String> {
    let (served_by_all, in_common) = served_by_all(scenarios);
    let plans = scenarios.iter().zip(in_common).map(|(s, common)| ScenarioJson {
        file: &s.name,
        crossings: s.crossings.len(),
        served: s.served(),
        service: s
            .service
            .iter()
            .map(|&(priority, served, crossings)| ServiceJson { priority, served, crossings })
            .collect(),
        unserved: s.unserved().collect(),
        outlay_usd_cents: s.outlay,
        already_paid_usd_cents: s.paid,
        stock_value_usd_cents: s.stock_value,
        net_usd_cents: s.net,
        served_by_all_usd_cents: common,
        budget_usd_cents: s.budget,
        proven: s.proven,
        cars_bought: s.cars,
        yards: s.yards,
        lots: s.lots,
        lowest_rating: s
            .lowest_rating
            .as_ref()
            .map(|(ratio, crossing)| RatingJson { ratio: *ratio, crossing }),
        weight_postings: &s.posted,
        cautions: s.cautions,
        totals: s
            .crossings
            .iter()
            .map(|(crossing, total)| TotalJson { crossing, total_usd_cents: *total })
            .collect(),
    });
    render("compare", CompareJson { plans: plans.collect(), served_by_all })
}
