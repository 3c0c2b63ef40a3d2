//! Finds the rows that a solution of the linear program breaks.

use std::collections::{BTreeMap, HashMap};

use crate::choose::bound::relaxed::Relaxed;
use crate::choose::decks::column::Column;
use crate::choose::problem::Problem;
use crate::choose::tuning::{CUT_BROKEN, CUTS_AT_ONCE, CUTS_PER_ITEM, WHOLE_WITHIN};

use crate::choose::decks::cuts::Cut;

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
            let bought = cut.lot.map_or(0.0, |lot| relaxed.lots[lot]);
            let most = cut.most as f64 + cut.per_lot as f64 * bought;
            let taken = |(index, value): &(usize, f64)| {
                let column = &columns[*index];
                cut.taken(column.span, column.items(problem)) as f64 * value
            };
            let broken = relaxed.columns.iter().map(taken).sum::<f64>() - most;
            if broken > CUT_BROKEN {
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
        if chosen.len() == CUTS_AT_ONCE.max(problem.crossings.len()) {
            break;
        }
        if rows().all(|row| often.get(&row).copied().unwrap_or(0) < CUTS_PER_ITEM) {
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
        if value > 1.0 - CUT_BROKEN {
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
                let lot = problem.items.get(rows[1]).and_then(|item| item.lot);
                let most = lot.map_or(1.0, |lot| relaxed.lots[lot]);
                if taken > most + CUT_BROKEN {
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
        .filter(|(_, value)| *value > WHOLE_WITHIN && *value < 1.0 - WHOLE_WITHIN)
        .collect();
    order.sort_by(|a, b| b.1.total_cmp(&a.1).then(a.0.cmp(&b.0)));
    let whole: Vec<usize> =
        relaxed.columns.iter().filter(|c| c.1 >= 1.0 - WHOLE_WITHIN).map(|c| c.0).collect();
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
        if !sum.most || sum.slack > 1.0 - 2.0 * CUT_BROKEN {
            return;
        }
        let odd: f64 = each(&sum.odd).map(|at| order[at].1).sum();
        if sum.slack + odd < 1.0 - 2.0 * CUT_BROKEN {
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
