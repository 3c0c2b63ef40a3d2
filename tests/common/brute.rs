//! The cheapest plan by trying all of them: every deck of every span of every layout of every
//! crossing, in plain recursion. Shares only the market's types with the library.
#![allow(dead_code, clippy::unwrap_used)]

use spanyard::choose::Market;
use spanyard::group::Candidate;

/// Unserved crossings per priority, lowest priority number first, then net cost in cents.
pub type Key = (Vec<usize>, i64);

/// One way to deck a crossing: cars by offer, and cost without prices.
struct Way {
    used: Vec<(usize, u32)>,
    cost: i64,
}

/// The best key, or none if there are more than `most` plans to try.
pub fn best(market: &Market, most: f64) -> Option<Key> {
    let ways: Vec<Vec<Way>> = (0..market.crossings.len()).map(|c| ways(market, c)).collect();
    let plans: f64 = ways.iter().map(|ways| ways.len() as f64 + 1.0).product();
    if plans > most {
        return None;
    }
    let mut ranks: Vec<u8> = market.crossings.iter().map(|c| c.priority).collect();
    ranks.sort_unstable();
    ranks.dedup();
    let mut search = Search { market, ranks, best: None, used: vec![0; market.offers.len()] };
    let mut unserved = vec![0; search.ranks.len()];
    search.descend(&ways, 0, 0, &mut unserved);
    search.best
}

/// Every way to deck one crossing.
fn ways(market: &Market, crossing: usize) -> Vec<Way> {
    let mut all = Vec::new();
    for layout in &market.crossings[crossing].layouts {
        let mut partial = vec![Way { used: Vec::new(), cost: layout.fixed.0 }];
        for span in &layout.spans {
            let mut decks: Vec<(Vec<usize>, i64)> = Vec::new();
            let mut cars: Vec<&Candidate> = Vec::new();
            multisets(&span.candidates, 0, span.rule.most_abreast, &mut cars, &mut |cars| {
                if let Some(joint) = span.rule.admits(cars) {
                    let cost: i64 = cars.iter().map(|car| car.cost.0).sum();
                    let offers = cars.iter().map(|car| car.offer).collect();
                    decks.push((offers, span.fixed.0 + joint.cost.0 + cost));
                }
            });
            let mut longer = Vec::new();
            for way in &partial {
                for (offers, cost) in &decks {
                    let mut used = way.used.clone();
                    for &offer in offers {
                        match used.iter_mut().find(|(other, _)| *other == offer) {
                            Some((_, times)) => *times += 1,
                            None => used.push((offer, 1)),
                        }
                    }
                    if used.iter().all(|(offer, times)| *times <= market.offers[*offer].quantity) {
                        longer.push(Way { used, cost: way.cost + cost });
                    }
                }
            }
            partial = longer;
        }
        if !layout.spans.is_empty() {
            all.extend(partial);
        }
    }
    all
}

fn multisets<'a>(
    from: &'a [Candidate],
    start: usize,
    most: usize,
    cars: &mut Vec<&'a Candidate>,
    see: &mut dyn FnMut(&[&Candidate]),
) {
    if !cars.is_empty() {
        see(cars);
    }
    if cars.len() < most {
        for at in start..from.len() {
            cars.push(&from[at]);
            multisets(from, at, most, cars, see);
            cars.pop();
        }
    }
}

struct Search<'a> {
    market: &'a Market,
    ranks: Vec<u8>,
    best: Option<Key>,
    used: Vec<u32>,
}

impl Search<'_> {
    fn descend(
        &mut self,
        ways: &[Vec<Way>],
        crossing: usize,
        cost: i64,
        unserved: &mut Vec<usize>,
    ) {
        let Some(here) = ways.get(crossing) else {
            self.leaf(cost, unserved);
            return;
        };
        let priority = self.market.crossings[crossing].priority;
        let rank = self.ranks.iter().position(|rank| *rank == priority).unwrap();
        unserved[rank] += 1;
        self.descend(ways, crossing + 1, cost, unserved);
        unserved[rank] -= 1;
        for way in here {
            for (offer, times) in &way.used {
                self.used[*offer] += times;
            }
            let fits = |(offer, _): &(usize, u32)| {
                self.used[*offer] <= self.market.offers[*offer].quantity
            };
            if way.used.iter().all(fits) {
                self.descend(ways, crossing + 1, cost + way.cost, unserved);
            }
            for (offer, times) in &way.used {
                self.used[*offer] -= times;
            }
        }
    }

    fn leaf(&mut self, cost: i64, unserved: &[usize]) {
        let market = self.market;
        let mut outlay = cost;
        let mut back = 0;
        let mut visited = vec![false; market.trips.len()];
        let mut bought = vec![false; market.lots.len()];
        for (offer, used) in market.offers.iter().zip(&self.used) {
            if *used > 0 {
                outlay += offer.price.0 * i64::from(*used);
                visited[offer.yard] = true;
                if let Some(lot) = offer.lot {
                    bought[lot] = true;
                }
            }
        }
        for (lot, bought) in bought.iter().enumerate() {
            if *bought {
                match market.lots[lot] {
                    Some(price) => outlay += price.0,
                    None => return,
                }
                for (offer, used) in market.offers.iter().zip(&self.used) {
                    if offer.lot == Some(lot) {
                        back += offer.stock_value.0 * i64::from(offer.quantity - used);
                        visited[offer.yard] = true;
                    }
                }
            }
        }
        outlay +=
            market.trips.iter().zip(&visited).filter(|(_, v)| **v).map(|(t, _)| t.0).sum::<i64>();
        let nothing = self.used.iter().all(|used| *used == 0);
        if market.budget.is_some_and(|budget| outlay > budget.0) && !nothing {
            return;
        }
        let key = (unserved.to_vec(), outlay - back);
        if self.best.as_ref().is_none_or(|best| key < *best) {
            self.best = Some(key);
        }
    }
}
