//! The cheapest plan by trying all of them: every deck of every span of every layout of every
//! crossing, in plain recursion. Shares only the market's types with the library: which cars make a
//! deck, and with which joint, is written out once more.
#![allow(clippy::unwrap_used)]

use spanyard::choose::{Choice, Market};
use spanyard::group::{Candidate, DeckRule};
use spanyard::quantity::Cents;

/// Points of unserved crossings per priority, lowest priority number first, then net cost in cents.
pub type Key = (Vec<usize>, i64);

/// One way to deck a crossing: cars by offer, and cost without prices.
struct Way {
    layout: usize,
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
    let used = vec![0; market.offers.len()];
    let by_fund = vec![(0, used.clone()); market.funds.len()];
    let mut search = Search { market, ranks, best: None, used, by_fund };
    let mut unserved = vec![0; search.ranks.len()];
    search.descend(&ways, 0, 0, &mut unserved);
    search.best
}

/// Every way to deck one crossing.
fn ways(market: &Market, crossing: usize) -> Vec<Way> {
    let mut all = Vec::new();
    for (number, layout) in market.crossings[crossing].layouts.iter().enumerate() {
        let mut partial = vec![Way { layout: number, used: Vec::new(), cost: layout.fixed.0 }];
        for span in &layout.spans {
            let mut decks: Vec<(Vec<usize>, i64)> = Vec::new();
            let mut cars: Vec<&Candidate> = Vec::new();
            multisets(&span.candidates, 0, span.rule.most_abreast, &mut cars, &mut |cars| {
                let here = |offer: usize| cars.iter().filter(|car| car.offer == offer).count();
                let must = |offer: usize| span.holds.iter().filter(|o| **o == offer).count();
                let held = span.holds.iter().all(|offer| here(*offer) >= must(*offer));
                if let Some(joints) = joints(&span.rule, cars).filter(|_| held) {
                    let cost = cars.iter().map(|car| car.cost.0).sum::<i64>() + hauls(cars);
                    let offers = cars.iter().map(|car| car.offer).collect();
                    decks.push((offers, span.fixed.0 + joints + cost));
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
                        longer.push(Way { layout: number, used, cost: way.cost + cost });
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

/// Rounding noise, in feet and inches.
const NOISE: f64 = 1e-9;

/// The least cost of joints and rails with which these cars make a deck; none if they make none: tries
/// every joint type at every gap that a crew can set.
fn joints(rule: &DeckRule, cars: &[&Candidate]) -> Option<i64> {
    if cars.len() > rule.most_abreast || !pairs(cars).all(|(a, b)| match_each_other(rule, a, b)) {
        return None;
    }
    let mut cambers: Vec<f64> = cars.iter().map(|car| car.fit.measures.camber()).collect();
    cambers.sort_by(f64::total_cmp);
    if cambers.windows(2).any(|pair| pair[1] - pair[0] > rule.step_most.0 + NOISE) {
        return None;
    }
    let widths: f64 = cars.iter().map(|car| car.fit.width.0).sum();
    let wide =
        |total: f64| total >= rule.width_least.0 - NOISE && total <= rule.width_most.0 + NOISE;
    // A deck is as long as the longest of its cars.
    let longest = cars.iter().map(|car| car.fit.laid.0).fold(0.0, f64::max);
    let at = rule.lengths.iter().position(|length| length.0 >= longest).unwrap_or(0);
    let along = |costs: &[Cents]| costs.get(at).map_or(0, |cost| cost.0);
    if cars.len() == 1 {
        return wide(widths).then(|| along(&rule.rails));
    }
    let between = cars.len() as f64 - 1.0;
    let possible = rule.joints.iter().filter(|joint| {
        let deep = cars.iter().all(|car| car.fit.exterior_depth.0 >= joint.depth_min.0 - NOISE);
        let eighths = (0..=400).map(|eighths| f64::from(eighths) / 8.0);
        let mut gaps = eighths.chain([joint.gap_min.0, joint.gap_max.0]);
        deep && gaps.any(|gap| {
            gap >= joint.gap_min.0 && gap <= joint.gap_max.0 && wide(widths + between * gap / 12.0)
        })
    });
    let joints = possible.map(|joint| along(&joint.costs) * (cars.len() as i64 - 1)).min();
    Some(joints? + along(&rule.rails))
}

fn pairs<'a>(cars: &'a [&Candidate]) -> impl Iterator<Item = (&'a Candidate, &'a Candidate)> {
    (0..cars.len()).flat_map(move |a| (0..a).map(move |b| (cars[b], cars[a])))
}

/// Whether two cars may lie in one deck: one section, not kept apart, and no measure farther from the
/// other's than its tolerance.
fn match_each_other(rule: &DeckRule, a: &Candidate, b: &Candidate) -> bool {
    let measures = a.fit.measures.all().iter().zip(b.fit.measures.all());
    let mut measures = measures.zip(rule.tolerances.all());
    // A measure that is not known is no number, and lies far from none.
    a.fit.section == b.fit.section
        && (a.fit.apart.is_none() || a.fit.apart != b.fit.apart)
        && !measures.any(|((a, b), tolerance)| (a - b).abs() > tolerance + NOISE)
}

/// The least cost of hauling some cars: tries every way to give each of them one of as many trailers
/// as there are cars.
fn hauls(cars: &[&Candidate]) -> i64 {
    let count = cars.len();
    let ways = (0..count.pow(count as u32)).filter_map(|way| {
        let trailer = |car: usize| way / count.pow(car as u32) % count;
        (0..count).map(|t| load(cars, &|car| trailer(car) == t)).sum::<Option<i64>>()
    });
    ways.min().unwrap()
}

/// What the load of the cars on one trailer costs; none: they may not go together.
fn load(cars: &[&Candidate], on_it: &dyn Fn(usize) -> bool) -> Option<i64> {
    let cars: Vec<&Candidate> = (0..cars.len()).filter(|c| on_it(*c)).map(|c| cars[c]).collect();
    let hauls: Vec<_> = cars.iter().filter_map(|car| car.haul.as_ref()).collect();
    if cars.len() > 1 && hauls.len() < cars.len() {
        return None;
    }
    let (mut haul, mut permit, mut escort) = (0, 0, 0);
    for car in &hauls {
        if car.from != hauls[0].from {
            return None;
        }
        let cost = if cars.len() == 1 { &car.alone } else { car.shared.get(cars.len() - 2)? };
        haul = cost.haul.0.max(haul);
        permit = cost.permit.0.max(permit);
        escort = cost.escort.0.max(escort);
    }
    Some(haul + permit + escort)
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
    by_fund: Vec<ByFund>,
}

/// What is used at the crossings of a fund: cost apart from prices, and cars by offer.
type ByFund = (i64, Vec<u32>);

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
        let points = self.market.crossings[crossing].points as usize;
        unserved[rank] += points;
        self.descend(ways, crossing + 1, cost, unserved);
        unserved[rank] -= points;
        for way in here {
            for (offer, times) in &way.used {
                self.used[*offer] += times;
            }
            let fits = |(offer, _): &(usize, u32)| {
                self.used[*offer] <= self.market.offers[*offer].quantity
            };
            if way.used.iter().all(fits) {
                self.charge(crossing, way, 1);
                self.descend(ways, crossing + 1, cost + way.cost, unserved);
                self.charge(crossing, way, -1);
            }
            for (offer, times) in &way.used {
                self.used[*offer] -= times;
            }
        }
    }

    fn charge(&mut self, crossing: usize, way: &Way, times: i64) {
        charge(self.market, &mut self.by_fund, crossing, (way.cost, &way.used), times);
    }

    fn leaf(&mut self, cost: i64, unserved: &[usize]) {
        let Some(net) = net(self.market, &self.used, cost, &self.by_fund) else { return };
        let key = (unserved.to_vec(), net);
        if self.best.as_ref().is_none_or(|best| key < *best) {
            self.best = Some(key);
        }
    }
}

/// Charges the fund of a crossing, or gives back.
fn charge(
    market: &Market,
    by_fund: &mut [ByFund],
    crossing: usize,
    (cost, used): (i64, &[(usize, u32)]),
    times: i64,
) {
    let Some(fund) = market.crossings[crossing].fund else { return };
    let Some(fund) = by_fund.get_mut(fund) else { return };
    fund.0 += cost * times;
    for (offer, count) in used {
        let now = i64::from(fund.1[*offer]) + i64::from(*count) * times;
        fund.1[*offer] = now.try_into().unwrap();
    }
}

/// What is left of each fund when cars with quotes are priced at the levels given by yard.
fn funds_hold(market: &Market, by_fund: &[ByFund], levels: &[usize]) -> bool {
    // What the crossings of each fund cost, in hundredths of a per cent of a cent.
    let cost = |(cost, used): &ByFund| {
        let mut paid = *cost;
        for (offer, used) in market.offers.iter().zip(used) {
            let each = match offer.lot {
                None if offer.quotes.is_empty() => offer.price.0,
                None => offer.quotes[levels[offer.yard]].price.0,
                // The even share, rounded up to a cent.
                Some(lot) => {
                    let of_lot = market.offers.iter().filter(|o| o.lot == Some(lot));
                    let cars: i64 = of_lot.map(|o| i64::from(o.quantity)).sum();
                    let price = market.lots[lot].map_or(0, |price| price.0);
                    price / cars + i64::from(price % cars != 0)
                }
            };
            paid += each * i64::from(*used);
        }
        i128::from(paid) * 10_000
    };
    let mut pays: Vec<i128> = by_fund.iter().map(cost).collect();
    // A grant pays its share, up to what it may; what it leaves is added to its match.
    for grant in &market.grants {
        let Some(all) = pays.get(grant.fund).copied() else { continue };
        let share = all / 10_000 * i128::from(grant.share.0);
        let paid = share.min(i128::from(market.funds[grant.fund].0) * 10_000);
        pays[grant.fund] = paid;
        pays[grant.rest] += all - paid;
    }
    pays.iter().zip(&market.funds).all(|(paid, limit)| *paid <= i128::from(limit.0) * 10_000)
}

/// Net cost of using cars so often, with this cost apart from prices and trips; none: a lot cannot
/// be bought, a minimum order is not met, or the budget or a fund does not reach.
fn net(market: &Market, used: &[u32], cost: i64, by_fund: &[ByFund]) -> Option<i64> {
    let mut outlay = cost;
    let mut back = 0;
    let mut visited = vec![false; market.trips.len()];
    let mut bought = vec![false; market.lots.len()];
    let mut cars = vec![0_u32; market.trips.len()];
    for (offer, used) in market.offers.iter().zip(used) {
        if *used > 0 {
            visited[offer.yard] = true;
            match offer.lot {
                Some(lot) => bought[lot] = true,
                None => cars[offer.yard] += used,
            }
            if offer.quotes.is_empty() {
                outlay += offer.price.0 * i64::from(*used);
            }
        }
    }
    for (lot, _) in bought.iter().enumerate().filter(|(_, bought)| **bought) {
        outlay += market.lots[lot]?.0;
        for (offer, used) in market.offers.iter().zip(used).filter(|(o, _)| o.lot == Some(lot)) {
            back += offer.stock_value.0 * i64::from(offer.quantity - used);
            visited[offer.yard] = true;
            cars[offer.yard] += offer.quantity;
        }
    }
    outlay += market.trips.iter().zip(&visited).filter(|(_, v)| **v).map(|(t, _)| t.0).sum::<i64>();
    let nothing = used.iter().all(|used| *used == 0);
    let mut best = None;
    let mut levels = vec![0; market.trips.len()];
    deals(market, used, &cars, 0, &mut levels, outlay, back, &mut |levels, outlay, back| {
        let paid = nothing || market.budget.is_none_or(|budget| outlay <= budget.0);
        if paid && funds_hold(market, by_fund, levels) {
            best = Some(best.map_or(outlay - back, |best: i64| best.min(outlay - back)));
        }
    });
    best
}

/// Every way to buy at the price levels of all yards, each with the cheapest cars beyond what is
/// placed that make up its number.
#[allow(clippy::too_many_arguments)]
fn deals(
    market: &Market,
    used: &[u32],
    cars: &[u32],
    yard: usize,
    levels_at: &mut Vec<usize>,
    outlay: i64,
    back: i64,
    see: &mut dyn FnMut(&[usize], i64, i64),
) {
    if yard == market.trips.len() {
        see(levels_at, outlay, back);
        return;
    }
    let levels = market.levels.get(yard).map(Vec::as_slice).unwrap_or_default();
    if levels.is_empty() || cars[yard] == 0 {
        return deals(market, used, cars, yard + 1, levels_at, outlay, back, see);
    }
    for (level, at_least) in levels.iter().enumerate() {
        let (mut outlay, back) = (outlay, back);
        let mut left: Vec<(i64, i64)> = Vec::new();
        for (offer, used) in market.offers.iter().zip(used) {
            if offer.yard == yard && offer.lot.is_none() {
                let quote = offer.quotes[level];
                outlay += quote.price.0 * i64::from(*used);
                for _ in *used..offer.quantity {
                    left.push((quote.price.0, quote.stock_value.0));
                }
            }
        }
        left.sort_by_key(|(price, worth)| price - worth);
        let missing = at_least.saturating_sub(cars[yard]);
        let idle = if missing > 0 { idle(market, used, yard) } else { Vec::new() };
        // Every set of lots bought to stand idle.
        for set in 0..1_u32 << idle.len() {
            let lots = || (0..idle.len()).filter(|lot| set >> lot & 1 == 1).map(|lot| &idle[lot]);
            let more = lots().map(|lot| lot.0).sum();
            let Some(spares) = left.get(..missing.saturating_sub(more) as usize) else { continue };
            let paid = spares.iter().map(|(price, _)| price).sum::<i64>();
            let worth = spares.iter().map(|(_, worth)| worth).sum::<i64>();
            let outlay = outlay + paid + lots().map(|lot| lot.1).sum::<i64>();
            let back = back + worth + lots().map(|lot| lot.2).sum::<i64>();
            levels_at[yard] = level;
            deals(market, used, cars, yard + 1, levels_at, outlay, back, see);
        }
    }
}

/// Cars, price and worth of every lot of a yard that may be bought with none of its cars placed.
fn idle(market: &Market, used: &[u32], yard: usize) -> Vec<(u32, i64, i64)> {
    let mut all = Vec::new();
    for &lot in &market.fillers {
        let cars = || market.offers.iter().zip(used).filter(move |(o, _)| o.lot == Some(lot));
        let Some(price) = market.lots[lot] else { continue };
        if cars().all(|(offer, used)| offer.yard == yard && *used == 0) && cars().next().is_some() {
            let count = cars().map(|(offer, _)| offer.quantity).sum();
            let worth = cars().map(|(o, _)| o.stock_value.0 * i64::from(o.quantity)).sum();
            all.push((count, price.0, worth));
        }
    }
    all
}

/// Unserved crossings per priority, then net cost, of a choice.
pub fn key(market: &Market, choice: &Choice) -> Key {
    let mut ranks: Vec<u8> = market.crossings.iter().map(|c| c.priority).collect();
    ranks.sort_unstable();
    ranks.dedup();
    let unserved = ranks
        .iter()
        .map(|rank| {
            let of_rank = market.crossings.iter().zip(&choice.crossings);
            of_rank
                .filter(|(demand, chosen)| demand.priority == *rank && chosen.is_none())
                .map(|(demand, _)| demand.points as usize)
                .sum()
        })
        .collect();
    (unserved, choice.net.0)
}

/// Whether two offers are of identical cars on identical terms.
fn identical(market: &Market, a: usize, b: usize) -> bool {
    let terms = |offer: usize| {
        let o = &market.offers[offer];
        (o.yard, o.lot, o.price, o.stock_value, o.quotes.clone())
    };
    let spans = || market.crossings.iter().flat_map(|c| &c.layouts).flat_map(|l| &l.spans);
    let figures = |offer: usize| -> Vec<Option<Candidate>> {
        let of = |c: &&Candidate| c.offer == offer;
        spans()
            .map(|s| s.candidates.iter().find(of).map(|c| Candidate { offer: 0, ..c.clone() }))
            .collect()
    };
    a == b || (terms(a) == terms(b) && figures(a) == figures(b))
}

/// What the cheapest other decks of a crossing cost more, the other crossings as chosen.
pub fn cheapest_other(market: &Market, choice: &Choice, crossing: usize) -> Option<i64> {
    let chosen = choice.crossings[crossing].as_ref()?;
    let all: Vec<Vec<Way>> = (0..market.crossings.len()).map(|c| ways(market, c)).collect();
    // Cars by the first offer of their kind, so that identical ones count as the same.
    let kind = |offer: usize| (0..=offer).find(|other| identical(market, *other, offer)).unwrap();
    let mut present: Vec<usize> = chosen.decks.concat().into_iter().map(kind).collect();
    present.sort_unstable();
    let mut used = vec![0_u32; market.offers.len()];
    let mut by_fund = vec![(0, used.clone()); market.funds.len()];
    let mut cost = 0;
    for (number, other) in choice.crossings.iter().enumerate() {
        let Some(other) = other.as_ref().filter(|_| number != crossing) else { continue };
        let cars = other.decks.concat();
        let is_it = |way: &&Way| {
            let count = |offer| cars.iter().filter(|car| **car == offer).count() as u32;
            way.layout == other.layout
                && way.used.iter().map(|(_, times)| *times as usize).sum::<usize>() == cars.len()
                && way.used.iter().all(|(offer, times)| count(*offer) == *times)
        };
        let way = all[number].iter().filter(is_it).min_by_key(|way| way.cost).unwrap();
        cost += way.cost;
        charge(market, &mut by_fund, number, (way.cost, &way.used), 1);
        cars.into_iter().for_each(|car| used[car] += 1);
    }
    let mut best: Option<i64> = None;
    for way in &all[crossing] {
        let mut cars: Vec<usize> = Vec::new();
        let mut now = used.clone();
        for (offer, times) in &way.used {
            now[*offer] += times;
            cars.extend(vec![kind(*offer); *times as usize]);
        }
        cars.sort_unstable();
        let fits = now.iter().zip(&market.offers).all(|(used, offer)| *used <= offer.quantity);
        if fits && (way.layout != chosen.layout || cars != present) {
            let mut by_fund = by_fund.clone();
            charge(market, &mut by_fund, crossing, (way.cost, &way.used), 1);
            if let Some(net) = net(market, &now, cost + way.cost, &by_fund) {
                best = Some(best.map_or(net, |best| best.min(net)));
            }
        }
    }
    best.map(|best| best - choice.net.0)
}

/// Cars of each offer at each crossing; none where it goes without.
pub type Placed = Vec<Option<Vec<(usize, u32)>>>;

/// Every plan that can be had and paid, with its key.
#[allow(dead_code)]
pub fn plans(market: &Market) -> Vec<(Placed, Key)> {
    let mut ranks: Vec<u8> = market.crossings.iter().map(|c| c.priority).collect();
    ranks.sort_unstable();
    ranks.dedup();
    let mut partial: Vec<(Placed, Vec<i64>)> = vec![(Vec::new(), Vec::new())];
    for crossing in 0..market.crossings.len() {
        let ways = ways(market, crossing);
        let longer = partial.iter().flat_map(|(placed, costs)| {
            let with = |used: Option<Vec<(usize, u32)>>, more: i64| {
                let mut placed = placed.clone();
                placed.push(used);
                let mut costs = costs.clone();
                costs.push(more);
                (placed, costs)
            };
            let ways = ways.iter().map(|way| with(Some(way.used.clone()), way.cost));
            ways.chain([with(None, 0)]).collect::<Vec<_>>()
        });
        partial = longer.collect();
    }
    let plan = |(placed, costs): (Placed, Vec<i64>)| {
        let mut used = vec![0_u32; market.offers.len()];
        for (offer, times) in placed.iter().flatten().flatten() {
            used[*offer] += times;
        }
        let there = used.iter().zip(&market.offers).all(|(used, offer)| *used <= offer.quantity);
        if !there {
            return None;
        }
        let mut by_fund = vec![(0, vec![0_u32; market.offers.len()]); market.funds.len()];
        for (crossing, (used, cost)) in placed.iter().zip(&costs).enumerate() {
            let used = used.as_deref().unwrap_or_default();
            charge(market, &mut by_fund, crossing, (*cost, used), 1);
        }
        let net = net(market, &used, costs.iter().sum(), &by_fund)?;
        let mut unserved = vec![0; ranks.len()];
        for (demand, _) in market.crossings.iter().zip(&placed).filter(|(_, p)| p.is_none()) {
            unserved[ranks.binary_search(&demand.priority).unwrap()] += demand.points as usize;
        }
        Some((placed, (unserved, net)))
    };
    partial.into_iter().filter_map(plan).collect()
}
