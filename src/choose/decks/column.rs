//! A deck of one span, as a column of the program.

use crate::choose::problem::group::Group;
use crate::choose::problem::{Cand, Problem, Span};

/// A deck of one span, as a column of the program.
#[derive(Clone, Debug, PartialEq, Eq)]
pub struct Column {
    pub span: usize,
    /// Candidates of the span in rising order, once per car.
    pub cands: Vec<u32>,
    /// Net cost of its cars, their loads and joints.
    pub net: i64,
    /// What is paid for its cars, their loads and joints.
    pub outlay: i64,
    /// The groups its cars belong to, each once.
    pub groups: Vec<Group>,
}

impl Column {
    /// Cost of its joints.
    pub fn joints(&self, problem: &Problem) -> i64 {
        let span = &problem.spans[self.span];
        let cars: i64 = self.cands.iter().map(|cand| span.cands[*cand as usize].net).sum();
        self.net - cars - span.beyond_shares(|place| self.cands[place], self.cands.len())
    }

    /// The items of its cars with their number, in rising order of candidates.
    pub fn items<'a>(
        &'a self,
        problem: &'a Problem,
    ) -> impl Iterator<Item = (usize, u32)> + Clone + 'a {
        runs(&problem.spans[self.span], &self.cands)
    }
}

/// The items of candidates in rising order, with their number.
pub fn runs<'a>(
    span: &'a Span,
    cands: &'a [u32],
) -> impl Iterator<Item = (usize, u32)> + Clone + 'a {
    let run = |run: &[u32]| (span.cands[run[0] as usize].item, run.len() as u32);
    cands.chunk_by(|a, b| a == b).map(run)
}

/// The least and most cars of one candidate in the deck of one span.
#[derive(Clone, Copy, Debug, PartialEq, Eq)]
pub struct Limit {
    pub cand: u32,
    pub least: u32,
    pub most: u32,
}

/// The column of a deck.
pub fn column(problem: &Problem, span: usize, cands: &[u32], joints: i64) -> Column {
    let all = &problem.spans[span].cands;
    let sum = |figure: fn(&Cand) -> i64| {
        cands.iter().map(|cand| figure(&all[*cand as usize])).sum::<i64>()
    };
    let beyond = joints + problem.spans[span].beyond_shares(|place| cands[place], cands.len());
    let mut groups = Vec::new();
    for &cand in cands {
        let item = all[cand as usize].item;
        for group in [problem.lot_group(item), problem.yard_group(item)].into_iter().flatten() {
            if !groups.contains(&group) {
                groups.push(group);
            }
        }
    }
    Column {
        span,
        cands: cands.to_vec(),
        net: sum(|cand| cand.net) + beyond,
        outlay: sum(|cand| cand.outlay) + beyond,
        groups,
    }
}
