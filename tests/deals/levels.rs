//! Price breaks and minimum orders of yards.

use spanyard::check::Code;
use spanyard::model::inputs::{Inputs, YardIx};
use spanyard::model::plan::{CostItem, Plan, YardPurchase, sum};
use spanyard::model::yard::PriceLevel;
use spanyard::price;
use spanyard::quantity::{BasisPoints, Cents};

use crate::deals::support::{failed, lines, planned};
use crate::testkit::demo;

fn level(at_least: u32, off: u32) -> PriceLevel {
    PriceLevel { at_least, off: BasisPoints(off) }
}

/// How many cars a purchase buys, singly and in lots.
fn cars(inputs: &Inputs, purchase: &YardPurchase) -> u32 {
    let singles = purchase.singles.iter().chain(&purchase.spares).map(|cars| cars.count);
    let lots = purchase.lots.iter().flat_map(|lot| &inputs.lot(lot.lot).cars);
    singles.sum::<u32>() + lots.map(|car| inputs.car(*car).quantity).sum::<u32>()
}

/// The yard at which the demonstration's plan buys most cars, with how many.
fn busiest(inputs: &Inputs, plan: &Plan) -> (YardIx, u32) {
    let busiest = plan.purchases.iter().max_by_key(|yard| cars(inputs, yard)).unwrap();
    (busiest.yard, cars(inputs, busiest))
}

fn at(plan: &Plan, yard: YardIx) -> &YardPurchase {
    plan.purchases.iter().find(|purchase| purchase.yard == yard).unwrap()
}

/// The demonstration with these levels at its busiest yard, and its plan.
fn with(levels: impl Fn(u32) -> Vec<PriceLevel>) -> (Inputs, Plan, Plan, YardIx) {
    let mut inputs = demo::inputs();
    let before = planned(&inputs);
    let (yard, bought) = busiest(&inputs, &before);
    inputs.yards[yard.0].levels = levels(bought);
    let after = planned(&inputs);
    (inputs, before, after, yard)
}

#[test]
fn a_break_that_is_reached_takes_its_share_off_every_single_car() {
    let (inputs, before, after, yard) = with(|n| vec![level(1, 0), level(n, 750)]);
    assert_eq!(at(&after, yard).level, 1);
    let asked: Cents = lines(&after, CostItem::Car)
        .into_iter()
        .filter(|line| {
            at(&after, yard).singles.iter().any(|c| inputs.car(c.car).name() == line.subject)
        })
        .map(|line| line.amount)
        .sum();
    let breaks: Cents = lines(&after, CostItem::PriceBreak).iter().map(|line| line.amount).sum();
    // 7.5 % of each price is a whole number of cents here, prices being whole dollars.
    assert_eq!(breaks.0 * 1_000, -asked.0 * 75);
    let saved: Cents = at(&before, yard)
        .singles
        .iter()
        .map(|c| {
            price::discount(inputs.car(c.car).price.unwrap(), &level(0, 750)) * i64::from(c.count)
        })
        .sum();
    assert!(saved > Cents::ZERO && after.totals.net <= before.totals.net - saved);
}

#[test]
fn a_car_is_bought_only_to_reach_a_break_where_that_pays() {
    let (inputs, before, after, yard) = with(|n| vec![level(1, 0), level(n + 6, 6_000)]);
    let purchase = at(&after, yard);
    let spares: u32 = purchase.spares.iter().map(|spare| spare.count).sum();
    assert!(spares > 0 && purchase.level == 1, "{purchase:?}");
    assert!(after.totals.net < before.totals.net);
    let worth = inputs.rules.purchase.stock_value_pct.fraction();
    for line in &purchase.spare_lines {
        assert!(
            (line.item == CostItem::StockValue) == (line.amount < Cents::ZERO)
                || line.item == CostItem::PriceBreak
        );
    }
    let paid: Cents = purchase
        .spare_lines
        .iter()
        .filter(|l| l.item != CostItem::StockValue)
        .map(|l| l.amount)
        .sum();
    let net = sum(&purchase.spare_lines);
    let expected = paid.as_dollars() * (1.0 - worth);
    assert!((net.as_dollars() - expected).abs() < 0.01 * f64::from(spares));
    // A little off is not worth a car that nobody needs.
    let (_, before, after, yard) = with(|n| vec![level(1, 0), level(n + 6, 1)]);
    assert_eq!((at(&after, yard).level, after.totals.net), (0, before.totals.net));
}

#[test]
fn a_minimum_order_is_made_up_or_the_yard_left_alone() {
    let (inputs, before, after, yard) = with(|n| vec![level(n + 10, 0)]);
    assert!(after.totals.net >= before.totals.net);
    if let Some(purchase) = after.purchases.iter().find(|p| p.yard == yard && p.is_bought()) {
        assert!(cars(&inputs, purchase) >= inputs.yard(yard).minimum_order());
    }
    // More than the yard has: nothing is bought there.
    let (_, _, after, yard) = with(|_| vec![level(1_000, 0)]);
    assert!(after.purchases.iter().all(|p| p.yard != yard || !p.is_bought()));
}

#[test]
fn what_is_wrong_with_an_order_is_caught() {
    let (inputs, _, plan, yard) = with(|n| vec![level(1, 0), level(n + 6, 6_000)]);
    let tampered = |change: &dyn Fn(&mut Plan, usize)| {
        let mut plan = plan.clone();
        let at = plan.purchases.iter().position(|purchase| purchase.yard == yard).unwrap();
        change(&mut plan, at);
        failed(&inputs, &plan)
    };
    let caught = |change: &dyn Fn(&mut Plan, usize)| {
        let failed = tampered(change);
        assert!(failed.contains(&Code::OrdersKept), "{failed:?}");
    };
    caught(&|plan, at| plan.purchases[at].spares.clear());
    caught(&|plan, at| plan.purchases[at].spares[0].count += 1_000);
    caught(&|plan, at| plan.purchases[at].level = 0);
    caught(&|plan, at| plan.purchases[at].level = 7);
    caught(&|plan, at| {
        plan.purchases[at].spare_lines.pop();
    });
    caught(&|plan, _| {
        let served = plan.crossings.iter_mut().find_map(|crossing| match &mut crossing.fate {
            spanyard::model::plan::Fate::Served(served) => {
                served.lines.iter_mut().find(|line| line.item == CostItem::PriceBreak)
            }
            spanyard::model::plan::Fate::Unserved(_) => None,
        });
        served.unwrap().amount += Cents(-1);
    });
    let mut stale = inputs.clone();
    let spare = at(&plan, yard).spares[0].car;
    stale.cars[spare.0].quote_expires = None;
    assert!(failed(&stale, &plan).contains(&Code::OrdersKept));
}

#[test]
fn prices_at_a_level_add_up() {
    let level = level(4, 333);
    // 3.33 % of $9,512.34 is $316.760922.
    assert_eq!(price::discount(Cents(951_234), &level), Cents(31_676));
    assert_eq!(price::paid(Cents(951_234), &level), Cents(919_558));
}
