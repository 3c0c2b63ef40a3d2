//! S14 and S15: the quote on the day of the order, and the bridge on the day it is needed.

use super::{Alone, Pair};
use crate::check::{Check, Code, Limit, Outcome, Value};
use crate::model::closed::{self, Closed};

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

/// S15: the later of order and availability, plus the time to haul and build, in which days of closed
/// seasons do not count.
pub fn ready(pair: &Pair) -> Check {
    let inputs = pair.screening.inputs;
    let leaves = closed::leaves(pair.car, inputs.order_date);
    let closed = Closed::of(inputs, pair.car, pair.crossing);
    let days = pair.rules.purchase.lead_time_days;
    let ready = leaves.and_then(|day| closed.ready(day, days));
    let measured = ready.map_or(Value::Unknown, Value::Date);
    let Some(needed) = pair.crossing.needed_by else {
        return Check::new(Code::NeedDate, measured, Limit::None, Outcome::Pass)
            .note("the crossing has no date");
    };
    let needed = Value::Date(needed);
    match (ready, leaves) {
        (Some(ready), Some(leaves)) => {
            let mut check = Check::at_most(Code::NeedDate, Value::Date(ready), needed);
            // What was not asked may make it later.
            if check.outcome == Outcome::Pass && !closed.not_asked().is_empty() {
                check.outcome = Outcome::Caution;
            }
            check.note_if(pair.remarks, || {
                let mut words =
                    vec![format!("leaves the yard on {leaves}, {days} days to haul and build")];
                let told = closed.told();
                if !told.is_empty() {
                    words.push(format!("closed days do not count: {}", told.join(", ")));
                }
                let not_asked = closed.not_asked();
                if !not_asked.is_empty() {
                    words.push(format!("closed seasons not asked of {}", not_asked.join(", ")));
                }
                words.join("; ")
            })
        }
        (None, Some(_)) => {
            let shut = !closed.told().is_empty();
            let note = if shut { "no day is open for it" } else { "beyond the calendar" };
            Check::unknown(Code::NeedDate, Limit::AtMost(needed), note)
        }
        _ => Check::unknown(Code::NeedDate, Limit::AtMost(needed), "availability not given"),
    }
}
