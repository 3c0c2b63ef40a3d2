//! Rows that hold for every plan but not for every mixture of plans.
//!
//! Of three things that are there once, say two cars and the place of one deck, one plan can hold at
//! most one deck that takes two of them. A linear program would mix three such decks, a half of
//! each. In general: half the sum of some rows, rounded down on both sides.

use std::collections::{BTreeMap, HashMap};

use crate::choose::bound::master::Relaxed;
use crate::choose::decks::columns::Column;
use crate::choose::problem::{NONE, Problem};

/// A row is added when it is violated by more than this.
const VIOLATED: f64 = 0.02;
/// Rows added at once, or one per crossing if there are more of these.
const AT_ONCE: usize = 60;
/// Of the rows added at once no item or span is in more than this many.
const SHARED: usize = 4;

/// Σ over decks ⌊n/2⌋ λ ≤ `most` + `per_lot` z, where n counts the cars of a deck that are among
/// `items`, and the deck itself if it lies on one of `spans`.
#[derive(Clone, Debug, PartialEq, Eq, PartialOrd, Ord)]
pub struct Cut {
    /// Items, rising.
    pub items: Vec<usize>,
    /// Spans, rising.
    pub spans: Vec<usize>,
    pub most: i64,
    /// A lot, or [`NONE`]: where it is not bought, the row is tighter.
    pub lot: usize,
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
            items.iter().filter(|item| problem.items[**item].lot == lot).map(quantity).sum()
        };
        let mut lots = items.iter().map(|item| problem.items[*item].lot).filter(|lot| *lot != NONE);
        let lot = lots.find(|lot| of_lot(*lot) == all || of_lot(*lot) % 2 == 0);
        let (lot, per_lot, rest) = match lot {
            Some(lot) if of_lot(lot) == all => (lot, all / 2, 0),
            Some(lot) => (lot, of_lot(lot) / 2, all - of_lot(lot)),
            None => (NONE, 0, all),
        };
        let says = rest % 2 != 0 || lot != NONE && per_lot * 2 < of_lot(lot);
        says.then_some(Self { items, spans, most: rest / 2, lot, per_lot })
    }

    /// How much of the row a deck takes.
    pub fn taken(&self, span: usize, items: impl Iterator<Item = (usize, u32)>) -> i64 {
        let here = |(item, _): &(usize, u32)| self.items.binary_search(item).is_ok();
        let cars: u32 = items.filter(here).map(|(_, n)| n).sum();
        (i64::from(cars) + i64::from(self.spans.binary_search(&span).is_ok())) / 2
    }
}

/// How much of each row some decks take together.
pub fn taken(problem: &Problem, cuts: &[Cut], decks: &[Vec<Column>]) -> Vec<i64> {
    let mut taken = vec![0; cuts.len()];
    if cuts.is_empty() {
        return taken;
    }
    let mut by_item: Vec<Vec<usize>> = vec![Vec::new(); problem.items.len()];
    for (index, cut) in cuts.iter().enumerate() {
        cut.items.iter().for_each(|item| by_item[*item].push(index));
    }
    for deck in decks.iter().flatten() {
        let mut touched: Vec<usize> =
            deck.items(problem).flat_map(|(item, _)| by_item[item].iter().copied()).collect();
        touched.sort_unstable();
        touched.dedup();
        for cut in touched {
            taken[cut] += cuts[cut].taken(deck.span, deck.items(problem));
        }
    }
    taken
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

/// The rows that a solution breaks, most broken first.
pub fn broken(problem: &Problem, columns: &[Column], relaxed: &Relaxed) -> Vec<Cut> {
    let spans = problem.items.len();
    let mut sets = triples(problem, columns, relaxed);
    sets.extend(halves(problem, columns, relaxed));
    let mut cuts: Vec<(f64, Cut)> = Vec::new();
    for rows in sets {
        let of_spans = rows.iter().filter(|row| **row >= spans).map(|row| row - spans).collect();
        let items = rows.iter().copied().filter(|row| *row < spans).collect();
        if let Some(cut) = Cut::new(problem, items, of_spans) {
            let bought = relaxed.lots.get(cut.lot).copied().unwrap_or(0.0);
            let most = cut.most as f64 + cut.per_lot as f64 * bought;
            let taken = |(index, value): &(usize, f64)| {
                let column = &columns[*index];
                cut.taken(column.span, column.items(problem)) as f64 * value
            };
            let broken = relaxed.columns.iter().map(taken).sum::<f64>() - most;
            if broken > VIOLATED {
                cuts.push((broken, cut));
            }
        }
    }
    cuts.sort_by(|a, b| b.0.total_cmp(&a.0).then_with(|| a.1.cmp(&b.1)));
    cuts.dedup();
    let mut often: BTreeMap<usize, usize> = BTreeMap::new();
    let mut chosen = Vec::new();
    for (_, cut) in cuts {
        let rows = || cut.items.iter().copied().chain(cut.spans.iter().map(|span| span + spans));
        if chosen.len() == AT_ONCE.max(problem.crossings.len()) {
            break;
        }
        if rows().all(|row| often.get(&row).copied().unwrap_or(0) < SHARED) {
            rows().for_each(|row| *often.entry(row).or_default() += 1);
            chosen.push(cut);
        }
    }
    chosen
}

/// The sets of three rows that a solution may break.
fn triples(problem: &Problem, columns: &[Column], relaxed: &Relaxed) -> Vec<Vec<usize>> {
    let spans = problem.items.len();
    let mut pairs: BTreeMap<(usize, usize), f64> = BTreeMap::new();
    let mut triples: HashMap<[usize; 3], f64> = HashMap::new();
    for &(index, value) in &relaxed.columns {
        if value > 1.0 - VIOLATED {
            continue;
        }
        let column = &columns[index];
        let mut rows: Vec<usize> = column.items(problem).map(|(item, _)| item).collect();
        rows.push(spans + column.span);
        rows.sort_unstable();
        for (place, &a) in rows.iter().enumerate() {
            for (next, &b) in rows.iter().enumerate().skip(place + 1) {
                *pairs.entry((a, b)).or_default() += value;
                for &c in &rows[next + 1..] {
                    *triples.entry([a, b, c]).or_default() += value;
                }
            }
        }
    }
    let mut near: BTreeMap<usize, Vec<usize>> = BTreeMap::new();
    for &(a, b) in pairs.keys() {
        near.entry(a).or_default().push(b);
        near.entry(b).or_default().push(a);
    }
    let pair = |a: usize, b: usize| pairs.get(&(a.min(b), a.max(b))).copied().unwrap_or(0.0);
    let mut found = Vec::new();
    for (&middle, others) in &near {
        for (place, &a) in others.iter().enumerate() {
            let first = pair(middle, a);
            for &b in &others[place + 1..] {
                let third = pair(a, b);
                // With three pairs each triple would be seen three times.
                if third > 0.0 && (middle > a || middle > b) {
                    continue;
                }
                let mut rows = [middle, a, b];
                rows.sort_unstable();
                let all = triples.get(&rows).copied().unwrap_or(0.0);
                let taken = first + pair(middle, b) + third - 2.0 * all;
                let lot = problem.items.get(rows[1]).map_or(NONE, |item| item.lot);
                let most = relaxed.lots.get(lot).copied().unwrap_or(1.0);
                if taken > most + VIOLATED {
                    found.push(rows.to_vec());
                }
            }
        }
    }
    found
}

/// A sum of rows, of which only what is odd matters.
#[derive(Clone)]
struct Sum {
    /// The decks in which it is odd.
    odd: Vec<u64>,
    /// The rows that it is the sum of.
    rows: Vec<u64>,
    /// Whether its right side is odd.
    most: bool,
    slack: f64,
    used: bool,
}

fn bit(bits: &[u64], at: usize) -> bool {
    bits[at / 64] >> (at % 64) & 1 == 1
}

fn flip(bits: &mut [u64], others: &[u64]) {
    bits.iter_mut().zip(others).for_each(|(a, b)| *a ^= b);
}

/// The set bits.
fn each(bits: &[u64]) -> impl Iterator<Item = usize> + '_ {
    (0..bits.len() * 64).filter(|at| bit(bits, *at))
}

/// Sets of rows whose sum is even in almost all decks of the solution but odd on the right side: half
/// of it, rounded down, is broken. They are found by elimination: the decks with the greatest shares
/// are made even first.
fn halves(problem: &Problem, columns: &[Column], relaxed: &Relaxed) -> Vec<Vec<usize>> {
    let spans = problem.items.len();
    let mut order: Vec<(usize, f64)> = relaxed
        .columns
        .iter()
        .copied()
        .filter(|(_, value)| *value > 1e-4 && *value < 1.0 - 1e-4)
        .collect();
    order.sort_by(|a, b| b.1.total_cmp(&a.1).then(a.0.cmp(&b.0)));
    let whole: Vec<usize> =
        relaxed.columns.iter().filter(|c| c.1 >= 1.0 - 1e-4).map(|c| c.0).collect();
    // Per row what is taken of it, and the decks in which it is odd.
    let mut rows: BTreeMap<usize, (f64, Vec<usize>)> = BTreeMap::new();
    for (place, &(index, value)) in order.iter().enumerate() {
        let column = &columns[index];
        let items = column.items(problem);
        for (row, n) in items.chain(std::iter::once((spans + column.span, 1))) {
            let entry = rows.entry(row).or_default();
            entry.0 += value * f64::from(n);
            if n % 2 == 1 {
                entry.1.push(place);
            }
        }
    }
    for index in whole {
        let column = &columns[index];
        for (item, _) in column.items(problem) {
            rows.remove(&item);
        }
        rows.remove(&(spans + column.span));
    }
    let words = order.len().div_ceil(64);
    let row_words = rows.len().div_ceil(64);
    let numbers: Vec<usize> = rows.keys().copied().collect();
    let mut sums: Vec<Sum> = Vec::new();
    for (place, (row, (taken, odd))) in rows.iter().enumerate() {
        let most = match problem.items.get(*row) {
            Some(item) => f64::from(item.quantity),
            None => 1.0,
        };
        let mut sum = Sum {
            odd: vec![0; words],
            rows: vec![0; row_words],
            most: most as u64 % 2 == 1,
            slack: (most - taken).max(0.0),
            used: false,
        };
        odd.iter().for_each(|at| sum.odd[at / 64] |= 1 << (at % 64));
        sum.rows[place / 64] |= 1 << (place % 64);
        if sum.slack < 0.9 {
            sums.push(sum);
        }
    }
    let mut found = Vec::new();
    let mut check = |sum: &Sum| {
        if !sum.most || sum.slack > 1.0 - 2.0 * VIOLATED {
            return;
        }
        let odd: f64 = each(&sum.odd).map(|at| order[at].1).sum();
        if sum.slack + odd < 1.0 - 2.0 * VIOLATED {
            found.push(each(&sum.rows).map(|at| numbers[at]).collect());
        }
    };
    for deck in 0..order.len() {
        let with = (0..sums.len()).filter(|at| !sums[*at].used && bit(&sums[*at].odd, deck));
        let pivot = with.min_by(|a, b| sums[*a].slack.total_cmp(&sums[*b].slack).then(a.cmp(b)));
        let Some(pivot) = pivot else { continue };
        sums[pivot].used = true;
        let by = sums[pivot].clone();
        for sum in sums.iter_mut().filter(|sum| !sum.used && bit(&sum.odd, deck)) {
            flip(&mut sum.odd, &by.odd);
            flip(&mut sum.rows, &by.rows);
            sum.most ^= by.most;
            sum.slack += by.slack;
            check(sum);
        }
    }
    found
}
