//! The subgradient of the bound.

use crate::choose::bound::duals::{Duals, LinkingRow};
use crate::choose::bound::lagrangian::Evaluation;
use crate::choose::bound::master::Master;
use crate::choose::bound::multipliers::Multipliers;
use crate::choose::decks::column::Column;
use crate::choose::decks::cuts::Cut;
use crate::choose::problem::Problem;
use crate::choose::problem::group::Group;
use crate::choose::problem::stage::{Role, Stage};

/// By how much each row is broken where the bound is taken.
pub struct Subgradient {
    /// Lots bought there.
    pub bought: Vec<bool>,
    pub rows: Multipliers<f64>,
}

impl Subgradient {
    pub fn of(
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
            if terms.lot.is_none() {
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
        let is_bought = |group: Group| match group {
            Group::Lot(lot) => Some(bought[lot]),
            Group::Yard(yard) => used.map(|used| used[yard] < 0),
        };
        let row = |row: &LinkingRow| {
            let used = row.spans.iter().any(|span| uses(problem, found, *span, row.group));
            let broken = |bought: bool| f64::from(u8::from(used)) - f64::from(u8::from(bought));
            is_bought(row.group).map_or(0.0, broken)
        };
        let linking: Vec<f64> = master.linking_rows.iter().map(row).collect();
        let taken = taken(problem, &master.cuts, &found.decks);
        let of_cut = |(taken, cut): (i64, &Cut)| {
            let lot = cut.lot.is_some_and(|lot| bought[lot]);
            (taken - cut.most - if lot { cut.per_lot } else { 0 }) as f64
        };
        let cut: Vec<f64> = taken.into_iter().zip(&master.cuts).map(of_cut).collect();
        let mut rows = Multipliers { item, rank, linking, cut };
        rows.change(&duals.rows, |subgradient, dual| {
            // A multiplier at zero does not fall.
            if *subgradient < 0.0 && dual == 0 {
                *subgradient = 0.0;
            }
        });
        Self { bought, rows }
    }
}

/// How much of each row some decks take together.
fn taken(problem: &Problem, cuts: &[Cut], decks: &[Vec<Column>]) -> Vec<i64> {
    let mut taken = vec![0; cuts.len()];
    if cuts.is_empty() {
        return taken;
    }
    let mut by_item: Vec<Vec<usize>> = vec![Vec::new(); problem.items.len()];
    for (index, cut) in cuts.iter().enumerate() {
        cut.items.iter().for_each(|item| by_item[*item].push(index));
    }
    for deck in decks.iter().flatten() {
        let mut in_cuts: Vec<usize> =
            deck.items(problem).flat_map(|(item, _)| by_item[item].iter().copied()).collect();
        in_cuts.sort_unstable();
        in_cuts.dedup();
        for cut in in_cuts {
            taken[cut] += cuts[cut].taken(deck.span, deck.items(problem));
        }
    }
    taken
}

/// Whether the deck that the bound takes for a span uses a group.
pub fn uses(problem: &Problem, found: &Evaluation, span: usize, group: Group) -> bool {
    let decks = &found.decks[problem.spans[span].crossing];
    decks.iter().any(|deck| deck.span == span && deck.groups.contains(&group))
}
