//! S14 and S15: the quote on the day of the order, and the bridge on the day it is needed.

use jiff::Span;
use jiff::civil::Date;

use super::{Alone, Pair};
use crate::check::{Check, Code, Limit, Outcome, Value};
use crate::model::car::Availability;

/// S14.
pub fn quote(alone: &Alone) -> Check {
    let order = Value::Date(alone.inputs.order_date);
    if alone.car.owned {
        let measured = Value::Text("own stock, no quote needed".to_owned());
        return Check::new(Code::QuoteDate, measured, Limit::AtLeast(order), Outcome::Pass);
    }
    match alone.car.quote_expires {
        Some(expires) => Check::at_least(Code::QuoteDate, Value::Date(expires), order),
        None => Check::unknown(Code::QuoteDate, Limit::AtLeast(order), "no expiry of the quote"),
    }
}

/// S15: the later of order and availability, plus the time to haul and build.
pub fn ready(pair: &Pair) -> Check {
    let order = pair.screening.inputs.order_date;
    let leaves = pair.car.available.map(|available| match available {
        Availability::Now => order,
        Availability::From(day) => day.max(order),
    });
    let days = pair.rules.purchase.lead_time_days;
    let ready = leaves.and_then(|day| after(day, days));
    let measured = ready.map_or(Value::Unknown, Value::Date);
    let Some(needed) = pair.crossing.needed_by else {
        return Check::new(Code::NeedDate, measured, Limit::None, Outcome::Pass)
            .note("the crossing has no date");
    };
    let needed = Value::Date(needed);
    match (ready, leaves) {
        (Some(ready), Some(leaves)) => Check::at_most(Code::NeedDate, Value::Date(ready), needed)
            .note_if(pair.remarks, || {
                format!("leaves the yard on {leaves}, {days} days to haul and build")
            }),
        (None, Some(_)) => {
            Check::unknown(Code::NeedDate, Limit::AtMost(needed), "beyond the calendar")
        }
        _ => Check::unknown(Code::NeedDate, Limit::AtMost(needed), "availability not given"),
    }
}

/// The day so many days later; none beyond the last day that can be written.
fn after(day: Date, days: u16) -> Option<Date> {
    day.checked_add(Span::new().try_days(i64::from(days)).ok()?).ok()
}
