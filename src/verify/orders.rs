//! What is bought at each yard against its minimum order and price breaks, with arithmetic of its own.

use super::no_faults;
use crate::check::{Check, Code};
use crate::model::inputs::Inputs;
use crate::model::plan::{CostItem, CostLine, CrossingPlan, Plan, YardPurchase};
use crate::quantity::Cents;

/// V11: at every yard so many cars are bought as its minimum order and the price level ask for; every
/// car sold singly has the price break of that level, no more and no less; what is bought beyond need
/// is sold singly, is not placed too, and stands with its price and its stock value.
pub fn orders_kept(inputs: &Inputs, plan: &Plan) -> Check {
    let mut faults = Vec::new();
    for purchase in &plan.purchases {
        let name = &inputs.yard(purchase.yard).name;
        let found = yard_faults(inputs, plan, purchase);
        faults.extend(found.into_iter().map(|fault| format!("{name}: {fault}")));
    }
    let breaks = crossing_lines(plan).filter(|line| line.item == CostItem::PriceBreak).count();
    let named = plan.purchases.iter().map(|purchase| broken_prices(inputs, plan, purchase));
    if breaks != named.sum::<usize>() {
        faults.push("a price break of a car that has none".to_owned());
    }
    no_faults(Code::OrdersKept, faults)
}

fn crossing_lines(plan: &Plan) -> impl Iterator<Item = &CostLine> {
    plan.crossings.iter().filter_map(CrossingPlan::served).flat_map(|served| &served.lines)
}

/// What is off a price, in cents, at so many hundredths of a per cent; halves of a cent count whole.
fn off(price: Cents, basis_points: u32) -> i128 {
    let tenths = i128::from(price.0) * i128::from(basis_points) / 1_000;
    (tenths + 5) / 10
}

/// How many placed cars sold singly at this yard have a price break.
fn broken_prices(inputs: &Inputs, plan: &Plan, purchase: &YardPurchase) -> usize {
    let level = inputs.yard(purchase.yard).levels.get(purchase.level);
    let basis_points = level.map_or(0, |level| level.off.0);
    let singles = purchase.singles.iter().filter(|single| {
        let price = inputs.car(single.car).price.unwrap_or_default();
        off(price, basis_points) != 0
    });
    let count = |car| {
        let served = plan.crossings.iter().filter_map(CrossingPlan::served);
        let decks = served.flat_map(|served| &served.decks);
        decks.flat_map(|deck| &deck.cars).filter(|placed| placed.car == car).count()
    };
    singles.map(|single| count(single.car)).sum()
}

fn yard_faults(inputs: &Inputs, plan: &Plan, purchase: &YardPurchase) -> Vec<String> {
    let yard = inputs.yard(purchase.yard);
    let mut faults = Vec::new();
    let of_lots = purchase.lots.iter().flat_map(|lot| &inputs.lot(lot.lot).cars);
    let in_lots: u32 = of_lots.map(|car| inputs.car(*car).quantity).sum();
    let single = purchase.singles.iter().chain(&purchase.spares).map(|cars| cars.count);
    let bought = in_lots + single.sum::<u32>();
    let Some(level) = yard.levels.get(purchase.level) else {
        faults.push("a price level that the yard does not have".to_owned());
        return faults;
    };
    let needed = level.at_least.max(yard.levels.first().map_or(1, |first| first.at_least));
    if bought > 0 && bought < needed {
        faults.push(format!("{bought} cars bought, {needed} are the least at this price"));
    }
    for single in &purchase.singles {
        let car = inputs.car(single.car);
        let Some(price) = car.price else { continue };
        let expected = -off(price, level.off.0);
        let lines = crossing_lines(plan)
            .filter(|line| line.item == CostItem::PriceBreak && line.subject == car.name());
        let sum: i128 = lines.map(|line| i128::from(line.amount.0)).sum();
        if sum != expected * i128::from(single.count) {
            faults.push(format!("the price break of {} is not as recomputed", car.name()));
        }
    }
    faults.extend(spare_faults(inputs, plan, purchase, level.off.0));
    faults
}

/// Of the cars bought to reach a level.
fn spare_faults(
    inputs: &Inputs,
    plan: &Plan,
    purchase: &YardPurchase,
    basis_points: u32,
) -> Vec<String> {
    let mut faults = Vec::new();
    let (mut paid, mut worth) = (0_i128, 0_i128);
    for spare in &purchase.spares {
        let car = inputs.car(spare.car);
        let served = plan.crossings.iter().filter_map(CrossingPlan::served);
        let decks = served.flat_map(|served| &served.decks).flat_map(|deck| &deck.cars);
        let placed = decks.filter(|placed| placed.car == spare.car).count() as u32;
        let holds = car.quote_expires.is_some_and(|last| last >= inputs.order_date);
        if car.yard != purchase.yard || car.owned || car.lot.is_some() || !holds {
            faults.push(format!("{} cannot be bought singly here", car.name()));
        }
        if placed + spare.count > car.quantity {
            faults.push(format!("{} is bought more often than it is on offer", car.name()));
        }
        let Some(price) = car.price else {
            faults.push(format!("{} has no price", car.name()));
            continue;
        };
        let each = i128::from(price.0) - off(price, basis_points);
        let share = inputs.rules.purchase.stock_value_pct.0 / 100.0;
        // The share is a decimal number: a hair puts back the halves that binary misses.
        worth += (each as f64 * share + 1e-7).round() as i128 * i128::from(spare.count);
        paid += each * i128::from(spare.count);
    }
    let sum = |stock: bool| -> i128 {
        let lines = purchase.spare_lines.iter();
        let lines = lines.filter(|line| (line.item == CostItem::StockValue) == stock);
        lines.map(|line| i128::from(line.amount.0)).sum()
    };
    if (sum(false), sum(true)) != (paid, -worth) {
        faults.push("cars bought to reach a level are not paid as recomputed".to_owned());
    }
    if !purchase.spares.is_empty() && purchase.singles.is_empty() && purchase.lots.is_empty() {
        faults.push("cars are bought that no crossing needs".to_owned());
    }
    faults
}
