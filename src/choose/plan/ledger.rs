//! Plans in items, and their totals in integers.

use crate::choose::bound::node::{Role, Stage};
use crate::choose::decks::columns::{Column, column};
use crate::choose::market::{Choice, ChosenLayout, Market};
use crate::choose::problem::fund;
use crate::choose::problem::fund::Spent;
use crate::choose::problem::levels::{self, Deal, Room, best_deals};
use crate::choose::problem::{NONE, Problem};
use crate::group::{Candidate, haul_cost};
use crate::quantity::{Cents, Inches};

/// The decks of a served crossing.
#[derive(Clone, Debug, PartialEq, Eq)]
pub struct Served {
    /// Index into [`Problem::layouts`].
    pub layout: usize,
    /// One column per span.
    pub decks: Vec<Column>,
}

impl Served {
    /// The decks that a choice gives a crossing, or none if they do not fit the market.
    fn of(problem: &Problem, crossing: usize, chosen: &ChosenLayout) -> Option<Self> {
        let mut layouts = problem.crossings.get(crossing)?.layouts.clone();
        let layout = layouts.find(|layout| problem.layouts[*layout].number == chosen.layout)?;
        let deck = |(span, deck): (usize, &Vec<usize>)| {
            let record = &problem.spans[span];
            let mut cands = Vec::new();
            for offer in deck {
                let item = *problem.item_of.get(*offer)?;
                cands.push(record.cands.iter().position(|c| c.item == item)? as u32);
            }
            cands.sort_unstable();
            let cars = || cands.iter().map(|cand| &record.cands[*cand as usize]);
            let shallowest =
                cars().map(|car| car.fit.exterior_depth).fold(Inches(f64::INFINITY), Inches::min);
            let widths = cars().map(|car| car.fit.width).sum();
            let joint = record.rule.joint_for(cands.len(), widths, shallowest)?;
            Some(column(problem, span, &cands, joint.cost.0))
        };
        let spans = problem.layouts[layout].spans.clone();
        let decks: Option<Vec<Column>> = spans.zip(&chosen.decks).map(deck).collect();
        Some(Self { layout, decks: decks? })
    }

    /// The decks in offers: of each item the first offer that is left, which is then taken.
    pub fn chosen(&self, problem: &Problem, left: &mut [u32]) -> ChosenLayout {
        let mut take = |item: usize| {
            let offers = &problem.items[item].offers;
            let offer = offers.iter().copied().find(|offer| left[*offer] > 0).unwrap_or(offers[0]);
            left[offer] = left[offer].saturating_sub(1);
            offer
        };
        let mut deck = |column: &Column| {
            let cands = &problem.spans[column.span].cands;
            let items = column.cands.iter().map(|cand| cands[*cand as usize].item);
            let mut deck: Vec<usize> = items.map(&mut take).collect();
            deck.sort_unstable();
            deck
        };
        ChosenLayout {
            layout: problem.layouts[self.layout].number,
            decks: self.decks.iter().map(&mut deck).collect(),
        }
    }
}

/// A plan: decks per crossing. What is bought follows from them.
#[derive(Clone, Debug, PartialEq, Eq)]
pub struct Plan {
    pub crossings: Vec<Option<Served>>,
}

/// What a plan takes and costs.
#[derive(Clone, Debug)]
pub struct Ledger {
    /// Cars placed, per item.
    pub used: Vec<u32>,
    /// Cars placed, per lot.
    pub lots: Vec<u32>,
    /// Cars placed and lots bought, per yard.
    pub yards: Vec<u32>,
    /// Cars bought, per yard, spares apart.
    pub bought: Vec<u32>,
    pub net: i64,
    pub outlay: i64,
    /// What the funds pay of it.
    pub funds: Spent,
    /// What price levels and spares add to net cost and outlay.
    deals: (i64, i64),
    /// Whether some yard does not have the cars for its least order.
    short: bool,
}

impl Ledger {
    /// Nothing placed.
    pub fn empty(problem: &Problem) -> Self {
        Self {
            used: vec![0; problem.items.len()],
            lots: vec![0; problem.lots.len()],
            yards: vec![0; problem.trips.len()],
            bought: vec![0; problem.trips.len()],
            net: 0,
            outlay: 0,
            funds: Spent::nothing(problem),
            deals: (0, 0),
            short: false,
        }
    }

    /// A copy for a search to mark cars in.
    pub fn clone_for_search(&self) -> Self {
        self.clone()
    }

    /// Everything a plan takes.
    pub fn of(problem: &Problem, plan: &Plan) -> Self {
        let mut ledger = Self::empty(problem);
        for served in plan.crossings.iter().flatten() {
            ledger.place(problem, served);
        }
        ledger
    }

    fn spend(&mut self, net: i64, outlay: i64) {
        self.net += net;
        self.outlay += outlay;
    }

    fn visit(&mut self, problem: &Problem, yard: usize, more: bool) {
        let trip = problem.trips[yard];
        if more {
            self.yards[yard] += 1;
            if self.yards[yard] == 1 {
                self.spend(trip, trip);
            }
        } else {
            self.yards[yard] -= 1;
            if self.yards[yard] == 0 {
                self.spend(-trip, -trip);
            }
        }
    }

    /// The yards with price levels at which is bought, and the deal of each that makes the whole
    /// cheapest; none where a yard does not have the cars for its least order.
    pub fn deals(&self, problem: &Problem) -> Option<Vec<(usize, Deal)>> {
        let mut yards = Vec::new();
        let mut options: Vec<Vec<Deal>> = Vec::new();
        for (yard, levels) in problem.levels.iter().enumerate() {
            if self.bought[yard] == 0 || levels.at_least.is_empty() {
                continue;
            }
            let deals: Vec<Deal> = (0..levels.at_least.len())
                .filter_map(|level| {
                    let placed = levels.spares.iter().filter(|spare| spare.item != NONE);
                    let dearer = placed
                        .map(|s| problem.items[s.item].dearer[level] * i64::from(self.used[s.item]))
                        .sum();
                    let deal = levels.deal(level, self.bought[yard], &self.used, dearer)?;
                    Some(Deal { funds: self.funds.dearer_at(problem, levels, level), ..deal })
                })
                .collect();
            if deals.is_empty() {
                return None;
            }
            yards.push(yard);
            options.push(deals);
        }
        let room = Room {
            budget: problem.budget.map(|budget| budget - (self.outlay - self.deals.1)),
            funds: self.funds.room(problem),
        };
        let chosen = best_deals(&options, &room);
        let deals = yards.into_iter().zip(options).zip(chosen);
        Some(deals.map(|((yard, mut deals), place)| (yard, deals.swap_remove(place))).collect())
    }

    /// Brings the cost of price levels and spares up to date.
    fn settle(&mut self, problem: &Problem) {
        if !problem.has_levels() {
            return;
        }
        let deals = self.deals(problem);
        self.short = deals.is_none();
        let deals = deals.unwrap_or_default();
        let sum = |figure: fn(&Deal) -> i64| deals.iter().map(|(_, deal)| figure(deal)).sum();
        let now: (i64, i64) = (sum(|deal| deal.net), sum(|deal| deal.outlay));
        self.spend(now.0 - self.deals.0, now.1 - self.deals.1);
        self.funds.set_dearer(deals.iter().map(|(_, deal)| &deal.funds));
        self.deals = now;
    }

    /// Takes the decks of a crossing in.
    pub fn place(&mut self, problem: &Problem, served: &Served) {
        let fixed = problem.layouts[served.layout].fixed;
        self.spend(fixed, fixed);
        self.funds.count(problem, served, true);
        for column in &served.decks {
            self.spend(column.net, column.outlay);
            for (item, count) in column.items(problem) {
                self.used[item] += count;
                let terms = &problem.items[item];
                for _ in 0..count {
                    self.visit(problem, terms.yard, true);
                }
                if terms.lot == NONE {
                    self.bought[terms.yard] += count;
                } else {
                    let lot = &problem.lots[terms.lot];
                    if self.lots[terms.lot] == 0 {
                        self.spend(lot.net, lot.price);
                        for (&yard, cars) in lot.yards.iter().zip(&lot.cars) {
                            self.visit(problem, yard, true);
                            self.bought[yard] += cars;
                        }
                    }
                    self.lots[terms.lot] += count;
                }
            }
        }
        self.settle(problem);
    }

    /// The totals with the decks of one more crossing.
    pub fn with(&self, problem: &Problem, served: &Served) -> Self {
        let mut ledger = self.clone();
        ledger.place(problem, served);
        ledger
    }

    /// Takes the decks of a crossing out again.
    pub fn remove(&mut self, problem: &Problem, served: &Served) {
        let fixed = problem.layouts[served.layout].fixed;
        self.spend(-fixed, -fixed);
        self.funds.count(problem, served, false);
        for column in &served.decks {
            self.spend(-column.net, -column.outlay);
            for (item, count) in column.items(problem) {
                self.used[item] -= count;
                let terms = &problem.items[item];
                for _ in 0..count {
                    self.visit(problem, terms.yard, false);
                }
                if terms.lot == NONE {
                    self.bought[terms.yard] -= count;
                } else {
                    let lot = &problem.lots[terms.lot];
                    self.lots[terms.lot] -= count;
                    if self.lots[terms.lot] == 0 {
                        self.spend(-lot.net, -lot.price);
                        for (&yard, cars) in lot.yards.iter().zip(&lot.cars) {
                            self.visit(problem, yard, false);
                            self.bought[yard] -= cars;
                        }
                    }
                }
            }
        }
        self.settle(problem);
    }

    /// Whether every item is there often enough, every least order is met and budget and funds hold.
    pub fn holds(&self, problem: &Problem) -> bool {
        !self.short
            && self.used.iter().zip(&problem.items).all(|(used, item)| *used <= item.quantity)
            && problem.budget.is_none_or(|budget| self.outlay <= budget || self.is_empty())
            && self.funds.holds(problem)
    }

    fn is_empty(&self) -> bool {
        self.used.iter().all(|used| *used == 0)
    }
}

impl Plan {
    /// Serves nobody.
    pub fn empty(problem: &Problem) -> Self {
        Self { crossings: vec![None; problem.crossings.len()] }
    }

    /// Crossings served.
    pub fn served(&self) -> usize {
        self.crossings.iter().flatten().count()
    }

    /// Points of the crossings left out, per rank, of those that can be served at all.
    pub fn unserved(&self, problem: &Problem) -> Vec<usize> {
        let mut unserved = vec![0; problem.ranks.len()];
        for (record, served) in problem.crossings.iter().zip(&self.crossings) {
            if served.is_none() && !record.layouts.is_empty() {
                unserved[record.rank] += record.points;
            }
        }
        unserved
    }

    /// The plan's value in a stage, or none if it breaks a rule of the stage or of the market.
    pub fn value(&self, problem: &Problem, stage: &Stage) -> Option<i64> {
        let ledger = Ledger::of(problem, self);
        if !ledger.holds(problem) {
            return None;
        }
        let unserved = self.unserved(problem);
        let kept = stage
            .allowed
            .iter()
            .zip(&unserved)
            .all(|(allowed, unserved)| allowed.is_none_or(|allowed| *unserved <= allowed));
        kept.then(|| stage.counted.map_or(ledger.net, |rank| unserved[rank] as i64))
    }

    /// The plan without the crossings that take no part in a stage.
    pub fn trimmed(&self, problem: &Problem, stage: &Stage) -> Self {
        let keep = |crossing: usize| stage.role(problem, crossing) != Role::Absent;
        let crossings = self.crossings.iter().enumerate();
        Self { crossings: crossings.map(|(i, s)| s.clone().filter(|_| keep(i))).collect() }
    }

    /// The plan of a choice, or none if the choice does not fit the market.
    pub fn from_choice(problem: &Problem, choice: &Choice) -> Option<Self> {
        let mut plan = Self::empty(problem);
        for (crossing, chosen) in choice.crossings.iter().enumerate() {
            if let Some(chosen) = chosen {
                plan.crossings[crossing] = Some(Served::of(problem, crossing, chosen)?);
            }
        }
        Some(plan)
    }

    /// What is left of the choice of another market that differs in a few offers: the crossings whose
    /// cars are still to be had.
    pub fn left_of(problem: &Problem, choice: &Choice) -> Self {
        let mut plan = Self::empty(problem);
        let mut ledger = Ledger::empty(problem);
        for (crossing, chosen) in choice.crossings.iter().enumerate() {
            let served = chosen.as_ref().and_then(|c| Served::of(problem, crossing, c));
            let Some(served) = served else { continue };
            ledger.place(problem, &served);
            if ledger.holds(problem) {
                plan.crossings[crossing] = Some(served);
            } else {
                ledger.remove(problem, &served);
            }
        }
        plan
    }

    /// The plan as a choice: items become offers, the first offers first, crossing by crossing.
    pub fn into_choice(self, problem: &Problem, market: &Market) -> Choice {
        let mut left: Vec<u32> = market.offers.iter().map(|offer| offer.quantity).collect();
        let mut lots = vec![false; market.lots.len()];
        let ledger = Ledger::of(problem, &self);
        let net = ledger.net;
        let crossings = self
            .crossings
            .iter()
            .map(|served| served.as_ref().map(|served| served.chosen(problem, &mut left)))
            .collect::<Vec<_>>();
        for offer in
            crossings.iter().flatten().flat_map(|c: &ChosenLayout| c.decks.iter().flatten())
        {
            if let Some(lot) = market.offers[*offer].lot {
                lots[lot] = true;
            }
        }
        let mut levels = vec![None; market.trips.len()];
        let mut spares = Vec::new();
        for (yard, deal) in ledger.deals(problem).unwrap_or_default() {
            levels[yard] = Some(deal.level);
            for (spare, count) in deal.spares {
                let spare = &problem.levels[yard].spares[spare];
                let item = problem.items.get(spare.item);
                let offers = item.map_or(std::slice::from_ref(&spare.offer), |item| &item.offers);
                let mut missing = count;
                for &offer in offers {
                    let taken = left[offer].min(missing);
                    left[offer] -= taken;
                    missing -= taken;
                    if taken > 0 {
                        spares.push((offer, taken));
                    }
                }
            }
        }
        spares.sort_unstable();
        Choice {
            crossings,
            lots: (0..lots.len()).filter(|lot| lots[*lot]).collect(),
            levels,
            spares,
            net: Cents(net),
            bound: Cents(net),
            cheapest: false,
            service: false,
            stopped: None,
        }
    }
}

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
    let (added, worth) = levels::added(market, choice, &mut used)?;
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
        let placed = |(offer, used): (&crate::choose::market::Offer, &u32)| {
            offer.lot == Some(lot) && *used > 0
        };
        if !market.offers.iter().zip(&used).any(placed) {
            return None;
        }
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
    let shares = fund::lot_shares(market);
    let price = |offer: usize| {
        let terms = &market.offers[offer];
        let level = choice.levels.get(terms.yard).copied().flatten();
        let quote = level.and_then(|level| terms.quotes.get(level));
        match terms.lot {
            Some(lot) => Cents(shares.get(lot).copied().unwrap_or(0)),
            None => quote.map_or(terms.price, |quote| quote.price),
        }
    };
    let mut left = market.funds.clone();
    for (demand, chosen) in market.crossings.iter().zip(&choice.crossings) {
        let fund = demand.fund.and_then(|fund| left.get_mut(fund));
        let (Some(left), Some(chosen)) = (fund, chosen) else { continue };
        let layout = &demand.layouts[chosen.layout];
        *left -= layout.fixed;
        for (span, deck) in layout.spans.iter().zip(&chosen.decks) {
            let find = |offer: &usize| span.candidates.iter().find(|car| car.offer == *offer);
            let cars: Vec<&Candidate> = deck.iter().filter_map(find).collect();
            *left -= span.fixed + span.rule.admits(&cars).map_or(Cents::ZERO, |joint| joint.cost);
            *left -= cars.iter().map(|car| car.cost + price(car.offer)).sum::<Cents>();
            *left -= haul_cost(&cars);
        }
    }
    left.iter().all(|left| *left >= Cents::ZERO)
}
