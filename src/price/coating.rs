//! Blasting, painting and lead work, decided while the car is still on the ground.

use super::ledger::Ledger;
use crate::model::car::{Car, Coating, LeadStatus};
use crate::model::plan::CostItem;
use crate::model::rules::CoatingRules;
use crate::quantity::Feet;

/// Whether the car is blasted and painted: always, unless its coating is known to hold.
pub fn is_blasted(car: &Car) -> bool {
    car.coating != Some(Coating::Sound)
}

/// Coating by the foot of what lies on the span, for ends are cut before, and lead work where paint that may hold lead is blasted.
pub fn charge(ledger: &mut impl Ledger, rules: &CoatingRules, car: &Car, length: Feet) {
    // An unknown coating costs what the worst one costs; an untested paint is taken to hold lead.
    let (rate, state) = match car.coating {
        Some(Coating::Sound) => (rules.sound_usd_per_ft, "sound"),
        Some(Coating::Worn) => (rules.worn_usd_per_ft, "worn"),
        Some(Coating::Failed) => (rules.failed_usd_per_ft, "failed"),
        None => (rules.failed_usd_per_ft, "unknown, priced as failed"),
    };
    ledger.charge(CostItem::Coating, rate * length, || {
        format!("{} ft x {rate}; coating {state}", length.0)
    });
    if is_blasted(car) && car.lead != Some(LeadStatus::Free) {
        ledger.charge(CostItem::Lead, rules.lead_usd_per_car, || {
            let found = if car.lead.is_some() { "lead found" } else { "not tested, lead assumed" };
            format!("1 car x {}; {found}", rules.lead_usd_per_car)
        });
    }
}
