//! Cutting ends back, at the site or at the yard, and what the offcuts bring.

use super::ledger::{Ledger, hundredth};
use super::scrap;
use crate::model::car::Car;
use crate::model::crossing::Crossing;
use crate::model::ends::{End, cut_words, ends, laid};
use crate::model::index::Site;
use crate::model::plan::CostItem;
use crate::model::rules::{Rules, TrimRules};
use crate::quantity::Cents;

/// Cuts and scrap of one car on a span. `None`: its length or its truck centers are not known.
pub(super) fn charge(
    ledger: &mut impl Ledger,
    rules: &Rules,
    crossing: &Crossing,
    site: Site,
    car: &Car,
    at_yard: bool,
) -> Option<()> {
    let laid = hundredth(laid(&rules.screen, crossing, site, car)?);
    let ends = ends(&rules.screen, crossing, site, car.length?, car.truck_centers);
    let cutting = charge_trimming(ledger, &rules.trim, ends, at_yard);
    scrap::charge_offcuts(ledger, rules.purchase.scrap_usd_per_lb, car, laid, cutting);
    Some(())
}

/// One charge for all ends that are cut back; returns it.
fn charge_trimming(
    ledger: &mut impl Ledger,
    trim: &TrimRules,
    ends: [End; 2],
    at_yard: bool,
) -> Cents {
    let count = ends.iter().filter(|end| end.is_cut()).count();
    let each = if at_yard { trim.at_yard_usd_per_end } else { trim.usd_per_end };
    let amount = each * count as i64;
    if count == 0 {
        return amount;
    }
    ledger.charge(CostItem::Trim, amount, || {
        let overhang = ends[0].overhang;
        let noun = if count == 1 { "end" } else { "ends" };
        let words = cut_words(ends, |length| length.to_string()).unwrap_or_default();
        let place = if at_yard { ", at the yard before hauling" } else { "" };
        format!("{count} {noun} x {each}{place}; overhang {overhang}, {words}")
    });
    amount
}
