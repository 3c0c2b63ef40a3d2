//! One crossing under one relaxed limit: alone, and within the whole plan.

use super::Limit;
use crate::assemble::{self, PlanOptions, Solved};
use crate::check::Value;
use crate::choose::{self, Choice, Effort, Market, Merit, merit, totals};
use crate::model::inputs::{CarIx, CrossingIx, Inputs};
use crate::survey::Survey;
use crate::verify::Rejected;

/// The crossing as the only one of its inputs, the limit relaxed.
pub(super) struct Trial {
    pub crossing: CrossingIx,
    inputs: Inputs,
    survey: Survey,
    market: Market,
}

/// The whole plan chosen again.
pub(super) struct Outcome {
    pub merit: Merit,
    pub proven: bool,
    choice: Choice,
}

/// The decks that the crossing would get.
pub(super) struct Decks {
    pub layout: String,
    pub cars: Vec<Vec<CarIx>>,
}

impl Trial {
    pub fn new(inputs: &Inputs, crossing: CrossingIx, limit: Limit, to: &Value) -> Self {
        let mut alone = inputs.clone();
        alone.crossings = vec![inputs.crossing(crossing).clone()];
        // Cars fixed to other crossings stay fixed to another one.
        for to in alone.decided.fixed.values_mut() {
            *to = CrossingIx(usize::from(*to != crossing));
        }
        limit.relax(&mut alone, to);
        let survey = Survey::new(&alone);
        let mut market = assemble::market(&alone, &survey, None);
        // Alone it shows what it could have, whatever that costs.
        market.funds.clear();
        Self { crossing, inputs: alone, survey, market }
    }

    /// Whether the crossing has a deck when all cars are free for it.
    pub fn has_deck(&self) -> bool {
        choose::choose(&self.market, &Effort::default()).crossings[0].is_some()
    }

    /// The whole plan, this crossing with its relaxed limit, all others as they are.
    pub fn chosen(&self, inputs: &Inputs, solved: &Solved, effort: &Effort) -> Outcome {
        let mut market = solved.market.clone();
        market.crossings[self.crossing.0] = self.market.crossings[0].clone();
        assemble::limit_costs(inputs, &mut market);
        let choice = choose::choose(&market, effort);
        Outcome {
            merit: merit(&market, &choice, choice.net),
            proven: choice.cheapest && choice.service,
            choice,
        }
    }

    /// The decks that the crossing gets, verified under the relaxed limit; none if it gets none.
    pub fn decks(&self, outcome: &Outcome) -> Result<Option<Decks>, Box<Rejected>> {
        let Some(chosen) = &outcome.choice.crossings[self.crossing.0] else { return Ok(None) };
        let cars = chosen.decks.iter().flatten();
        let mut lots: Vec<usize> = cars.filter_map(|car| self.market.offers[*car].lot).collect();
        lots.sort_unstable();
        lots.dedup();
        let mut own =
            Choice { crossings: vec![Some(chosen.clone())], lots, ..outcome.choice.clone() };
        own.net = totals(&self.market, &own).map(|totals| totals.net).unwrap_or_default();
        (own.bound, own.cheapest) = (own.net, false);
        // What decisions say of other crossings does not concern this one.
        let mut inputs = self.inputs.clone();
        inputs.decided.list.clear();
        inputs.decided.paid = crate::quantity::Cents::ZERO;
        let made = assemble::planned(
            &inputs,
            &self.survey,
            self.market.clone(),
            own,
            &PlanOptions::default(),
        )?;
        let served = made.plan.crossings.first().and_then(|crossing| crossing.served());
        Ok(served.map(|served| Decks {
            layout: inputs.crossings[0].layouts[served.layout].describe(),
            cars: served
                .decks
                .iter()
                .map(|deck| deck.cars.iter().map(|placed| placed.car).collect())
                .collect(),
        }))
    }
}
