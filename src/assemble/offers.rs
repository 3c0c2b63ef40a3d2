//! Which of several offers of one car counts: the one with which the plan is best.
//!
//! All offers are let into one market first. A plan of it that takes no car twice is the best plan, and its
//! offers count. Where it takes one car twice, each offer of that car is tried alone, and the best of what
//! comes of it is taken. So nothing is lost against choosing an offer beforehand, by its price or otherwise.

use std::collections::{BTreeMap, BTreeSet};

use super::{PlanOptions, market, to_spend};
use crate::choose::{Effort, Merit, choose, merit};
use crate::deadline::Deadline;
use crate::model::inputs::{CarIx, Inputs};
use crate::survey::Survey;

/// Searches at most; beyond, the cheapest offer counts as before.
const SEARCHES: usize = 16;

type Twins = BTreeMap<CarIx, CarIx>;

/// Settles which offer counts of each car that several dealers list, as far as all of them can be had.
pub fn choose_offers(inputs: &mut Inputs, options: &PlanOptions) {
    let groups = groups(inputs);
    if groups.is_empty() {
        return;
    }
    let mut open = inputs.decided.twins.clone();
    open.retain(|other, _| !groups.iter().any(|group| group.contains(other)));
    let end = options.effort.deadline();
    let mut search = Search { inputs: inputs.clone(), groups, options, end, left: SEARCHES };
    if let Some((_, twins)) = search.best(&open) {
        inputs.decided.twins = twins;
    }
}

/// Cars with several offers, each of which can be had; the one that counts so far first.
fn groups(inputs: &Inputs) -> Vec<Vec<CarIx>> {
    let decided = &inputs.decided;
    let mut groups: BTreeMap<CarIx, Vec<CarIx>> = BTreeMap::new();
    for (&other, &counts) in &decided.twins {
        groups.entry(counts).or_insert_with(|| vec![counts]).push(other);
    }
    let open = |ix: &CarIx| {
        let car = inputs.car(*ix);
        let settled = decided.standing.contains_key(ix) || decided.fixed.contains_key(ix);
        !settled && !car.owned && (car.price.is_some() || car.lot.is_some())
    };
    groups.into_values().filter(|group| group.iter().all(open)).collect()
}

struct Search<'a> {
    inputs: Inputs,
    groups: Vec<Vec<CarIx>>,
    options: &'a PlanOptions<'a>,
    end: Deadline<'a>,
    left: usize,
}

impl Search<'_> {
    /// The best plan's merit and offers, where these are settled already; none where too much was tried.
    fn best(&mut self, twins: &Twins) -> Option<(Merit, Twins)> {
        self.left = self.left.checked_sub(1)?;
        self.inputs.decided.twins.clone_from(twins);
        let survey = Survey::new(&self.inputs);
        let market = market(&self.inputs, &survey, to_spend(&self.inputs, self.options.budget));
        let time_limit = self.end.left().or(self.options.effort.time_limit);
        let choice = choose(&market, &Effort { time_limit, ..self.options.effort });
        let decks = choice.crossings.iter().flatten().flat_map(|chosen| &chosen.decks);
        let laid: BTreeSet<CarIx> = decks.flatten().map(|offer| CarIx(*offer)).collect();
        let mut settled = twins.clone();
        for group in self.groups.clone() {
            if group.iter().any(|car| twins.contains_key(car)) {
                continue;
            }
            let used: Vec<CarIx> = group.iter().copied().filter(|car| laid.contains(car)).collect();
            if used.len() > 1 {
                let tried =
                    group.iter().filter_map(|counts| self.best(&with(twins, &group, *counts)));
                return tried.min_by(|a, b| a.0.cmp(&b.0));
            }
            let counts = used.first().or(group.first()).copied()?;
            settled = with(&settled, &group, counts);
        }
        Some((merit(&market, &choice, choice.net), settled))
    }
}

/// The same with one offer of a group counting.
fn with(twins: &Twins, group: &[CarIx], counts: CarIx) -> Twins {
    let others = group.iter().filter(|other| **other != counts);
    let mut with = twins.clone();
    with.extend(others.map(|other| (*other, counts)));
    with
}
