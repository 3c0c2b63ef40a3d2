//! S16: somebody has named a price, or none is to be paid.

use super::Alone;
use crate::check::{Check, Code, Limit, Outcome, Value};

/// S16: of the car where it is sold singly, of the lot where it is not.
pub fn price(alone: &Alone) -> Check {
    let limit = Limit::words("quoted");
    if alone.car.owned {
        return Check::words(Code::PriceKnown, "own stock, not bought", limit, true);
    }
    let (price, whose) = match alone.car.lot {
        None => (alone.car.price, "for the car".to_owned()),
        Some(lot) => {
            let lot = alone.inputs.lot(lot);
            if lot.unread_rows > 0 {
                let rows = if lot.unread_rows == 1 { "a row" } else { "rows" };
                let said = format!(
                    "the price of lot {} is also for cars in {rows} that cannot be read",
                    lot.name
                );
                return Check::unknown(Code::PriceKnown, limit, said);
            }
            (lot.price, format!("for lot {} as a whole", lot.name))
        }
    };
    match price {
        Some(price) => {
            Check::new(Code::PriceKnown, Value::Money(price), limit, Outcome::Pass).note(whose)
        }
        None => Check::unknown(Code::PriceKnown, limit, format!("no price {whose}")),
    }
}
