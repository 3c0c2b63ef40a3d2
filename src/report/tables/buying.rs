//! What is bought, and what everything costs.

use super::{Cell, Column, Kind, Table, column};
use crate::model::car::Availability;
use crate::model::inputs::{CarIx, Inputs};
use crate::model::plan::{CarCount, CostLine, LotPurchase, Plan};
use crate::quantity::Cents;
use crate::report::facts::PlanReport;
use crate::report::facts::purchases::{destinations, price_each, single_price};

const SHOPPING: &[Column] = &[
    column("dealer", "Dealer", Kind::Word),
    column("yard", "Yard", Kind::Word),
    column("lot", "Lot", Kind::Word),
    column("car", "Car", Kind::Word),
    column("count", "Cars", Kind::Count),
    column("crossing", "Goes to", Kind::Word),
    column("span_number", "Span no.", Kind::Count),
    column("price_usd", "To pay, $", Kind::Money),
    column("haul_usd", "Haul, $", Kind::Money),
    column("quote_expires", "Quote holds until", Kind::Day),
    column("available", "Can leave", Kind::Word),
    column("notes", "Notes", Kind::Words),
];

/// The shopping list: a row per destination of a car, a row per lot with its price, a row for cars
/// of a lot that go nowhere. Cars of the agency's own have no price. The prices add up to what the dealers are paid for cars.
pub fn shopping(report: &PlanReport<'_>) -> Table {
    let PlanReport { inputs, plan, .. } = *report;
    let mut rows = Vec::new();
    for purchase in &plan.purchases {
        let yard = inputs.yard(purchase.yard);
        let place = |lot: Option<&LotPurchase>| {
            let lot = lot.map(|lot| inputs.lot(lot.lot).name.as_str()).unwrap_or_default();
            vec![Cell::from(yard.dealer.as_str()), yard.name.as_str().into(), lot.into()]
        };
        for cars in &purchase.singles {
            let each = price_each(inputs, purchase, cars.car);
            going(inputs, plan, cars, each, &place(None), &mut rows);
        }
        for spare in &purchase.spares {
            let mut row = place(None);
            row.extend([
                inputs.car(spare.car).id.as_str().into(),
                spare.count.into(),
                "left over".into(),
                Cell::Blank,
                single_price(inputs, purchase, spare).into(),
            ]);
            row.resize(SHOPPING.len(), Cell::Blank);
            rows.push(row);
        }
        for cars in &purchase.own {
            let mut place = place(None);
            place[2] = "own stock".into();
            going(inputs, plan, cars, None, &place, &mut rows);
        }
        for lot in &purchase.lots {
            let cars: u32 = lot.placed.iter().chain(&lot.left_over).map(|cars| cars.count).sum();
            let name = format!("whole lot {}, {cars} cars", inputs.lot(lot.lot).name);
            let mut row = place(Some(lot));
            // Its cars stand below, each with its count: a count here would count them twice.
            row.extend([name.into(), Cell::Blank, Cell::Blank, Cell::Blank, lot.price.into()]);
            row.resize(SHOPPING.len(), Cell::Blank);
            rows.push(row);
            for cars in &lot.placed {
                going(inputs, plan, cars, None, &place(Some(lot)), &mut rows);
            }
            for left in &lot.left_over {
                let car = inputs.car(left.car);
                let mut row = place(Some(lot));
                row.extend([car.id.as_str().into(), left.count.into(), "left over".into()]);
                row.resize(SHOPPING.len() - 1, Cell::Blank);
                row.push(car.notes.clone().into());
                rows.push(row);
            }
        }
    }
    Table { name: "shopping", title: "Shopping list", columns: SHOPPING, rows }
}

/// A row per destination of the cars of one row of the inventory.
fn going(
    inputs: &Inputs,
    plan: &Plan,
    cars: &CarCount,
    each: Option<Cents>,
    place: &[Cell],
    rows: &mut Vec<Vec<Cell>>,
) {
    let car = inputs.car(cars.car);
    for going in destinations(inputs, plan, cars.car) {
        let times = i64::from(going.count);
        let price = each.map(|price| price * times);
        let mut row = place.to_vec();
        row.extend([
            car.id.as_str().into(),
            going.count.into(),
            inputs.crossing(going.site.crossing).id.as_str().into(),
            (going.site.span + 1).into(),
            price.into(),
            (!going.basis.is_empty()).then_some(going.haul).into(),
            car.quote_expires.into(),
            leaving(inputs, cars.car).into(),
            car.notes.clone().into(),
        ]);
        rows.push(row);
    }
}

/// When a car can leave its yard, in words.
pub(crate) fn leaving(inputs: &Inputs, car: CarIx) -> String {
    match inputs.car(car).available {
        None => "not said".to_owned(),
        Some(Availability::Now) => "now".to_owned(),
        Some(Availability::From(day)) => format!("from {day}"),
    }
}

const COSTS: &[Column] = &[
    column("where", "Where", Kind::Word),
    column("item", "What for", Kind::Word),
    column("subject", "Car or part", Kind::Word),
    column("basis", "Worked out as", Kind::Words),
    column("amount_usd", "Amount, $", Kind::Money),
];

/// Every cost line: of crossings, of yards, of cars left over. They add up to the net cost.
pub fn costs(report: &PlanReport<'_>) -> Table {
    let PlanReport { inputs, plan, .. } = *report;
    let mut rows = Vec::new();
    let mut add = |place: &str, lines: &[CostLine]| {
        for line in lines {
            rows.push(vec![
                place.into(),
                line.item.word().into(),
                line.subject.clone().into(),
                line.basis.clone().into(),
                line.amount.into(),
            ]);
        }
    };
    for crossing in &plan.crossings {
        if let Some(served) = crossing.served() {
            add(&inputs.crossing(crossing.crossing).id, &served.lines);
        }
    }
    for purchase in &plan.purchases {
        add(&format!("yard {}", inputs.yard(purchase.yard).name), &purchase.lines);
        let yard = &inputs.yard(purchase.yard).name;
        add(&format!("left over of yard {yard}"), &purchase.spare_lines);
        for lot in &purchase.lots {
            let name = &inputs.lot(lot.lot).name;
            add(&format!("left over of lot {name}"), &lot.left_over_lines);
        }
    }
    Table { name: "costs", title: "Costs", columns: COSTS, rows }
}
