//! Cost items once more by hand: the sum of their lines at each crossing, from the inputs alone.

use std::collections::BTreeMap;

use crate::model::car::{Car, CarDeck};
use crate::model::inputs::{Inputs, Site};
use crate::model::plan::{CostItem, CostLine, Served};
use crate::quantity::Cents;

/// What is wrong with the sums of a crossing's items.
pub(super) fn faults(inputs: &Inputs, served: &Served) -> Vec<String> {
    let Some(expected) = sums(inputs, served) else {
        return vec!["a measure that is priced is not known".to_owned()];
    };
    let mut faults = Vec::new();
    for (item, expected) in expected {
        let found = of(&served.lines, item);
        if found != expected {
            let (found, expected) = (Cents(found), Cents(expected));
            faults.push(format!("{} comes to {expected}, not {found}", item.word()));
        }
    }
    faults
}

fn of(lines: &[CostLine], item: CostItem) -> i64 {
    lines.iter().filter(|line| line.item == item).map(|line| line.amount.0).sum()
}

/// So many per cent of an amount, to the cent.
pub(super) fn per_cent(amount: i64, percent: f64) -> i64 {
    Cents::from_dollars(amount as f64 * percent / 10_000.0).0
}

/// Contingency and engineering on one line of work.
pub(super) fn overhead(inputs: &Inputs, amount: i64) -> i64 {
    let rules = &inputs.rules.overhead;
    per_cent(amount, rules.contingency_pct.0) + per_cent(amount, rules.engineering_pct.0)
}

/// What is no work: paid to dealers or for scrap, stated as a whole, or in per cent itself.
const NO_WORK: [CostItem; 9] = [
    CostItem::Car,
    CostItem::PriceBreak,
    CostItem::OwnCar,
    CostItem::LotShare,
    CostItem::SalesTax,
    CostItem::ScrapCredit,
    CostItem::Contingency,
    CostItem::Engineering,
    CostItem::Other,
];

/// The sums in cents, by item; none: a measure is not known.
fn sums(inputs: &Inputs, served: &Served) -> Option<BTreeMap<CostItem, i64>> {
    let rules = &inputs.rules;
    let mut sums = BTreeMap::new();
    let mut add = |item: CostItem, dollars: f64| {
        *sums.entry(item).or_insert(0) += Cents::from_dollars(dollars).0;
    };
    for deck in &served.decks {
        let crossing = inputs.crossing(deck.site.crossing);
        let system = rules.deck.iter().find(|system| system.name == crossing.deck_system)?;
        let mut longest = 0.0_f64;
        for placed in &deck.cars {
            let car = inputs.car(placed.car);
            let (laid, cuts) = laid(inputs, deck.site, car)?;
            longest = longest.max(laid);
            let area = to_places(car.width?.0 * laid, 10.0);
            add(CostItem::Deck, system.usd_per_sqft.0 * area);
            add(CostItem::Bearing, 2.0 * rules.fit.bearing_usd_per_end.as_dollars());
            add(CostItem::Gear, rules.fit.gear_usd_per_car.as_dollars());
            add(CostItem::Tests, rules.fit.survey_usd_per_car.as_dollars());
            let nobody_answers = car.steel_yield.is_none() || car.yield_source.is_none();
            if nobody_answers {
                add(CostItem::Tests, rules.fit.coupons_usd_per_car.as_dollars());
            }
            let strip = rules.fit.strip_usd_per_sqft.0 * area;
            if !system.keeps_car_deck && car.deck != Some(CarDeck::NoDeck) {
                add(CostItem::Strip, strip);
                if car.deck == Some(CarDeck::SteelPlate) {
                    add(
                        CostItem::ScrapCredit,
                        -strip.min(rules.fit.steel_deck_usd_per_sqft.0 * area),
                    );
                }
            }
            let cutting = rules.trim.usd_per_end.as_dollars() * f64::from(cuts);
            add(CostItem::Trim, cutting);
            if cuts > 0 && laid < car.length?.0 {
                let pounds = (car.weight?.0 * 1000.0).round();
                let off = (pounds * (car.length?.0 - laid) / car.length?.0).round();
                add(CostItem::ScrapCredit, -cutting.min(rules.purchase.scrap_usd_per_lb.0 * off));
            }
        }
        add(CostItem::Rail, rules.rail.usd_per_ft.0 * longest * 2.0);
        for _ in 1..deck.cars.len() {
            let joint = deck.joint.as_ref()?;
            let joint = rules.joint.iter().find(|kind| kind.name == joint.name)?;
            add(CostItem::Joint, joint.usd_per_ft.0 * longest);
        }
    }
    add(CostItem::ApproachRail, 4.0 * rules.rail.approach_ft.0 * rules.rail.approach_usd_per_ft.0);
    let work = served.lines.iter().filter(|line| !NO_WORK.contains(&line.item));
    let of = |percent: f64| work.clone().map(|line| per_cent(line.amount.0, percent)).sum();
    sums.insert(CostItem::Contingency, of(rules.overhead.contingency_pct.0));
    sums.insert(CostItem::Engineering, of(rules.overhead.engineering_pct.0));
    Some(sums)
}

/// How many feet of a car lie on a span, and how many of its ends are cut: the span and, at each side, the end
/// as it comes, or as it is cut for the abutment, for the next span's car on a pier, or behind its bolster,
/// whichever leaves least.
fn laid(inputs: &Inputs, site: Site, car: &Car) -> Option<(f64, u8)> {
    let crossing = inputs.crossing(site.crossing);
    let rules = &inputs.rules.screen;
    let spans = &crossing.layouts[site.layout].spans;
    let span = spans[site.span].0;
    let bearings = crossing.pier_bearings.unwrap_or(rules.pier_bearings_ft).0;
    let over_pier = (bearings - rules.pier_gap_in.0 / 12.0) / 2.0;
    let (mut whole, mut cuts) = (span, 0);
    for at_pier in [site.span != 0, site.span + 1 != spans.len()] {
        let comes = (car.length?.0 - span) / 2.0;
        let behind = (car.truck_centers?.0 - span) / 2.0 + rules.end_behind_bolster_ft.0;
        let mut most = rules.max_overhang_ft.0.min(behind);
        if at_pier {
            most = most.min(over_pier.max(0.0));
        }
        cuts += u8::from(comes > most + 1e-9);
        whole += comes.min(most).max(0.0);
    }
    Some((to_places(whole, 100.0), cuts))
}

/// Rounded to one part of so many, halves up, with a hair for the halves that binary misses.
fn to_places(quantity: f64, parts: f64) -> f64 {
    (quantity * parts + 1e-7).round() / parts
}
