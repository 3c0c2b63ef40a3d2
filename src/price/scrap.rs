//! Scrap: what steel taken off brings, and what a car is worth by weight.

use super::ledger::Ledger;
use crate::model::car::Car;
use crate::model::plan::CostItem;
use crate::quantity::{Cents, Feet, Pounds, UsdPerPound};

/// What is paid for the ends cut off a car, whose weight is taken as even along it: never more than cutting
/// them cost, for that is deducted on its bill.
pub(super) fn charge_offcuts(
    ledger: &mut impl Ledger,
    rate: UsdPerPound,
    car: &Car,
    laid: Feet,
    cutting: Cents,
) {
    let (Some(length), Some(weight)) = (car.length, car.weight) else { return };
    let cut = length - laid;
    if cutting <= Cents::ZERO || cut.0 <= 0.0 {
        return;
    }
    let whole = Pounds(weight.pounds().round());
    let off = Pounds((whole.0 * cut.0 / length.0).round());
    let paid = rate * off;
    let credit = paid.min(cutting);
    ledger.charge(CostItem::ScrapCredit, -credit, || {
        let most = if paid > credit { ", no more than cutting costs" } else { "" };
        let shares = format!("{:.2} ft of {} ft cut off, of {whole}", cut.0, length.0);
        format!("{off} x {rate}{most}; {shares}")
    });
}

/// What a car is worth as scrap; nothing where its weight is not known.
#[must_use]
pub fn scrap_value(car: &Car, rate: UsdPerPound) -> Cents {
    car.weight.map_or(Cents::ZERO, |weight| rate * Pounds(weight.pounds().round()))
}
