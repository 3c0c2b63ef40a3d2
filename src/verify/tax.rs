//! Sales tax and the worth of what is left over, with arithmetic of their own.

use super::reckon::per_cent;
use crate::model::inputs::{CarIx, Inputs, LotIx};
use crate::model::plan::{CostItem, CostLine, CrossingPlan, Plan, YardPurchase};
use crate::quantity::Cents;

/// What is wrong with the sales tax: of cars sold singly it is taken of what is paid for each, of a lot of its
/// price, in shares that are even to the cent.
pub(super) fn faults(inputs: &Inputs, plan: &Plan) -> Vec<String> {
    let tax = inputs.rules.overhead.sales_tax_pct.0;
    let mut faults = Vec::new();
    let placed = || {
        let served = plan.crossings.iter().filter_map(CrossingPlan::served);
        let decks = served.flat_map(|served| &served.decks);
        decks.flat_map(|deck| &deck.cars).map(|placed| placed.car)
    };
    let single = |car: &CarIx| inputs.car(*car).lot.is_none() && !inputs.car(*car).owned;
    let mut singles = 0;
    for car in placed().filter(single) {
        let purchase = plan.purchases.iter().find(|p| p.yard == inputs.car(car).yard);
        singles += per_cent(purchase.map_or(0, |purchase| paid(inputs, purchase, car)), tax);
    }
    for purchase in &plan.purchases {
        for spare in &purchase.spares {
            let each = per_cent(paid(inputs, purchase, spare.car), tax);
            singles += each * i64::from(spare.count);
        }
    }
    let of_lot = |name: &str| inputs.cars.iter().find(|car| car.name() == name)?.lot;
    let mut lots = vec![0_i64; inputs.lots.len()];
    for line in lines(plan).filter(|line| line.item == CostItem::SalesTax) {
        match of_lot(&line.subject) {
            None => singles -= line.amount.0,
            Some(LotIx(lot)) => {
                let cars = inputs.lots[lot].cars.iter();
                let cars: u32 = cars.map(|car| inputs.car(*car).quantity).sum();
                let whole = per_cent(inputs.lots[lot].price.map_or(0, |price| price.0), tax);
                if (line.amount.0 * i64::from(cars) - whole).abs() > 2 * i64::from(cars) {
                    faults
                        .push(format!("{}: its share of the sales tax is not even", line.subject));
                }
                lots[lot] += line.amount.0;
            }
        }
    }
    if singles != 0 {
        faults.push(format!("the sales tax of cars sold singly is off by {}", Cents(singles)));
    }
    for purchase in plan.purchases.iter().flat_map(|yard| &yard.lots) {
        let whole = per_cent(inputs.lot(purchase.lot).price.map_or(0, |price| price.0), tax);
        if std::mem::take(&mut lots[purchase.lot.0]) != whole {
            let name = &inputs.lot(purchase.lot).name;
            faults.push(format!("the sales tax of lot {name} is not {}", Cents(whole)));
        }
    }
    if lots.iter().any(|tax| *tax != 0) {
        faults.push("sales tax of a lot that is not bought".to_owned());
    }
    faults
}

/// What is paid for a car sold singly, in cents: the price asked less the yard's break, halves of a cent of
/// which count whole.
fn paid(inputs: &Inputs, purchase: &YardPurchase, car: CarIx) -> i64 {
    let asked = inputs.car(car).price.map_or(0, |price| price.0);
    let level = inputs.yard(purchase.yard).levels.get(purchase.level);
    let off = level.map_or(0, |level| i64::from(level.off.0));
    asked - (asked * off + 5_000) / 10_000
}

fn lines(plan: &Plan) -> impl Iterator<Item = &CostLine> {
    let served = plan.crossings.iter().filter_map(CrossingPlan::served);
    let yards = plan.purchases.iter().flat_map(|yard| {
        let lots = yard.lots.iter().flat_map(|lot| &lot.left_over_lines);
        yard.spare_lines.iter().chain(lots)
    });
    served.flat_map(|served| &served.lines).chain(yards)
}

/// What a left-over car of a lot counts, in cents: the agency's share of its part of the price, or what its
/// weight brings as scrap up to what it cost, whichever is more.
pub(super) fn left_over(inputs: &Inputs, car: CarIx) -> i64 {
    let row = inputs.car(car);
    let Some(lot) = row.lot.map(|lot| inputs.lot(lot)) else { return 0 };
    let price = lot.price.map_or(0, |price| price.0);
    let cars: i64 = lot.cars.iter().map(|car| i64::from(inputs.car(*car).quantity)).sum();
    let rules = &inputs.rules.purchase;
    let share = price as f64 / 100.0 * (rules.stock_value_pct.0 / 100.0) / cars as f64;
    let pounds = row.weight.map_or(0.0, |weight| (weight.0 * 1000.0).round());
    let scrap = Cents::from_dollars(pounds * rules.scrap_usd_per_lb.0).0;
    Cents::from_dollars(share).0.max(scrap.min(price / cars))
}
