//! The multipliers of the rows that tie crossings together.

use std::collections::BTreeMap;

use crate::choose::bound::multipliers::Multipliers;
use crate::choose::problem::Problem;
use crate::choose::problem::group::Group;

/// At most one deck of these spans can exist (one per layout of a crossing), so their decks that
/// use a group, together, need the group bought as a whole: Σ λ ≤ x.
#[derive(Clone, Debug, PartialEq, Eq, PartialOrd, Ord)]
pub struct LinkingRow {
    pub group: Group,
    pub spans: Vec<usize>,
}

/// Multipliers of the rows, in integer units of the stage. All at least zero.
#[derive(Clone, Debug, Default)]
pub struct Duals {
    /// Of the rows that the ascent moves too.
    pub rows: Multipliers<i64>,
    /// Per lot and yard of it: a lot bought needs the trip.
    pub trip: BTreeMap<(usize, usize), i64>,
    /// Per lot that may pay left over as a whole: it is bought only for a car.
    pub idle: BTreeMap<usize, i64>,
    /// Per yard: the least number of cars bought.
    pub level: Vec<i64>,
    /// Of the budget, per cent.
    pub budget: i64,
    /// Per row of the funds, per cent that counts in it; empty: zero.
    pub fund: Vec<i64>,
}

impl Duals {
    /// All zero.
    pub fn zero(problem: &Problem, linking: usize, cuts: usize) -> Self {
        Self {
            rows: Multipliers {
                item: vec![0; problem.items.len()],
                rank: vec![0; problem.ranks.len()],
                linking: vec![0; linking],
                cut: vec![0; cuts],
            },
            level: vec![0; problem.levels.len()],
            fund: vec![0; problem.funds.limits.len()],
            ..Self::default()
        }
    }

    /// What one cent weighs in the rows of a crossing's fund; of none, zero.
    pub fn fund(&self, problem: &Problem, fund: Option<usize>) -> i64 {
        let rows = problem.funds.of_fund(fund).iter();
        rows.map(|&(row, weight)| self.fund.get(row).map_or(0, |dual| dual * weight)).sum()
    }

    /// Between these and others: so many eighths of these.
    pub fn toward(&self, others: &Self, eighths: i64) -> Self {
        let one = |a: i64, b: i64| (a / 8) * eighths + (b / 8) * (8 - eighths);
        let all = |a: &[i64], b: &[i64]| {
            let at = |values: &[i64], place: usize| values.get(place).copied().unwrap_or(0);
            (0..a.len().max(b.len())).map(|place| one(at(a, place), at(b, place))).collect()
        };
        let mut trip: BTreeMap<(usize, usize), i64> = BTreeMap::new();
        for (key, value) in &self.trip {
            *trip.entry(*key).or_default() += one(*value, 0);
        }
        for (key, value) in &others.trip {
            *trip.entry(*key).or_default() += one(0, *value);
        }
        let mut idle: BTreeMap<usize, i64> = BTreeMap::new();
        for (key, value) in &self.idle {
            *idle.entry(*key).or_default() += one(*value, 0);
        }
        for (key, value) in &others.idle {
            *idle.entry(*key).or_default() += one(0, *value);
        }
        Self {
            rows: Multipliers {
                item: all(&self.rows.item, &others.rows.item),
                rank: all(&self.rows.rank, &others.rows.rank),
                linking: all(&self.rows.linking, &others.rows.linking),
                cut: all(&self.rows.cut, &others.rows.cut),
            },
            trip,
            idle,
            budget: one(self.budget, others.budget),
            fund: all(&self.fund, &others.fund),
            level: all(&self.level, &others.level),
        }
    }
}
