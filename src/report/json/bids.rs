//! Prices to beat as JSON.

use serde::Serialize;

use super::render;
use crate::bid::{Beat, Bid, Bids, Subject};
use crate::model::inputs::Inputs;
use crate::quantity::Cents;
use crate::report::facts::bids::{found, offered};

#[derive(Debug, Serialize)]
struct BidsJson {
    plan_net_usd_cents: Cents,
    discount_percent: f64,
    bids: Vec<BidJson>,
}

#[derive(Debug, Serialize)]
struct BidJson {
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
pub fn bids(inputs: &Inputs, bids: &Bids, discount_pct: f64) -> serde_json::Result<String> {
    let list = bids.list.iter().map(|bid| bid_json(inputs, bid));
    let body = BidsJson {
        plan_net_usd_cents: bids.plan.net,
        discount_percent: discount_pct,
        bids: list.collect(),
    };
    render("bids", body)
}

fn bid_json(inputs: &Inputs, bid: &Bid) -> BidJson {
    let (dealer, car, lot) = match bid.subject {
        Subject::Row(car) => {
            let car = inputs.car(car);
            (car.dealer.clone(), Some(car.id.clone()), None)
        }
        Subject::Lot(lot) => {
            let lot = inputs.lot(lot);
            (lot.dealer.clone(), None, Some(lot.name.clone()))
        }
    };
    let (word, price) = match bid.beat {
        Beat::Never => ("never", None),
        Beat::Below(price) => ("below", Some(price)),
        Beat::Always => ("always", None),
    };
    BidJson {
        dealer,
        car,
        lot,
        cars_offered: offered(inputs, bid.subject),
        in_plan: bid.chosen,
        asked_usd_cents: bid.asked,
        price_to_beat: word,
        price_to_beat_usd_cents: price,
        without_net_usd_cents: bid.without.net,
        without_unserved_by_priority: bid.without.unserved.clone(),
        discount_saves_usd_cents: bid.saves,
        found: found(bid),
        proven: bid.proven,
        between_usd_cents: bid.range,
    }
}
