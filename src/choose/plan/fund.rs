//! Funds: what of a plan's cost is charged to the fund of a crossing, and how much of each is left.
//!
//! A fund pays what its crossings cost alone: fixed costs, cars landed and built, joints, and the
//! prices of their cars. A car of a lot is charged with its even share of the lot's price, rounded
//! up to a cent so that no fund is passed by a rounding. Trips, spares and the shares of cars that
//! are left over belong to no crossing, and no fund pays for them.

use crate::choose::decks::column::Column;
use crate::choose::plan::served::Served;
use crate::choose::problem::Problem;
use crate::choose::problem::levels::Levels;

/// What a deck costs the fund of its crossing, at the lowest prices of its cars.
pub fn charge(problem: &Problem, column: &Column) -> i64 {
    let shares = column.items(problem).map(|(item, n)| problem.items[item].share * i64::from(n));
    column.outlay + shares.sum::<i64>()
}

/// What the funds have paid for some crossings.
#[derive(Clone, Debug, Default)]
pub struct Spent {
    /// Per fund, at the lowest prices of the cars.
    paid: Vec<i64>,
    /// Per fund what is paid beyond, at the price levels in hand.
    surcharge: Vec<i64>,
    /// Per fund and item the cars placed; empty where no yard has price levels.
    used: Vec<Vec<u32>>,
}

impl Spent {
    pub fn nothing(problem: &Problem) -> Self {
        let funds = problem.funds.len();
        let with_levels = if problem.has_levels() { funds } else { 0 };
        Self {
            paid: vec![0; funds],
            surcharge: vec![0; funds],
            used: vec![vec![0; problem.items.len()]; with_levels],
        }
    }

    /// Takes the decks of a crossing in, or out again.
    pub fn count(&mut self, problem: &Problem, served: &Served, place: bool) {
        let layout = &problem.layouts[served.layout];
        let fund = problem.crossings[layout.crossing].fund;
        let Some(fund) = fund else { return };
        let Some(paid) = self.paid.get_mut(fund) else { return };
        let decks: i64 = served.decks.iter().map(|deck| charge(problem, deck)).sum();
        let amount = layout.fixed + decks;
        *paid += if place { amount } else { -amount };
        let Some(used) = self.used.get_mut(fund) else { return };
        for (item, count) in served.decks.iter().flat_map(|deck| deck.items(problem)) {
            used[item] = if place { used[item] + count } else { used[item] - count };
        }
    }

    /// What the cars placed cost each fund more at a price level of a yard than at their lowest
    /// prices.
    pub fn surcharges_at(&self, problem: &Problem, levels: &Levels, level: usize) -> Vec<i64> {
        let spares = || levels.spares.iter().filter_map(|spare| spare.item);
        let of_fund = |used: &Vec<u32>| {
            spares().map(|item| problem.items[item].surcharge[level] * i64::from(used[item])).sum()
        };
        self.used.iter().map(of_fund).collect()
    }

    /// Notes what each fund pays at the price levels taken.
    pub fn set_surcharges<'a>(&mut self, of_yards: impl Iterator<Item = &'a Vec<i64>>) {
        self.surcharge.fill(0);
        for of_yard in of_yards {
            self.surcharge.iter_mut().zip(of_yard).for_each(|(sum, more)| *sum += more);
        }
    }

    /// What is left of each fund at the lowest prices.
    pub fn room(&self, problem: &Problem) -> Vec<i64> {
        problem.funds.iter().zip(&self.paid).map(|(limit, paid)| limit - paid).collect()
    }

    /// What is left of each fund.
    pub fn left(&self, problem: &Problem) -> Vec<i64> {
        self.room(problem)
            .iter()
            .zip(&self.surcharge)
            .map(|(room, surcharge)| room - surcharge)
            .collect()
    }

    /// Whether no fund pays more than it may.
    pub fn holds(&self, problem: &Problem) -> bool {
        self.left(problem).iter().all(|left| *left >= 0)
    }
}
