//! Prices to beat as a table.

use itertools::Itertools;

use super::LEAST_WIDTH;
use crate::bid::{Beat, Bid, Bids};
use crate::model::inputs::Inputs;
use crate::quantity::Cents;
use crate::report::facts::bids::{beat, found, name, offered};
use crate::report::text::{Align, Page, Table};

/// What each chosen car may cost, and what each other must cost to be chosen.
#[must_use]
pub fn bids(inputs: &Inputs, bids: &Bids, discount_pct: f64, width: usize) -> String {
    let mut page = Page::new(width.max(LEAST_WIDTH));
    page.para(0, "PRICES TO BEAT");
    page.para(0, &format!("The plan costs {} net as it is.", bids.plan.net));
    let (chosen, others): (Vec<_>, Vec<_>) = bids.list.iter().partition(|bid| bid.chosen > 0);
    let (never, others): (Vec<_>, Vec<_>) =
        others.into_iter().partition(|bid| bid.beat == Beat::Never);

    page.heading("In the plan");
    page.para(
        0,
        "Below the price named it stays; without it the plan costs more, or serves fewer.",
    );
    page.blank();
    page.table(2, &in_plan(inputs, bids, &chosen, discount_pct));

    page.heading("Not in the plan");
    page.para(0, "Below the price named it enters the cheapest plan.");
    page.blank();
    page.table(2, &not_in_plan(inputs, &others, discount_pct));
    if !never.is_empty() {
        page.blank();
        let names = never.iter().map(|bid| name(inputs, bid.subject)).join(", ");
        page.para(0, &format!("Not even as a gift: {names}."));
    }
    page.blank();
    let proven = bids.list.iter().all(|bid| bid.proven);
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

fn in_plan(inputs: &Inputs, bids: &Bids, chosen: &[&Bid], discount_pct: f64) -> Table {
    use Align::{Left, Right};
    let saves = format!("{discount_pct} % off saves");
    let mut table = Table::new(&[Left, Right, Right, Right, Right, Right, Left]).header(&[
        "Car or lot",
        "Cars",
        "Asked",
        "Stays below",
        "Without it",
        &saves,
        "Found",
    ]);
    for bid in chosen {
        let without = if bid.without.unserved == bids.plan.unserved {
            format!("+{}", bid.without.net - bids.plan.net)
        } else {
            "fewer served".to_owned()
        };
        table.row([
            name(inputs, bid.subject),
            cars(inputs, bid),
            bid.asked.to_string(),
            beat(bid),
            without,
            amount(bid.saves),
            found(bid),
        ]);
    }
    table
}

/// How many of the cars offered are in the plan.
fn cars(inputs: &Inputs, bid: &Bid) -> String {
    match bid.subject {
        crate::bid::Subject::Row(_) => {
            format!("{} of {}", bid.chosen, offered(inputs, bid.subject))
        }
        crate::bid::Subject::Lot(_) => format!("lot of {}", offered(inputs, bid.subject)),
    }
}

fn not_in_plan(inputs: &Inputs, others: &[&Bid], discount_pct: f64) -> Table {
    use Align::{Left, Right};
    let saves = format!("{discount_pct} % off saves");
    let mut table = Table::new(&[Left, Right, Right, Right, Right, Right, Left]).header(&[
        "Car or lot",
        "Cars",
        "Asked",
        "Enters below",
        "Too dear by",
        &saves,
        "Found",
    ]);
    for bid in others {
        let dear = match bid.beat {
            Beat::Below(price) => (bid.asked - price).to_string(),
            _ => String::new(),
        };
        table.row([
            name(inputs, bid.subject),
            offered(inputs, bid.subject).to_string(),
            bid.asked.to_string(),
            beat(bid),
            dear,
            amount(bid.saves),
            found(bid),
        ]);
    }
    table
}

fn amount(cents: Cents) -> String {
    if cents == Cents::ZERO { String::new() } else { cents.to_string() }
}
