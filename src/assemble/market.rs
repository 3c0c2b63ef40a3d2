//! From inputs and survey to the numbers that the choice sees.

use std::collections::BTreeSet;

use super::hold::hold;
use crate::choose::{Demand, Grant, LayoutDemand, Market, Offer, Quote, SpanDemand};
use crate::group::{Candidate, Sections, candidate, deck_rule};
use crate::model::crossing::Keep;
use crate::model::inputs::{CarIx, CrossingIx, Inputs, LotIx, Site, YardIx};
use crate::model::plan::sum;
use crate::model::rules::ServeFirst;
use crate::model::yard::{Lot, Yard};
use crate::parallel;
use crate::price;
use crate::quantity::Cents;
use crate::survey::Survey;

/// The market of these inputs: offers by car index, lots and crossings by theirs, yards by theirs
/// and after them one for own stock.
#[must_use]
pub fn market(inputs: &Inputs, survey: &Survey, budget: Option<Cents>) -> Market {
    let sections = Sections::of(inputs);
    // Nobody has to inspect what the agency owns, so its cars stand in a yard of their own without
    // the cost of a trip.
    let own_yard = inputs.yards.len();
    let tax = inputs.rules.overhead.sales_tax_pct;
    let offers = inputs.cars.iter().enumerate().map(|(index, car)| Offer {
        quantity: car.quantity,
        yard: if car.owned { own_yard } else { car.yard.0 },
        lot: car.lot.map(|lot| lot.0),
        price: match car.price {
            Some(price) if car.lot.is_none() && !car.owned => price::with_tax(price, tax),
            // A car to be bought without a price never passes the screening, so its zero here is
            // never paid.
            _ => Cents::ZERO,
        },
        stock_value: price::stock_value(inputs, CarIx(index)),
        quotes: quotes(inputs, CarIx(index)),
    });
    let once = |yard| sum(&price::yard_once(inputs, YardIx(yard)));
    let trips = (0..inputs.yards.len()).map(once).chain([Cents::ZERO]);
    // A lot of which a row cannot be read is not for the search to buy.
    let readable = |lot: &Lot| lot.price.filter(|_| lot.unread_rows == 0);
    let lots = (0..inputs.lots.len()).map(|lot| readable(inputs.lot(LotIx(lot))));
    let lots = lots.map(|price| price.map(|price| price::with_tax(price, tax)));
    let crossings: Vec<CrossingIx> = inputs.crossing_indices().collect();
    let crossings =
        parallel::map(&crossings, |ix| demand(inputs, survey, &sections, *ix), &|_, _| ());
    let mut market = Market {
        offers: offers.collect(),
        trips: trips.collect(),
        levels: inputs.yards.iter().map(levels).collect(),
        lots: lots.collect(),
        fillers: (0..inputs.lots.len()).filter(|lot| fills(inputs, LotIx(*lot))).collect(),
        crossings,
        budget,
        funds: Vec::new(),
        grants: Vec::new(),
    };
    limit_costs(inputs, &mut market);
    market
}

/// Puts on a market what funds and other bridges leave for its crossings, in place of what it has: of a crossing
/// that changed, too.
pub fn limit_costs(inputs: &Inputs, market: &mut Market) {
    market.funds = inputs.rules.fund.iter().map(|fund| fund.usd).collect();
    market.grants = grants(inputs);
    for crossing in inputs.crossing_indices() {
        market.crossings[crossing.0].fund = inputs.fund_of(crossing);
    }
    set_ceilings(inputs, market);
}

/// The funds that pay a share only.
fn grants(inputs: &Inputs) -> Vec<Grant> {
    let place = |name: &str| inputs.rules.fund.iter().position(|fund| fund.name == name);
    let grants = inputs.rules.grant.iter().filter_map(|grant| {
        Some(Grant {
            fund: place(&grant.fund)?,
            share: grant.share(),
            rest: place(&grant.match_fund)?,
        })
    });
    grants.collect()
}

/// Where another bridge sets a ceiling that some deck could pass, the crossing gets a fund of its own that pays
/// so much: a fund pays exactly what the crossing's total holds.
fn set_ceilings(inputs: &Inputs, market: &mut Market) {
    for crossing in inputs.crossing_indices() {
        let Some(ceiling) = inputs.ceiling(crossing) else { continue };
        if dearest(market, &market.crossings[crossing.0]) > ceiling {
            market.crossings[crossing.0].fund = Some(market.funds.len());
            market.funds.push(ceiling);
        }
    }
}

/// What no bridge of a crossing costs more than: on each span as many cars as may lie there, each as dear as
/// the dearest, alone on its trailer, with the dearest joints.
fn dearest(market: &Market, demand: &Demand) -> Cents {
    let lot_cars = |lot: usize| {
        let of_lot = market.offers.iter().filter(|offer| offer.lot == Some(lot));
        of_lot.map(|offer| i64::from(offer.quantity)).sum::<i64>().max(1)
    };
    let price = |offer: &Offer| match offer.lot {
        Some(lot) => {
            let price = market.lots.get(lot).copied().flatten().unwrap_or_default();
            Cents(price.0 / lot_cars(lot) + 1)
        }
        None => offer.quotes.iter().map(|quote| quote.price).fold(offer.price, Cents::max),
    };
    let car = |candidate: &Candidate| {
        let alone = candidate.haul.as_ref().map(|haul| haul.alone.total()).unwrap_or_default();
        candidate.cost + alone + market.offers.get(candidate.offer).map(price).unwrap_or_default()
    };
    let span = |span: &SpanDemand| {
        let most = span.rule.most_abreast as i64;
        let car = span.candidates.iter().map(car).max().unwrap_or_default();
        let joint = span.rule.joints.iter().flat_map(|joint| &joint.costs).max().copied();
        let rails = span.rule.rails.iter().max().copied().unwrap_or_default();
        span.fixed + rails + car.max(Cents::ZERO) * most + joint.unwrap_or_default() * (most - 1)
    };
    let layout = |layout: &LayoutDemand| layout.fixed + layout.spans.iter().map(span).sum();
    demand.layouts.iter().map(layout).max().unwrap_or_default()
}

/// The numbers of cars from which a yard's price levels hold; none where it sells any number at one
/// price.
fn levels(yard: &Yard) -> Vec<u32> {
    let levels = if yard.has_levels() { &yard.levels[..] } else { &[] };
    levels.iter().map(|level| level.at_least).collect()
}

/// What a car costs at each level of its yard, if that has levels and the car may be bought singly.
fn quotes(inputs: &Inputs, car: CarIx) -> Vec<Quote> {
    let row = inputs.car(car);
    let yard = inputs.yard(row.yard);
    let price = row.price.filter(|_| yard.has_levels() && price::may_be_spare(inputs, car));
    let tax = inputs.rules.overhead.sales_tax_pct;
    let at = |price: Cents| {
        let paid = yard.levels.iter().map(move |level| price::paid(price, level));
        paid.map(|paid| Quote {
            price: price::with_tax(paid, tax),
            stock_value: price::spare_value(inputs, paid),
        })
    };
    price.map(|price| at(price).collect()).unwrap_or_default()
}

/// Whether a lot may be bought with none of its cars placed, to reach a level of its yard.
fn fills(inputs: &Inputs, lot: LotIx) -> bool {
    inputs.yard(inputs.lot(lot).yard).has_levels() && price::may_fill(inputs, lot)
}

fn demand(inputs: &Inputs, survey: &Survey, sections: &Sections, crossing: CrossingIx) -> Demand {
    let layouts = 0..inputs.crossing(crossing).layouts.len();
    let layouts = layouts.flat_map(|layout| {
        variants(inputs, layout_demand(inputs, survey, sections, crossing, layout), crossing)
    });
    let (priority, service) = (inputs.crossing(crossing).priority, &inputs.rules.service);
    // Where points decide, all crossings are of one rank.
    let (priority, points) = match service.first {
        ServeFirst::Urgent => (priority, 1),
        ServeFirst::Points => (1, service.points_of(priority)),
    };
    Demand {
        priority,
        points,
        fund: inputs.fund_of(crossing),
        layouts: hold(inputs, crossing, layouts.collect()),
    }
}

/// One layout with every candidate.
fn layout_demand(
    inputs: &Inputs,
    survey: &Survey,
    sections: &Sections,
    crossing: CrossingIx,
    layout: usize,
) -> LayoutDemand {
    let spans = 0..inputs.crossing(crossing).layouts[layout].spans.len();
    let spans = spans.map(|span| {
        let site = Site { crossing, layout, span };
        SpanDemand {
            fixed: Cents::ZERO,
            candidates: survey
                .suitable(site)
                .filter(|car| inputs.decided.may_go_to(*car, crossing))
                .filter_map(|car| candidate(inputs, car, site, sections))
                .collect(),
            rule: deck_rule(inputs, site),
            holds: Vec::new(),
        }
    });
    LayoutDemand {
        layout,
        fixed: price::sum_with_overhead(
            &inputs.rules.overhead,
            &price::layout_fixed(inputs, crossing, layout),
        ),
        spans: spans.collect(),
    }
}

/// The layout once for each set of candidates that keeps together what the crossing asks for.
fn variants(inputs: &Inputs, demand: LayoutDemand, crossing: CrossingIx) -> Vec<LayoutDemand> {
    let keep = &inputs.crossing(crossing).keep;
    let mut variants = if keep.contains(&Keep::OneSection) && demand.spans.len() > 1 {
        one_section(&demand)
    } else {
        vec![demand]
    };
    if keep.contains(&Keep::OneYard) {
        variants.iter_mut().for_each(|variant| one_yard(inputs, variant));
    }
    variants
}

/// The layout once for each section of its first span; once without candidates where that has none.
fn one_section(demand: &LayoutDemand) -> Vec<LayoutDemand> {
    let first = demand.spans.first().into_iter().flat_map(|span| &span.candidates);
    let sections: BTreeSet<u32> = first.map(|candidate| candidate.fit.section).collect();
    let of = |section: Option<u32>| {
        let mut variant = demand.clone();
        for span in &mut variant.spans {
            span.candidates.retain(|candidate| Some(candidate.fit.section) == section);
        }
        variant
    };
    if sections.is_empty() {
        return vec![of(None)];
    }
    sections.into_iter().map(|section| of(Some(section))).collect()
}

/// Makes cars of different yards as unlike as cars of different sections.
fn one_yard(inputs: &Inputs, demand: &mut LayoutDemand) {
    let yards = inputs.yards.len() as u32;
    for candidate in demand.spans.iter_mut().flat_map(|span| &mut span.candidates) {
        let yard = inputs.car(CarIx(candidate.offer)).yard.0 as u32;
        candidate.fit.section = candidate.fit.section * yards + yard;
    }
}
