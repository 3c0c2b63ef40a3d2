//! What to buy, by dealer and yard.

use crate::model::inputs::Inputs;
use crate::model::plan::{CarCount, LotPurchase, Plan, YardPurchase};
use crate::price;
use crate::report::facts::purchases::{self, Destination};
use crate::report::facts::{PlanReport, count};
use crate::report::text::{Align, Page, Table};

pub fn write(page: &mut Page, report: &PlanReport) {
    page.heading("1. What to buy");
    if report.plan.purchases.is_empty() {
        page.para(0, "Nothing.");
        return;
    }
    for (number, purchase) in report.plan.purchases.iter().enumerate() {
        if number > 0 {
            page.blank();
        }
        write_yard(page, report.inputs, report.plan, purchase);
    }
}

fn write_yard(page: &mut Page, inputs: &Inputs, plan: &Plan, purchase: &YardPurchase) {
    let yard = inputs.yard(purchase.yard);
    page.ends(
        &format!(
            "{}, yard {}: {}",
            yard.dealer,
            yard.name,
            count(purchases::cars_bought(purchase), "car")
        ),
        &purchases::price_of_cars(inputs, purchase).to_string(),
    );
    let mut table = Table::new(&[
        Align::Left,
        Align::Right,
        Align::Right,
        Align::Left,
        Align::Right,
        Align::Left,
    ])
    .header(&["Car", "Cars", "Price", "Goes to", "Haul", "Haul of each car"]);
    for single in &purchase.singles {
        let each = purchases::price_each(inputs, purchase, single.car).unwrap_or_default();
        let goes = purchases::destinations(inputs, plan, single.car);
        rows(&mut table, inputs, &inputs.car(single.car).id, &goes, |n| {
            (each * i64::from(n)).to_string()
        });
    }
    for spare in &purchase.spares {
        table.row([
            inputs.car(spare.car).id.clone(),
            spare.count.to_string(),
            purchases::single_price(inputs, purchase, spare).to_string(),
            "LEFT OVER".to_owned(),
            String::new(),
            "bought for the number alone".to_owned(),
        ]);
    }
    for own in &purchase.own {
        let goes = purchases::destinations(inputs, plan, own.car);
        rows(&mut table, inputs, &inputs.car(own.car).id, &goes, |_| "own stock".to_owned());
    }
    for lot in &purchase.lots {
        lot_rows(&mut table, inputs, plan, lot);
    }
    page.table(2, &table);
    if let Some(words) = purchases::level_words(inputs, purchase) {
        page.para(2, &words);
    }
    for line in &purchase.lines {
        page.para(2, &format!("{}: {} = {}.", line.item, line.basis, line.amount));
    }
    if !purchase.own.is_empty() {
        let own = purchases::OwnStock::of(inputs, &purchase.own);
        page.para(2, &format!("From own stock: {}.", own.words()));
    }
    let loaded = purchases::cars_placed(purchase);
    page.para(
        2,
        &format!(
            "loading: {} x {} = {}, counted with the crossings.",
            count(loaded, "car"),
            yard.loading,
            yard.loading * loaded as i64
        ),
    );
    if let Some((date, car)) = purchases::first_quote_end(inputs, purchase) {
        let id = &inputs.car(car).id;
        page.para(2, &format!("Order by {date}: then the first quote ends, that of {id}."));
    }
}

fn lot_rows(table: &mut Table, inputs: &Inputs, plan: &Plan, lot: &LotPurchase) {
    let sold = inputs.lot(lot.lot);
    let all = purchases::cars(&lot.placed) + purchases::cars(&lot.left_over);
    table.row([
        format!("lot {}", sold.name),
        all.to_string(),
        lot.price.to_string(),
        String::new(),
        String::new(),
        String::new(),
    ]);
    for CarCount { car, .. } in &lot.placed {
        let goes = purchases::destinations(inputs, plan, *car);
        rows(table, inputs, &format!("- {}", inputs.car(*car).id), &goes, |_| {
            "in the lot".to_owned()
        });
    }
    for left in &lot.left_over {
        let worth = price::stock_value(inputs, left.car) * i64::from(left.count);
        table.row([
            format!("- {}", inputs.car(left.car).id),
            left.count.to_string(),
            "in the lot".to_owned(),
            "LEFT OVER".to_owned(),
            String::new(),
            format!("stock, worth {worth}"),
        ]);
    }
}

/// One row per destination of a car, or of a row of identical cars.
fn rows(
    table: &mut Table,
    inputs: &Inputs,
    name: &str,
    goes: &[Destination],
    price: impl Fn(u32) -> String,
) {
    for going in goes {
        let crossing = inputs.crossing(going.site.crossing);
        let known = !going.basis.is_empty();
        table.row([
            name.to_owned(),
            going.count.to_string(),
            price(going.count),
            place_name(crossing.layouts[going.site.layout].spans.len(), &crossing.id, going),
            if known { going.haul.to_string() } else { String::new() },
            going.basis.clone(),
        ]);
    }
}

/// The crossing, with the number of the span where there are several.
fn place_name(spans: usize, id: &str, going: &Destination) -> String {
    if spans > 1 { format!("{id} span {}", going.site.span + 1) } else { id.to_owned() }
}
