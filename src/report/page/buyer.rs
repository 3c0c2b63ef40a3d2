//! What the buyer files: bid tabulation, dealers side by side, dates.

use itertools::Itertools;

use super::Drawn;
use crate::model::inputs::{CarIx, Inputs, Site};
use crate::model::plan::{Alternative, CostItem, CostLine, CrossingPlan, IfRefused, Served};
use crate::price;
use crate::quantity::Cents;
use crate::report::drawing;
use crate::report::facts::board::{self, critical, dates, posted};
use crate::report::facts::nearest::misfits;
use crate::report::facts::purchases::{cars_bought, first_quote_end, price_of_cars};
use crate::report::facts::{PlanReport, confirm, count, headline};

/// The chapter.
pub struct Buyer {
    pub bids: Vec<Bid>,
    pub award: Vec<Award>,
    /// Where no competing bid exists, in sentences.
    pub sole_source: Vec<String>,
    pub dealers: Vec<Dealer>,
    pub dates: Vec<Dates>,
    pub lead_days: u16,
    pub timeline: Option<Drawn>,
}

/// A crossing with the decks that were worked out for it, the chosen one first.
pub struct Bid {
    pub crossing: String,
    pub decks: Vec<BidDeck>,
}

/// One deck of the tabulation.
pub struct BidDeck {
    pub rank: &'static str,
    pub cars: String,
    pub price: String,
    pub haul: String,
    pub fit_up: String,
    pub total: String,
    /// Why it is not taken; empty: it is.
    pub why: String,
}

/// What the memorandum of the award needs to say, and what it rests on.
pub struct Award {
    pub name: String,
    pub words: String,
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
        award: award(report),
        sole_source: sole_source(report),
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
    let placed = served.decks.iter().flat_map(|deck| &deck.cars).map(|placed| placed.car);
    let of = |items: &[CostItem]| -> Cents {
        let lines = served.lines.iter().filter(|line| items.contains(&line.item));
        lines.map(|line| line.amount).sum()
    };
    let (price, haul, total) = (of(&PRICE), of(&HAUL), served.total());
    let chosen = BidDeck {
        rank: "chosen",
        cars: names(inputs, &placed.collect::<Vec<_>>()),
        price: price.to_string(),
        haul: haul.to_string(),
        fit_up: (total - price - haul).to_string(),
        total: total.to_string(),
        why: String::new(),
    };
    let mut decks = vec![chosen];
    match &served.alternative {
        Some(other) => {
            let why = format!("dearer by {}", other.extra);
            decks.push(other_deck(inputs, planned, total, ("second", other), why));
        }
        None => decks.push(BidDeck {
            rank: "second",
            cars: if served.alternative_proven {
                "none with the cars on offer".to_owned()
            } else {
                "none found before the time was up".to_owned()
            },
            price: String::new(),
            haul: String::new(),
            fit_up: String::new(),
            total: String::new(),
            why: if served.alternative_proven { "sole source" } else { "not proven" }.to_owned(),
        }),
    }
    decks.extend(third(inputs, planned, served));
    Bid { crossing: inputs.crossing(planned.crossing).id.clone(), decks }
}

/// What is paid to a dealer for cars, and what their way costs.
const PRICE: [CostItem; 5] =
    [CostItem::Car, CostItem::PriceBreak, CostItem::OwnCar, CostItem::LotShare, CostItem::SalesTax];
const HAUL: [CostItem; 4] = [CostItem::Loading, CostItem::Haul, CostItem::Permit, CostItem::Escort];

/// A deck that was not taken. Its total is that of the chosen one and what the plan would cost more;
/// prices and hauls are of its cars one by one, and what is left is its fit-up, with what trips and
/// lots come to.
fn other_deck(
    inputs: &Inputs,
    planned: &CrossingPlan,
    chosen: Cents,
    (rank, other): (&'static str, &Alternative),
    why: String,
) -> BidDeck {
    let all: Vec<CarIx> = other.decks.concat();
    let mut seen: Vec<CarIx> = Vec::new();
    let (mut price, mut haul) = (Some(Cents::ZERO), Some(Cents::ZERO));
    let add =
        |sum: &mut Option<Cents>, more: Option<Cents>| *sum = sum.zip(more).map(|(a, b)| a + b);
    for (span, cars) in other.decks.iter().enumerate() {
        let site = Site { crossing: planned.crossing, layout: other.layout, span };
        for &car in cars {
            let copy = seen.iter().filter(|&&before| before == car).count() as u32;
            seen.push(car);
            add(&mut price, price_of(inputs, car, copy));
            let lines = price::car_at(inputs, car, site);
            let on_the_road = |lines: Vec<CostLine>| -> Cents {
                lines.iter().filter(|line| HAUL.contains(&line.item)).map(|line| line.amount).sum()
            };
            add(&mut haul, lines.map(on_the_road));
        }
    }
    let total = chosen + other.extra;
    let or_blank = |amount: Option<Cents>| amount.map(|a| a.to_string()).unwrap_or_default();
    BidDeck {
        rank,
        cars: names(inputs, &all),
        price: or_blank(price),
        haul: or_blank(haul),
        fit_up: or_blank(price.zip(haul).map(|(price, haul)| total - price - haul)),
        total: total.to_string(),
        why,
    }
}

/// What a car is offered for, tax with it; none: no price is stated.
fn price_of(inputs: &Inputs, car: CarIx, copy: u32) -> Option<Cents> {
    let lines: Vec<CostLine> = match inputs.car(car).lot {
        Some(_) => {
            let tax = price::lot_tax_line(inputs, car, copy);
            std::iter::once(price::lot_share(inputs, car, copy)?).chain(tax).collect()
        }
        None => {
            let tax = price::paid_for(inputs, car, None)
                .and_then(|paid| price::tax_line(inputs, car, paid));
            price::car_price(inputs, car)?.into_iter().chain(tax).collect()
        }
    };
    Some(lines.iter().map(|line| line.amount).sum())
}

/// The next deck after the second, of those that were worked out for the refusal of a car.
fn third(inputs: &Inputs, planned: &CrossingPlan, served: &Served) -> Option<BidDeck> {
    let cars = |other: &Alternative| -> Vec<CarIx> {
        let mut cars = other.decks.concat();
        cars.sort_unstable();
        cars
    };
    let second = served.alternative.as_ref();
    let known = second.map(cars);
    let others = served.if_refused.iter().filter_map(|(refused, then)| match then {
        IfRefused::Instead(other) if Some(cars(other)) != known => Some((*refused, other)),
        _ => None,
    });
    // An identical car in the place of one refused is no other deck.
    let now: Vec<CarIx> = {
        let placed = served.decks.iter().flat_map(|deck| &deck.cars);
        placed.map(|placed| placed.car).sorted().collect()
    };
    let (refused, other) =
        others.filter(|(_, other)| cars(other) != now).min_by_key(|(_, other)| other.extra)?;
    let why = format!("dearer by {}; without {}", other.extra, inputs.car(refused).id);
    Some(other_deck(inputs, planned, served.total(), ("third", other), why))
}

/// Cars by dealer: `Drumfell Reclaim 2 of UD-01`.
fn names(inputs: &Inputs, cars: &[CarIx]) -> String {
    let dealers = cars.iter().map(|&car| inputs.car(car).dealer.as_str()).unique();
    let of = |dealer: &str| {
        let own = cars.iter().map(|&car| inputs.car(car)).filter(|car| car.dealer == dealer);
        let ids = own.map(|car| car.id.clone()).dedup_with_count().map(times).join(", ");
        format!("{dealer} {ids}")
    };
    dealers.map(of).join("; ")
}

/// Facts for the memorandum of the award.
fn award(report: &PlanReport<'_>) -> Vec<Award> {
    let PlanReport { inputs, plan, .. } = *report;
    let mut rows = Vec::new();
    let mut add = |name: &str, words: String| rows.push(Award { name: name.to_owned(), words });
    let dealers = inputs.cars.iter().filter(|car| !car.owned).map(|car| car.dealer.as_str());
    let offered: u32 = inputs.cars.iter().filter(|car| !car.owned).map(|car| car.quantity).sum();
    let named = dealers.clone().unique().join(", ");
    let bids = count(dealers.unique().count(), "dealer");
    add("Offers looked at", format!("{} of {bids}: {named}", count(offered as usize, "car")));
    add(
        "How they were compared",
        "every car on every span by the same checks, then the purchase that serves most crossings at \
         the least cost in place: price, haul, fit-up, trips; appendix E"
            .to_owned(),
    );
    add("Proof", headline::proven(inputs, plan).join(" "));
    for purchase in plan.purchases.iter().filter(|purchase| purchase.is_bought()) {
        let yard = inputs.yard(purchase.yard);
        let cars = count(cars_bought(purchase), "car");
        let by =
            first_quote_end(inputs, purchase).map(|(day, _)| format!("; quotes hold until {day}"));
        add(
            &format!("Award to {}, {}", yard.dealer, yard.name),
            format!("{cars} for {}{}", price_of_cars(inputs, purchase), by.unwrap_or_default()),
        );
    }
    let signs = posted(inputs, plan);
    if !signs.is_empty() {
        add("Served with a weight posting", signs.join(", "));
    }
    if let Some(facts) = confirm::total(inputs, plan) {
        add("To confirm before paying", facts);
    }
    rows
}

/// What a file needs where nobody else offers what would do.
fn sole_source(report: &PlanReport<'_>) -> Vec<String> {
    let PlanReport { inputs, plan, .. } = *report;
    let mut said = Vec::new();
    let alone = board::sole_source(inputs, plan);
    if !alone.is_empty() {
        said.push(format!(
            "{}: every car on offer was checked, and no other deck passes. The purchase has no competing \
             bid.",
            alone.join(", ")
        ));
    }
    for planned in &plan.crossings {
        let Some(served) = planned.served() else { continue };
        let without = served.if_refused.iter().filter(|(_, t)| matches!(t, IfRefused::Without(_)));
        let cars = without.map(|(car, _)| inputs.car(*car).name()).join(", ");
        let id = &inputs.crossing(planned.crossing).id;
        if !cars.is_empty() && !alone.contains(id) {
            said.push(format!(
                "{id}: no deck on offer does without {cars}, the rest of the plan as it is. Inspect it \
                 first."
            ));
        }
    }
    said
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
