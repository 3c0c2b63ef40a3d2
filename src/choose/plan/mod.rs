//! Plans in items, and what they truly cost.

pub mod fund;
pub mod ledger;
pub mod merit;
pub mod served;
pub mod totals;

use crate::choose::market::{Choice, ChosenLayout, Market};
use crate::choose::problem::Problem;

use crate::choose::problem::stage::{Role, Stage};
use crate::quantity::Cents;
use ledger::Ledger;
use served::Served;

/// A plan: decks per crossing. What is bought follows from them.
#[derive(Clone, Debug, PartialEq, Eq)]
pub struct Plan {
    pub crossings: Vec<Option<Served>>,
}

impl Plan {
    /// Serves nobody.
    pub fn empty(problem: &Problem) -> Self {
        Self { crossings: vec![None; problem.crossings.len()] }
    }

    /// Everything that the plan takes.
    pub fn ledger(&self, problem: &Problem) -> Ledger {
        Ledger::of(problem, &self.crossings)
    }

    /// Crossings served.
    pub fn served(&self) -> usize {
        self.crossings.iter().flatten().count()
    }

    /// Points of the crossings left out, per rank, of those that can be served at all.
    pub fn unserved(&self, problem: &Problem) -> Vec<usize> {
        let mut unserved = vec![0; problem.ranks.len()];
        for (record, served) in problem.crossings.iter().zip(&self.crossings) {
            if served.is_none() && !record.layouts.is_empty() {
                unserved[record.rank] += record.points;
            }
        }
        unserved
    }

    /// The plan's value in a stage, or none if it breaks a rule of the stage or of the market.
    pub fn value(&self, problem: &Problem, stage: &Stage) -> Option<i64> {
        let ledger = self.ledger(problem);
        if !ledger.holds(problem) {
            return None;
        }
        let unserved = self.unserved(problem);
        let kept = stage
            .allowed
            .iter()
            .zip(&unserved)
            .all(|(allowed, unserved)| allowed.is_none_or(|allowed| *unserved <= allowed));
        kept.then(|| stage.counted.map_or(ledger.net, |rank| unserved[rank] as i64))
    }

    /// The plan without the crossings that take no part in a stage.
    pub fn trimmed(&self, problem: &Problem, stage: &Stage) -> Self {
        let keep = |crossing: usize| stage.role(problem, crossing) != Role::Absent;
        let crossings = self.crossings.iter().enumerate();
        Self { crossings: crossings.map(|(i, s)| s.clone().filter(|_| keep(i))).collect() }
    }

    /// The plan of a choice, or none if the choice does not fit the market.
    pub fn from_choice(problem: &Problem, choice: &Choice) -> Option<Self> {
        let mut plan = Self::empty(problem);
        for (crossing, chosen) in choice.crossings.iter().enumerate() {
            if let Some(chosen) = chosen {
                plan.crossings[crossing] = Some(Served::of(problem, crossing, chosen)?);
            }
        }
        Some(plan)
    }

    /// What is left of the choice of another market that differs in a few offers: the crossings whose
    /// cars are still to be had.
    pub fn left_of(problem: &Problem, choice: &Choice) -> Self {
        let mut plan = Self::empty(problem);
        let mut ledger = Ledger::empty(problem);
        for (crossing, chosen) in choice.crossings.iter().enumerate() {
            let served = chosen.as_ref().and_then(|c| Served::of(problem, crossing, c));
            let Some(served) = served else { continue };
            ledger.place(problem, &served);
            if ledger.holds(problem) {
                plan.crossings[crossing] = Some(served);
            } else {
                ledger.remove(problem, &served);
            }
        }
        plan
    }

    /// The plan as a choice: items become offers, the first offers first, crossing by crossing.
    pub fn into_choice(self, problem: &Problem, market: &Market) -> Choice {
        let mut left: Vec<u32> = market.offers.iter().map(|offer| offer.quantity).collect();
        let mut lots = vec![false; market.lots.len()];
        let ledger = self.ledger(problem);
        let net = ledger.net;
        let crossings = self
            .crossings
            .iter()
            .map(|served| served.as_ref().map(|served| served.chosen(problem, &mut left)))
            .collect::<Vec<_>>();
        for offer in
            crossings.iter().flatten().flat_map(|c: &ChosenLayout| c.decks.iter().flatten())
        {
            if let Some(lot) = market.offers[*offer].lot {
                lots[lot] = true;
            }
        }
        let mut levels = vec![None; market.trips.len()];
        let mut spares = Vec::new();
        for (yard, deal) in ledger.deals(problem).unwrap_or_default() {
            levels[yard] = Some(deal.level);
            deal.lots.iter().for_each(|lot| lots[*lot] = true);
            for (spare, count) in deal.spares {
                let spare = &problem.levels[yard].spares[spare];
                let item = spare.item.map(|item| &problem.items[item]);
                let offers = item.map_or(std::slice::from_ref(&spare.offer), |item| &item.offers);
                let mut missing = count;
                for &offer in offers {
                    let taken = left[offer].min(missing);
                    left[offer] -= taken;
                    missing -= taken;
                    if taken > 0 {
                        spares.push((offer, taken));
                    }
                }
            }
        }
        spares.sort_unstable();
        Choice {
            crossings,
            lots: (0..lots.len()).filter(|lot| lots[*lot]).collect(),
            levels,
            spares,
            net: Cents(net),
            bound: Cents(net),
            cheapest: false,
            service: false,
            stopped: None,
        }
    }
}
