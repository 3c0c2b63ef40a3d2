//! Spares and risk as JSON.

use serde::Serialize;

use super::render;
use super::shared::CarName;
use crate::after::spare::{Spares, Substitute};
use crate::model::inputs::{CarIx, Inputs, LotIx};
use crate::model::plan::Plan;
use crate::quantity::Cents;
use crate::report::facts::spares::goes_to;

#[derive(Debug, Serialize)]
struct SparesJson {
    spares: PurchaseJson,
    premium_usd_cents: Cents,
    bound_usd_cents: Cents,
    proven_cheapest: bool,
    failures: Vec<FailureJson>,
}

#[derive(Debug, Serialize)]
struct PurchaseJson {
    cars: Vec<CarName>,
    lots: Vec<LotName>,
}

#[derive(Debug, Serialize)]
struct LotName {
    dealer: String,
    lot: String,
}

#[derive(Debug, Serialize)]
struct FailureJson {
    #[serde(flatten)]
    car: CarName,
    goes_to: String,
    covered_by: &'static str,
    purchase: Option<PurchaseJson>,
    purchase_usd_cents: Option<Cents>,
    /// No purchase that covers it costs less.
    least_usd_cents: Cents,
    proven: bool,
}

/// Which car has no substitute, and what keeps every crossing served if one fails.
///
/// # Errors
/// When a value cannot be written as JSON, which does not happen with these types.
pub fn spares(inputs: &Inputs, plan: &Plan, spares: &Spares) -> serde_json::Result<String> {
    let failures = spares.failures.iter().map(|failure| {
        let (word, purchase, cost) = match &failure.substitute {
            Substitute::OwnCars => ("own_cars", None, Some(Cents::ZERO)),
            Substitute::Nothing => ("nothing", None, None),
            Substitute::Unknown => ("unknown", None, None),
            Substitute::Buy { cars, lots, cost } => {
                ("purchase", Some(PurchaseJson::of(inputs, cars, lots)), Some(*cost))
            }
        };
        FailureJson {
            car: CarName::of(inputs, CarIx(failure.offer)),
            goes_to: goes_to(inputs, plan, failure.offer),
            covered_by: word,
            purchase,
            purchase_usd_cents: cost,
            least_usd_cents: failure.least,
            proven: failure.proven,
        }
    });
    let body = SparesJson {
        spares: PurchaseJson::of(inputs, &spares.cars, &spares.lots),
        premium_usd_cents: spares.premium,
        bound_usd_cents: spares.bound,
        proven_cheapest: spares.is_cheapest(),
        failures: failures.collect(),
    };
    render("spare", body)
}

impl PurchaseJson {
    fn of(inputs: &Inputs, cars: &[usize], lots: &[usize]) -> Self {
        let lot = |lot: &usize| {
            let lot = inputs.lot(LotIx(*lot));
            LotName { dealer: lot.dealer.clone(), lot: lot.name.clone() }
        };
        Self {
            cars: cars.iter().map(|car| CarName::of(inputs, CarIx(*car))).collect(),
            lots: lots.iter().map(lot).collect(),
        }
    }
}
