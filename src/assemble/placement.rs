//! From the choice to the plan: cars in order across each deck, every cost line, every reason.

use itertools::Itertools;

use super::unserved;
use crate::choose::{self, Choice, ChosenLayout, Market};
use crate::group::{Candidate, deck_checks, order_across};
use crate::model::inputs::{CarIx, CrossingIx, Inputs, LotIx, Site, YardIx};
use crate::model::plan::{
    Alternative, CarCount, CostItem, CostLine, CrossingPlan, Deck, Fate, JointUse, LotPurchase,
    PlacedCar, Plan, Proof, Served, Totals, YardPurchase, sum,
};
use crate::price;
use crate::quantity::{Cents, Inches};
use crate::survey::{self, Survey};

/// The plan of this choice.
pub fn plan(inputs: &Inputs, survey: &Survey, market: &Market, choice: &Choice) -> Plan {
    let mut shares = Shares::of(inputs, choice);
    let crossings = inputs
        .crossing_indices()
        .map(|crossing| {
            let fate = match &choice.crossings[crossing.0] {
                Some(chosen) => {
                    Fate::Served(served(inputs, market, choice, crossing, chosen, &mut shares))
                }
                None => {
                    Fate::Unserved(unserved::reasons(inputs, survey, market, choice, crossing))
                }
            };
            CrossingPlan { crossing, fate }
        })
        .collect_vec();
    let purchases = purchases(inputs, choice, &crossings, &shares);
    Plan {
        totals: totals(&crossings, &purchases),
        crossings,
        purchases,
        budget: market.budget,
        proof: Proof {
            bound: choice.bound,
            cheapest: choice.cheapest,
            service: choice.service,
            stopped_early: choice.stopped_early,
        },
    }
}

fn served(
    inputs: &Inputs,
    market: &Market,
    choice: &Choice,
    crossing: CrossingIx,
    chosen: &ChosenLayout,
    shares: &mut Shares,
) -> Served {
    let mut lines = price::layout_fixed(inputs, crossing, chosen.layout);
    let decks = chosen.decks.iter().enumerate().map(|(span, offers)| {
        let site = Site { crossing, layout: chosen.layout, span };
        let deck = deck(inputs, market, site, offers);
        lines.extend(deck_lines(inputs, &deck, shares));
        deck
    });
    let decks = decks.collect();
    let alternative =
        choose::cheapest_other(market, choice, crossing.0).map(|(other, extra)| Alternative {
            layout: other.layout,
            decks: other
                .decks
                .into_iter()
                .map(|deck| deck.into_iter().map(CarIx).collect())
                .collect(),
            extra,
        });
    Served { layout: chosen.layout, decks, lines, alternative }
}

/// The deck of these offers: in order across, with its joint and its checks.
fn deck(inputs: &Inputs, market: &Market, site: Site, offers: &[usize]) -> Deck {
    let demand = &market.crossings[site.crossing.0].layouts[site.layout].spans[site.span];
    let candidates: Vec<&Candidate> = offers
        .iter()
        .filter_map(|offer| demand.candidates.iter().find(|c| c.offer == *offer))
        .collect();
    let joint = demand.rule.admits(&candidates);
    let mut cars = offers.iter().map(|offer| CarIx(*offer)).collect_vec();
    // Unknown cambers never reach a deck; were one to, verification would stop the plan.
    order_across(&mut cars, |car| inputs.car(*car).camber.unwrap_or(Inches(f64::NAN)));
    let joint_type = joint.and_then(|choice| {
        choice.joint.map(|joint| (&inputs.rules.joint[joint], choice.gap))
    });
    let checks = deck_checks(inputs, site, &cars, joint_type);
    Deck {
        site,
        span: survey::span_of(inputs, site),
        total_width: joint.map(|choice| choice.total_width).unwrap_or_default(),
        required_width: inputs.rules.width_required(inputs.crossing(site.crossing).clear_width),
        joint: joint_type.map(|(joint, gap)| JointUse { name: joint.name.clone(), gap }),
        cars: cars
            .into_iter()
            .map(|car| PlacedCar { car, checks: survey::checks(inputs, car, site) })
            .collect(),
        checks,
    }
}

/// Every cost line of a deck, its cars' prices or lot shares included.
fn deck_lines(inputs: &Inputs, deck: &Deck, shares: &mut Shares) -> Vec<CostLine> {
    let mut lines = Vec::new();
    for placed in &deck.cars {
        match inputs.car(placed.car).lot {
            Some(lot) => lines.extend(shares.take(inputs, lot, placed.car)),
            None => lines.extend(price::car_price(inputs, placed.car)),
        }
        lines.extend(price::car_at(inputs, placed.car, deck.site).unwrap_or_default());
    }
    let joint = deck.joint.as_ref().and_then(|joint| inputs.rules.joint_type(&joint.name));
    for _ in 1..deck.cars.len() {
        lines.extend(joint.map(|joint| price::joint_at(inputs, joint, deck.site)));
    }
    lines.extend(price::span_fixed(inputs, deck.site));
    lines
}

/// The cars of the lots that are bought, each with its share of the price, until it is placed.
struct Shares {
    left: Vec<(LotIx, CarIx, Cents)>,
}

impl Shares {
    fn of(inputs: &Inputs, choice: &Choice) -> Self {
        let lots = choice.lots.iter().map(|lot| LotIx(*lot));
        let left = lots.flat_map(|lot| {
            let cars = inputs.lot(lot).cars.iter();
            let copies = cars.flat_map(|car| {
                std::iter::repeat_n(*car, inputs.car(*car).quantity as usize)
            });
            copies.zip(price::lot_shares(inputs, lot)).map(move |(car, share)| (lot, car, share))
        });
        Self { left: left.collect() }
    }

    /// Takes one copy of this car out of its lot. None if the lot was not bought or has no copy
    /// left, which verification reports.
    fn take(&mut self, inputs: &Inputs, lot: LotIx, car: CarIx) -> Option<CostLine> {
        let at = self.left.iter().position(|(l, c, _)| (*l, *c) == (lot, car))?;
        let (_, _, share) = self.left.remove(at);
        Some(share_line(inputs, lot, car, share))
    }
}

fn share_line(inputs: &Inputs, lot: LotIx, car: CarIx, share: Cents) -> CostLine {
    let cars: u32 = inputs.lot(lot).cars.iter().map(|car| inputs.car(*car).quantity).sum();
    CostLine {
        item: CostItem::LotShare,
        subject: inputs.car(car).name(),
        basis: format!(
            "lot {}, {} over {cars} cars",
            inputs.lot(lot).name,
            inputs.lot(lot).price.unwrap_or_default()
        ),
        amount: share,
    }
}

fn purchases(
    inputs: &Inputs,
    choice: &Choice,
    crossings: &[CrossingPlan],
    shares: &Shares,
) -> Vec<YardPurchase> {
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
            let singles = cars
                .filter(|car| inputs.car(*car).lot.is_none())
                .map(count)
                .filter(|c| c.count > 0)
                .collect_vec();
            let lots = choice
                .lots
                .iter()
                .map(|lot| LotIx(*lot))
                .filter(|lot| inputs.lot(*lot).yard == yard)
                .map(|lot| lot_purchase(inputs, lot, count, shares))
                .collect_vec();
            let bought = !singles.is_empty() || !lots.is_empty();
            let lines = vec![price::yard_trip(inputs, yard)];
            bought.then_some(YardPurchase { yard, singles, lots, lines })
        })
        .collect()
}

fn lot_purchase(
    inputs: &Inputs,
    lot: LotIx,
    placed: impl Fn(CarIx) -> CarCount,
    shares: &Shares,
) -> LotPurchase {
    let left = shares.left.iter().filter(|(l, _, _)| *l == lot).collect_vec();
    let value = price::stock_value(inputs, lot);
    let left_over_lines = left.iter().flat_map(|(lot, car, share)| {
        [
            share_line(inputs, *lot, *car, *share),
            CostLine {
                item: CostItem::StockValue,
                subject: inputs.car(*car).name(),
                basis: format!("{} of its share", inputs.rules.purchase.stock_value_pct),
                amount: -value,
            },
        ]
    });
    let left_over_lines = left_over_lines.collect();
    let cars = &inputs.lot(lot).cars;
    LotPurchase {
        lot,
        price: inputs.lot(lot).price.unwrap_or_default(),
        placed: cars.iter().map(|car| placed(*car)).filter(|c| c.count > 0).collect(),
        left_over: cars
            .iter()
            .map(|car| CarCount {
                car: *car,
                count: left.iter().filter(|(_, c, _)| c == car).count() as u32,
            })
            .filter(|c| c.count > 0)
            .collect(),
        left_over_lines,
    }
}

fn totals(crossings: &[CrossingPlan], purchases: &[YardPurchase]) -> Totals {
    let served: Cents = crossings.iter().filter_map(CrossingPlan::served).map(Served::total).sum();
    let yards: Cents = purchases
        .iter()
        .map(|yard| {
            let lots: Cents = yard.lots.iter().map(|lot| sum(&lot.left_over_lines)).sum();
            sum(&yard.lines) + lots
        })
        .sum();
    let net = served + yards;
    let stock_value = purchases
        .iter()
        .flat_map(|yard| &yard.lots)
        .flat_map(|lot| &lot.left_over_lines)
        .filter(|line| line.item == CostItem::StockValue)
        .map(|line| -line.amount)
        .sum();
    Totals { outlay: net + stock_value, stock_value, net }
}
