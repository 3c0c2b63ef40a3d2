//! The whole answer on one screen: what to buy, what is not served, what to do next, and where the rest
//! of the plan is told.

use itertools::Itertools;

use crate::check::Code;
use crate::model::inputs::{CarIx, Inputs};
use crate::model::plan::{Fate, Plan, YardPurchase};
use crate::report::facts::purchases::{self, cars_bought};
use crate::report::facts::{PlanReport, count, reasons};
use crate::report::text::{Align, Page, Table};

pub fn to_buy(page: &mut Page, report: &PlanReport) {
    page.heading("What to buy");
    let (inputs, plan) = (report.inputs, report.plan);
    if plan.purchases.is_empty() {
        page.para(0, "Nothing.");
        return;
    }
    for purchase in &plan.purchases {
        let yard = inputs.yard(purchase.yard);
        let cars = count(cars_bought(purchase), "car");
        page.ends(
            &format!("{}, yard {}: {cars}", yard.dealer, yard.name),
            &purchases::price_of_cars(inputs, purchase).to_string(),
        );
        let mut table = Table::new(&[Align::Left, Align::Left, Align::Right]);
        for (car, goes, price) in goods(inputs, plan, purchase) {
            table.row([car, goes, price]);
        }
        page.table(2, &table);
    }
}

/// The goods of a yard: name, where they go, price.
fn goods(inputs: &Inputs, plan: &Plan, purchase: &YardPurchase) -> Vec<(String, String, String)> {
    let name = |car: CarIx, count: u32| match count {
        1 => inputs.car(car).id.clone(),
        n => format!("{} x{n}", inputs.car(car).id),
    };
    let goes = |car: CarIx| {
        let to = purchases::destinations(inputs, plan, car);
        let ids = to.iter().map(|going| inputs.crossing(going.site.crossing).id.as_str());
        ids.unique().join(", ")
    };
    let mut all = Vec::new();
    for single in &purchase.singles {
        let price = purchases::single_price(inputs, purchase, single).to_string();
        all.push((name(single.car, single.count), goes(single.car), price));
    }
    for spare in &purchase.spares {
        let price = purchases::single_price(inputs, purchase, spare).to_string();
        all.push((name(spare.car, spare.count), "LEFT OVER".to_owned(), price));
    }
    for own in &purchase.own {
        all.push((name(own.car, own.count), goes(own.car), "own stock".to_owned()));
    }
    for lot in &purchase.lots {
        let placed = lot.placed.iter().map(|cars| name(cars.car, cars.count));
        let left =
            lot.left_over.iter().map(|cars| format!("{} left over", name(cars.car, cars.count)));
        let words = placed.chain(left).join(", ");
        let to = lot.placed.iter().map(|cars| goes(cars.car)).unique().join(", ");
        let sold = inputs.lot(lot.lot);
        all.push((format!("lot {} ({words})", sold.name), to, lot.price.to_string()));
    }
    all
}

pub fn not_served(page: &mut Page, report: &PlanReport) {
    let plans = report.plan.crossings.iter();
    let unserved = plans.filter_map(|planned| match &planned.fate {
        Fate::Unserved(unserved) => Some((report.inputs.crossing(planned.crossing), unserved)),
        Fate::Served(_) => None,
    });
    let unserved = unserved.collect_vec();
    if unserved.is_empty() {
        return;
    }
    page.heading("Not served");
    for (crossing, unserved) in unserved {
        let codes = unserved.reasons.iter().map(|check| check.code).unique();
        let why = codes.map(|code| format!("{code} {}", code.kind().name)).join("; ");
        let remedy = unserved.reasons.first().map(|check| check.code.kind().remedy);
        let remedy = remedy.unwrap_or_default();
        page.hanging(0, &format!("{}  ", crossing.id), &format!("{why}. {remedy}"));
    }
}

pub fn next(page: &mut Page, report: &PlanReport) {
    let (inputs, plan) = (report.inputs, report.plan);
    page.heading("What to do next");
    for purchase in &plan.purchases {
        if let Some((date, car)) = purchases::first_quote_end(inputs, purchase) {
            let car = inputs.car(car);
            let name = &inputs.yard(purchase.yard).dealer;
            page.hanging(
                2,
                "- ",
                &format!("Order by {date} from {name}: the quote of {} ends.", car.id),
            );
        }
    }
    if !plan.purchases.is_empty() {
        page.hanging(
            2,
            "- ",
            "See and measure every car before you pay for it: --sheets DIR writes the inspection forms. `spanyard spare` names the cars that have no substitute.",
        );
    }
    let unchecked = reasons::not_checked(inputs, plan);
    if !unchecked.is_empty() {
        let codes: Vec<Code> = unchecked.iter().map(|said| said.check.code).unique().collect();
        let codes = codes.iter().map(|code| format!("{code} {}", code.kind().name)).join("; ");
        page.hanging(
            2,
            "- ",
            &format!("Have measured what could not be checked for want of data: {codes}."),
        );
    }
    if plan.served_count() < plan.crossings.len() {
        page.hanging(
            2,
            "- ",
            "`spanyard want` tells what is missing for a crossing that is not served.",
        );
    }
    page.hanging(
        2,
        "- ",
        "Have a licensed engineer examine the plan. It is no design; water, foundations, approaches, rails, fatigue and permits are not looked at.",
    );
    page.blank();
    page.para(
        0,
        "Each crossing with its deck, costs and margins: --crossing ID. Everything, with refused cars, totals, cautions and sources: --full.",
    );
}
