//! What plans cost at least that use a certain car, or do without it, all from one set of multipliers.
//!
//! The bound of a market falls apart into crossings (see `bound`). Put a car into a deck, and only
//! the share of that deck's crossing changes: it takes its lightest layout with such a deck. Take a
//! car out, and only the crossings change whose lightest decks hold it.

use crate::choose::bound::duals::Duals;
use crate::choose::bound::lagrangian::Pricer;
use crate::choose::bound::master::Master;
use crate::choose::bound::node::Node;
use crate::choose::bound::reduced_costs::ReducedCosts;
use crate::choose::effort::Effort;
use crate::choose::market::{Choice, Market};
use crate::choose::plan::Plan;
use crate::choose::plan::totals::totals;
use crate::choose::problem::stage::{Role, Stage};
use crate::choose::problem::{INFINITE, Problem};
use crate::choose::tuning::PRICED_DECKS_MOST;

use crate::choose::clock::Clock;
use crate::choose::search::branch_and_price::BranchAndPrice;
use crate::choose::search::service;
use crate::deadline::Deadline;
use crate::quantity::Cents;

/// Bounds on the plans that serve what a choice serves.
pub struct Floor {
    problem: Problem,
    stage: Stage,
    master: Master,
    duals: Duals,
    /// Net cost of the choice.
    net: i64,
}

impl Floor {
    /// Looks for good multipliers until then. None where the bounds would not hold: it is
    /// open whether more can be served, or the price of a car decides that, or it has several prices.
    #[must_use]
    pub fn new(market: &Market, choice: &Choice, deadline: Deadline) -> Option<Self> {
        let mut problem = Problem::new(market);
        if !market.is_unlimited() || !choice.service || problem.has_levels() {
            return None;
        }
        service::close_infeasible(&mut problem);
        let plan = Plan::from_choice(&problem, choice)?;
        let stage = Stage::cost(&plan.unserved(&problem));
        let net = plan.value(&problem, &stage)?;
        let master = Master::new(&problem);
        let clock = Clock::of_part(deadline);
        let tree = BranchAndPrice::new(&problem, &stage, master, &clock, plan, net);
        let (duals, master) = tree.root_duals();
        Some(Self { problem, stage, master, duals, net })
    }

    /// For each offer what a plan costs at least that lays one of its cars, were that car a gift.
    /// None: no less than the choice, or it is in a lot, or no deck holds it.
    #[must_use]
    pub fn bounds_if_free(&self) -> Vec<Option<Cents>> {
        let Self { problem, stage, master, .. } = self;
        let node = Node::root(problem);
        let reduced_costs = ReducedCosts::new(problem, stage, master, &node, &self.duals);
        let mut pricer = Pricer::new(problem);
        let found = pricer.evaluate(&reduced_costs, master, &node);
        let target = self.net.saturating_mul(stage.scale);
        let mut least = vec![INFINITE; problem.items.len()];
        let gift = |span: usize, item: usize| {
            let terms = &problem.items[item];
            if terms.lot.is_none() { reduced_costs.per_cent(span) * terms.price } else { 0 }
        };
        for (crossing, record) in problem.crossings.iter().enumerate() {
            if stage.role(problem, crossing) == Role::Absent {
                continue;
            }
            let share = found.share(&reduced_costs, &node, crossing);
            for layout in record.layouts.clone() {
                let total = found.layout(&reduced_costs, layout);
                if total >= INFINITE {
                    continue;
                }
                let others = found.bound - share + total;
                for span in problem.layouts[layout].spans.clone() {
                    let rest = others - found.lightest[span];
                    let cands = &problem.spans[span].cands;
                    let most = cands.iter().map(|cand| gift(span, cand.item)).max().unwrap_or(0);
                    let threshold = target - rest + most;
                    let mut seen = 0;
                    pricer.each_deck(&reduced_costs, master, &node, span, threshold, |deck| {
                        seen += 1;
                        for &cand in deck.cands {
                            let item = cands[cand as usize].item;
                            least[item] = least[item].min(rest + deck.weight - gift(span, item));
                        }
                        (seen < PRICED_DECKS_MOST).then_some(threshold)
                    });
                    if seen >= PRICED_DECKS_MOST {
                        for cand in cands {
                            least[cand.item] = least[cand.item].min(others - gift(span, cand.item));
                        }
                    }
                }
            }
        }
        let of_offer = |item: &Option<usize>| {
            let item = (*item)?;
            let least = least[item];
            let single = problem.items[item].lot.is_none();
            (single && least < target).then(|| Cents(stage.in_value(least)))
        };
        problem.item_of.iter().map(of_offer).collect()
    }

    /// The cheapest choice of a market that differs from that of the bounds in the terms of one car, sold
    /// singly, beginning with a choice, the multipliers and the columns. None where it takes another search:
    /// fewer crossings may be served then, or the car is not alone of its kind.
    #[must_use]
    pub fn choose_again(
        &self,
        market: &Market,
        offer: usize,
        effort: &Effort,
        from: &Choice,
    ) -> Option<Choice> {
        let item = self.problem.item_of.get(offer).copied().flatten()?;
        let (terms, known) = (market.offers.get(offer)?, self.problem.items.get(item)?);
        if known.offers.len() > 1 || known.quantity > 1 || known.lot.is_some() {
            return None;
        }
        let clock = Clock::new(effort);
        let (mut problem, mut master) = (self.problem.clone(), self.master.clone());
        let dearer = terms.price.0 - known.price;
        problem.make_dearer(item, dearer);
        problem.items[item].quantity = terms.quantity;
        if terms.quantity == 0 {
            master.without(&problem, item);
        } else {
            master.dearer(&problem, item, dearer);
        }
        let plan = service::completed(&problem, Plan::left_of(&problem, from), &clock);
        let value = plan.value(&problem, &self.stage)?;
        let warm = (master, self.duals.clone());
        let mut tree = BranchAndPrice::resumed(&problem, &self.stage, warm, &clock, plan, value);
        let done = tree.go_on(u64::MAX);
        let (plan, value) = tree.best();
        let mut choice = plan.clone().into_choice(&problem, market);
        choice.bound = Cents(tree.bound());
        choice.cheapest = done && tree.bound() >= value;
        choice.service = true;
        choice.stopped = clock.stopped().filter(|_| !choice.cheapest);
        debug_assert_eq!(totals(market, &choice).map(|totals| totals.net), Some(choice.net));
        Some(choice)
    }

    /// What a plan costs at least that does without these cars of an offer.
    #[must_use]
    pub fn without(&self, offer: usize, cars: u32) -> Cents {
        let mut problem = self.problem.clone();
        if let Some(item) =
            problem.item_of.get(offer).copied().flatten().map(|item| &mut problem.items[item])
        {
            item.quantity = item.quantity.saturating_sub(cars);
        }
        let node = Node::root(&problem);
        let reduced_costs =
            ReducedCosts::new(&problem, &self.stage, &self.master, &node, &self.duals);
        let found = Pricer::new(&problem).evaluate(&reduced_costs, &self.master, &node);
        Cents(self.stage.in_value(found.bound.min(INFINITE)))
    }
}
