//! Rows that hold for every plan but not for every mixture of plans.
//!
//! Of three things that are there once, say two cars and the place of one deck, one plan can hold at
//! most one deck that takes two of them. A linear program would mix three such decks, a half of
//! each. In general: half the sum of some rows, rounded down on both sides.

use crate::choose::problem::Problem;

/// Σ over decks ⌊n/2⌋ λ ≤ `most` + `per_lot` z, where n counts the cars of a deck that are among
/// `items`, and the deck itself if it lies on one of `spans`.
#[derive(Clone, Debug, PartialEq, Eq, PartialOrd, Ord)]
pub struct Cut {
    /// Items, rising.
    pub items: Vec<usize>,
    /// Spans, rising.
    pub spans: Vec<usize>,
    pub most: i64,
    /// A lot: where it is not bought, the row is tighter.
    pub lot: Option<usize>,
    pub per_lot: i64,
}

impl Cut {
    /// The row of these items and spans; none: it says nothing.
    pub fn new(problem: &Problem, mut items: Vec<usize>, mut spans: Vec<usize>) -> Option<Self> {
        items.sort_unstable();
        spans.sort_unstable();
        let quantity = |item: &usize| i64::from(problem.items[*item].quantity);
        let all = items.iter().map(quantity).sum::<i64>() + spans.len() as i64;
        // What a lot brings counts only where it is bought. Half of it must be whole, unless there is
        // nothing else.
        let of_lot = |lot: usize| -> i64 {
            items.iter().filter(|item| problem.items[**item].lot == Some(lot)).map(quantity).sum()
        };
        let mut lots = items.iter().filter_map(|item| problem.items[*item].lot);
        let lot = lots.find(|lot| of_lot(*lot) == all || of_lot(*lot) % 2 == 0);
        let (lot, per_lot, rest) = match lot {
            Some(of) if of_lot(of) == all => (lot, all / 2, 0),
            Some(of) => (lot, of_lot(of) / 2, all - of_lot(of)),
            None => (None, 0, all),
        };
        let says = rest % 2 != 0 || lot.is_some_and(|lot| per_lot * 2 < of_lot(lot));
        says.then_some(Self { items, spans, most: rest / 2, lot, per_lot })
    }

    /// How much of the row a deck takes.
    pub fn taken(&self, span: usize, items: impl Iterator<Item = (usize, u32)>) -> i64 {
        let here = |(item, _): &(usize, u32)| self.items.binary_search(item).is_ok();
        let cars: u32 = items.filter(here).map(|(_, n)| n).sum();
        (i64::from(cars) + i64::from(self.spans.binary_search(&span).is_ok())) / 2
    }
}

/// The rows with multipliers above zero, by item.
#[derive(Clone, Debug, Default)]
pub struct Penalties<'a> {
    cuts: &'a [Cut],
    duals: &'a [i64],
    by_item: Vec<Vec<u32>>,
}

impl<'a> Penalties<'a> {
    pub fn new(problem: &Problem, cuts: &'a [Cut], duals: &'a [i64]) -> Self {
        let mut by_item = Vec::new();
        for (index, (cut, dual)) in cuts.iter().zip(duals).enumerate() {
            if *dual > 0 {
                by_item.resize(problem.items.len(), Vec::new());
                for &item in &cut.items {
                    by_item[item].push(index as u32);
                }
            }
        }
        Self { cuts, duals, by_item }
    }

    pub fn is_empty(&self) -> bool {
        self.by_item.is_empty()
    }

    /// What the rows add to the weight of a deck.
    pub fn of<I>(&self, span: usize, items: I) -> i64
    where
        I: Iterator<Item = (usize, u32)> + Clone,
    {
        if self.is_empty() {
            return 0;
        }
        let mut sum = 0;
        for (place, (item, _)) in items.clone().enumerate() {
            for &index in &self.by_item[item] {
                let cut = &self.cuts[index as usize];
                // Each row counts at the first of its items.
                if items
                    .clone()
                    .take(place)
                    .all(|(before, _)| cut.items.binary_search(&before).is_err())
                {
                    sum += self.duals[index as usize] * cut.taken(span, items.clone());
                }
            }
        }
        sum
    }
}
