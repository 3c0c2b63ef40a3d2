//! Offers that no plan can tell apart, counted together.

use std::collections::HashMap;

use crate::choose::market::{Market, Offer, SpanDemand};
use crate::choose::problem::Item;
use crate::choose::problem::lot_shares::lot_shares;
use crate::group::Candidate;
use crate::quantity::Cents;

/// The figures of a candidate in a form that compares exactly, but for what its loads cost.
fn print(span: usize, candidate: &Candidate) -> impl Iterator<Item = u64> + '_ {
    let words = [span as u64, candidate.cost.0 as u64].into_iter().chain(candidate.fit.bits());
    let haul = candidate.haul.as_ref();
    words.chain([
        haul.map_or(u64::MAX, |haul| u64::from(haul.from)),
        haul.map_or(0, |haul| haul.shared.len() as u64),
    ])
}

/// The price at the last level.
fn lowest(offer: &Offer) -> Cents {
    offer.quotes.last().map_or(offer.price, |quote| quote.price)
}

/// Counts together offers that no plan can tell apart. Offers that fit nowhere get no item.
pub fn merge_identical(market: &Market, usable: &[bool]) -> (Vec<Item>, Vec<Option<usize>>) {
    let spans =
        || market.crossings.iter().flat_map(|c| &c.layouts).flat_map(|l| &l.spans).enumerate();
    // A digest of all figures sorts offers apart; equal digests are compared in full.
    let mut digest = vec![0xcbf2_9ce4_8422_2325_u64; market.offers.len()];
    let mut places: Vec<Vec<(u32, u32)>> = vec![Vec::new(); market.offers.len()];
    for (number, span) in spans() {
        for (at, candidate) in span.candidates.iter().enumerate() {
            if !usable.get(candidate.offer).copied().unwrap_or(false) {
                continue;
            }
            places[candidate.offer].push((number as u32, at as u32));
            for figure in print(number, candidate) {
                let mixed = (digest[candidate.offer] ^ figure).wrapping_mul(0x9e37_79b9_7f4a_7c15);
                digest[candidate.offer] = mixed ^ (mixed >> 29);
            }
        }
    }
    let all: Vec<&SpanDemand> = spans().map(|(_, span)| span).collect();
    let same = |a: usize, b: usize| {
        let (x, y) = (&market.offers[a], &market.offers[b]);
        (x.yard, x.lot, x.price, x.stock_value) == (y.yard, y.lot, y.price, y.stock_value)
            && x.quotes == y.quotes
            && places[a].len() == places[b].len()
            && places[a].iter().zip(&places[b]).all(|(p, q)| {
                let of = |place: &(u32, u32)| &all[place.0 as usize].candidates[place.1 as usize];
                let figures = |place: &(u32, u32)| print(place.0 as usize, of(place));
                figures(p).eq(figures(q)) && of(p).haul == of(q).haul
            })
    };
    // A car that must lie somewhere cannot be exchanged for one like it.
    let mut held = vec![false; market.offers.len()];
    for offer in all.iter().flat_map(|span| &span.holds) {
        held[*offer] = true;
    }
    let shares = lot_shares(market);
    let mut items: Vec<Item> = Vec::new();
    let mut item_of = vec![None; market.offers.len()];
    let mut by_digest: HashMap<u64, Vec<usize>> = HashMap::new();
    for (offer, terms) in market.offers.iter().enumerate() {
        if places[offer].is_empty() {
            continue;
        }
        let alike = by_digest.entry(digest[offer]).or_default();
        let twin = alike.iter().copied().filter(|_| !held[offer]);
        if let Some(item) = twin.into_iter().find(|&item| same(items[item].offers[0], offer)) {
            items[item].offers.push(offer);
            items[item].quantity += terms.quantity;
            item_of[offer] = Some(item);
            continue;
        }
        if !held[offer] {
            alike.push(items.len());
        }
        item_of[offer] = Some(items.len());
        items.push(Item {
            offers: vec![offer],
            quantity: terms.quantity,
            price: lowest(terms).0,
            surcharge: terms.quotes.iter().map(|quote| (quote.price - lowest(terms)).0).collect(),
            stock: terms.stock_value.0,
            share: terms.lot.and_then(|lot| shares.get(lot)).copied().unwrap_or(0),
            yard: terms.yard,
            lot: terms.lot,
        });
    }
    (items, item_of)
}
