//! What a car of a lot counts as its share of the lot.

use crate::choose::market::Market;

/// What one placed car of each lot is charged with.
pub fn lot_shares(market: &Market) -> Vec<i64> {
    let mut cars = vec![0_i64; market.lots.len()];
    for offer in &market.offers {
        if let Some(count) = offer.lot.and_then(|lot| cars.get_mut(lot)) {
            *count += i64::from(offer.quantity);
        }
    }
    let prices = market.lots.iter().map(|price| price.map_or(0, |price| price.0));
    prices.zip(cars).map(|(price, cars)| (price + cars - 1).div_euclid(cars.max(1))).collect()
}
