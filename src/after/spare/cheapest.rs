//! The cheapest purchase that covers every failure, one at a time.
//!
//! More cars never cover less. So of a purchase that does not cover a failure, as much as possible is
//! added that does not cover it either; whatever does cover it holds one of the things left. That is a
//! need. The cheapest purchase that meets the needs known is tried next.

use std::cmp::Reverse;

use super::cover::{Basket, Goods, Need};
use super::desk::{Desk, Purchase};
use super::{Failure, Substitute};
use crate::deadline::Deadline;
use crate::quantity::Cents;

/// What was found.
pub(super) struct Found {
    pub purchase: Purchase,
    /// No purchase that covers every failure, as far as each can be covered, costs less.
    pub bound: Cents,
}

/// A thing on offer.
#[derive(Clone, Copy, Debug, PartialEq, Eq)]
enum Thing {
    /// A car of this offer.
    Car(usize),
    Lot(usize),
}

/// Rounds after which it is left unproven.
const ROUNDS: usize = 200;
/// Nodes of a search for what else does not cover a failure.
const FEW: usize = 8;

/// The purchase against all failures that something on offer covers.
pub(super) fn against_all(desk: &Desk, failures: &[Failure], end: Deadline<'_>) -> Found {
    let mut shop = Shop::new(desk, end);
    let mut dearest: Vec<&Failure> = failures
        .iter()
        .filter(|failure| matches!(failure.substitute, Substitute::Buy { .. }))
        .collect();
    dearest.sort_by_key(|failure| Reverse(failure.substitute.cost()));
    let failed: Vec<usize> = dearest.iter().map(|failure| failure.offer).collect();
    let mut bound = dearest.iter().map(|failure| failure.least.0).max().unwrap_or_default();
    let mut needs: Vec<Need> = Vec::new();
    let mut best = shop.one_after_the_other(&dearest);
    for _ in 0..ROUNDS {
        let below = shop.goods.cost(&best);
        let Ok(cover) = shop.goods.cheapest(&needs, below) else { break };
        let Some(mut basket) = cover else {
            bound = below;
            break;
        };
        bound = bound.max(shop.goods.cost(&basket));
        // What a need asks for is added at once, so that the failures after it find what else is
        // needed, and the end of the round is a purchase against all of them.
        for &failed in &failed {
            while let Some(false) = shop.covers(failed, &basket) {
                let Some(need) = shop.need(failed, &basket) else { break };
                let cheapest = need.iter().min_by_key(|(thing, count)| {
                    (shop.goods.price[*thing] * i64::from(count - basket[*thing]), *thing)
                });
                let Some(&(thing, count)) = cheapest else { break };
                basket[thing] = count;
                needs.push(need);
            }
        }
        let all = failed.iter().all(|failed| shop.covers(*failed, &basket) == Some(true));
        if all && shop.goods.cost(&basket) < below {
            best = basket;
        }
        if shop.late() {
            break;
        }
    }
    if shop.goods.cost(&best) > bound {
        shop.thin(&mut best, &failed);
    }
    Found { purchase: shop.purchase(&best), bound: Cents(bound) }
}

/// The things on offer beside the plan, and what is known of failures.
struct Shop<'a> {
    desk: &'a Desk<'a>,
    things: Vec<Thing>,
    /// How many of each there are.
    most: Basket,
    goods: Goods,
    /// Baskets that cover a failure; more covers it as well.
    enough: Vec<(usize, Basket)>,
    /// Baskets that do not cover a failure; less does not cover it either.
    too_little: Vec<(usize, Basket)>,
    deadline: Deadline<'a>,
}

impl<'a> Shop<'a> {
    fn new(desk: &'a Desk<'a>, deadline: Deadline<'a>) -> Self {
        let market = desk.market;
        let (mut things, mut most) = (Vec::new(), Vec::new());
        let mut goods = Goods {
            price: Vec::new(),
            yards: Vec::new(),
            trips: market.trips.iter().map(|trip| trip.0).collect(),
        };
        for (trip, _) in goods.trips.iter_mut().zip(&desk.visited).filter(|(_, visited)| **visited)
        {
            *trip = 0;
        }
        for (offer, terms) in market.offers.iter().enumerate() {
            let left = terms.quantity.saturating_sub(desk.owned[offer]);
            if terms.lot.is_none() && left > 0 {
                things.push(Thing::Car(offer));
                most.push(left);
                goods.price.push(desk.price(offer).0);
                goods.yards.push(vec![terms.yard]);
            }
        }
        for (lot, price) in market.lots.iter().enumerate() {
            let Some(price) = price.filter(|_| !desk.lots.contains(&lot)) else { continue };
            let of_lot = market.offers.iter().filter(|terms| terms.lot == Some(lot));
            let mut yards: Vec<usize> = of_lot.map(|terms| terms.yard).collect();
            yards.dedup();
            things.push(Thing::Lot(lot));
            most.push(1);
            goods.price.push(price.0);
            goods.yards.push(yards);
        }
        Self { desk, things, most, goods, enough: Vec::new(), too_little: Vec::new(), deadline }
    }

    fn late(&self) -> bool {
        self.deadline.has_passed()
    }

    /// For each failure its substitute is added, unless what is there is known to cover it; the dearest first.
    fn one_after_the_other(&mut self, dearest: &[&Failure]) -> Basket {
        let mut basket = vec![0; self.things.len()];
        for failure in dearest {
            let Substitute::Buy { cars, lots, .. } = &failure.substitute else { continue };
            if self.covers_within(failure.offer, &basket, FEW) == Some(true) {
                continue;
            }
            for (thing, count) in self.things.iter().zip(&mut basket) {
                let wanted = match thing {
                    Thing::Car(offer) => cars.iter().filter(|car| *car == offer).count() as u32,
                    Thing::Lot(lot) => u32::from(lots.contains(lot)),
                };
                *count = (*count).max(wanted);
            }
            self.enough.push((failure.offer, basket.clone()));
        }
        basket
    }

    fn purchase(&self, basket: &[u32]) -> Purchase {
        let mut purchase = Purchase::default();
        for (thing, &count) in self.things.iter().zip(basket).filter(|(_, count)| **count > 0) {
            match thing {
                Thing::Car(offer) => {
                    purchase.cars.extend(std::iter::repeat_n(*offer, count as usize));
                }
                Thing::Lot(lot) => {
                    purchase.lots.insert(*lot);
                }
            }
        }
        purchase
    }

    fn covers(&mut self, failed: usize, basket: &[u32]) -> Option<bool> {
        self.covers_within(failed, basket, usize::MAX)
    }

    /// Whether a basket covers a failure; `None` if it could not be found out in time.
    fn covers_within(&mut self, failed: usize, basket: &[u32], nodes: usize) -> Option<bool> {
        let within = |small: &[u32], large: &[u32]| small.iter().zip(large).all(|(s, l)| s <= l);
        let of = |(other, _): &&(usize, Basket)| *other == failed;
        if self.enough.iter().filter(of).any(|(_, known)| within(known, basket)) {
            return Some(true);
        }
        if self.too_little.iter().filter(of).any(|(_, known)| within(basket, known)) {
            return Some(false);
        }
        if self.late() {
            return None;
        }
        let served = self.desk.serves(failed, &self.purchase(basket), nodes, &self.deadline)?;
        let known = if served { &mut self.enough } else { &mut self.too_little };
        known.push((failed, basket.to_vec()));
        Some(served)
    }

    /// The need behind a failure that a basket does not cover; none if there was no time to find it.
    ///
    /// Of what is added the cheap things come first, so that the need is of the dear ones.
    fn need(&mut self, failed: usize, basket: &[u32]) -> Option<Need> {
        let mut full = basket.to_vec();
        let mut left: Vec<usize> =
            (0..full.len()).filter(|thing| full[*thing] < self.most[*thing]).collect();
        left.sort_by_key(|thing| (self.goods.price[*thing], *thing));
        // Most often it takes a car of the failed one's section.
        let (alike, others): (Vec<usize>, Vec<usize>) =
            left.iter().partition(|thing| self.alike(failed, self.things[**thing]));
        let mut critical = Vec::new();
        self.fill(failed, &mut full, &others, &mut critical)?;
        self.fill(failed, &mut full, &alike, &mut critical)?;
        Some(critical.into_iter().map(|thing| (thing, full[thing] + 1)).collect())
    }

    /// Adds of these things what does not cover the failure; the rest is critical.
    fn fill(
        &mut self,
        failed: usize,
        full: &mut Basket,
        things: &[usize],
        critical: &mut Vec<usize>,
    ) -> Option<()> {
        let Some((&first, rest)) = things.split_first() else { return Some(()) };
        let mut more = full.clone();
        things.iter().for_each(|thing| more[*thing] = self.most[*thing]);
        if self.covers_within(failed, &more, FEW) == Some(false) {
            *full = more;
            return Some(());
        }
        if rest.is_empty() {
            loop {
                let mut more = full.clone();
                more[first] += 1;
                if more[first] == self.most[first]
                    || self.covers_within(failed, &more, FEW) != Some(false)
                {
                    critical.push(first);
                    return Some(());
                }
                *full = more;
            }
        }
        let (cheap, dear) = things.split_at(things.len() / 2);
        self.fill(failed, full, cheap, critical)?;
        self.fill(failed, full, dear, critical)
    }

    /// Whether a thing is, or holds, a car of the failed one's section.
    fn alike(&self, failed: usize, thing: Thing) -> bool {
        let spans = self.desk.decks.iter().filter(|(_, deck)| deck.contains(&failed));
        spans
            .flat_map(|(span, _)| {
                let section =
                    span.candidates.iter().find(|c| c.offer == failed).map(|c| c.fit.section);
                span.candidates.iter().filter(move |c| Some(c.fit.section) == section)
            })
            .any(|candidate| match thing {
                Thing::Car(offer) => candidate.offer == offer,
                Thing::Lot(lot) => self.desk.market.offers[candidate.offer].lot == Some(lot),
            })
    }

    /// Takes out what is not needed for any failure, the dearest first.
    fn thin(&mut self, basket: &mut Basket, failed: &[usize]) {
        let mut order: Vec<usize> = (0..basket.len()).filter(|thing| basket[*thing] > 0).collect();
        order.sort_by_key(|thing| Reverse(self.goods.price[*thing]));
        for thing in order {
            while basket[thing] > 0 {
                basket[thing] -= 1;
                let enough = failed.iter().all(|f| self.covers(*f, basket) == Some(true));
                if !enough {
                    basket[thing] += 1;
                    break;
                }
            }
        }
    }
}
