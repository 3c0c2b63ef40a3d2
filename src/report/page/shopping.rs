//! The shopping list by dealer and yard.

use crate::model::car::Car;
use crate::model::inputs::{CarIx, Inputs};
use crate::model::plan::{CarCount, CostItem, LotPurchase, YardPurchase};
use crate::quantity::Cents;
use crate::report::facts::board::lead_word;
use crate::report::facts::purchases::{
    OwnStock, cars_bought, destinations, first_quote_end, level_words, price_of_cars, single_price,
};
use crate::report::facts::{PlanReport, totals as facts_totals};
use crate::report::tables::leaving;

use super::money;

/// What is bought at one yard.
pub struct Yard {
    pub dealer: String,
    pub yard: String,
    pub terms: String,
    /// By when to order, and why.
    pub order_by: String,
    pub rows: Vec<Row>,
    pub cars: usize,
    pub price: String,
    pub haul: String,
}

/// A row of the list.
pub struct Row {
    /// A car of a lot, below its lot.
    pub sub: bool,
    pub car: String,
    pub count: String,
    pub goes_to: Vec<String>,
    pub price: String,
    pub haul: String,
    pub lead: &'static str,
    pub pick_up: String,
}

/// A total.
pub struct Total {
    pub sum: bool,
    pub name: String,
    pub amount: String,
}

pub fn yards(report: &PlanReport<'_>) -> Vec<Yard> {
    report.plan.purchases.iter().map(|purchase| yard(report, purchase)).collect()
}

fn yard(report: &PlanReport<'_>, purchase: &YardPurchase) -> Yard {
    let inputs = report.inputs;
    let yard = inputs.yard(purchase.yard);
    let mut hauls = Cents::ZERO;
    let mut rows = Vec::new();
    for cars in &purchase.singles {
        rows.push(row(report, cars, false, Some(single_price(inputs, purchase, cars)), &mut hauls));
    }
    for spare in &purchase.spares {
        let price = single_price(inputs, purchase, spare).to_string();
        rows.push(Row { price, sub: false, ..left_over(inputs, spare) });
    }
    for cars in &purchase.own {
        let own = row(report, cars, false, None, &mut hauls);
        rows.push(Row { price: "own stock".to_owned(), ..own });
    }
    for lot in &purchase.lots {
        lot_rows(report, lot, &mut rows, &mut hauls);
    }
    Yard {
        dealer: yard.dealer.clone(),
        yard: yard.name.clone(),
        terms: terms(inputs, purchase),
        order_by: first_quote_end(inputs, purchase)
            .map(|(day, car)| {
                let id = &inputs.car(car).id;
                format!("Order by {day}: then the first quote ends, that of {id}.")
            })
            .unwrap_or_default(),
        rows,
        cars: cars_bought(purchase),
        price: price_of_cars(inputs, purchase).to_string(),
        haul: hauls.to_string(),
    }
}

/// Loading, the trip, and what is taken from own stock.
fn terms(inputs: &Inputs, purchase: &YardPurchase) -> String {
    let yard = inputs.yard(purchase.yard);
    let mut terms = vec![format!("Loading {} a car, within the crossings' costs.", yard.loading)];
    if purchase.is_bought() {
        terms.push(format!("One inspection trip, {}, before paying.", yard.trip));
    }
    terms.extend(level_words(inputs, purchase));
    if !purchase.own.is_empty() {
        let own = OwnStock::of(inputs, &purchase.own);
        terms.push(format!("From own stock: {}.", own.words()));
    }
    terms.join(" ")
}

fn lot_rows(report: &PlanReport<'_>, lot: &LotPurchase, rows: &mut Vec<Row>, hauls: &mut Cents) {
    let name = &report.inputs.lot(lot.lot).name;
    let cars: u32 = lot.placed.iter().chain(&lot.left_over).map(|cars| cars.count).sum();
    rows.push(Row {
        sub: false,
        car: format!("Lot {name}, whole"),
        count: cars.to_string(),
        goes_to: Vec::new(),
        price: lot.price.to_string(),
        haul: String::new(),
        lead: "",
        pick_up: String::new(),
    });
    for cars in &lot.placed {
        rows.push(row(report, cars, true, None, hauls));
    }
    for left in &lot.left_over {
        rows.push(left_over(report.inputs, left));
    }
}

/// Cars that go nowhere.
fn left_over(inputs: &Inputs, cars: &CarCount) -> Row {
    Row {
        sub: true,
        car: inputs.car(cars.car).id.clone(),
        count: cars.count.to_string(),
        goes_to: vec!["left over".to_owned()],
        price: String::new(),
        haul: String::new(),
        lead: "",
        pick_up: String::new(),
    }
}

fn row(
    report: &PlanReport<'_>,
    cars: &CarCount,
    sub: bool,
    price: Option<Cents>,
    hauls: &mut Cents,
) -> Row {
    let inputs = report.inputs;
    let mut haul = Cents::ZERO;
    let mut goes_to = Vec::new();
    for going in destinations(inputs, report.plan, cars.car) {
        haul += going.haul;
        let crossing = inputs.crossing(going.site.crossing);
        let spans = crossing.layouts.get(going.site.layout).map_or(1, |l| l.spans.len());
        let span = if spans > 1 { format!(" span {}", going.site.span + 1) } else { String::new() };
        goes_to.push(format!("{} to {}{span}", going.count, crossing.id));
    }
    *hauls += haul;
    Row {
        sub,
        car: inputs.car(cars.car).id.clone(),
        count: cars.count.to_string(),
        goes_to,
        price: money(price),
        haul: haul.to_string(),
        lead: lead_word(inputs.car(cars.car).lead),
        pick_up: pick_up(inputs, cars.car),
    }
}

/// What to know before sending a truck.
fn pick_up(inputs: &Inputs, ix: CarIx) -> String {
    let car: &Car = inputs.car(ix);
    let mut notes = vec![match leaving(inputs, ix).as_str() {
        "now" => "Can leave now".to_owned(),
        other => format!("Can leave: {other}"),
    }];
    if let Some(day) = car.quote_expires {
        notes.push(format!("quote holds until {day}"));
    }
    let mut text = notes.join("; ");
    text.push('.');
    if let Some(remark) = &car.notes {
        text.push_str(&format!(" Dealer: {remark}"));
    }
    text
}

pub fn totals(report: &PlanReport<'_>) -> Vec<Total> {
    let sums = report.plan.totals;
    let mut rows: Vec<Total> = facts_totals::by_item(report.plan)
        .into_iter()
        .filter(|(item, _)| *item != CostItem::StockValue)
        .map(|(item, amount)| Total {
            sum: false,
            name: capital(item.word()),
            amount: amount.to_string(),
        })
        .collect();
    let mut sum = |name: &str, amount: Cents| {
        rows.push(Total { sum: true, name: name.to_owned(), amount: amount.to_string() });
    };
    sum("To pay", sums.outlay);
    if sums.stock_value != Cents::ZERO {
        sum("Worth of the cars left over", -sums.stock_value);
        sum("Net cost", sums.net);
    }
    rows
}

/// The text with a capital first letter.
pub(crate) fn capital(text: &str) -> String {
    let mut chars = text.chars();
    chars.next().map(|c| c.to_uppercase().collect::<String>() + chars.as_str()).unwrap_or_default()
}
