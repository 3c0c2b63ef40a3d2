//! From the choice to the plan: cars in order across each deck, every cost line, every reason.

use std::collections::BTreeMap;

use itertools::Itertools;

use super::unserved;
use crate::choose::{
    Beside, Choice, ChosenLayout, Market, Other, Refused, SpanDemand, WhyUnserved,
};
use crate::confirm::confirmations;
use crate::deadline::Deadline;
use crate::group::{Candidate, across_spans, deck_checks, order_across, shared_loads};
use crate::model::inputs::{CarIx, CrossingIx, Inputs, LotIx, Site, YardIx};
use crate::model::plan::{
    Alternative, CarCount, CostItem, CostLine, CrossingPlan, Deck, Fate, IfRefused, JointUse,
    LotPurchase, PlacedCar, Plan, Proof, Served, SiteBySite, Totals, YardPurchase, sum,
};
use crate::parallel;
use crate::price;
use crate::quantity::{Cents, Inches};
use crate::survey::{self, Survey};

/// The plan of this choice. Then the time is up for what only explains it.
pub fn plan(
    inputs: &Inputs,
    survey: &Survey,
    market: &Market,
    choice: &Choice,
    beside: Beside,
    end: &Deadline<'_>,
) -> Plan {
    let mut copies = Copies::default();
    let Beside { others, refused, why, site_by_site } = beside;
    let (mut others, mut refused) = (others.into_iter(), refused.into_iter());
    let reasons = |crossing: &CrossingIx| {
        let why = why.get(crossing.0).and_then(Option::as_ref);
        let why = why.unwrap_or(&WhyUnserved::NotLookedInto);
        unserved::reasons(inputs, survey, why, *crossing, end)
    };
    let open = |crossing: &CrossingIx| choice.crossings[crossing.0].is_none();
    let open: Vec<CrossingIx> = inputs.crossing_indices().filter(open).collect();
    let mut unserved = parallel::map(&open, reasons, &|_, _| ()).into_iter();
    let crossings = inputs
        .crossing_indices()
        .map(|crossing| {
            let (other, refused) = (others.next(), refused.next().unwrap_or_default());
            let fate = match &choice.crossings[crossing.0] {
                Some(chosen) => Fate::Served(served(
                    inputs,
                    market,
                    choice,
                    (other, refused),
                    crossing,
                    chosen,
                    &mut copies,
                )),
                None => Fate::Unserved(unserved.next().unwrap_or_else(|| reasons(&crossing))),
            };
            CrossingPlan { crossing, fate }
        })
        .collect_vec();
    let purchases = purchases(inputs, choice, &crossings);
    Plan {
        totals: totals(&crossings, &purchases),
        crossings,
        purchases,
        budget: market.budget,
        site_by_site: site_by_site.map(|(served, net)| SiteBySite { served, net }),
        proof: Proof {
            bound: choice.bound,
            cheapest: choice.cheapest,
            service: choice.service,
            stopped: choice.stopped,
        },
    }
}

fn served(
    inputs: &Inputs,
    market: &Market,
    choice: &Choice,
    (other, refused): (Option<Other>, Vec<Refused>),
    crossing: CrossingIx,
    chosen: &ChosenLayout,
    copies: &mut Copies,
) -> Served {
    let demands = &market.crossings[crossing.0].layouts;
    let (demand, layout) = (&demands[chosen.layout], demands[chosen.layout].layout);
    let mut lines = price::layout_fixed(inputs, crossing, layout);
    let decks = chosen.decks.iter().enumerate().map(|(span, offers)| {
        let site = Site { crossing, layout, span };
        let deck = deck(inputs, &demand.spans[span], site, offers);
        lines.extend(deck_lines(inputs, choice, &deck, copies));
        deck
    });
    let mut decks: Vec<Deck> = decks.collect();
    let overhead = price::overhead_lines(inputs, crossing, &lines);
    lines.extend(overhead);
    let cars = decks.iter().flat_map(|deck| &deck.cars).map(|placed| placed.car).collect_vec();
    if let Some(check) = across_spans(inputs, crossing, &cars) {
        decks.iter_mut().for_each(|deck| deck.checks.push(check.clone()));
    }
    let alternative_proven = other.as_ref().is_some_and(|other| other.proven);
    let decks_of_other = other.and_then(|other| other.decks);
    let alternative = decks_of_other.map(|(other, extra)| Alternative {
        layout: demands[other.layout].layout,
        decks: other.decks.into_iter().map(|deck| deck.into_iter().map(CarIx).collect()).collect(),
        extra,
    });
    let confirmations = decks.iter().flat_map(|deck| confirmations(inputs, deck)).collect();
    let if_refused = refused.into_iter().map(|refused| {
        let decks_of = |other: ChosenLayout| -> Vec<Vec<CarIx>> {
            other.decks.into_iter().map(|deck| deck.into_iter().map(CarIx).collect()).collect()
        };
        let then = match refused.other {
            Other { decks: Some((other, extra)), .. } => IfRefused::Instead(Alternative {
                layout: demands[other.layout].layout,
                decks: decks_of(other),
                extra,
            }),
            Other { decks: None, proven: true } => IfRefused::Without(refused.without),
            Other { decks: None, proven: false } => IfRefused::NotWorkedOut,
        };
        (CarIx(refused.offer), then)
    });
    let if_refused = if_refused.collect();
    Served { layout, decks, lines, alternative, alternative_proven, confirmations, if_refused }
}

/// The deck of these offers: in order across, with its joint and its checks.
fn deck(inputs: &Inputs, demand: &SpanDemand, site: Site, offers: &[usize]) -> Deck {
    let candidate = |offer: &usize| demand.candidates.iter().find(|c| c.offer == *offer);
    let candidates: Vec<&Candidate> = offers.iter().filter_map(candidate).collect();
    let joint = demand.rule.admits(&candidates);
    let mut cars = offers.iter().map(|offer| CarIx(*offer)).collect_vec();
    // Unknown cambers never reach a deck; were one to, verification would stop the plan.
    order_across(&mut cars, |car| inputs.car(*car).camber.unwrap_or(Inches(f64::NAN)));
    let across: Vec<&Candidate> = cars.iter().filter_map(|car| candidate(&car.0)).collect();
    let joint_type =
        joint.and_then(|choice| choice.joint.map(|joint| (&inputs.rules.joint[joint], choice.gap)));
    let checks = deck_checks(inputs, site, &cars, joint_type);
    Deck {
        site,
        span: inputs.span(site),
        total_width: joint.map(|choice| choice.total_width).unwrap_or_default(),
        required_width: inputs.rules.width_required(inputs.crossing(site.crossing).clear_width),
        joint: joint_type.map(|(joint, gap)| JointUse { name: joint.name.clone(), gap }),
        loads: shared_loads(&across),
        cars: cars
            .into_iter()
            .map(|car| PlacedCar { car, checks: survey::checks(inputs, car, site) })
            .collect(),
        checks,
    }
}

/// Every cost line of a deck, its cars' prices or lot shares included.
fn deck_lines(inputs: &Inputs, choice: &Choice, deck: &Deck, copies: &mut Copies) -> Vec<CostLine> {
    let mut lines = Vec::new();
    for (place, placed) in deck.cars.iter().enumerate() {
        match inputs.car(placed.car).lot {
            Some(_) => lines.extend(copies.take(inputs, placed.car).into_iter().flatten()),
            None => {
                lines.extend(price::car_price(inputs, placed.car).unwrap_or_default());
                let yard = inputs.car(placed.car).yard;
                let level = choice.levels.get(yard.0).copied().flatten().unwrap_or_default();
                let level = inputs.yard(yard).levels.get(level);
                lines.extend(level.and_then(|l| price::discount_line(inputs, placed.car, l)));
                lines.extend(
                    price::paid_for(inputs, placed.car, level)
                        .and_then(|paid| price::tax_line(inputs, placed.car, paid)),
                );
            }
        }
        // What cannot be priced is left out here, and verification then stops the plan.
        let costs = match deck.shared_load(place) {
            None => price::car_at(inputs, placed.car, deck.site),
            Some(load) => {
                let load = (load[0] == place).then(|| deck.load(load));
                let load = load.and_then(|cars| price::load_lines(inputs, &cars, deck.site));
                lines.extend(load.unwrap_or_default());
                price::car_apart_from_haul(inputs, placed.car, deck.site)
            }
        };
        lines.extend(costs.unwrap_or_default());
    }
    let joint = deck.joint.as_ref().and_then(|joint| inputs.rules.joint_type(&joint.name));
    let cars = deck.cars.iter().map(|placed| placed.car).collect_vec();
    lines.extend(price::along_deck(inputs, &cars, joint, deck.site).unwrap_or_default());
    lines
}

/// How many identical cars of each row are placed so far: the next copy to take out of its lot.
#[derive(Default)]
struct Copies(BTreeMap<CarIx, u32>);

impl Copies {
    /// The lot share of the next copy of this car, and its share of the sales tax. None when its row has no
    /// copy left, which verification reports.
    fn take(&mut self, inputs: &Inputs, car: CarIx) -> [Option<CostLine>; 2] {
        let copy = self.0.entry(car).or_default();
        let lines = [price::lot_share(inputs, car, *copy), price::lot_tax_line(inputs, car, *copy)];
        *copy += 1;
        lines
    }
}

fn purchases(inputs: &Inputs, choice: &Choice, crossings: &[CrossingPlan]) -> Vec<YardPurchase> {
    let placed = crossings
        .iter()
        .filter_map(CrossingPlan::served)
        .flat_map(|served| &served.decks)
        .flat_map(|deck| &deck.cars)
        .map(|placed| placed.car)
        .counts();
    let count = |car: CarIx| CarCount { car, count: placed.get(&car).map_or(0, |n| *n as u32) };
    let yards = (0..inputs.yards.len()).map(YardIx);
    yards
        .filter_map(|yard| {
            let cars = inputs.car_indices().filter(|car| inputs.car(*car).yard == yard);
            let (own, singles) = cars
                .filter(|car| inputs.car(*car).lot.is_none())
                .map(count)
                .filter(|c| c.count > 0)
                .partition::<Vec<_>, _>(|c| inputs.car(c.car).owned);
            let lots = choice
                .lots
                .iter()
                .map(|lot| LotIx(*lot))
                .filter(|lot| inputs.lot(*lot).yard == yard)
                .map(|lot| lot_purchase(inputs, lot, count))
                .collect_vec();
            let (spares, spare_lines) = spares(inputs, choice, yard);
            let mut purchase = YardPurchase {
                yard,
                singles,
                level: choice.levels.get(yard.0).copied().flatten().unwrap_or_default(),
                spares,
                spare_lines,
                own,
                lots,
                lines: Vec::new(),
            };
            if purchase.is_bought() {
                purchase.lines = price::yard_once(inputs, yard);
            }
            (purchase.is_bought() || !purchase.own.is_empty()).then_some(purchase)
        })
        .collect()
}

/// The cars of a yard bought beyond what is placed, and their lines.
fn spares(inputs: &Inputs, choice: &Choice, yard: YardIx) -> (Vec<CarCount>, Vec<CostLine>) {
    let counts = choice.spares.iter().map(|&(offer, count)| CarCount { car: CarIx(offer), count });
    let counts = counts.filter(|spare| inputs.car(spare.car).yard == yard).collect_vec();
    let level = choice.levels.get(yard.0).copied().flatten();
    let level = level.and_then(|level| inputs.yard(yard).levels.get(level));
    let lines = counts.iter().flat_map(|spare| {
        let each = level.and_then(|level| price::spare_lines(inputs, spare.car, level));
        std::iter::repeat_n(each.unwrap_or_default(), spare.count as usize).flatten()
    });
    let lines = lines.collect();
    (counts, lines)
}

fn lot_purchase(inputs: &Inputs, lot: LotIx, placed: impl Fn(CarIx) -> CarCount) -> LotPurchase {
    let cars = inputs.lot(lot).cars.iter().map(|car| placed(*car)).collect_vec();
    let left = |c: &CarCount| inputs.car(c.car).quantity.saturating_sub(c.count);
    let left_over_lines = cars.iter().flat_map(|c| {
        let copies = c.count..inputs.car(c.car).quantity;
        copies.flat_map(|copy| {
            let share = price::lot_share(inputs, c.car, copy);
            let tax = price::lot_tax_line(inputs, c.car, copy);
            share.into_iter().chain(tax).chain(price::stock_value_line(inputs, c.car))
        })
    });
    LotPurchase {
        lot,
        price: inputs.lot(lot).price.unwrap_or_default(),
        left_over_lines: left_over_lines.collect(),
        left_over: cars
            .iter()
            .map(|c| CarCount { car: c.car, count: left(c) })
            .filter(|c| c.count > 0)
            .collect(),
        placed: cars.iter().copied().filter(|c| c.count > 0).collect(),
    }
}

fn totals(crossings: &[CrossingPlan], purchases: &[YardPurchase]) -> Totals {
    let served: Cents = crossings.iter().filter_map(CrossingPlan::served).map(Served::total).sum();
    let yards: Cents = purchases
        .iter()
        .map(|yard| {
            let lots: Cents = yard.lots.iter().map(|lot| sum(&lot.left_over_lines)).sum();
            sum(&yard.lines) + sum(&yard.spare_lines) + lots
        })
        .sum();
    let net = served + yards;
    let stock_value = purchases
        .iter()
        .flat_map(|yard| {
            let lots = yard.lots.iter().flat_map(|lot| &lot.left_over_lines);
            lots.chain(&yard.spare_lines)
        })
        .filter(|line| line.item == CostItem::StockValue)
        .map(|line| -line.amount)
        .sum();
    Totals { outlay: net + stock_value, stock_value, net }
}
