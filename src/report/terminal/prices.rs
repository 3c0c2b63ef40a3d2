//! Prices to beat as a table.

use itertools::Itertools;

use super::LEAST_WIDTH;
use crate::after::prices::{Beat, PriceToBeat, PricesToBeat};
use crate::model::inputs::Inputs;
use crate::quantity::Cents;
use crate::report::facts::count;
use crate::report::facts::prices::{beat, found, name, offered};
use crate::report::text::{Align, Page, Table};

/// What each chosen car may cost, and what each other must cost to be chosen.
#[must_use]
pub fn prices(inputs: &Inputs, prices: &PricesToBeat, discount_pct: f64, width: usize) -> String {
    let mut page = Page::new(width.max(LEAST_WIDTH));
    page.para(0, "PRICES TO BEAT");
    page.para(0, &format!("The plan costs {} net as it is.", prices.plan.net));
    let (chosen, others): (Vec<_>, Vec<_>) = prices.list.iter().partition(|offer| offer.chosen > 0);
    let (never, others): (Vec<_>, Vec<_>) =
        others.into_iter().partition(|offer| offer.beat == Beat::Never && offer.proven);

    let tax = inputs.rules.overhead.sales_tax_pct;
    if tax.0 > 0.0 {
        page.para(0, &format!("All prices here are with the sales tax of {tax}."));
    }
    page.heading("In the plan");
    page.para(
        0,
        "Below the price named it stays; without it the plan costs more, or serves fewer.",
    );
    page.blank();
    page.table(2, &in_plan(inputs, prices, &chosen, discount_pct));

    page.heading("Not in the plan");
    page.para(0, "Below the price named it enters the cheapest plan.");
    page.blank();
    page.table(2, &not_in_plan(inputs, &others, discount_pct));
    if !never.is_empty() {
        page.blank();
        let names = never.iter().map(|offer| name(inputs, offer.subject)).join(", ");
        page.para(0, &format!("Not even as a gift: {names}."));
    }
    page.blank();
    if prices.left_out > 0 {
        let left_out = count(prices.left_out, "offer");
        page.para(0, &format!("Not looked at, for the time was up: {left_out}."));
    }
    let proven = prices.list.iter().all(|offer| offer.proven);
    page.para(
        0,
        if proven {
            "Every price is proven, to the cent: by choosing again at other prices, or by a bound. \
             Each holds while all other prices are as quoted; of a row of identical cars the price \
             is that of each."
        } else {
            "Prices marked NOT PROVEN come from searches that the time limit stopped; where two prices \
             are named, the price to beat is proven to lie between them."
        },
    );
    page.finish()
}

fn in_plan(
    inputs: &Inputs,
    prices: &PricesToBeat,
    chosen: &[&PriceToBeat],
    discount_pct: f64,
) -> Table {
    use Align::{Left, Right};
    let saves = format!("{discount_pct} % off saves");
    let mut table = Table::new(&[Left, Right, Right, Right, Right, Right, Left]).header(&[
        "Car or lot",
        "Cars",
        "Asked",
        "Stays below",
        "Without it",
        &saves,
        "How found",
    ]);
    for offer in chosen {
        let without = if offer.without.unserved == prices.plan.unserved {
            format!("+{}", offer.without.net - prices.plan.net)
        } else {
            "fewer served".to_owned()
        };
        table.row([
            name(inputs, offer.subject),
            cars(inputs, offer),
            offer.asked.to_string(),
            beat(offer),
            without,
            amount(offer.saves),
            found(offer),
        ]);
    }
    table
}

/// How many of the cars offered are in the plan.
fn cars(inputs: &Inputs, offer: &PriceToBeat) -> String {
    match offer.subject {
        crate::after::prices::Subject::Row(_) => {
            format!("{} of {}", offer.chosen, offered(inputs, offer.subject))
        }
        crate::after::prices::Subject::Lot(_) => {
            format!("lot of {}", offered(inputs, offer.subject))
        }
    }
}

fn not_in_plan(inputs: &Inputs, others: &[&PriceToBeat], discount_pct: f64) -> Table {
    use Align::{Left, Right};
    let saves = format!("{discount_pct} % off saves");
    let mut table = Table::new(&[Left, Right, Right, Right, Right, Right, Left]).header(&[
        "Car or lot",
        "Cars",
        "Asked",
        "Enters below",
        "Over by",
        &saves,
        "How found",
    ]);
    for offer in others {
        let dear = match offer.beat {
            Beat::Below(price) => (offer.asked - price).to_string(),
            _ => String::new(),
        };
        table.row([
            name(inputs, offer.subject),
            offered(inputs, offer.subject).to_string(),
            offer.asked.to_string(),
            beat(offer),
            dear,
            amount(offer.saves),
            found(offer),
        ]);
    }
    table
}

fn amount(cents: Cents) -> String {
    if cents == Cents::ZERO { String::new() } else { cents.to_string() }
}
