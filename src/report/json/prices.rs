//! Prices to beat as JSON.

use serde::Serialize;

use super::render;
use crate::after::prices::{Beat, PriceToBeat, PricesToBeat, Subject};
use crate::model::inputs::Inputs;
use crate::quantity::Cents;
use crate::report::facts::prices::{found, offered};

#[derive(Debug, Serialize)]
struct PricesJson {
    plan_net_usd_cents: Cents,
    discount_percent: f64,
    prices: Vec<PriceJson>,
    /// Offers that were not looked at, for the time was up.
    left_out: usize,
}

#[derive(Debug, Serialize)]
struct PriceJson {
    dealer: String,
    #[serde(skip_serializing_if = "Option::is_none")]
    car: Option<String>,
    #[serde(skip_serializing_if = "Option::is_none")]
    lot: Option<String>,
    cars_offered: u32,
    /// Cars of the row in the plan, 1 for a lot in the plan.
    in_plan: u32,
    asked_usd_cents: Cents,
    price_to_beat: &'static str,
    price_to_beat_usd_cents: Option<Cents>,
    without_net_usd_cents: Cents,
    without_unserved_by_priority: Vec<usize>,
    discount_saves_usd_cents: Cents,
    found: String,
    proven: bool,
    /// Where it is not proven, the least and the greatest price to beat that are possible.
    #[serde(skip_serializing_if = "Option::is_none")]
    between_usd_cents: Option<(Cents, Cents)>,
}

/// Prices to beat.
///
/// # Errors
/// When a value cannot be written as JSON, which does not happen with these types.
pub fn prices(
    inputs: &Inputs,
    prices: &PricesToBeat,
    discount_pct: f64,
) -> serde_json::Result<String> {
    let list = prices.list.iter().map(|offer| price_json(inputs, offer));
    let body = PricesJson {
        plan_net_usd_cents: prices.plan.net,
        discount_percent: discount_pct,
        prices: list.collect(),
        left_out: prices.left_out,
    };
    render("prices", body)
}

fn price_json(inputs: &Inputs, offer: &PriceToBeat) -> PriceJson {
    let (dealer, car, lot) = match offer.subject {
        Subject::Row(car) => {
            let car = inputs.car(car);
            (car.dealer.clone(), Some(car.id.clone()), None)
        }
        Subject::Lot(lot) => {
            let lot = inputs.lot(lot);
            (lot.dealer.clone(), None, Some(lot.name.clone()))
        }
    };
    let (word, price) = match offer.beat {
        Beat::Never => ("never", None),
        Beat::Below(price) => ("below", Some(price)),
        Beat::Always => ("always", None),
    };
    PriceJson {
        dealer,
        car,
        lot,
        cars_offered: offered(inputs, offer.subject),
        in_plan: offer.chosen,
        asked_usd_cents: offer.asked,
        price_to_beat: word,
        price_to_beat_usd_cents: price,
        without_net_usd_cents: offer.without.net,
        without_unserved_by_priority: offer.without.unserved.clone(),
        discount_saves_usd_cents: offer.saves,
        found: found(offer),
        proven: offer.proven,
        between_usd_cents: offer.range,
    }
}
