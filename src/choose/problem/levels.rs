//! Price levels of a yard: all its prices fall when so many cars are bought there, and below the
//! least number nothing is sold. Cars bought only to reach a level are spares: they cost their price
//! less their stock value.

use crate::choose::market::Market;

/// A car that may be bought beyond what is placed.
#[derive(Clone, Debug)]
pub struct Spare {
    /// Its item, which then has fewer cars to place; none: it fits nowhere.
    pub item: Option<usize>,
    /// Its offer; of an item the first.
    pub offer: usize,
    pub quantity: u32,
    /// Net cost and outlay of one at each level.
    pub costs: Vec<(i64, i64)>,
}

/// A lot that may be bought with none of its cars placed.
#[derive(Clone, Debug)]
pub struct Filler {
    pub lot: usize,
    pub cars: u32,
    /// Its price less the stock value of its cars.
    pub net: i64,
    pub outlay: i64,
}

/// The price levels of one yard.
#[derive(Clone, Debug, Default)]
pub struct Levels {
    /// Least number of cars bought, per level; empty: one price for any number.
    pub at_least: Vec<u32>,
    /// The spares of the yard.
    pub spares: Vec<Spare>,
    /// The lots of the yard that may fill up an order.
    pub fillers: Vec<Filler>,
    /// Per level the spares by rising price.
    pub by_price: Vec<Vec<usize>>,
}

/// What a yard adds to the cost of the cars placed, at their lowest prices, at one level.
#[derive(Clone, Debug)]
pub struct Deal {
    pub level: usize,
    pub net: i64,
    pub outlay: i64,
    /// What the cars placed cost each fund more.
    pub funds: Vec<i64>,
    /// Spares bought: their index and number.
    pub spares: Vec<(usize, u32)>,
    /// Lots bought of which no car is placed.
    pub lots: Vec<usize>,
}

/// Some lots that fill up an order.
#[derive(Clone, Default)]
struct Filled {
    cars: u32,
    net: i64,
    outlay: i64,
    lots: Vec<usize>,
}

impl Levels {
    /// The levels of all yards of a market.
    pub fn all(market: &Market, item_of: &[Option<usize>]) -> Vec<Self> {
        let mut all: Vec<Self> = (0..market.trips.len())
            .map(|yard| Self {
                at_least: market.levels.get(yard).cloned().unwrap_or_default(),
                ..Self::default()
            })
            .collect();
        for (offer, terms) in market.offers.iter().enumerate() {
            let Some(levels) = all.get_mut(terms.yard) else { continue };
            let fits = !levels.at_least.is_empty() && terms.quotes.len() == levels.at_least.len();
            if !fits || terms.lot.is_some() {
                continue;
            }
            let item = item_of.get(offer).copied().flatten();
            let known = levels.spares.iter_mut().find(|spare| item.is_some() && spare.item == item);
            match known {
                Some(spare) => spare.quantity += terms.quantity,
                None => levels.spares.push(Spare {
                    item,
                    offer,
                    quantity: terms.quantity,
                    costs: terms
                        .quotes
                        .iter()
                        .map(|quote| ((quote.price - quote.stock_value).0, quote.price.0))
                        .collect(),
                }),
            }
        }
        for levels in &mut all {
            levels.by_price = (0..levels.at_least.len())
                .map(|level| {
                    let mut order: Vec<usize> = (0..levels.spares.len()).collect();
                    order.sort_by_key(|&spare| levels.spares[spare].costs[level].1);
                    order
                })
                .collect();
        }
        all
    }

    /// Whether any number is sold at one price.
    pub fn is_plain(&self) -> bool {
        self.at_least.is_empty() || self.at_least == [0] || self.at_least == [1]
    }

    /// The last level, at which prices are lowest.
    pub fn last(&self) -> usize {
        self.at_least.len().saturating_sub(1)
    }

    /// The deals at a level when so many cars are bought without spares and fillers, `used` of each item
    /// and `placed` of each lot are placed; `surcharge` is what the cars placed cost more than at their
    /// lowest prices. Of two deals neither is better in all that counts: net cost, and where money is short
    /// what is paid. None: there are too few cars in the yard.
    pub fn deals(
        &self,
        level: usize,
        bought: u32,
        (used, placed): (&[u32], &[u32]),
        surcharge: i64,
        short: bool,
    ) -> Vec<Deal> {
        let Some(least) = self.at_least.get(level) else { return Vec::new() };
        let missing = least.saturating_sub(bought);
        let filled = self.filled(missing, placed, short);
        filled
            .into_iter()
            .filter_map(|filled| self.deal(level, missing, used, surcharge, filled))
            .collect()
    }

    /// The ways to fill up so many cars, or some of them, with lots of which no car is placed.
    fn filled(&self, missing: u32, placed: &[u32], short: bool) -> Vec<Filled> {
        let mut ways = vec![Filled::default()];
        if missing == 0 {
            return ways;
        }
        for filler in self.fillers.iter().filter(|filler| placed[filler.lot] == 0) {
            let with = |way: &Filled| {
                let mut lots = way.lots.clone();
                lots.push(filler.lot);
                Filled {
                    cars: (way.cars + filler.cars).min(missing),
                    net: way.net + filler.net,
                    outlay: way.outlay + filler.outlay,
                    lots,
                }
            };
            let more: Vec<Filled> = ways.iter().map(with).collect();
            ways.extend(more);
            // The best first, so that of equals the one found first stays.
            ways.sort_by_key(|way| (way.net, way.outlay, u32::MAX - way.cars));
            let mut kept: Vec<Filled> = Vec::new();
            for way in ways {
                let better = |other: &Filled| {
                    other.cars >= way.cars && (!short || other.outlay <= way.outlay)
                };
                if !kept.iter().any(better) {
                    kept.push(way);
                }
            }
            ways = kept;
        }
        ways
    }

    /// The deal at a level with these lots, and as many spares as are missing then.
    fn deal(
        &self,
        level: usize,
        missing: u32,
        used: &[u32],
        surcharge: i64,
        filled: Filled,
    ) -> Option<Deal> {
        let mut missing = missing.saturating_sub(filled.cars);
        let mut deal = Deal {
            level,
            net: surcharge + filled.net,
            outlay: surcharge + filled.outlay,
            funds: Vec::new(),
            spares: Vec::new(),
            lots: filled.lots,
        };
        for &index in &self.by_price[level] {
            if missing == 0 {
                break;
            }
            let spare = &self.spares[index];
            let placed = spare.item.map_or(0, |item| used[item]);
            let taken = spare.quantity.saturating_sub(placed).min(missing);
            if taken > 0 {
                missing -= taken;
                deal.net += spare.costs[level].0 * i64::from(taken);
                deal.outlay += spare.costs[level].1 * i64::from(taken);
                deal.spares.push((index, taken));
            }
        }
        (missing == 0).then_some(deal)
    }
}

/// What may still be paid.
#[derive(Clone, Debug)]
pub struct Room {
    /// In all; none: no limit.
    pub budget: Option<i64>,
    /// By each fund.
    pub funds: Vec<i64>,
}

impl Room {
    /// What may still be paid after a deal.
    fn after(mut self, deal: &Deal) -> Self {
        self.budget = self.budget.map(|budget| budget - deal.outlay);
        self.funds.iter_mut().zip(&deal.funds).for_each(|(room, more)| *room -= more);
        self
    }

    fn is_kept(&self) -> bool {
        self.budget.is_none_or(|budget| budget >= 0) && self.funds.iter().all(|room| *room >= 0)
    }
}

/// The deals of several yards, one each, of least net cost that keep to what may be paid; where none
/// do, those of least outlay.
pub fn best_deals(options: &[Vec<Deal>], room: &Room) -> Vec<usize> {
    let least = |key: fn(&Deal) -> (i64, i64)| -> Vec<usize> {
        let of_yard = |deals: &Vec<Deal>| {
            let places = 0..deals.len();
            places.min_by_key(|place| key(&deals[*place])).unwrap_or(0)
        };
        options.iter().map(of_yard).collect()
    };
    let cheapest = least(|deal| (deal.net, deal.outlay));
    let taken = options.iter().zip(&cheapest).map(|(deals, place)| &deals[*place]);
    if taken.fold(room.clone(), Room::after).is_kept() {
        return cheapest;
    }
    let thriftiest = least(|deal| (deal.outlay, deal.net));
    if !options
        .iter()
        .map(|deals| lowest(deals))
        .fold(room.clone(), |room, deal| room.after(&deal))
        .is_kept()
    {
        return thriftiest;
    }
    let mut best = (i64::MAX, thriftiest);
    within(options, room, 0, &mut Vec::new(), &mut best);
    best.1
}

/// The least of each figure of some deals.
fn lowest(deals: &[Deal]) -> Deal {
    let both = |mut lowest: Deal, deal: &Deal| {
        lowest.outlay = lowest.outlay.min(deal.outlay);
        lowest.funds.iter_mut().zip(&deal.funds).for_each(|(low, more)| *low = (*low).min(*more));
        lowest
    };
    let none = Deal {
        level: 0,
        net: 0,
        outlay: 0,
        funds: Vec::new(),
        spares: Vec::new(),
        lots: Vec::new(),
    };
    let first = deals.first().cloned().unwrap_or(none);
    deals.iter().fold(first, both)
}

/// Tries every combination of deals that keeps to what may be paid: no deal gives anything back.
fn within(
    options: &[Vec<Deal>],
    room: &Room,
    net: i64,
    chosen: &mut Vec<usize>,
    best: &mut (i64, Vec<usize>),
) {
    if !room.is_kept() {
        return;
    }
    let Some((deals, rest)) = options.split_first() else {
        if net < best.0 {
            *best = (net, chosen.clone());
        }
        return;
    };
    for (place, deal) in deals.iter().enumerate() {
        chosen.push(place);
        within(rest, &room.clone().after(deal), net + deal.net, chosen, best);
        chosen.pop();
    }
}
