//! First multipliers without a linear program: a few dozen steps along the subgradient of the bound.
//!
//! Each step costs one search of all spans, far less than a linear program, and from the first on
//! there is a bound. The decks found on the way are the ones the linear program starts with.

use std::collections::BTreeSet;

use crate::choose::bound::duals::{Duals, LinkingRow};
use crate::choose::bound::lagrangian::{Evaluation, Pricer};
use crate::choose::bound::master::Master;
use crate::choose::bound::multipliers::Multipliers;
use crate::choose::bound::node::Node;
use crate::choose::bound::reduced_costs::ReducedCosts;
use crate::choose::bound::subgradient::{Subgradient, uses};
use crate::choose::problem::Problem;
use crate::choose::problem::group::Group;
use crate::choose::problem::stage::{Role, Stage};
use crate::choose::tuning::{
    CUT_ASCENT_STEPS, FIRST_ASCENT_STEPS, FIRST_STEP, FIRST_STEP_WITH_CUTS, LAST_STEP_WEIGHT,
    LINKING_ROW_SELDOM_USED, LONGER, LOT_OPEN_FROM, MULTIPLIER_MOST, NEW_DIRECTION_LEAST,
    NEW_DIRECTION_MOST, SECOND_ASCENT_STEPS, SHORTER_AT_FIRST, SHORTER_LATER, STEPS_WITHOUT_GAIN,
};

use crate::choose::clock::Clock;

/// The multipliers reached, with the bound they give.
pub struct AscentEnd {
    pub duals: Duals,
    pub bound: i64,
    /// How often each lot was bought of late, from 0 to 1.
    pub lots: Vec<f64>,
    /// How often each linking row's decks used its group of late, from 0 to 1.
    pub used_of_late: Vec<f64>,
}

/// A climb toward a value that some plan has.
pub struct SubgradientAscent<'a> {
    pub problem: &'a Problem,
    pub stage: &'a Stage,
    pub clock: &'a Clock<'a>,
    /// Value of the best plan, and how many crossings it serves.
    pub best: (i64, usize),
    /// Where another climb ended.
    pub from: Option<&'a AscentEnd>,
}

impl SubgradientAscent<'_> {
    /// Climbs, and takes the decks found into the columns. Multipliers are floating point here and
    /// rounded before each evaluation, so every bound, of which `tell` hears, is exact.
    pub fn run(
        &self,
        master: &mut Master,
        pricer: &mut Pricer,
        tell: &mut dyn FnMut(i64),
    ) -> AscentEnd {
        let Self { problem, stage, clock, best: (target, served), from } = *self;
        let node = Node::root(problem);
        if from.is_none() && master.linking_rows.is_empty() {
            master.linking_rows = trips(problem, stage);
        }
        let mut used_of_late = match from {
            Some(from) => from.used_of_late.clone(),
            None => vec![1.0; master.linking_rows.len()],
        };
        let mut duals = match from {
            Some(from) => from.duals.clone(),
            None => start(problem, stage, master, target, served),
        };
        let reached = |duals: &Duals, bound: i64| AscentEnd {
            duals: duals.clone(),
            bound,
            lots: Vec::new(),
            used_of_late: Vec::new(),
        };
        // Rows may have come since.
        duals.rows.lengthen(master.linking_rows.len(), master.cuts.len());
        used_of_late.resize(master.linking_rows.len(), 0.0);
        let mut best = reached(&duals, i64::MIN);
        let mut lots = from.map_or_else(|| vec![0.0; problem.lots.len()], |from| from.lots.clone());
        let mut position: Multipliers<f64> = duals.rows.map(|dual| dual as f64);
        let mut direction: Multipliers<f64> = position.map(|_| 0.0);
        let mut tied = tied(problem, master);
        let (mut length, mut idle) =
            (if master.cuts.is_empty() { FIRST_STEP } else { FIRST_STEP_WITH_CUTS }, 0);
        let target = target.saturating_mul(stage.scale) as f64;
        let (steps, shorter) = match from {
            None => (FIRST_ASCENT_STEPS, SHORTER_AT_FIRST),
            Some(_) if master.cuts.is_empty() => (SECOND_ASCENT_STEPS, SHORTER_LATER),
            Some(_) => (CUT_ASCENT_STEPS, SHORTER_LATER),
        };
        for step in 0..steps {
            // The first step is always made: without it there would be no bound at all.
            if clock.up() && (step > 0 || from.is_some()) {
                break;
            }
            duals.rows = position.map(rounded);
            if from.is_none() {
                spread(problem, stage, master, &used_of_late, &mut duals.rows.linking);
            }
            let reduced_costs = ReducedCosts::new(problem, stage, master, &node, &duals);
            let mut found = pricer.evaluate(&reduced_costs, master, &node);
            let (_, reduced, used) = reduced_costs.purchases(master, &node);
            let used = from.is_some().then_some(&used[..]);
            let subgradient =
                Subgradient::of(problem, stage, master, &duals, &found, (&reduced, used));
            for (share, bought) in lots.iter_mut().zip(&subgradient.bought) {
                recent(share, *bought);
            }
            for (share, row) in used_of_late.iter_mut().zip(&master.linking_rows) {
                let used = |span: &usize| uses(problem, &found, *span, row.group);
                recent(share, row.spans.iter().any(used));
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
            if idle == STEPS_WITHOUT_GAIN {
                (length, idle) = (length * shorter, 0);
            }
            let new = match step {
                0 => 1.0,
                _ if from.is_none() => NEW_DIRECTION_MOST,
                _ => shortest(&direction, &subgradient.rows)
                    .clamp(NEW_DIRECTION_LEAST, NEW_DIRECTION_MOST),
            };
            direction.change(&subgradient.rows, |along, subgradient| {
                *along = new * subgradient + (1.0 - new) * *along
            });
            let square: f64 = direction.values().map(|along| along * along).sum();
            if square == 0.0 {
                break;
            }
            // From the best multipliers along the direction.
            let stride = length * (target - best.bound as f64).max(0.0) / square;
            position.change(&best.duals.rows, |to, from| *to = from as f64);
            position.change(&direction, |to, along| *to = (*to + stride * along).max(0.0));
            if from.is_some() {
                tie(problem, master, &found, &lots, &mut tied);
                let (linking, cuts) = (master.linking_rows.len(), master.cuts.len());
                position.lengthen(linking, cuts);
                direction.lengthen(linking, cuts);
                duals.rows.lengthen(linking, cuts);
                best.duals.rows.lengthen(linking, cuts);
                used_of_late.resize(linking, 0.0);
            }
        }
        let kept = |(share, dual): (&f64, &i64)| match from {
            None => *share >= LINKING_ROW_SELDOM_USED,
            Some(_) => *dual > 0,
        };
        let kept: Vec<bool> = used_of_late.iter().zip(&best.duals.rows.linking).map(kept).collect();
        keep(&mut master.linking_rows, &kept);
        keep(&mut used_of_late, &kept);
        keep(&mut best.duals.rows.linking, &kept);
        AscentEnd { lots, used_of_late, ..best }
    }
}

/// A car of a lot weighs its share of the lot at first; a crossing that may stay unserved, what the
/// others cost on average.
fn start(problem: &Problem, stage: &Stage, master: &Master, value: i64, served: usize) -> Duals {
    let mut duals = Duals::zero(problem, master.linking_rows.len(), 0);
    for lot in &problem.lots {
        let cars: i64 = lot.items.iter().map(|item| i64::from(problem.items[*item].quantity)).sum();
        for &item in &lot.items {
            duals.rows.item[item] = stage.per_cent() * lot.net.max(0) / cars.max(1);
        }
    }
    let each = value.max(0) / served.max(1) as i64;
    for (rank, allowed) in stage.allowed.iter().enumerate() {
        if allowed.is_some_and(|allowed| allowed > 0) {
            duals.rows.rank[rank] = each.saturating_mul(stage.scale);
        }
    }
    duals
}

/// A multiplier as the bound takes it.
fn rounded(value: f64) -> i64 {
    value.round().clamp(0.0, MULTIPLIER_MOST) as i64
}

/// One average with one more value.
fn recent(share: &mut f64, value: bool) {
    *share += (f64::from(u8::from(value)) - *share) * LAST_STEP_WEIGHT;
}

/// Of all things keeps those marked.
pub fn keep<T>(all: &mut Vec<T>, kept: &[bool]) {
    let mut kept = kept.iter();
    all.retain(|_| kept.next().copied().unwrap_or(true));
}

/// A linking row for every crossing and yard that costs a trip: of each layout the first span that has
/// cars of the yard.
fn trips(problem: &Problem, stage: &Stage) -> Vec<LinkingRow> {
    let mut rows: Vec<LinkingRow> = Vec::new();
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
                rows.push(LinkingRow { group: Group::Yard(yard), spans });
            }
        }
    }
    rows
}

/// Crossings and lots with a row.
fn tied(problem: &Problem, master: &Master) -> BTreeSet<(usize, usize)> {
    let crossing = |row: &LinkingRow| problem.spans[row.spans[0]].crossing;
    let of_lot = |row: &LinkingRow| match row.group {
        Group::Lot(lot) => Some((crossing(row), lot)),
        Group::Yard(_) => None,
    };
    master.linking_rows.iter().filter_map(of_lot).collect()
}

/// Adds a row for every crossing that just used a lot of which it is open whether it pays.
fn tie(
    problem: &Problem,
    master: &mut Master,
    found: &Evaluation,
    lots: &[f64],
    tied: &mut BTreeSet<(usize, usize)>,
) {
    for (crossing, decks) in found.decks.iter().enumerate() {
        for &group in decks.iter().flat_map(|deck| &deck.groups) {
            let Group::Lot(lot) = group else { continue };
            if lots[lot] < LOT_OPEN_FROM
                || lots[lot] > 1.0 - LOT_OPEN_FROM
                || !tied.insert((crossing, lot))
            {
                continue;
            }
            let stands = |span: &usize| {
                problem.spans[*span]
                    .cands
                    .iter()
                    .any(|cand| problem.items[cand.item].lot == Some(lot))
            };
            let first = |layout: usize| problem.layouts[layout].spans.clone().find(stands);
            let spans = problem.crossings[crossing].layouts.clone().filter_map(first).collect();
            master.linking_rows.push(LinkingRow { group, spans });
        }
    }
}

/// The share of the new directions that makes the mixtures with the old ones shortest.
fn shortest(old: &Multipliers<f64>, new: &Multipliers<f64>) -> f64 {
    let (mut with_old, mut square) = (0.0, 0.0);
    for (old, new) in old.beside(new) {
        with_old += old * (old - new);
        square += (old - new) * (old - new);
    }
    if square > 0.0 { with_old / square } else { NEW_DIRECTION_MOST }
}

/// Spreads the cost of each trip over the rows of its yard, by how often they used it: who uses a
/// yard in any case bears it.
fn spread(
    problem: &Problem,
    stage: &Stage,
    master: &Master,
    used_of_late: &[f64],
    duals: &mut [i64],
) {
    let mut sums = vec![0.0; problem.trips.len()];
    for (row, share) in master.linking_rows.iter().zip(used_of_late) {
        if let Group::Yard(yard) = row.group {
            sums[yard] += share;
        }
    }
    for ((row, share), dual) in master.linking_rows.iter().zip(used_of_late).zip(duals) {
        let Group::Yard(yard) = row.group else { continue };
        let trip = (stage.per_cent() * problem.trips[yard]) as f64;
        *dual = if sums[yard] > 0.0 { (trip * share / sums[yard]).floor() as i64 } else { 0 };
    }
}
