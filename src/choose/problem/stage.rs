//! What a stage of the search asks for.

use crate::choose::problem::Problem;

/// What a stage wants of a crossing.
#[derive(Clone, Copy, Debug, PartialEq, Eq)]
pub enum Role {
    /// It takes no part.
    Absent,
    /// It must be served.
    Must,
    /// Leaving it out counts its points.
    Counted,
    /// It may be left out, as long as its rank keeps to its number.
    Shared,
}

/// One stage: least number unserved of one rank, or, at the end, least net cost.
#[derive(Clone, Debug)]
pub struct Stage {
    /// The rank whose unserved crossings are counted; none: net cost is.
    pub counted: Option<usize>,
    /// Per rank the most that may stay unserved, of those that can be served at all; none: the
    /// rank takes no part.
    pub allowed: Vec<Option<usize>>,
    /// Integer units in one cent, or in one crossing.
    pub scale: i64,
}

impl Stage {
    /// The stage that counts the unserved of one rank, given what the ranks before it leave out.
    /// Where yards have price levels, later ranks may help: their cars count for the level too.
    pub fn serve(problem: &Problem, rank: usize, before: &[usize]) -> Self {
        let later = |r: usize| r > rank && problem.has_levels();
        let all = |r: usize| {
            let of_rank = problem.crossings.iter().filter(|crossing| crossing.rank == r);
            of_rank
                .filter(|crossing| !crossing.layouts.is_empty())
                .map(|crossing| crossing.points)
                .sum()
        };
        let allowed = (0..problem.ranks.len())
            .map(|r| before.get(r).copied().or_else(|| later(r).then(|| all(r))))
            .collect();
        Self { counted: Some(rank), allowed, scale: 1 << 40 }
    }

    /// The stage that looks for the least net cost.
    pub fn cost(unserved: &[usize]) -> Self {
        Self {
            counted: None,
            allowed: unserved.iter().copied().map(Some).collect(),
            scale: 1 << 10,
        }
    }

    /// A bound in units of the stage as a value, rounded up: values are whole.
    pub fn in_value(&self, bound: i64) -> i64 {
        bound.div_euclid(self.scale) + i64::from(bound.rem_euclid(self.scale) != 0)
    }

    /// What this stage wants of a crossing.
    pub fn role(&self, problem: &Problem, crossing: usize) -> Role {
        let record = &problem.crossings[crossing];
        if record.layouts.is_empty() {
            return Role::Absent;
        }
        if self.counted == Some(record.rank) {
            return Role::Counted;
        }
        match self.allowed[record.rank] {
            None => Role::Absent,
            Some(0) => Role::Must,
            Some(_) => Role::Shared,
        }
    }

    /// Units of one cent of net cost.
    pub fn per_cent(&self) -> i64 {
        if self.counted.is_none() { self.scale } else { 0 }
    }
}
