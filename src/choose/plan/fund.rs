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

/// What some crossings count in the rows of the funds.
#[derive(Clone, Debug, Default)]
pub struct Spent {
    /// Per row, at the lowest prices of the cars.
    paid: Vec<i64>,
    /// Per row what counts beyond, at the price levels in hand.
    surcharge: Vec<i64>,
    /// Per row and item the cars placed, each by its weight; empty where no yard has price levels.
    used: Vec<Vec<i64>>,
}

impl Spent {
    pub fn nothing(problem: &Problem) -> Self {
        let rows = problem.funds.limits.len();
        let with_levels = if problem.has_levels() { rows } else { 0 };
        Self {
            paid: vec![0; rows],
            surcharge: vec![0; rows],
            used: vec![vec![0; problem.items.len()]; with_levels],
        }
    }

    /// Takes the decks of a crossing in, or out again.
    pub fn count(&mut self, problem: &Problem, served: &Served, place: bool) {
        let layout = &problem.layouts[served.layout];
        let rows = problem.funds.of_fund(problem.crossings[layout.crossing].fund);
        if rows.is_empty() {
            return;
        }
        let decks: i64 = served.decks.iter().map(|deck| charge(problem, deck)).sum();
        let amount = layout.fixed + decks;
        for &(row, weight) in rows {
            let weight = if place { weight } else { -weight };
            self.paid[row] += amount * weight;
            let Some(used) = self.used.get_mut(row) else { continue };
            for (item, count) in served.decks.iter().flat_map(|deck| deck.items(problem)) {
                used[item] += i64::from(count) * weight;
            }
        }
    }

    /// What the cars placed count more in each row at a price level of a yard than at their lowest
    /// prices.
    pub fn surcharges_at(&self, problem: &Problem, levels: &Levels, level: usize) -> Vec<i64> {
        let spares = || levels.spares.iter().filter_map(|spare| spare.item);
        let of_row = |used: &Vec<i64>| {
            spares().map(|item| problem.items[item].surcharge[level] * used[item]).sum()
        };
        self.used.iter().map(of_row).collect()
    }

    /// Notes what counts in each row at the price levels taken.
    pub fn set_surcharges<'a>(&mut self, of_yards: impl Iterator<Item = &'a Vec<i64>>) {
        self.surcharge.fill(0);
        for of_yard in of_yards {
            self.surcharge.iter_mut().zip(of_yard).for_each(|(sum, more)| *sum += more);
        }
    }

    /// What is left of each row at the lowest prices.
    pub fn room(&self, problem: &Problem) -> Vec<i64> {
        problem.funds.limits.iter().zip(&self.paid).map(|(limit, paid)| limit - paid).collect()
    }

    /// What is left of each row.
    pub fn left(&self, problem: &Problem) -> Vec<i64> {
        self.room(problem).iter().zip(&self.surcharge).map(|(room, more)| room - more).collect()
    }

    /// The most that a crossing of a fund may still cost; none: no fund limits it.
    pub fn may_cost(&self, problem: &Problem, fund: Option<usize>) -> Option<i64> {
        let left = self.left(problem);
        let rows = problem.funds.of_fund(fund).iter();
        rows.map(|&(row, weight)| left[row].div_euclid(weight.max(1))).min()
    }

    /// By how many cents a fund is short, or its match; none where the money reaches.
    pub fn short_by(&self, problem: &Problem, fund: Option<usize>) -> Option<i64> {
        let left = self.left(problem);
        let rows = problem.funds.of_fund(fund).iter();
        let short = rows.map(|&(row, _)| -left[row].div_euclid(problem.funds.parts[row]));
        short.max().filter(|short| *short > 0)
    }

    /// Whether no fund pays more than it may.
    pub fn holds(&self, problem: &Problem) -> bool {
        self.left(problem).iter().all(|left| *left >= 0)
    }
}
