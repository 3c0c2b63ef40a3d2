//! A purchase order to a dealer, ready to be signed, with no word about other dealers.

use askama::Template;

use super::request::{Wanted, wanted};
use crate::model::plan::YardPurchase;
use crate::model::rules::Agency;
use crate::report::facts::PlanReport;
use crate::report::facts::purchases::{
    cars_bought, cars_placed, first_quote_end, level_words, price_of_cars,
};
use crate::report::page::{NotWritten, style};
use crate::report::provenance::PageContext;
use crate::words::for_page;

#[derive(Template)]
#[template(path = "sheets/order.html")]
struct Order<'a> {
    context: &'a PageContext,
    style: String,
    number: String,
    agency: &'a Agency,
    dealer: &'a str,
    yard: &'a str,
    order_date: String,
    order_by: String,
    wanted: Vec<Wanted>,
    cars: usize,
    price: String,
    /// Cars loaded: those that go to a crossing.
    loaded: usize,
    loading_each: String,
    loading: String,
    total: String,
    level: String,
}

/// The purchase order to one yard; the number tells it from the plan's others.
pub fn page(
    report: &PlanReport<'_>,
    purchase: &YardPurchase,
    number: usize,
    context: &PageContext,
) -> Result<String, NotWritten> {
    let inputs = report.inputs;
    let yard = inputs.yard(purchase.yard);
    let own: u32 = purchase.own.iter().map(|cars| cars.count).sum();
    let loaded = cars_placed(purchase).saturating_sub(own as usize);
    let loading = yard.loading * loaded as i64;
    let price = price_of_cars(inputs, purchase);
    let order = Order {
        context,
        style: style(context, "a draft of a purchase order"),
        number: format!("{}-{number}", context.plan_id),
        agency: &inputs.rules.agency,
        dealer: &yard.dealer,
        yard: &yard.name,
        order_date: inputs.order_date.to_string(),
        order_by: first_quote_end(inputs, purchase)
            .map_or_else(|| "no quote has an end".to_owned(), |(day, _)| day.to_string()),
        wanted: wanted(report, purchase),
        cars: cars_bought(purchase),
        price: price.to_string(),
        loaded,
        loading_each: yard.loading.to_string(),
        loading: loading.to_string(),
        total: (price + loading).to_string(),
        level: level_words(inputs, purchase).unwrap_or_default(),
    };
    Ok(for_page(order.render()?))
}
