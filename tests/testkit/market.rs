//! Seeded markets for tests and for the benchmark: small ones with every feature, and large ones
//! shaped like the job.

pub use super::rng::Rng;
use spanyard::choose::{Demand, Grant, LayoutDemand, Market, Offer, Quote, SpanDemand};
use spanyard::group::{Candidate, DeckRule, Figures, Fit, JointOption, SharedHaul};
use spanyard::price::LoadCost;
use spanyard::quantity::{BasisPoints, Cents, Feet, Inches};

/// A market small enough to try everything, with lots, trips, batches, several layouts and spans,
/// priorities, joints, sometimes a budget. Amounts are small so that ties occur.
pub fn small(seed: u64) -> Market {
    let mut rng = Rng::new(seed);
    let yards = rng.int(1, 3) as usize;
    let lot_count = rng.int(0, 2) as usize;
    let lot_yards: Vec<usize> =
        (0..lot_count).map(|_| rng.int(0, yards as i64 - 1) as usize).collect();
    let mut offers = Vec::new();
    let mut figures = Vec::new();
    for _ in 0..rng.int(2, 7) {
        let lot =
            (lot_count > 0 && rng.chance(0.5)).then(|| rng.int(0, lot_count as i64 - 1) as usize);
        let twin = !offers.is_empty() && rng.chance(0.2);
        offers.push(Offer {
            quantity: if rng.chance(0.3) { rng.int(2, 3) as u32 } else { 1 },
            yard: lot.map_or_else(|| rng.int(0, yards as i64 - 1) as usize, |lot| lot_yards[lot]),
            lot,
            price: if lot.is_some() { Cents(0) } else { Cents(rng.int(0, 40)) },
            stock_value: if lot.is_some() { Cents(rng.int(0, 6)) } else { Cents(0) },
            quotes: Vec::new(),
        });
        figures.push(if twin {
            figures[figures.len() - 1]
        } else {
            (
                rng.int(0, 1) as u32,
                rng.int(0, 8) as f64 * 0.25,
                8.5 + rng.int(0, 6) as f64 * 0.25,
                60.0 + rng.int(0, 6) as f64 * 0.25,
                rng.pick(&[7.0, 10.0, 14.0]),
            )
        });
    }
    let lots =
        lot_yards.iter().map(|_| (!rng.chance(0.1)).then(|| Cents(rng.int(0, 90)))).collect();
    let trips =
        (0..yards).map(|_| Cents(if rng.chance(0.3) { 0 } else { rng.int(1, 25) })).collect();
    let ranks = rng.int(1, 2);
    let crossings = (0..rng.int(1, 3))
        .map(|_| Demand {
            priority: rng.int(1, ranks) as u8,
            points: 1,
            fund: None,
            layouts: (0..rng.int(1, 2)).map(|_| small_layout(&mut rng, &figures)).collect(),
        })
        .collect();
    let budget = rng.chance(0.35).then(|| Cents(rng.int(0, 320)));
    Market {
        offers,
        trips,
        levels: Vec::new(),
        fillers: Vec::new(),
        lots,
        crossings,
        budget,
        funds: Vec::new(),
        grants: Vec::new(),
    }
}

/// A small market in which most yards have price levels or a minimum order.
pub fn with_levels(seed: u64) -> Market {
    let mut market = small(seed);
    let mut rng = Rng::new(seed ^ 0x1eaf);
    for yard in 0..market.trips.len() {
        if rng.chance(0.8) {
            add_levels(&mut market, yard, &mut rng);
        }
    }
    market.fillers = (0..market.lots.len()).filter(|_| rng.chance(0.7)).collect();
    market
}

/// A small market in which crossings of one rank count differently, and money is short.
pub fn with_points(seed: u64) -> Market {
    let mut rng = Rng::new(seed ^ 0x9017);
    let mut market = if rng.chance(0.5) { with_levels(seed) } else { small(seed) };
    for crossing in &mut market.crossings {
        crossing.points = rng.int(1, 9) as u32;
        crossing.priority = if rng.chance(0.8) { 1 } else { 2 };
    }
    market.budget = market.budget.or_else(|| rng.chance(0.6).then(|| Cents(rng.int(40, 300))));
    market
}

/// A small market with price levels or points now and then, in which one or two funds pay for most
/// crossings.
pub fn with_funds(seed: u64) -> Market {
    let mut rng = Rng::new(seed ^ 0xf00d);
    let mut market = match rng.int(0, 3) {
        0 => with_levels(seed),
        1 => with_points(seed),
        _ => small(seed),
    };
    let funds = rng.int(1, 2);
    market.funds = (0..funds).map(|_| Cents(rng.int(0, 220))).collect();
    for crossing in &mut market.crossings {
        crossing.fund = rng.chance(0.8).then(|| rng.int(0, funds - 1) as usize);
    }
    market
}

/// A small market in which funds pay shares, up to a limit, and one of them pays the rest.
pub fn with_grants(seed: u64) -> Market {
    let mut rng = Rng::new(seed ^ 0x94a7);
    let mut market = with_funds(seed);
    add_grants(&mut market, &mut rng);
    market
}

/// Up to three grants, most of them matched by one fund, which may have crossings of its own.
fn add_grants(market: &mut Market, rng: &mut Rng) {
    let own = market.funds.len();
    for _ in 0..rng.int(1, 3) {
        let fund = market.funds.len();
        market.funds.push(Cents(rng.int(0, 200)));
        let rest = if rng.chance(0.8) { 0 } else { rng.int(0, own as i64 - 1) as usize };
        let share = BasisPoints(rng.pick(&[8_000, 5_000, 9_000, 7_525, 3_333, 10_000]));
        market.grants.push(Grant { fund, share, rest });
    }
    for crossing in market.crossings.iter_mut().filter(|crossing| crossing.fund.is_some()) {
        if rng.chance(0.7) {
            crossing.fund = Some(rng.int(own as i64, market.funds.len() as i64 - 1) as usize);
        }
    }
}

/// A small market in which many cars are kept apart from some others, and decks are of several.
pub fn with_cars_apart(seed: u64) -> Market {
    let mut rng = Rng::new(seed ^ 0xa9a7);
    let mut market = if rng.chance(0.3) { with_levels(seed) } else { small(seed) };
    let names: Vec<Option<u32>> =
        market.offers.iter().map(|_| rng.pick(&[None, Some(0), Some(1)])).collect();
    let layouts = market.crossings.iter_mut().flat_map(|crossing| &mut crossing.layouts);
    for candidate in layouts.flat_map(|l| &mut l.spans).flat_map(|span| &mut span.candidates) {
        candidate.fit.apart = names[candidate.offer];
    }
    market
}

/// A small market of any of the kinds above in which most cars may share trailers.
pub fn with_truckloads(seed: u64) -> Market {
    let mut rng = Rng::new(seed ^ 0x10ad);
    let mut market = match rng.int(0, 4) {
        0 => with_levels(seed),
        1 => with_points(seed),
        2 => with_funds(seed),
        3 => with_cars_apart(seed),
        _ => small(seed),
    };
    // A deck of one car has nothing to share.
    let layouts = market.crossings.iter_mut().flat_map(|crossing| &mut crossing.layouts);
    for rule in layouts.flat_map(|layout| &mut layout.spans).map(|span| &mut span.rule) {
        rule.most_abreast = rule.most_abreast.max(2);
        if rule.width_least.0 < 10.0 && rng.chance(0.8) {
            let more = Feet(rng.pick(&[8.5, 17.0]));
            (rule.width_least, rule.width_most) = (rule.width_least + more, rule.width_most + more);
        }
    }
    share_trailers(&mut market, 30, &mut rng);
    market
}

/// A small market in which all of the above may come together, and more: points, funds, budget, price
/// levels, lots that fit nowhere and fill up orders, cars kept apart, shared trailers, wide decks, cars
/// owned, and cars that by decision lie at one crossing.
pub fn mixed(seed: u64) -> Market {
    let mut rng = Rng::new(seed ^ 0x0a11);
    let mut market = match rng.int(0, 3) {
        0 => with_funds(seed),
        1 => with_truckloads(seed),
        2 => with_cars_apart(seed),
        _ => with_points(seed),
    };
    if rng.chance(0.5) {
        add_a_useless_lot(&mut market, &mut rng);
    }
    for yard in 0..market.trips.len() {
        let known = market.levels.get(yard).is_some_and(|levels| !levels.is_empty());
        if !known && rng.chance(0.4) {
            add_levels(&mut market, yard, &mut rng);
        }
    }
    let lots = 0..market.lots.len();
    market.fillers = lots.filter(|_| rng.chance(0.7)).collect();
    if market.funds.is_empty() && rng.chance(0.25) {
        market.funds = vec![Cents(rng.int(20, 220))];
        for crossing in &mut market.crossings {
            crossing.fund = rng.chance(0.6).then_some(0);
        }
    }
    if market.budget.is_none() && rng.chance(0.4) {
        market.budget = Some(Cents(rng.int(40, 320)));
    }
    let layouts = market.crossings.iter_mut().flat_map(|crossing| &mut crossing.layouts);
    for rule in layouts.flat_map(|layout| &mut layout.spans).map(|span| &mut span.rule) {
        if rng.chance(0.15) {
            (rule.most_abreast, rule.width_least, rule.width_most) = (4, Feet(33.0), Feet(37.0));
        }
    }
    if rng.chance(0.3) {
        own(&mut market, &mut rng);
    }
    if rng.chance(0.25) {
        hold(&mut market, &mut rng);
    }
    if !market.funds.is_empty() && rng.chance(0.3) {
        add_grants(&mut market, &mut rng);
    }
    market
}

/// A lot of cars that fit nowhere, which may only fill up an order.
fn add_a_useless_lot(market: &mut Market, rng: &mut Rng) {
    let (yard, lot) = (rng.int(0, market.trips.len() as i64 - 1) as usize, market.lots.len());
    market.lots.push(Some(Cents(rng.int(0, 40))));
    let stock_value = Cents(rng.int(0, 4));
    for _ in 0..rng.int(1, 2) {
        let quantity = rng.int(1, 2) as u32;
        let (price, quotes) = (Cents(0), Vec::new());
        market.offers.push(Offer { quantity, yard, lot: Some(lot), price, stock_value, quotes });
    }
}

/// Moves some cars sold singly to a yard of the agency's own, where nothing is paid.
fn own(market: &mut Market, rng: &mut Rng) {
    let yard = market.trips.len();
    market.trips.push(Cents(0));
    for offer in market.offers.iter_mut().filter(|offer| offer.lot.is_none()) {
        if rng.chance(0.3) {
            (offer.yard, offer.price, offer.quotes) = (yard, Cents(0), Vec::new());
        }
    }
}

/// A car that by decision lies at one crossing, on the first span of its layouts that can have it.
fn hold(market: &mut Market, rng: &mut Rng) {
    let at = rng.int(0, market.crossings.len() as i64 - 1) as usize;
    let cars: Vec<usize> =
        market.crossings[at].layouts[0].spans[0].candidates.iter().map(|c| c.offer).collect();
    if cars.is_empty() {
        return;
    }
    let offer = rng.pick(&cars);
    for (number, demand) in market.crossings.iter_mut().enumerate() {
        for layout in &mut demand.layouts {
            let mut held = false;
            for span in &mut layout.spans {
                if number != at {
                    span.candidates.retain(|candidate| candidate.offer != offer);
                } else if !held && span.candidates.iter().any(|c| c.offer == offer) {
                    span.holds = vec![offer];
                    held = true;
                }
            }
        }
    }
}

/// Lets most cars share trailers, by twos or threes: each crossing is so far at most, in cents, from
/// each of the places that the cars leave from, which are mostly their yards. One car in three is
/// heavy, so that a load with it needs a permit, and one in three long, so that it needs an escort.
pub fn share_trailers(market: &mut Market, far: i64, rng: &mut Rng) {
    let cars: Vec<(u32, i64, bool, bool)> = market
        .offers
        .iter()
        .map(|offer| {
            let from = if rng.chance(0.8) { offer.yard as u32 } else { 99 };
            (from, rng.pick(&[1, 2, 2, 3]), rng.chance(0.3), rng.chance(0.3))
        })
        .collect();
    let (permit, escort) = (rng.int(0, far / 3), rng.int(0, far / 3));
    for crossing in &mut market.crossings {
        let hauls: Vec<i64> = (0..100).map(|_| rng.int(far / 10, far)).collect();
        for span in crossing.layouts.iter_mut().flat_map(|layout| &mut layout.spans) {
            for candidate in &mut span.candidates {
                let (from, most, heavy, long) = cars[candidate.offer];
                let load = |cars: i64| LoadCost {
                    haul: Cents(hauls[from as usize]),
                    permit: Cents(if heavy && cars > 1 || cars > 2 { permit } else { 0 }),
                    escort: Cents(if long { escort } else { 0 }),
                };
                if most == 1 {
                    candidate.cost += load(1).total();
                    continue;
                }
                let shared = (2..=most).map(load).collect();
                candidate.haul = Some(SharedHaul { from, alone: load(1), shared });
            }
        }
    }
}

/// Gives a yard one to three price levels, the first perhaps a minimum order.
pub fn add_levels(market: &mut Market, yard: usize, rng: &mut Rng) {
    let mut at_least = if rng.chance(0.5) { 1 } else { rng.int(2, 3) as u32 };
    let mut levels = Vec::new();
    let mut off = 0;
    let mut discounts = Vec::new();
    for _ in 0..rng.int(1, 3) {
        levels.push(at_least);
        discounts.push(off);
        at_least += rng.int(1, 3) as u32;
        off += rng.int(1, 25);
    }
    let worth = rng.pick(&[0, 20, 50, 90]);
    market.levels.resize(market.trips.len(), Vec::new());
    market.levels[yard] = levels;
    for offer in market.offers.iter_mut().filter(|o| o.yard == yard && o.lot.is_none()) {
        offer.quotes = discounts
            .iter()
            .map(|off| {
                let price = offer.price.0 - offer.price.0 * off / 100;
                Quote { price: Cents(price), stock_value: Cents(price * worth / 100) }
            })
            .collect();
    }
}

fn small_layout(rng: &mut Rng, figures: &[(u32, f64, f64, f64, f64)]) -> LayoutDemand {
    let spans = if rng.chance(0.3) { 2 } else { 1 };
    LayoutDemand {
        layout: 0,
        fixed: Cents(rng.int(0, 30)),
        spans: (0..spans)
            .map(|_| {
                let least = rng.pick(&[8.5, 9.0, 17.0, 17.5, 18.5, 26.0]);
                let fixed = Cents(rng.int(0, 10));
                let candidates = small_candidates(rng, figures);
                let (abreast, wider) = (rng.int(1, 3) as usize, rng.pick(&[0.75, 1.5, 2.5]));
                let spread = rng.pick(&[0.5, 1.0, 1.5]);
                SpanDemand {
                    holds: Vec::new(),
                    fixed,
                    candidates,
                    rule: DeckRule {
                        most_abreast: abreast,
                        width_least: Feet(least),
                        width_most: Feet(least + wider),
                        tolerances: Figures::plain(Inches(spread), Feet(rng.pick(&[0.5, 1.0]))),
                        step_most: Inches(spread * 0.75),
                        joints: vec![
                            JointOption {
                                gap_min: Inches(0.0),
                                gap_max: Inches(2.0),
                                depth_min: Inches(8.0),
                                costs: by_length(rng.int(1, 6)),
                            },
                            JointOption {
                                gap_min: Inches(4.0),
                                gap_max: Inches(18.0),
                                depth_min: Inches(12.0),
                                costs: by_length(rng.int(4, 12)),
                            },
                        ],
                        lengths: LENGTHS.to_vec(),
                        rails: by_length(2),
                    },
                }
            })
            .collect(),
    }
}

/// The lengths in which cars of a small market lie.
const LENGTHS: [Feet; 3] = [Feet(60.0), Feet(60.5), Feet(61.0)];

/// What costs so much along the shortest deck, along decks of each length.
fn by_length(shortest: i64) -> Vec<Cents> {
    vec![Cents(shortest), Cents(shortest + 1), Cents(shortest * 2)]
}

fn small_candidates(rng: &mut Rng, figures: &[(u32, f64, f64, f64, f64)]) -> Vec<Candidate> {
    let mut candidates = Vec::new();
    for (offer, f) in figures.iter().enumerate() {
        if rng.chance(0.85) {
            candidates.push(Candidate {
                offer,
                cost: Cents(rng.int(0, 20) / 2 * 2),
                fit: Fit {
                    section: f.0,
                    apart: None,
                    measures: Figures::plain(Inches(f.1), Feet(f.3)),
                    width: Feet(f.2),
                    exterior_depth: Inches(f.4),
                    laid: LENGTHS[(offer * 7 / 2) % 3],
                },
                haul: None,
            });
        }
    }
    candidates
}

/// Two crossings alike and four cars alike but for their camber, sold singly from one yard. Each
/// crossing needs two cars at 100 and 10, a joint at 5, and 50 of fixed cost; the trip is 20.
pub fn two_crossings() -> Market {
    let span = || SpanDemand {
        holds: Vec::new(),
        fixed: Cents(20),
        candidates: (0..4)
            .map(|offer| Candidate {
                offer,
                cost: Cents(10),
                fit: Fit {
                    section: 1,
                    apart: None,
                    measures: Figures::plain(Inches(1.0 + 0.125 * offer as f64), Feet(60.0)),
                    width: Feet(9.0),
                    exterior_depth: Inches(10.0),
                    laid: Feet(60.0),
                },
                haul: None,
            })
            .collect(),
        rule: DeckRule {
            most_abreast: 2,
            width_least: Feet(18.0),
            width_most: Feet(19.0),
            tolerances: Figures::plain(Inches(1.0), Feet(1.0)),
            step_most: Inches(f64::INFINITY),
            joints: vec![JointOption {
                gap_min: Inches(0.0),
                gap_max: Inches(2.0),
                depth_min: Inches(8.0),
                costs: vec![Cents(5)],
            }],
            lengths: Vec::new(),
            rails: Vec::new(),
        },
    };
    let demand = |priority| Demand {
        priority,
        points: 1,
        fund: None,
        layouts: vec![LayoutDemand { layout: 0, fixed: Cents(30), spans: vec![span()] }],
    };
    let offer = Offer {
        quantity: 1,
        yard: 0,
        lot: None,
        price: Cents(100),
        stock_value: Cents(0),
        quotes: Vec::new(),
    };
    Market {
        offers: vec![offer; 4],
        trips: vec![Cents(20)],
        levels: Vec::new(),
        fillers: Vec::new(),
        lots: Vec::new(),
        crossings: vec![demand(1), demand(2)],
        budget: None,
        funds: Vec::new(),
        grants: Vec::new(),
    }
}
