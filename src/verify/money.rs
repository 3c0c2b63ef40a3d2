//! Money: every line again, every sum again.

use std::collections::BTreeMap;

use super::{by_hand, hauls, loads, no_faults, tax};
use crate::check::{Check, Code, Limit, Outcome, Value};
use crate::model::inputs::{Inputs, LotIx};
use crate::model::plan::{CarCount, CostItem, CostLine, CrossingPlan, Plan, Served};
use crate::price;
use crate::quantity::Cents;

/// V06: every crossing has exactly the lines that its decks call for, its cars come on the loads that
/// cost least of those allowed, every bought lot has exactly its shares, every left-over car its stock value, every yard its trip.
pub fn cost_lines(inputs: &Inputs, plan: &Plan) -> Check {
    let mut faults = Vec::new();
    for crossing in &plan.crossings {
        let Some(served) = crossing.served() else { continue };
        // Lot shares are added up below, price breaks in the check of the orders; what is in per cent by hand.
        let apart = [
            CostItem::LotShare,
            CostItem::PriceBreak,
            CostItem::SalesTax,
            CostItem::Contingency,
            CostItem::Engineering,
        ];
        let found = served.lines.iter().filter(|line| !apart.contains(&line.item));
        let id = &inputs.crossing(crossing.crossing).id;
        match expected(inputs, crossing, served).map(sorted) {
            Err(car) => faults.push(format!("{id}: {car} has no price or a cost is not known")),
            Ok(lines) if sorted(found.cloned().collect()) != lines => {
                faults.push(format!("{id}: the lines are not those recomputed"));
            }
            Ok(_) => {}
        }
        // Once more by hand: what the crossing costs beside the bridge is neither left out nor doubled.
        let others = served.lines.iter().filter(|line| line.item == CostItem::Other);
        let others: i64 = others.map(|line| line.amount.0).sum();
        if others != inputs.crossing(crossing.crossing).other.map_or(0, |other| other.0) {
            faults.push(format!("{id}: its other works are not as the crossings file states"));
        }
        faults.extend(by_hand::faults(inputs, served).into_iter().map(|f| format!("{id}: {f}")));
        faults.extend(hauls::faults(inputs, served).into_iter().map(|f| format!("{id}: {f}")));
        let of_loads = served.decks.iter().flat_map(|deck| loads::faults(inputs, deck));
        faults.extend(of_loads.map(|fault| format!("{id}: {fault}")));
    }
    faults.extend(lot_share_faults(inputs, plan));
    faults.extend(tax::faults(inputs, plan));
    for yard in &plan.purchases {
        // Nobody travels for own stock alone.
        let bought = !yard.singles.is_empty() || !yard.lots.is_empty();
        let terms = inputs.yard(yard.yard);
        let once = |item, amount: Cents| (item, if bought { amount.0 } else { 0 });
        let expected = [once(CostItem::Trip, terms.trip), once(CostItem::YardCrane, terms.crane)];
        let found = |item| yard.lines.iter().filter(move |line| line.item == item);
        let off = |(item, amount): (CostItem, i64)| {
            found(item).map(|line| line.amount.0).sum::<i64>() != amount || found(item).count() > 1
        };
        let strange =
            yard.lines.len() > expected.iter().map(|(item, _)| found(*item).count()).sum();
        if strange || expected.into_iter().any(off) {
            faults.push(format!("{}: trip and crane are not as recomputed", terms.name));
        }
    }
    no_faults(Code::CostLines, faults)
}

/// All lines of a crossing but the lot shares; the name of the first car with an unknown cost, which
/// must never count as none.
fn expected(
    inputs: &Inputs,
    crossing: &CrossingPlan,
    served: &Served,
) -> Result<Vec<CostLine>, String> {
    let mut lines = price::layout_fixed(inputs, crossing.crossing, served.layout);
    for deck in &served.decks {
        for (place, placed) in deck.cars.iter().enumerate() {
            let unknown = || inputs.car(placed.car).name();
            lines.extend(price::car_price(inputs, placed.car).ok_or_else(unknown)?);
            let shares = deck.loads.iter().flatten().any(|other| *other == place);
            let costs = if shares { price::car_apart_from_haul } else { price::car_at };
            lines.extend(costs(inputs, placed.car, deck.site).ok_or_else(unknown)?);
        }
        for load in &deck.loads {
            let cars = deck.load(load);
            let lines_of = price::load_lines(inputs, &cars, deck.site);
            lines.extend(lines_of.ok_or_else(|| "a load".to_owned())?);
        }
        let joint = deck.joint.as_ref();
        let joint = joint.and_then(|j| inputs.rules.joint.iter().find(|kind| kind.name == j.name));
        let cars: Vec<_> = deck.cars.iter().map(|placed| placed.car).collect();
        let along = price::along_deck(inputs, &cars, joint, deck.site);
        lines.extend(along.ok_or_else(|| "the length of a deck".to_owned())?);
    }
    Ok(lines)
}

/// Lot shares in crossings and among the left-over cars of each lot add up to the lot's price, and
/// every left-over car stands with its stock value.
fn lot_share_faults(inputs: &Inputs, plan: &Plan) -> Vec<String> {
    let mut faults = Vec::new();
    let mut paid: BTreeMap<LotIx, Cents> = BTreeMap::new();
    for crossing in plan.crossings.iter().filter_map(CrossingPlan::served) {
        let mut of_lots = Vec::new();
        for placed in crossing.decks.iter().flat_map(|deck| &deck.cars) {
            let car = inputs.car(placed.car);
            of_lots.extend(car.lot.map(|lot| (car.name(), lot)));
        }
        let shares = crossing.lines.iter().filter(|line| line.item == CostItem::LotShare);
        for share in shares {
            match of_lots.iter().position(|(name, _)| *name == share.subject) {
                None => faults.push(format!("lot share of {}, which is not placed", share.subject)),
                Some(at) => {
                    let (_, lot) = of_lots.remove(at);
                    *paid.entry(lot).or_default() += share.amount;
                }
            }
        }
        faults.extend(of_lots.iter().map(|(name, _)| format!("{name} has no lot share")));
    }
    for purchase in plan.purchases.iter().flat_map(|yard| &yard.lots) {
        let left: i64 = purchase.left_over.iter().map(|count| i64::from(count.count)).sum();
        let lines =
            |item: CostItem| purchase.left_over_lines.iter().filter(move |l| l.item == item);
        let shares: Cents = lines(CostItem::LotShare).map(|line| line.amount).sum();
        let values: Cents = lines(CostItem::StockValue).map(|line| line.amount).sum();
        let total = shares + paid.remove(&purchase.lot).unwrap_or_default();
        let lot = inputs.lot(purchase.lot);
        if Some(total) != lot.price {
            faults.push(format!("shares of lot {} add up to {total}", lot.name));
        }
        let worth = |count: &CarCount| tax::left_over(inputs, count.car) * i64::from(count.count);
        if values.0 != -purchase.left_over.iter().map(worth).sum::<i64>() {
            faults.push(format!("stock value of lot {} is not as recomputed", lot.name));
        }
        if lines(CostItem::LotShare).count() as i64 != left {
            faults.push(format!(
                "left-over cars of lot {} do not have exactly one share each",
                lot.name
            ));
        }
    }
    faults
}

fn sorted(mut lines: Vec<CostLine>) -> Vec<CostLine> {
    lines.sort_by(|a, b| {
        (a.item, &a.subject, &a.basis, a.amount).cmp(&(b.item, &b.subject, &b.basis, b.amount))
    });
    lines
}

/// V07: net is the sum of every line, stock value the sum of the negative ones, outlay the rest.
pub fn totals(plan: &Plan) -> Check {
    let crossings = plan.crossings.iter().filter_map(CrossingPlan::served);
    let crossings = crossings.flat_map(|served| &served.lines);
    let yards = plan.purchases.iter().flat_map(|yard| {
        let lots = yard.lots.iter().flat_map(|lot| &lot.left_over_lines);
        yard.lines.iter().chain(&yard.spare_lines).chain(lots)
    });
    let (mut outlay, mut stock) = (0_i64, 0_i64);
    for line in crossings.chain(yards) {
        match line.item {
            CostItem::StockValue => stock -= line.amount.0,
            _ => outlay += line.amount.0,
        }
    }
    let mut faults = Vec::new();
    for (name, printed, found) in [
        ("outlay", plan.totals.outlay, outlay),
        ("stock value", plan.totals.stock_value, stock),
        ("net cost", plan.totals.net, outlay - stock),
    ] {
        if !printed.is_sane() {
            faults.push(format!("{name} is {printed}, which no purchase comes to"));
        }
        if printed != Cents(found) {
            faults.push(format!("{name} is {printed}, the lines add up to {}", Cents(found)));
        }
    }
    no_faults(Code::Totals, faults)
}

/// V08: the outlay, with what is paid already, keeps the budget.
pub fn within_budget(inputs: &Inputs, plan: &Plan) -> Check {
    let outlay = Value::Money(plan.totals.outlay + inputs.decided.paid);
    match plan.budget {
        Some(budget) => Check::at_most(Code::WithinBudget, outlay, Value::Money(budget)),
        None => {
            Check::new(Code::WithinBudget, outlay, Limit::words("no budget given"), Outcome::Pass)
        }
    }
}

/// V09: the bound is not above the cost, and meets it where the plan is called cheapest.
pub fn bound_honest(plan: &Plan) -> Check {
    let bound = Value::Money(plan.proof.bound);
    let check = Check::at_most(Code::BoundHonest, bound, Value::Money(plan.totals.net));
    if plan.proof.cheapest && plan.proof.bound != plan.totals.net {
        return Check { outcome: Outcome::Fail, ..check }
            .note("the plan is called cheapest, and its bound is not its cost");
    }
    check
}
