//! What the buyer files: bid tabulation, dealers side by side, dates.

use itertools::Itertools;

use super::Drawn;
use crate::model::inputs::{CarIx, Inputs};
use crate::model::plan::{CostItem, CrossingPlan, Served};
use crate::quantity::Cents;
use crate::report::drawing;
use crate::report::facts::PlanReport;
use crate::report::facts::board::{critical, dates};
use crate::report::facts::nearest::misfits;
use crate::report::facts::purchases::cars_bought;

/// The chapter.
pub struct Buyer {
    pub bids: Vec<Bid>,
    pub dealers: Vec<Dealer>,
    pub dates: Vec<Dates>,
    pub lead_days: u16,
    pub timeline: Option<Drawn>,
}

/// A crossing with the deck chosen and the next best.
pub struct Bid {
    pub crossing: String,
    pub chosen: String,
    pub cars: String,
    pub haul: String,
    pub fit_up: String,
    pub total: String,
    pub other: String,
    pub extra: String,
}

/// A dealer's yard: what was offered, and what became of it.
pub struct Dealer {
    pub name: String,
    pub offered: u32,
    pub bought: usize,
    pub unfit: u32,
    pub spare: u32,
    pub reasons: String,
}

/// The days of one crossing.
pub struct Dates {
    pub crossing: String,
    pub order_by: String,
    pub leaves: String,
    pub open: String,
    pub needed: String,
    pub to_spare: String,
    pub critical: bool,
}

/// How many reasons of a dealer's cars are told.
const REASONS: usize = 3;

pub fn buyer(report: &PlanReport<'_>) -> Buyer {
    let PlanReport { inputs, plan, .. } = *report;
    let served = || plan.crossings.iter().filter_map(|c| Some((c, c.served()?)));
    let least = critical(report).map(|(crossing, _)| crossing);
    let dated = served().any(|(planned, _)| inputs.crossing(planned.crossing).needed_by.is_some());
    Buyer {
        bids: served().map(|(planned, served)| bid(inputs, planned, served)).collect(),
        dealers: dealers(report),
        dates: served()
            .map(|(planned, served)| days(inputs, planned, served, least.as_deref()))
            .collect(),
        lead_days: inputs.rules.purchase.lead_time_days,
        timeline: dated.then(|| Drawn {
            caption: "From the order to the day each bridge is needed".to_owned(),
            svg: drawing::timeline::draw(report, "timeline"),
        }),
    }
}

fn bid(inputs: &Inputs, planned: &CrossingPlan, served: &Served) -> Bid {
    let names = |cars: Vec<CarIx>| -> String {
        let dealers = cars.iter().map(|&car| inputs.car(car).dealer.as_str()).unique();
        let of = |dealer: &str| {
            let own = cars.iter().map(|&car| inputs.car(car)).filter(|car| car.dealer == dealer);
            let ids = own.map(|car| car.id.clone()).dedup_with_count().map(times).join(", ");
            format!("{dealer} {ids}")
        };
        dealers.map(of).join("; ")
    };
    let of = |items: &[CostItem]| -> Cents {
        let lines = served.lines.iter().filter(|line| items.contains(&line.item));
        lines.map(|line| line.amount).sum()
    };
    let cars = of(&[
        CostItem::Car,
        CostItem::PriceBreak,
        CostItem::OwnCar,
        CostItem::LotShare,
        CostItem::SalesTax,
    ]);
    let haul = of(&[CostItem::Loading, CostItem::Haul, CostItem::Permit, CostItem::Escort]);
    let placed = served.decks.iter().flat_map(|deck| &deck.cars).map(|placed| placed.car);
    let (other, extra) = match &served.alternative {
        Some(other) => (names(other.decks.concat()), other.extra.to_string()),
        None if served.alternative_proven => ("none: sole source".to_owned(), String::new()),
        None => ("none found, not proven".to_owned(), String::new()),
    };
    Bid {
        crossing: inputs.crossing(planned.crossing).id.clone(),
        chosen: names(placed.collect()),
        cars: cars.to_string(),
        haul: haul.to_string(),
        fit_up: (served.total() - cars - haul).to_string(),
        total: served.total().to_string(),
        other,
        extra,
    }
}

fn times((count, name): (usize, String)) -> String {
    if count > 1 { format!("{count} of {name}") } else { name }
}

fn dealers(report: &PlanReport<'_>) -> Vec<Dealer> {
    let PlanReport { inputs, plan, .. } = *report;
    let misfits = misfits(report);
    let yards = inputs.yards.iter().enumerate();
    yards
        .map(|(index, yard)| {
            let here = |car: CarIx| inputs.car(car).yard.0 == index;
            let quantity = |car: CarIx| inputs.car(car).quantity;
            let offered: u32 = inputs.car_indices().filter(|car| here(*car)).map(quantity).sum();
            let unfit: Vec<_> = misfits.iter().filter(|misfit| here(misfit.car)).collect();
            let placed: u32 = plan
                .purchases
                .iter()
                .filter(|purchase| purchase.yard.0 == index)
                .map(|purchase| {
                    let own: u32 = purchase.own.iter().map(|cars| cars.count).sum();
                    u32::try_from(cars_bought(purchase)).unwrap_or(u32::MAX) + own
                })
                .sum();
            let bought = plan.purchases.iter().filter(|purchase| purchase.yard.0 == index);
            let not: u32 = unfit.iter().map(|misfit| quantity(misfit.car)).sum();
            let codes = unfit.iter().flat_map(|misfit| misfit.barred.codes()).counts();
            let often = codes.into_iter().sorted_by_key(|(code, n)| (std::cmp::Reverse(*n), *code));
            Dealer {
                name: format!("{}, {}", yard.dealer, yard.name),
                offered,
                bought: bought.map(cars_bought).sum(),
                unfit: not,
                spare: offered.saturating_sub(not).saturating_sub(placed),
                reasons: often
                    .take(REASONS)
                    .map(|(code, n)| format!("{} ({n})", code.kind().name))
                    .join(", "),
            }
        })
        .collect()
}

fn days(inputs: &Inputs, planned: &CrossingPlan, served: &Served, critical: Option<&str>) -> Dates {
    let dates = dates(inputs, planned, served);
    let crossing = inputs.crossing(planned.crossing).id.clone();
    let or = |day: Option<jiff::civil::Date>, none: &str| {
        day.map_or_else(|| none.to_owned(), |day| day.to_string())
    };
    Dates {
        order_by: or(dates.order_by, "own stock"),
        leaves: or(dates.leaves, "not stated"),
        open: or(dates.open, "not stated"),
        needed: or(dates.needed, "no date"),
        to_spare: dates.to_spare.map(|days| days.to_string()).unwrap_or_default(),
        critical: critical == Some(crossing.as_str()),
        crossing,
    }
}
