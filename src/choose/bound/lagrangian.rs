//! A lower bound from any multipliers, exact in integers.
//!
//! The rows that tie crossings together are taken into the objective with multipliers at or above
//! zero. What is left falls apart: each crossing takes its cheapest layout with the lightest deck
//! per span, or stays unserved; each lot and yard is bought if its reduced price is below zero. The
//! multipliers come from a solver in floating point and are rounded to integers before use, and the
//! lightest decks are found over all decks, not over those known; so the bound holds whatever the
//! solver returned.

use crate::choose::bound::master::Master;
use crate::choose::bound::node::Node;
use crate::choose::bound::reduced_costs::ReducedCosts;
use crate::choose::decks::column::{Column, column};
use crate::choose::decks::extension::Found;
use crate::choose::decks::pricing::{DeckSearch, Weights};
use crate::choose::problem::group::ByGroup;
use crate::choose::problem::stage::Role;
use crate::choose::problem::{INFINITE, Problem};
use crate::choose::tuning::{LARGE_FROM_CANDIDATES, NEW_COLUMNS_PER_SPAN, THREADS_MOST};

use crate::parallel;

/// What the multipliers prove under the decisions of a node.
pub struct Evaluation {
    /// No plan of the node is below this, in units of the stage; [`INFINITE`] or more: there is none.
    pub bound: i64,
    /// Decks lighter than every known one of their span.
    pub fresh: Vec<Column>,
    /// How much the fresh decks lower the bound that the known decks alone would give.
    pub gain: i64,
    /// Weight of the lightest deck per span; [`INFINITE`]: none.
    pub lightest: Vec<i64>,
    /// The decks that each crossing takes; none where it stays unserved.
    pub decks: Vec<Vec<Column>>,
}

impl Evaluation {
    /// Weight of a layout with the lightest deck on each of its spans; [`INFINITE`]: one has none.
    pub fn layout(&self, reduced_costs: &ReducedCosts, layout: usize) -> i64 {
        let record = &reduced_costs.problem.layouts[layout];
        let fixed = reduced_costs.per_cent(record.spans.start) * record.fixed;
        let lightest = record.spans.clone().map(|span| self.lightest[span]);
        lightest.fold(fixed, |sum, weight| sum.saturating_add(weight).min(INFINITE))
    }

    /// What a crossing adds to the bound: its lightest open layout, or its place among the unserved.
    pub fn share(&self, reduced_costs: &ReducedCosts, node: &Node, crossing: usize) -> i64 {
        let layouts = reduced_costs.problem.crossings[crossing].layouts.clone();
        let open = layouts.filter(|layout| node.layout_open(reduced_costs.problem, *layout));
        let least = open.map(|layout| self.layout(reduced_costs, layout)).min().unwrap_or(INFINITE);
        least.min(reduced_costs.unserved(node, crossing).unwrap_or(INFINITE))
    }
}

/// The lightest deck of a span.
struct Lightest {
    /// Its weight; [`INFINITE`]: there is none.
    weight: i64,
    /// Weight of the lightest known deck.
    known: i64,
    deck: Option<Column>,
}

/// Evaluates multipliers, with the memory it reuses.
pub struct Pricer {
    /// One for each thread.
    workers: Vec<Worker>,
}

/// The memory of one thread.
struct Worker {
    finder: DeckSearch,
    charge: ByGroup<i64>,
}

/// What one crossing adds to an evaluation.
struct Share {
    crossing: usize,
    least: i64,
    /// The same over the known decks.
    known: i64,
    decks: Vec<Column>,
    fresh: Vec<Column>,
    lightest: Vec<(usize, i64)>,
}

/// Everything that an evaluation goes by.
#[derive(Clone, Copy)]
struct Terms<'a> {
    reduced_costs: &'a ReducedCosts<'a>,
    master: &'a Master,
    node: &'a Node,
    /// Cars that can be had, by item.
    left: &'a [u32],
}

impl Pricer {
    pub fn new(problem: &Problem) -> Self {
        let candidates: usize = problem.spans.iter().map(|span| span.cands.len()).sum();
        let many = candidates >= LARGE_FROM_CANDIDATES;
        let threads = if many { parallel::processors().min(THREADS_MOST) } else { 1 };
        let worker = || Worker { finder: DeckSearch::default(), charge: problem.zero_by_group() };
        Self { workers: (0..threads).map(|_| worker()).collect() }
    }

    /// The bound that the multipliers give under the decisions of a node. It does not depend on the
    /// number of threads.
    pub fn evaluate(
        &mut self,
        reduced_costs: &ReducedCosts,
        master: &Master,
        node: &Node,
    ) -> Evaluation {
        let problem = reduced_costs.problem;
        let left = node.left(problem);
        let terms = Terms { reduced_costs, master, node, left: &left };
        let mut found = Evaluation {
            bound: reduced_costs.constant(master, node),
            fresh: Vec::new(),
            gain: 0,
            lightest: vec![INFINITE; problem.spans.len()],
            decks: vec![Vec::new(); problem.crossings.len()],
        };
        for share in self.shares(&terms) {
            found.gain = found.gain.saturating_add(share.known - share.least);
            found.bound = found.bound.saturating_add(share.least).min(INFINITE);
            found.decks[share.crossing] = share.decks;
            found.fresh.extend(share.fresh);
            for (span, lightest) in share.lightest {
                found.lightest[span] = lightest;
            }
        }
        found
    }

    /// Shows every deck of a span that the node allows and that weighs no more than the threshold,
    /// which what is told each deck may lower; none ends the search.
    pub fn each_deck<F: FnMut(&Found) -> Option<i64>>(
        &mut self,
        reduced_costs: &ReducedCosts,
        master: &Master,
        node: &Node,
        span: usize,
        threshold: i64,
        visit: F,
    ) {
        let left = node.left(reduced_costs.problem);
        let terms = Terms { reduced_costs, master, node, left: &left };
        self.workers[0].search(&terms, span, threshold, visit);
    }

    /// The shares of the crossings, in their order.
    fn shares(&mut self, terms: &Terms) -> Vec<Share> {
        let problem = terms.reduced_costs.problem;
        let crossings: Vec<usize> = (0..problem.crossings.len())
            .filter(|crossing| terms.reduced_costs.stage.role(problem, *crossing) != Role::Absent)
            .collect();
        parallel::by_workers(&mut self.workers, &crossings, |worker, crossing| {
            worker.share(terms, *crossing)
        })
    }
}

impl Worker {
    fn share(&mut self, terms: &Terms, crossing: usize) -> Share {
        let Terms { reduced_costs, node, .. } = *terms;
        let problem = reduced_costs.problem;
        let unserved = reduced_costs.unserved(node, crossing).unwrap_or(INFINITE);
        let mut share = Share {
            crossing,
            least: unserved,
            known: unserved,
            decks: Vec::new(),
            fresh: Vec::new(),
            lightest: Vec::new(),
        };
        for layout in problem.crossings[crossing].layouts.clone() {
            if !node.layout_open(problem, layout) {
                continue;
            }
            let spans = problem.layouts[layout].spans.clone();
            let fixed = reduced_costs.per_cent(spans.start) * problem.layouts[layout].fixed;
            let (mut all, mut old) = (fixed, fixed);
            let mut decks = Vec::new();
            for span in spans {
                let lightest = self.lightest(terms, span, &mut share.fresh);
                share.lightest.push((span, lightest.weight));
                all = all.saturating_add(lightest.weight).min(INFINITE);
                old = old.saturating_add(lightest.known).min(INFINITE);
                decks.extend(lightest.deck);
            }
            if all < share.least {
                share.least = all;
                share.decks = decks;
            }
            share.known = share.known.min(old);
        }
        share
    }

    /// The lightest deck of a span, and the lightest known one.
    fn lightest(&mut self, terms: &Terms, span: usize, fresh: &mut Vec<Column>) -> Lightest {
        let Terms { reduced_costs, master, node, .. } = *terms;
        let known = master.by_span[span]
            .iter()
            .map(|index| &master.columns[*index])
            .filter(|column| node.allows(reduced_costs.problem, column))
            .map(|column| (reduced_costs.column(column), column))
            .min_by_key(|(weight, _)| *weight);
        let limit = known.map_or(INFINITE, |(weight, _)| weight) - 1;
        if let Some(listed) = &master.listed {
            return self.lightest_listed(terms, &listed[span], known, fresh);
        }
        let mut best: Vec<(i64, Vec<u32>, i64)> = Vec::new();
        self.search(terms, span, limit, |found| {
            let place = best.partition_point(|(weight, _, _)| *weight <= found.weight);
            best.insert(place, (found.weight, found.cands.to_vec(), found.joints));
            best.truncate(NEW_COLUMNS_PER_SPAN);
            Some(best.get(NEW_COLUMNS_PER_SPAN - 1).map_or(limit, |(weight, _, _)| weight - 1))
        });
        let weight = best.first().map_or(limit + 1, |(weight, _, _)| *weight);
        let first = fresh.len();
        fresh.extend(
            best.into_iter()
                .map(|(_, cands, joints)| column(reduced_costs.problem, span, &cands, joints)),
        );
        let deck = fresh.get(first).or(known.map(|(_, column)| column)).cloned();
        Lightest { weight, known: limit + 1, deck }
    }

    /// The same where the decks are listed.
    fn lightest_listed(
        &mut self,
        terms: &Terms,
        listed: &[Column],
        known: Option<(i64, &Column)>,
        fresh: &mut Vec<Column>,
    ) -> Lightest {
        let Terms { reduced_costs, node, .. } = *terms;
        let limit = known.map_or(INFINITE, |(weight, _)| weight);
        let mut best: Vec<(i64, &Column)> = listed
            .iter()
            .map(|column| (reduced_costs.column(column), column))
            .filter(|(weight, column)| {
                *weight < limit && node.allows(reduced_costs.problem, column)
            })
            .collect();
        best.sort_by_key(|(weight, _)| *weight);
        best.truncate(NEW_COLUMNS_PER_SPAN);
        let weight = best.first().map_or(limit, |(weight, _)| *weight);
        let deck = best.first().map(|(_, column)| *column).or(known.map(|(_, column)| column));
        let deck = deck.cloned();
        fresh.extend(best.into_iter().map(|(_, column)| column.clone()));
        Lightest { weight, known: limit, deck }
    }

    /// Shows every deck of a span that the node allows and that weighs no more than the threshold.
    fn search<F: FnMut(&Found) -> Option<i64>>(
        &mut self,
        terms: &Terms,
        span: usize,
        threshold: i64,
        visit: F,
    ) {
        let reduced_costs = terms.reduced_costs;
        let charges = &reduced_costs.charges[span];
        for &(group, amount) in charges {
            self.charge[group] = amount;
        }
        let weights = Weights {
            net: reduced_costs.stage.per_cent(),
            outlay: reduced_costs.outlay(span),
            item: reduced_costs.items(span),
            charge: (!charges.is_empty()).then_some(&self.charge),
            reward: charges.iter().map(|(_, amount)| (*amount).min(0)).sum(),
            left: terms.left,
            penalties: (!reduced_costs.penalties.is_empty()).then_some(&reduced_costs.penalties),
            limits: terms.node.limits(span),
        };
        self.finder.search(reduced_costs.problem, span, &weights, threshold, visit);
        for &(group, _) in charges {
            self.charge[group] = 0;
        }
    }
}
