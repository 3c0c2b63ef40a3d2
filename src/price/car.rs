//! One car: its price, and everything it costs to land it on a span.

use std::fmt;

use super::haul::is_cut_at_yard;
use super::ledger::{Ledger, Lines, Total, hundredth, tenth};
use super::{coating, haul, trim};
use crate::model::car::{Car, CarDeck, MemberGroup};
use crate::model::decision::CarFate;
use crate::model::ends::{cut_length, laid};
use crate::model::inputs::{CarIx, Inputs, Site};
use crate::model::plan::{CostItem, CostLine, Deck};
use crate::model::rules::{DeckSystem, FitRules, RepairRules, ScreenRules};
use crate::quantity::{Cents, SquareFeet};

/// The price of one car sold singly, or the line that says that it is the agency's own; no lines for a car of a lot, which carries a share of the lot's
/// price instead (see [`lot_share`](super::lot_share)). `None`: no price is quoted.
#[must_use]
pub fn car_price(inputs: &Inputs, ix: CarIx) -> Option<Vec<CostLine>> {
    let car = inputs.car(ix);
    if car.lot.is_some() {
        return Some(Vec::new());
    }
    if car.owned {
        let bought = matches!(inputs.decided.of_car(ix), Some((CarFate::Bought, _)));
        let basis = match (bought, car.price) {
            (true, Some(price)) => format!("1 car, {price} paid already"),
            (true, None) => "1 car, paid already with its lot".to_owned(),
            (false, Some(worth)) => format!("1 car, not bought, worth {worth} to the agency"),
            (false, None) => "1 car, not bought".to_owned(),
        };
        return Some(vec![CostLine {
            item: CostItem::OwnCar,
            subject: car.name(),
            basis,
            amount: Cents::ZERO,
        }]);
    }
    let price = car.price?;
    Some(vec![CostLine {
        item: CostItem::Car,
        subject: car.name(),
        basis: format!("1 car x {price}, as quoted"),
        amount: price,
    }])
}

/// What was paid already, by decision, for cars sold singly that lie in these decks: it is no part of their
/// cost from now on, and belongs to what the bridge has cost.
#[must_use]
pub fn paid_already(inputs: &Inputs, decks: &[Deck]) -> Cents {
    let cars = decks.iter().flat_map(|deck| &deck.cars).map(|placed| placed.car);
    let bought =
        cars.filter(|car| matches!(inputs.decided.of_car(*car), Some((CarFate::Bought, _))));
    bought.filter_map(|car| inputs.car(car).price).sum()
}

/// Loading one car on a trailer at its yard.
#[must_use]
pub fn loading(inputs: &Inputs, car: CarIx) -> Cents {
    inputs.yard(inputs.car(car).yard).loading
}

/// Everything one placed car costs on a span, its price or lot share apart: loading, haul, permit,
/// escort, pick, trimming less its scrap, stiffeners, gear and old deck off, survey and tests, repair, blasting
/// and paint, lead work, bearings, deck on its width, in this order.
/// `None`: a measure that the price depends on is unknown (length, weight, width, the condition of
/// the secondary members), or a damage admits no repair; screening bars such a car anyway.
#[must_use]
pub fn car_at(inputs: &Inputs, car: CarIx, site: Site) -> Option<Vec<CostLine>> {
    lines(inputs, car, site, Haul::Alone)
}

/// As [`car_at`], without haul, permit and escort, which are the load's where cars share a trailer
/// (see [`load_lines`](super::load_lines)).
#[must_use]
pub fn car_apart_from_haul(inputs: &Inputs, car: CarIx, site: Site) -> Option<Vec<CostLine>> {
    lines(inputs, car, site, Haul::Apart)
}

fn lines(inputs: &Inputs, car: CarIx, site: Site, haul: Haul) -> Option<Vec<CostLine>> {
    let mut lines = Lines::on(inputs.car(car).name());
    charge(&mut lines, inputs, car, site, haul, is_cut_at_yard(inputs, car, site))?;
    Some(lines.into_lines())
}

/// The sum of [`car_at`] with contingency and engineering, without its words, for searches over many cars.
#[must_use]
pub fn car_cost(inputs: &Inputs, car: CarIx, site: Site) -> Option<Cents> {
    let mut total = Total::by(&inputs.rules.overhead);
    charge(&mut total, inputs, car, site, Haul::Alone, is_cut_at_yard(inputs, car, site))?;
    Some(total.sum)
}

/// The sum of [`car_apart_from_haul`] with contingency and engineering, without its words.
#[must_use]
pub fn car_cost_apart_from_haul(inputs: &Inputs, car: CarIx, site: Site) -> Option<Cents> {
    let mut total = Total::by(&inputs.rules.overhead);
    charge(&mut total, inputs, car, site, Haul::Apart, is_cut_at_yard(inputs, car, site))?;
    Some(total.sum)
}

/// Where the haul of a car is written.
#[derive(Clone, Copy, PartialEq, Eq)]
enum Haul {
    /// With the car, which is alone on its trailer.
    Alone,
    /// With its load.
    Apart,
}

fn charge(
    ledger: &mut impl Ledger,
    inputs: &Inputs,
    ix: CarIx,
    site: Site,
    hauled: Haul,
    at_yard: bool,
) -> Option<()> {
    let (car, rules) = (inputs.car(ix), &inputs.rules);
    let (length, weight, width) = (car.length?, car.weight?, car.width?);
    let crossing = inputs.crossing(site.crossing);
    let system = rules.deck_system(&crossing.deck_system)?;
    let yard = inputs.yard(car.yard);
    let span = inputs.span(site);

    ledger.charge(CostItem::Loading, yard.loading, || format!("1 car x {}", yard.loading));
    if hauled == Haul::Alone {
        let longest = if at_yard { cut_length(rules, crossing, site, car)? } else { length };
        let load = haul::Load { cars: 1, longest, heaviest: weight, widest: car.width_on_road()? };
        haul::charge(ledger, inputs, ix, site, &load);
    }
    let pick = rules.crane.pick_usd;
    ledger.charge(CostItem::Pick, pick, || format!("1 car x {pick}"));
    let laid = hundredth(laid(&rules.screen, crossing, site, car)?);
    trim::charge(ledger, rules, crossing, site, car, at_yard)?;
    let inside = (car.truck_centers? - span) / 2.0;
    if rules.screen.needs_stiffeners(inside) {
        let (end, most) = (rules.trim.stiffener_usd_per_end, rules.screen.bearing_inside_ft);
        ledger.charge(CostItem::Stiffener, end * 2, || {
            format!("2 ends x {end}; bears {inside} inside the bolsters, over {most}")
        });
    }
    let area = SquareFeet(tenth((width * laid).0));
    let measured = format_args!("{} ft x {} ft", width.0, laid.0);
    charge_fit(ledger, &rules.fit, car);
    if !system.keeps_car_deck {
        charge_strip(ledger, &rules.fit, car.deck, area, measured);
    }
    charge_repairs(ledger, car, &rules.screen, &rules.repair)?;
    coating::charge(ledger, &rules.coating, car, laid);
    let bearing = rules.fit.bearing_usd_per_end;
    ledger.charge(CostItem::Bearing, bearing * 2, || format!("2 ends x {bearing}"));
    charge_deck(ledger, system, area, measured);
    Some(())
}

/// What every car needs before it is built in: gear off, survey, and coupons where nobody answers for its
/// steel.
fn charge_fit(ledger: &mut impl Ledger, fit: &FitRules, car: &Car) {
    let gear = fit.gear_usd_per_car;
    ledger.charge(CostItem::Gear, gear, || {
        format!("1 car x {gear}; couplers, draft gear, brake rigging")
    });
    let survey = fit.survey_usd_per_car;
    ledger.charge(CostItem::Tests, survey, || format!("1 survey x {survey}"));
    if car.steel_yield.is_none() || car.yield_source.is_none() {
        let coupons = fit.coupons_usd_per_car;
        ledger.charge(CostItem::Tests, coupons, || {
            format!("1 set of coupons x {coupons}; no source of the yield strength")
        });
    }
}

/// The car's own deck taken off, less what the plate of a steel one brings.
fn charge_strip(
    ledger: &mut impl Ledger,
    fit: &FitRules,
    deck: Option<CarDeck>,
    area: SquareFeet,
    measured: fmt::Arguments<'_>,
) {
    if deck == Some(CarDeck::NoDeck) {
        return;
    }
    let rate = fit.strip_usd_per_sqft;
    let known = if deck.is_some() { "" } else { ", deck not known, taken as there" };
    ledger.charge(CostItem::Strip, rate * area, || format!("{area} x {rate}; {measured}{known}"));
    if deck == Some(CarDeck::SteelPlate) {
        let paid = fit.steel_deck_usd_per_sqft;
        let credit = (paid * area).min(rate * area);
        ledger.charge(CostItem::ScrapCredit, -credit, || {
            let most = if paid * area > credit { ", no more than taking it off costs" } else { "" };
            format!("{area} of steel deck x {paid}{most}")
        });
    }
}

/// One charge for each damaged group of secondary members.
fn charge_repairs(
    ledger: &mut impl Ledger,
    car: &Car,
    screen: &ScreenRules,
    repair: &RepairRules,
) -> Option<()> {
    for group in MemberGroup::ALL.iter().copied().filter(|group| !group.is_primary()) {
        let condition = car.members.of(group)?;
        let Some(damage) = condition.damage() else { continue };
        if !screen.secondary_repairable.contains(&damage) {
            return None;
        }
        let cost = repair.cost(damage);
        ledger.charge(CostItem::Repair, cost, || {
            format!("1 group x {cost}; {group} {}", condition.words())
        });
    }
    Some(())
}

/// The deck surface over the car's own width and the length of it that lies there; what lies over a
/// joint belongs to the joint.
fn charge_deck(
    ledger: &mut impl Ledger,
    system: &DeckSystem,
    area: SquareFeet,
    measured: fmt::Arguments<'_>,
) {
    let rate = system.usd_per_sqft;
    ledger.charge(CostItem::Deck, rate * area, || {
        format!("{area} x {rate}; {}, {measured}", system.name)
    });
}
