//! What a plan takes and costs, in integers, kept up to date as decks come and go.

use crate::choose::plan::fund::Spent;
use crate::choose::plan::served::Served;
use crate::choose::problem::Problem;
use crate::choose::problem::levels::{Deal, Room, best_deals};

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

    /// Everything that the decks of some crossings take.
    pub fn of(problem: &Problem, crossings: &[Option<Served>]) -> Self {
        let mut ledger = Self::empty(problem);
        for served in crossings.iter().flatten() {
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
            let short = problem.budget.is_some();
            let deals: Vec<Deal> = (0..levels.at_least.len())
                .flat_map(|level| {
                    let placed = levels.spares.iter().filter_map(|spare| spare.item);
                    let surcharge = placed
                        .map(|item| {
                            problem.items[item].surcharge[level] * i64::from(self.used[item])
                        })
                        .sum();
                    let placed = (&self.used[..], &self.lots[..]);
                    let deals = levels.deals(level, self.bought[yard], placed, surcharge, short);
                    let funds = self.funds.surcharges_at(problem, levels, level);
                    deals.into_iter().map(move |deal| Deal { funds: funds.clone(), ..deal })
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
        self.funds.set_surcharges(deals.iter().map(|(_, deal)| &deal.funds));
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
                if let Some(number) = terms.lot {
                    let lot = &problem.lots[number];
                    if self.lots[number] == 0 {
                        self.spend(lot.net, lot.price);
                        for (&yard, cars) in lot.yards.iter().zip(&lot.cars) {
                            self.visit(problem, yard, true);
                            self.bought[yard] += cars;
                        }
                    }
                    self.lots[number] += count;
                } else {
                    self.bought[terms.yard] += count;
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
                if let Some(number) = terms.lot {
                    let lot = &problem.lots[number];
                    self.lots[number] -= count;
                    if self.lots[number] == 0 {
                        self.spend(-lot.net, -lot.price);
                        for (&yard, cars) in lot.yards.iter().zip(&lot.cars) {
                            self.visit(problem, yard, false);
                            self.bought[yard] -= cars;
                        }
                    }
                } else {
                    self.bought[terms.yard] -= count;
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
