//! The totals of a choice, from the market alone.

use crate::choose::market::{Choice, Market};
use crate::choose::problem::lot_shares::lot_shares;
use crate::group::{Candidate, haul_cost};
use crate::quantity::Cents;

/// Net cost and outlay of a choice.
#[derive(Clone, Copy, Debug, PartialEq, Eq)]
pub struct Totals {
    /// Everything paid less the stock value of left-over cars.
    pub net: Cents,
    /// Everything paid.
    pub outlay: Cents,
}

/// The totals of a choice, added up from the market alone, or none if the choice breaks a rule of
/// it: a car used too often or that does not match or fit, a lot not bought that must be or bought
/// for nothing, a price level without the number of cars it asks for, a budget or fund passed.
#[must_use]
pub fn totals(market: &Market, choice: &Choice) -> Option<Totals> {
    if choice.crossings.len() != market.crossings.len() {
        return None;
    }
    let mut used = vec![0_u32; market.offers.len()];
    let (mut outlay, mut back) = (Cents::ZERO, Cents::ZERO);
    for (demand, chosen) in market.crossings.iter().zip(&choice.crossings) {
        let Some(chosen) = chosen else { continue };
        let layout = demand.layouts.get(chosen.layout)?;
        if layout.spans.len() != chosen.decks.len() {
            return None;
        }
        outlay += layout.fixed;
        for (span, deck) in layout.spans.iter().zip(&chosen.decks) {
            let cars = deck
                .iter()
                .map(|offer| span.candidates.iter().find(|car| car.offer == *offer))
                .collect::<Option<Vec<&Candidate>>>()?;
            outlay += span.fixed + span.rule.admits(&cars)?.cost;
            let here = |offer: &usize| deck.iter().filter(|other| *other == offer).count();
            let must = |offer: &usize| span.holds.iter().filter(|other| *other == offer).count();
            if span.holds.iter().any(|offer| here(offer) < must(offer)) {
                return None;
            }
            outlay += cars.iter().map(|car| car.cost).sum::<Cents>() + haul_cost(&cars);
            for &offer in deck {
                used[offer] += 1;
                outlay += market.offers[offer].price;
            }
        }
    }
    let mut yards = vec![false; market.trips.len()];
    let (added, worth) = added(market, choice, &mut used)?;
    outlay += added;
    back += worth;
    for (offer, &used) in market.offers.iter().zip(&used) {
        let bought = offer.lot.is_some_and(|lot| choice.lots.contains(&lot));
        if used > offer.quantity || (used > 0 && offer.lot.is_some() && !bought) {
            return None;
        }
        if bought {
            back += offer.stock_value * i64::from(offer.quantity - used);
        }
        if bought || used > 0 {
            yards[offer.yard] = true;
        }
    }
    for &lot in &choice.lots {
        outlay += market.lots[lot]?;
    }
    outlay +=
        market.trips.iter().zip(&yards).filter(|(_, used)| **used).map(|(trip, _)| trip).sum();
    let empty = choice.crossings.iter().all(Option::is_none);
    let afforded = market.budget.is_none_or(|budget| outlay <= budget) || empty;
    let afforded = afforded && funds_hold(market, choice);
    afforded.then_some(Totals { net: outlay - back, outlay })
}

/// Whether no fund pays more for its crossings than it may, from the market alone.
fn funds_hold(market: &Market, choice: &Choice) -> bool {
    let shares = lot_shares(market);
    let price = |offer: usize| {
        let terms = &market.offers[offer];
        let level = choice.levels.get(terms.yard).copied().flatten();
        let quote = level.and_then(|level| terms.quotes.get(level));
        match terms.lot {
            Some(lot) => Cents(shares.get(lot).copied().unwrap_or(0)),
            None => quote.map_or(terms.price, |quote| quote.price),
        }
    };
    let mut cost = vec![Cents::ZERO; market.funds.len()];
    for (demand, chosen) in market.crossings.iter().zip(&choice.crossings) {
        let fund = demand.fund.and_then(|fund| cost.get_mut(fund));
        let (Some(cost), Some(chosen)) = (fund, chosen) else { continue };
        let layout = &demand.layouts[chosen.layout];
        *cost += layout.fixed;
        for (span, deck) in layout.spans.iter().zip(&chosen.decks) {
            let find = |offer: &usize| span.candidates.iter().find(|car| car.offer == *offer);
            let cars: Vec<&Candidate> = deck.iter().filter_map(find).collect();
            *cost += span.fixed + span.rule.admits(&cars).map_or(Cents::ZERO, |joint| joint.cost);
            *cost += cars.iter().map(|car| car.cost + price(car.offer)).sum::<Cents>();
            *cost += haul_cost(&cars);
        }
    }
    // In hundredths of a per cent of a cent, so that shares are exact.
    const WHOLE: i128 = 10_000;
    let mut left: Vec<i128> =
        market.funds.iter().map(|limit| i128::from(limit.0) * WHOLE).collect();
    for (fund, cost) in cost.iter().enumerate() {
        let cost = i128::from(cost.0);
        match market.grants.iter().find(|grant| grant.fund == fund) {
            None => left[fund] -= cost * WHOLE,
            Some(grant) => {
                let pays = (cost * i128::from(grant.share.0)).min(left[fund]);
                left[fund] -= pays;
                if let Some(left) = left.get_mut(grant.rest) {
                    *left -= cost * WHOLE - pays;
                }
            }
        }
    }
    left.iter().all(|left| *left >= 0)
}

/// What the levels and spares of a choice add to the prices of the cars placed, and what the spares
/// are worth, from the market alone; the spares are added to `used`. None: a level does not hold, a
/// spare is none, or a lot is bought for nothing.
fn added(market: &Market, choice: &Choice, used: &mut [u32]) -> Option<(Cents, Cents)> {
    let mut bought = vec![0_u32; market.trips.len()];
    let mut in_lots = vec![(0, 0_u32, false); market.lots.len()];
    let (mut added, mut worth) = (Cents::ZERO, Cents::ZERO);
    let level_of = |yard: usize| choice.levels.get(yard).copied().flatten();
    for (offer, used) in market.offers.iter().zip(used.iter()) {
        match offer.lot {
            Some(lot) => {
                let (_, cars, placed) = in_lots[lot];
                in_lots[lot] = (offer.yard, cars + offer.quantity, placed || *used > 0);
                if choice.lots.contains(&lot) {
                    bought[offer.yard] += offer.quantity;
                }
            }
            None => {
                bought[offer.yard] += used;
                if let Some(level) = level_of(offer.yard).filter(|_| !offer.quotes.is_empty()) {
                    let quote = offer.quotes.get(level)?;
                    added += (quote.price - offer.price) * i64::from(*used);
                }
            }
        }
    }
    let mut needed = bought.clone();
    let idle: Vec<usize> = choice.lots.iter().copied().filter(|lot| !in_lots[*lot].2).collect();
    for &lot in &idle {
        needed[in_lots[lot].0] -= in_lots[lot].1;
    }
    for &lot in &idle {
        let yard = in_lots[lot].0;
        let level = market.levels.get(yard)?.get(level_of(yard)?)?;
        if !market.fillers.contains(&lot) || !(1..*level).contains(&needed[yard]) {
            return None;
        }
    }
    for &(spare, count) in &choice.spares {
        let offer = market.offers.get(spare)?;
        let quote = offer.quotes.get(level_of(offer.yard)?)?;
        if offer.lot.is_some() || needed[offer.yard] == 0 {
            return None;
        }
        added += quote.price * i64::from(count);
        worth += quote.stock_value * i64::from(count);
        used[spare] += count;
        bought[offer.yard] += count;
    }
    for (yard, &bought) in bought.iter().enumerate() {
        let levels = market.levels.get(yard).map(Vec::as_slice).unwrap_or_default();
        let reached = match level_of(yard) {
            Some(level) => bought > 0 && bought >= *levels.get(level)?,
            None => bought == 0 || levels.is_empty(),
        };
        if !reached {
            return None;
        }
    }
    Some((added, worth))
}
