//! First multipliers without a linear program: a few dozen steps along the subgradient of the bound.
//!
//! Each step costs one search of all spans, far less than a linear program, and from the first on
//! there is a bound. The decks found on the way are the ones the linear program starts with.

use std::collections::BTreeSet;

use crate::choose::bound::cuts::{self, Cut};
use crate::choose::bound::master::{Duals, Master, Touch};
use crate::choose::bound::node::{Node, Role, Stage};
use crate::choose::bound::pricing::{Evaluation, Lens, Pricer};
use crate::choose::problem::{NONE, Problem};
use crate::choose::search::clock::Clock;

/// Steps at most, of the first climb, the second, and each with further rows.
const STEPS: (usize, usize, usize) = (200, 480, 240);
/// The first step with further rows is so much shorter.
const NEARER: f64 = 0.02;
/// After so many steps that gain nothing, the next ones are shorter.
const PATIENCE: usize = 4;
const SHORTER: (f64, f64) = (0.6, 0.8);
/// A step that gains makes the next one longer.
const LONGER: f64 = 1.1;
/// Share of the new direction in the next one; the rest is the old direction. In the second climb it is
/// the share that makes the next one shortest, between these.
const NEW: f64 = 0.3;
const LEAST_NEW: f64 = 0.03;

/// After the first climb a row that touched its group less often than this goes; after the second one
/// those whose multiplier is zero.
const SELDOM: f64 = 0.1;

/// Weight of the last step in the average over steps.
const RECENT: f64 = 0.1;

/// The multipliers reached, with the bound they give.
pub struct Ascent {
    pub duals: Duals,
    pub bound: i64,
    /// How often each lot was bought of late, from 0 to 1.
    pub lots: Vec<f64>,
    /// How often each touch row's decks touched its group of late, from 0 to 1.
    pub touched: Vec<f64>,
}

/// A climb toward a value that some plan has.
pub struct Climb<'a> {
    pub problem: &'a Problem,
    pub stage: &'a Stage,
    pub clock: &'a Clock<'a>,
    /// Value of the best plan, and how many crossings it serves.
    pub best: (i64, usize),
    /// Where another climb ended.
    pub from: Option<&'a Ascent>,
}

impl Climb<'_> {
    /// Climbs, and takes the decks found into the columns. Multipliers are floating point here and
    /// rounded before each evaluation, so every bound, of which `tell` hears, is exact.
    pub fn run(
        &self,
        master: &mut Master,
        pricer: &mut Pricer,
        tell: &mut dyn FnMut(i64),
    ) -> Ascent {
        let Self { problem, stage, clock, best: (target, served), from } = *self;
        let node = Node::root(problem);
        if from.is_none() && master.touches.is_empty() {
            master.touches = trips(problem, stage);
        }
        let mut touched = match from {
            Some(from) => from.touched.clone(),
            None => vec![1.0; master.touches.len()],
        };
        let mut duals = match from {
            Some(from) => from.duals.clone(),
            None => start(problem, stage, master, target, served),
        };
        let reached = |duals: &Duals, bound: i64| Ascent {
            duals: duals.clone(),
            bound,
            lots: Vec::new(),
            touched: Vec::new(),
        };
        // Rows may have come since.
        duals.touch.resize(master.touches.len(), 0);
        duals.cut.resize(master.cuts.len(), 0);
        touched.resize(master.touches.len(), 0.0);
        let mut best = reached(&duals, i64::MIN);
        let mut lots = from.map_or_else(|| vec![0.0; problem.lots.len()], |from| from.lots.clone());

        let mut item: Vec<f64> = duals.item.iter().map(|dual| *dual as f64).collect();
        let mut rank: Vec<f64> = duals.rank.iter().map(|dual| *dual as f64).collect();
        let mut touch: Vec<f64> = duals.touch.iter().map(|dual| *dual as f64).collect();
        let mut cut: Vec<f64> = duals.cut.iter().map(|dual| *dual as f64).collect();
        let mut along_item = vec![0.0; item.len()];
        let mut along_cut = vec![0.0; cut.len()];
        let mut along_touch = vec![0.0; touch.len()];
        let mut tied = tied(problem, master);
        let mut along_rank = vec![0.0; rank.len()];
        let (mut length, mut idle) = (if master.cuts.is_empty() { 1.0 } else { NEARER }, 0);
        let target = target.saturating_mul(stage.scale) as f64;
        let (steps, shorter) = match from {
            None => (STEPS.0, SHORTER.0),
            Some(_) if master.cuts.is_empty() => (STEPS.1, SHORTER.1),
            Some(_) => (STEPS.2, SHORTER.1),
        };
        for step in 0..steps {
            // The first step is always made: without it there would be no bound at all.
            if clock.up() && (step > 0 || from.is_some()) {
                break;
            }
            round(&item, &mut duals.item);
            round(&rank, &mut duals.rank);
            round(&touch, &mut duals.touch);
            round(&cut, &mut duals.cut);
            if from.is_none() {
                spread(problem, stage, master, &touched, &mut duals.touch);
            }
            let lens = Lens::new(problem, stage, master, &node, &duals);
            let mut found = pricer.evaluate(&lens, master, &node);
            let (_, reduced, used) = lens.wholes(master, &node);
            let used = from.is_some().then_some(&used[..]);
            let slope = Slope::of(problem, stage, master, &duals, &found, (&reduced, used));
            for (share, bought) in lots.iter_mut().zip(&slope.bought) {
                recent(share, *bought);
            }
            for (share, row) in touched.iter_mut().zip(&master.touches) {
                let touch = |span: &usize| touches(problem, &found, *span, row.group);
                recent(share, row.spans.iter().any(touch));
            }
            for column in std::mem::take(&mut found.fresh) {
                master.add(column);
            }
            if found.bound > best.bound {
                idle = 0;
                length *= LONGER;
                best = reached(&duals, found.bound);
                tell(found.bound);
            } else {
                idle += 1;
            }
            if idle == PATIENCE {
                (length, idle) = (length * shorter, 0);
            }
            let pairs = [
                (&along_item, &slope.item),
                (&along_rank, &slope.rank),
                (&along_touch, &slope.touch),
                (&along_cut, &slope.cut),
            ];
            let new = match step {
                0 => 1.0,
                _ if from.is_none() => NEW,
                _ => shortest(&pairs).clamp(LEAST_NEW, NEW),
            };
            let mix = |along: &mut Vec<f64>, slope: &[f64]| {
                along.iter_mut().zip(slope).for_each(|(a, s)| *a = new * s + (1.0 - new) * *a);
            };
            mix(&mut along_item, &slope.item);
            mix(&mut along_rank, &slope.rank);
            mix(&mut along_touch, &slope.touch);
            mix(&mut along_cut, &slope.cut);
            let all = along_item.iter().chain(&along_rank).chain(&along_touch).chain(&along_cut);
            let square: f64 = all.map(|a| a * a).sum();
            if square == 0.0 {
                break;
            }
            let stride = length * (target - best.bound as f64).max(0.0) / square;
            walk(&mut item, &best.duals.item, &along_item, stride);
            walk(&mut rank, &best.duals.rank, &along_rank, stride);
            walk(&mut touch, &best.duals.touch, &along_touch, stride);
            walk(&mut cut, &best.duals.cut, &along_cut, stride);
            if from.is_some() {
                tie(problem, master, &found, &lots, &mut tied);
                let rows = master.touches.len();
                for values in [&mut touch, &mut along_touch, &mut touched] {
                    values.resize(rows, 0.0);
                }
                duals.touch.resize(rows, 0);
                best.duals.touch.resize(rows, 0);
            }
        }
        let kept = |(share, dual): (&f64, &i64)| match from {
            None => *share >= SELDOM,
            Some(_) => *dual > 0,
        };
        let kept: Vec<bool> = touched.iter().zip(&best.duals.touch).map(kept).collect();
        keep(&mut master.touches, &kept);
        keep(&mut touched, &kept);
        keep(&mut best.duals.touch, &kept);
        Ascent { lots, touched, ..best }
    }
}

/// A car of a lot weighs its share of the lot at first; a crossing that may stay unserved, what the
/// others cost on average.
fn start(problem: &Problem, stage: &Stage, master: &Master, value: i64, served: usize) -> Duals {
    let mut duals = Duals {
        item: vec![0; problem.items.len()],
        touch: vec![0; master.touches.len()],
        rank: vec![0; problem.ranks.len()],
        level: vec![0; problem.levels.len()],
        ..Duals::default()
    };
    for lot in &problem.lots {
        let cars: i64 = lot.items.iter().map(|item| i64::from(problem.items[*item].quantity)).sum();
        for &item in &lot.items {
            duals.item[item] = stage.per_cent() * lot.net.max(0) / cars.max(1);
        }
    }
    let each = value.max(0) / served.max(1) as i64;
    for (rank, allowed) in stage.allowed.iter().enumerate() {
        if allowed.is_some_and(|allowed| allowed > 0) {
            duals.rank[rank] = each.saturating_mul(stage.scale);
        }
    }
    duals
}

fn round(from: &[f64], to: &mut [i64]) {
    to.iter_mut().zip(from).for_each(|(to, from)| *to = from.round().clamp(0.0, 1e16) as i64);
}

/// From the best multipliers along a direction.
fn walk(to: &mut [f64], from: &[i64], along: &[f64], stride: f64) {
    for ((to, from), along) in to.iter_mut().zip(from).zip(along) {
        *to = (*from as f64 + stride * along).max(0.0);
    }
}

/// One average with one more value.
fn recent(share: &mut f64, value: bool) {
    *share += (f64::from(u8::from(value)) - *share) * RECENT;
}

/// Of all things keeps those marked.
pub fn keep<T>(all: &mut Vec<T>, kept: &[bool]) {
    let mut kept = kept.iter();
    all.retain(|_| kept.next().copied().unwrap_or(true));
}

/// A touch row for every crossing and yard that costs a trip: of each layout the first span that has
/// cars of the yard.
fn trips(problem: &Problem, stage: &Stage) -> Vec<Touch> {
    let mut rows: Vec<Touch> = Vec::new();
    for (crossing, record) in problem.crossings.iter().enumerate() {
        if stage.role(problem, crossing) == Role::Absent {
            continue;
        }
        for yard in (0..problem.trips.len()).filter(|yard| problem.trips[*yard] > 0) {
            let stands = |span: &usize| {
                let cands = &problem.spans[*span].cands;
                cands.iter().any(|cand| problem.items[cand.item].yard == yard)
            };
            let first = |layout: usize| problem.layouts[layout].spans.clone().find(stands);
            let spans: Vec<usize> = record.layouts.clone().filter_map(first).collect();
            if !spans.is_empty() {
                rows.push(Touch { group: problem.lots.len() + yard, spans });
            }
        }
    }
    rows
}

/// Crossings and lots with a row.
fn tied(problem: &Problem, master: &Master) -> BTreeSet<(usize, usize)> {
    let rows = master.touches.iter().filter(|row| row.group < problem.lots.len());
    rows.map(|row| (problem.spans[row.spans[0]].crossing, row.group)).collect()
}

/// Adds a row for every crossing that just touched a lot of which it is open whether it pays.
fn tie(
    problem: &Problem,
    master: &mut Master,
    found: &Evaluation,
    lots: &[f64],
    tied: &mut BTreeSet<(usize, usize)>,
) {
    for (crossing, decks) in found.decks.iter().enumerate() {
        for &lot in decks.iter().flat_map(|deck| &deck.groups) {
            if lot >= lots.len()
                || lots[lot] < 0.02
                || lots[lot] > 0.98
                || !tied.insert((crossing, lot))
            {
                continue;
            }
            let stands = |span: &usize| {
                problem.spans[*span].cands.iter().any(|cand| problem.items[cand.item].lot == lot)
            };
            let first = |layout: usize| problem.layouts[layout].spans.clone().find(stands);
            let spans = problem.crossings[crossing].layouts.clone().filter_map(first).collect();
            master.touches.push(Touch { group: lot, spans });
        }
    }
}

/// The share of the new directions that makes the mixtures with the old ones shortest.
fn shortest(pairs: &[(&Vec<f64>, &Vec<f64>)]) -> f64 {
    let (mut with_old, mut square) = (0.0, 0.0);
    for (old, new) in pairs.iter().flat_map(|(old, new)| old.iter().zip(new.iter())) {
        with_old += old * (old - new);
        square += (old - new) * (old - new);
    }
    if square > 0.0 { with_old / square } else { NEW }
}

/// Whether the deck that the bound takes for a span touches a group.
fn touches(problem: &Problem, found: &Evaluation, span: usize, group: usize) -> bool {
    let decks = &found.decks[problem.spans[span].crossing];
    decks.iter().any(|deck| deck.span == span && deck.groups.contains(&group))
}

/// Spreads the cost of each trip over the rows of its yard, by how often they touched it: who uses a
/// yard in any case bears it.
fn spread(problem: &Problem, stage: &Stage, master: &Master, touched: &[f64], duals: &mut [i64]) {
    let lots = problem.lots.len();
    let mut sums = vec![0.0; problem.trips.len()];
    for (row, share) in master.touches.iter().zip(touched) {
        if let Some(yard) = row.group.checked_sub(lots) {
            sums[yard] += share;
        }
    }
    for ((row, share), dual) in master.touches.iter().zip(touched).zip(duals) {
        let Some(yard) = row.group.checked_sub(lots) else { continue };
        let trip = (stage.per_cent() * problem.trips[yard]) as f64;
        *dual = if sums[yard] > 0.0 { (trip * share / sums[yard]).floor() as i64 } else { 0 };
    }
}

/// By how much each row is broken where the bound is taken.
struct Slope {
    /// Lots bought there.
    bought: Vec<bool>,
    item: Vec<f64>,
    rank: Vec<f64>,
    /// Per touch row.
    touch: Vec<f64>,
    cut: Vec<f64>,
}

impl Slope {
    fn of(
        problem: &Problem,
        stage: &Stage,
        master: &Master,
        duals: &Duals,
        found: &Evaluation,
        (reduced, used): (&[i64], Option<&[i64]>),
    ) -> Self {
        let mut item = vec![0.0; problem.items.len()];
        for column in found.decks.iter().flatten() {
            for (number, count) in column.items(problem) {
                item[number] += f64::from(count);
            }
        }
        for (number, terms) in problem.items.iter().enumerate() {
            if terms.lot == NONE {
                item[number] -= f64::from(terms.quantity);
            }
        }
        let mut bought = vec![false; problem.lots.len()];
        for (number, lot) in problem.lots.iter().enumerate().filter(|(_, lot)| lot.useful) {
            bought[number] = reduced[number] < 0;
            if bought[number] {
                for &number in &lot.items {
                    item[number] -= f64::from(problem.items[number].quantity);
                }
            }
        }
        let mut rank = vec![0.0; problem.ranks.len()];
        for (crossing, decks) in found.decks.iter().enumerate() {
            if decks.is_empty() && stage.role(problem, crossing) == Role::Shared {
                rank[problem.crossings[crossing].rank] += 1.0;
            }
        }
        for (rank, allowed) in rank.iter_mut().zip(&stage.allowed) {
            *rank -= allowed.unwrap_or(0) as f64;
        }
        let whole = |group: usize| match bought.get(group) {
            Some(bought) => Some(*bought),
            None => used.map(|used| used[group - bought.len()] < 0),
        };
        let row = |row: &Touch| {
            let touch = row.spans.iter().any(|span| touches(problem, found, *span, row.group));
            let share = |whole: bool| f64::from(u8::from(touch)) - f64::from(u8::from(whole));
            whole(row.group).map_or(0.0, share)
        };
        let mut touch: Vec<f64> = master.touches.iter().map(row).collect();
        let taken = cuts::taken(problem, &master.cuts, &found.decks);
        let of_cut = |(taken, cut): (i64, &Cut)| {
            let lot = bought.get(cut.lot).copied().unwrap_or(false);
            (taken - cut.most - if lot { cut.per_lot } else { 0 }) as f64
        };
        let mut cut: Vec<f64> = taken.into_iter().zip(&master.cuts).map(of_cut).collect();
        // A multiplier at zero does not fall.
        let held = |slope: &mut [f64], duals: &[i64]| {
            slope
                .iter_mut()
                .zip(duals)
                .filter(|(s, d)| **s < 0.0 && **d == 0)
                .for_each(|(s, _)| *s = 0.0);
        };
        held(&mut item, &duals.item);
        held(&mut rank, &duals.rank);
        held(&mut touch, &duals.touch);
        held(&mut cut, &duals.cut);
        Self { bought, item, rank, touch, cut }
    }
}
