//! What a branch of the search has decided.

use crate::choose::decks::column::{Column, Limit};
use crate::choose::problem::{Item, Problem};
use std::collections::BTreeMap;

/// The decisions of one branch. `None`: open.
#[derive(Clone, Debug)]
pub struct Node {
    pub lots: Vec<Option<bool>>,
    pub yards: Vec<Option<bool>>,
    pub layouts: Vec<Option<bool>>,
    pub served: Vec<Option<bool>>,
    pub limits: BTreeMap<usize, Vec<Limit>>,
    /// Lowest and highest price level of each yard.
    pub levels: Vec<(usize, usize)>,
}

impl Node {
    /// Nothing decided.
    pub fn root(problem: &Problem) -> Self {
        Self {
            lots: vec![None; problem.lots.len()],
            yards: vec![None; problem.trips.len()],
            layouts: vec![None; problem.layouts.len()],
            served: vec![None; problem.crossings.len()],
            limits: BTreeMap::new(),
            levels: problem.levels.iter().map(|levels| (0, levels.last())).collect(),
        }
    }

    /// Buys or refuses a lot; a lot bought takes the trips to its yards along.
    pub fn set_lot(&mut self, problem: &Problem, lot: usize, buy: bool) {
        self.lots[lot] = Some(buy);
        if buy {
            for &yard in &problem.lots[lot].yards {
                self.yards[yard] = Some(true);
            }
        }
    }

    /// Uses or avoids a yard.
    pub fn set_yard(&mut self, problem: &Problem, yard: usize, used: bool) {
        self.yards[yard] = Some(used);
        if !used {
            for (lot, record) in problem.lots.iter().enumerate() {
                if record.yards.contains(&yard) {
                    self.lots[lot] = Some(false);
                }
            }
        }
    }

    /// The price at which the node counts an item, above its lowest.
    pub fn surcharge(&self, problem: &Problem, item: usize) -> i64 {
        let item = &problem.items[item];
        item.surcharge.get(self.levels[item.yard].1).copied().unwrap_or(0)
    }

    /// The least number of cars bought at a yard, if any are.
    pub fn at_least(&self, problem: &Problem, yard: usize) -> u32 {
        problem.levels[yard].at_least.get(self.levels[yard].0).copied().unwrap_or(0)
    }

    /// Takes or refuses a layout; taken, the crossing is served and has no other.
    pub fn set_layout(&mut self, problem: &Problem, layout: usize, taken: bool) {
        self.layouts[layout] = Some(taken);
        if taken {
            let crossing = problem.layouts[layout].crossing;
            self.served[crossing] = Some(true);
            for other in problem.crossings[crossing].layouts.clone() {
                if other != layout {
                    self.layouts[other] = Some(false);
                }
            }
        }
    }

    /// Asks for at least so many cars of a candidate in a span.
    pub fn set_least(&mut self, problem: &Problem, span: usize, cand: u32, least: u32) {
        let limit = self.limit_mut(span, cand);
        limit.least = limit.least.max(least);
        self.set_layout(problem, problem.spans[span].layout, true);
        let item = &problem.items[problem.spans[span].cands[cand as usize].item];
        self.yards[item.yard] = Some(true);
        if let Some(lot) = item.lot {
            self.set_lot(problem, lot, true);
        }
    }

    /// Allows at most so many cars of a candidate in a span.
    pub fn set_most(&mut self, span: usize, cand: u32, most: u32) {
        let limit = self.limit_mut(span, cand);
        limit.most = limit.most.min(most);
    }

    /// The limit of a candidate in a span; open if nothing is decided.
    pub fn limit(&self, span: usize, cand: u32) -> Limit {
        let limits = self.limits(span);
        let place = limits.binary_search_by_key(&cand, |limit| limit.cand);
        place.map_or(Limit { cand, least: 0, most: u32::MAX }, |place| limits[place])
    }

    fn limit_mut(&mut self, span: usize, cand: u32) -> &mut Limit {
        let limits = self.limits.entry(span).or_default();
        let place = limits.partition_point(|limit| limit.cand < cand);
        if limits.get(place).is_none_or(|limit| limit.cand != cand) {
            limits.insert(place, Limit { cand, least: 0, most: u32::MAX });
        }
        &mut limits[place]
    }

    /// Cars that can be had, by item.
    pub fn left(&self, problem: &Problem) -> Vec<u32> {
        let refused = |state: Option<&Option<bool>>| state == Some(&Some(false));
        let closed = |item: &Item| {
            refused(self.yards.get(item.yard))
                || refused(item.lot.and_then(|lot| self.lots.get(lot)))
        };
        let left = |item: &Item| if closed(item) { 0 } else { item.quantity };
        problem.items.iter().map(left).collect()
    }

    /// The limits of one span.
    pub fn limits(&self, span: usize) -> &[Limit] {
        self.limits.get(&span).map_or(&[][..], Vec::as_slice)
    }

    /// Whether the crossing may have this layout.
    pub fn layout_open(&self, problem: &Problem, layout: usize) -> bool {
        self.layouts[layout] != Some(false)
            && self.served[problem.layouts[layout].crossing] != Some(false)
    }

    /// Whether a column keeps to the decisions.
    pub fn allows(&self, problem: &Problem, column: &Column) -> bool {
        let span = &problem.spans[column.span];
        if !self.layout_open(problem, span.layout) {
            return false;
        }
        let refused = |state: Option<&Option<bool>>| state == Some(&Some(false));
        let closed = column.cands.iter().any(|&cand| {
            let item = &problem.items[span.cands[cand as usize].item];
            refused(self.yards.get(item.yard))
                || refused(item.lot.and_then(|lot| self.lots.get(lot)))
        });
        !closed
            && self.limits.get(&column.span).is_none_or(|limits| {
                limits.iter().all(|limit| {
                    let here =
                        column.cands.iter().filter(|cand| **cand == limit.cand).count() as u32;
                    (limit.least..=limit.most).contains(&here)
                })
            })
    }
}
