//! S09 and S10: coating and lead. They cost money and care and never bar a car.

use super::Alone;
use crate::check::{Check, Code, Limit, Outcome, Value};
use crate::model::car::{Coating, LeadStatus};
use crate::price::is_blasted;

/// S09.
pub fn coating(alone: &Alone) -> Check {
    let limit = Limit::words("sound");
    let rules = &alone.rules.coating;
    let Some(coating) = alone.car.coating else {
        let rate = rules.failed_usd_per_ft;
        return Check::new(Code::Coating, Value::Unknown, limit, Outcome::Caution)
            .note(format!("taken as failed: blasted and painted at {rate}"));
    };
    let measured = Value::Text(coating.word().to_owned());
    let rate = match coating {
        Coating::Sound => return Check::new(Code::Coating, measured, limit, Outcome::Pass),
        Coating::Worn => rules.worn_usd_per_ft,
        Coating::Failed => rules.failed_usd_per_ft,
    };
    Check::new(Code::Coating, measured, limit, Outcome::Caution)
        .note(format!("blasted and painted at {rate}"))
}

/// S10.
pub fn lead(alone: &Alone) -> Check {
    let limit = Limit::words("lead-free by test");
    let (measured, start) = match alone.car.lead {
        Some(LeadStatus::Free) => {
            let measured = Value::Text(LeadStatus::Free.word().to_owned());
            return Check::new(Code::Lead, measured, limit, Outcome::Pass);
        }
        Some(LeadStatus::Present) => (Value::Text("lead".to_owned()), "lead found"),
        None => (Value::Unknown, "not tested, so lead is assumed"),
    };
    let rest = if is_blasted(alone.car) {
        let rate = alone.rules.coating.lead_usd_per_car;
        format!("containment and disposal priced at {rate}")
    } else {
        "not blasted, so no lead work is priced; protect whoever cuts or grinds".to_owned()
    };
    Check::new(Code::Lead, measured, limit, Outcome::Caution).note(format!("{start}; {rest}"))
}
