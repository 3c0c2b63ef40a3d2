//! The request to a dealer: the cars wanted, and what to confirm before they are paid for. It says
//! nothing of where the cars go or of other dealers.

use askama::Template;
use itertools::Itertools;
use jiff::ToSpan;

use crate::model::car::{Car, GirderPlates};
use crate::model::inputs::{CarIx, Inputs};
use crate::model::plan::{Plan, YardPurchase};
use crate::model::rules::Agency;
use crate::price;
use crate::quantity::{Cents, Kips, feet_inches, group_thousands};
use crate::report::facts::confirm::asked_of;
use crate::report::facts::purchases::{cars_bought, price_each, price_of_cars, single_price};
use crate::report::facts::{PlanReport, count};
use crate::report::page::{NotWritten, style};
use crate::report::provenance::PageContext;
use crate::report::tables::{Cell, Column, Kind, Table};
use crate::report::text::inches_read;
use crate::words::for_page;

#[derive(Template)]
#[template(path = "sheets/request.html")]
struct Request<'a> {
    context: &'a PageContext,
    style: String,
    dealer: &'a str,
    yard: &'a str,
    order_date: String,
    /// Who buys; empty lines to be filled in where the rules do not say.
    agency: &'a Agency,
    /// The day until which an answer is asked for.
    reply_by: String,
    wanted: Vec<Wanted>,
    cars: usize,
    price: String,
}

/// A row of the request.
pub(super) struct Wanted {
    /// Part of a lot: has no price of its own.
    pub sub: bool,
    pub car: String,
    pub count: u32,
    pub price: String,
    pub quote: String,
    pub listed: String,
    /// What is asked to be confirmed.
    pub confirm: String,
}

/// The request as a page.
pub fn page(
    report: &PlanReport<'_>,
    purchase: &YardPurchase,
    context: &PageContext,
) -> Result<String, NotWritten> {
    let yard = report.inputs.yard(purchase.yard);
    let request = Request {
        context,
        style: style(context, "a request, not an order"),
        dealer: &yard.dealer,
        yard: &yard.name,
        order_date: report.inputs.order_date.to_string(),
        agency: &report.inputs.rules.agency,
        reply_by: reply_by(report.inputs),
        wanted: wanted(report, purchase),
        cars: cars_bought(purchase),
        price: price_of_cars(report.inputs, purchase).to_string(),
    };
    Ok(for_page(request.render()?))
}

/// The day until which dealers are asked to answer; empty where the rules do not say.
fn reply_by(inputs: &Inputs) -> String {
    let days = inputs.rules.agency.reply_days;
    let day = days.and_then(|days| inputs.order_date.checked_add(i64::from(days).days()).ok());
    day.map(|day| day.to_string()).unwrap_or_default()
}

pub(super) fn wanted(report: &PlanReport<'_>, purchase: &YardPurchase) -> Vec<Wanted> {
    let PlanReport { inputs, plan, .. } = *report;
    let mut rows = Vec::new();
    let quote = |car: &Car| car.quote_expires.map(|day| day.to_string()).unwrap_or_default();
    for cars in purchase.singles.iter().chain(&purchase.spares) {
        let car = inputs.car(cars.car);
        rows.push(Wanted {
            sub: false,
            car: car.id.clone(),
            count: cars.count,
            price: single_price(inputs, purchase, cars).to_string(),
            quote: quote(car),
            listed: listed(car) + &cuts(inputs, plan, cars.car),
            confirm: asked_of(plan, cars.car),
        });
    }
    for lot in &purchase.lots {
        let of_lot = inputs.lot(lot.lot);
        let count = of_lot.cars.iter().map(|&car| inputs.car(car).quantity).sum();
        rows.push(Wanted {
            sub: false,
            car: format!("Lot {}, whole", of_lot.name),
            count,
            price: lot.price.to_string(),
            quote: String::new(),
            listed: String::new(),
            confirm: String::new(),
        });
        for &ix in &of_lot.cars {
            let car = inputs.car(ix);
            rows.push(Wanted {
                sub: true,
                car: car.id.clone(),
                count: car.quantity,
                price: String::new(),
                quote: quote(car),
                listed: listed(car) + &cuts(inputs, plan, ix),
                confirm: asked_of(plan, ix),
            });
        }
    }
    rows
}

/// To what length cars of a row are to be cut at the yard before they are loaded; empty: none is.
fn cuts(inputs: &Inputs, plan: &Plan, car: CarIx) -> String {
    let served = plan.crossings.iter().filter_map(|crossing| crossing.served());
    let decks = served.flat_map(|served| &served.decks);
    let here = decks.flat_map(|deck| deck.cars.iter().map(move |placed| (placed.car, deck.site)));
    let cut = here
        .filter(|(placed, site)| *placed == car && price::is_cut_at_yard(inputs, *placed, *site));
    let lengths = cut.filter_map(|(placed, site)| price::hauled_length(inputs, placed, site));
    let lengths: Vec<String> = lengths.map(feet_inches).collect();
    if lengths.is_empty() {
        return String::new();
    }
    let count = count(lengths.len(), "car");
    let lengths: Vec<String> = lengths.into_iter().unique().collect();
    format!(
        "; before loading, both ends to be cut at your yard to {} ({count})",
        lengths.join(", ")
    )
}

/// The measures that the dealer's list gives, for him to confirm.
pub(super) fn listed(car: &Car) -> String {
    let car = car.as_told();
    let mut words = Vec::new();
    let mut add = |name: &str, value: Option<String>| {
        words.push(format!("{name} {}", value.unwrap_or_else(|| "?".to_owned())));
    };
    add("section", car.section.clone());
    add("length", car.length.map(feet_inches));
    add("truck centers", car.truck_centers.map(feet_inches));
    add("width", car.width.map(feet_inches));
    add("camber", car.camber.map(inches_read));
    add("exterior girder", car.exterior_depth.map(|depth| depth.to_string()));
    add("plates", car.girder.plates.as_ref().map(plates));
    add("weight", car.weight.map(pounds));
    words.join(", ")
}

/// A weight as the trade reads it on a scale: `46,800 lb`.
pub(super) fn pounds(weight: Kips) -> String {
    let pounds = weight.pounds().round().max(0.0) as u64;
    format!("{} lb", group_thousands(pounds))
}

/// The main girder's plates in words.
pub(super) fn plates(plates: &GirderPlates) -> String {
    let webs = count(plates.webs.into(), "web");
    let plate = |plate: crate::model::car::Plate| {
        format!("{} x {} in", plate.width_in.0, plate.thickness_in.0)
    };
    let mut words = vec![
        format!("{webs} {}", plate(plates.web)),
        format!("top flange {}", plate(plates.top_flange)),
        format!("bottom flange {}", plate(plates.bottom_flange)),
    ];
    if let Some(cover) = plates.top_cover {
        words.push(format!("top cover {}", plate(cover)));
    }
    if let Some(cover) = plates.bottom_cover {
        words.push(format!("bottom cover {}", plate(cover)));
    }
    words.join("; ")
}

const COLUMNS: &[Column] = &[
    Column { key: "car", title: "Car", kind: Kind::Word },
    Column { key: "lot", title: "Lot", kind: Kind::Word },
    Column { key: "count", title: "Cars", kind: Kind::Count },
    Column { key: "price_usd", title: "Price", kind: Kind::Money },
    Column { key: "quote_expires", title: "Quote holds until", kind: Kind::Day },
    Column { key: "length_ft", title: "Length", kind: Kind::Measure(2) },
    Column { key: "truck_centers_ft", title: "Truck centers", kind: Kind::Measure(2) },
    Column { key: "truck_centers_ft_measured", title: "measured", kind: Kind::Word },
    Column { key: "camber_in", title: "Camber", kind: Kind::Measure(3) },
    Column { key: "camber_in_measured", title: "measured", kind: Kind::Word },
    Column { key: "width_ft", title: "Width over side sills", kind: Kind::Measure(3) },
    Column { key: "width_over_all_ft", title: "Width over stake pockets", kind: Kind::Measure(3) },
    Column { key: "weight_lb", title: "Weight without trucks", kind: Kind::Measure(0) },
    Column { key: "weight_with_trucks_lb", title: "Weight with trucks", kind: Kind::Word },
    Column { key: "plates", title: "Plates", kind: Kind::Words },
    Column { key: "plates_measured", title: "measured", kind: Kind::Word },
    Column { key: "stringers_size_spacing_measured", title: "Stringers", kind: Kind::Word },
    Column { key: "cross_members_size_spacing_measured", title: "Cross-members", kind: Kind::Word },
    Column { key: "members_condition_confirmed", title: "Condition", kind: Kind::Word },
    Column { key: "paint_test_result", title: "Paint test", kind: Kind::Word },
    Column { key: "photographs", title: "Photographs", kind: Kind::Word },
    Column { key: "to_confirm", title: "To confirm", kind: Kind::Words },
];

/// The request as a table for the dealer to fill in.
pub fn table(report: &PlanReport<'_>, purchase: &YardPurchase) -> Table {
    let inputs = report.inputs;
    let mut rows = Vec::new();
    let mut add = |ix: CarIx, count: u32, lot: &str, price: Option<Cents>| {
        let car = inputs.car(ix).as_told();
        rows.push(vec![
            car.id.as_str().into(),
            lot.into(),
            count.into(),
            price.map(|price| price * i64::from(count)).into(),
            car.quote_expires.into(),
            car.length.map(|length| length.0).into(),
            car.truck_centers.map(|centers| centers.0).into(),
            Cell::Blank,
            car.camber.map(|camber| camber.0).into(),
            Cell::Blank,
            car.width.map(|width| width.0).into(),
            car.width_over_all.map(|width| width.0).into(),
            car.weight.map(|weight| weight.pounds().round()).into(),
            Cell::Blank,
            car.girder.plates.as_ref().map(plates).into(),
            Cell::Blank,
            Cell::Blank,
            Cell::Blank,
            Cell::Blank,
            Cell::Blank,
            Cell::Blank,
            asked_of(report.plan, ix).into(),
        ]);
    };
    for cars in purchase.singles.iter().chain(&purchase.spares) {
        let price = price_each(inputs, purchase, cars.car);
        add(cars.car, cars.count, "", price);
    }
    for lot in &purchase.lots {
        let of_lot = inputs.lot(lot.lot);
        for &ix in &of_lot.cars {
            add(ix, inputs.car(ix).quantity, &of_lot.name, None);
        }
    }
    Table { name: "request", title: "Request", columns: COLUMNS, rows }
}

#[cfg(test)]
mod tests {
    use super::*;
    use crate::model::car::Plate;
    use crate::quantity::{Inches, Percent};

    #[test]
    fn webs_are_printed_as_counted() {
        let plate = Plate { width_in: Inches(26.0), thickness_in: Inches(0.375) };
        for (webs, words) in [(1, "1 web 26"), (2, "2 webs 26"), (3, "3 webs 26"), (4, "4 webs 26")]
        {
            let girder = GirderPlates {
                webs,
                web: plate,
                web_depth_at_trucks_in: None,
                top_flange: plate,
                bottom_flange: plate,
                top_cover: None,
                bottom_cover: None,
                web_loss_pct: Percent(0.0),
                top_loss_pct: Percent(0.0),
                bottom_loss_pct: Percent(0.0),
            };
            assert!(plates(&girder).starts_with(words), "{webs}: {}", plates(&girder));
        }
    }
}
