//! The decks of a served crossing.

use crate::choose::decks::column::{Column, column};
use crate::choose::market::ChosenLayout;
use crate::choose::problem::Problem;
use crate::quantity::{Feet, Inches};

/// The decks of a served crossing.
#[derive(Clone, Debug, PartialEq, Eq)]
pub struct Served {
    /// Index into [`Problem::layouts`].
    pub layout: usize,
    /// One column per span.
    pub decks: Vec<Column>,
}

impl Served {
    /// The decks that a choice gives a crossing, or none if they do not fit the market.
    pub fn of(problem: &Problem, crossing: usize, chosen: &ChosenLayout) -> Option<Self> {
        let mut layouts = problem.crossings.get(crossing)?.layouts.clone();
        let layout = layouts.find(|layout| problem.layouts[*layout].number == chosen.layout)?;
        let deck = |(span, deck): (usize, &Vec<usize>)| {
            let record = &problem.spans[span];
            let mut cands = Vec::new();
            for offer in deck {
                let item = (*problem.item_of.get(*offer)?)?;
                cands.push(record.cands.iter().position(|c| c.item == item)? as u32);
            }
            cands.sort_unstable();
            let cars = || cands.iter().map(|cand| &record.cands[*cand as usize]);
            let shallowest =
                cars().map(|car| car.fit.exterior_depth).fold(Inches(f64::INFINITY), Inches::min);
            let widths = cars().map(|car| car.fit.width).sum();
            if !record.rule.steps_kept(cars().map(|car| &car.fit)) {
                return None;
            }
            let longest = cars().map(|car| car.fit.laid).fold(Feet(0.0), Feet::max);
            let joint = record.rule.joint_for(cands.len(), widths, shallowest, longest)?;
            Some(column(problem, span, &cands, joint.cost.0))
        };
        let spans = problem.layouts[layout].spans.clone();
        let decks: Option<Vec<Column>> = spans.zip(&chosen.decks).map(deck).collect();
        Some(Self { layout, decks: decks? })
    }

    /// The decks in offers: of each item the first offer that is left, which is then taken.
    pub fn chosen(&self, problem: &Problem, left: &mut [u32]) -> ChosenLayout {
        let mut take = |item: usize| {
            let offers = &problem.items[item].offers;
            let offer = offers.iter().copied().find(|offer| left[*offer] > 0).unwrap_or(offers[0]);
            left[offer] = left[offer].saturating_sub(1);
            offer
        };
        let mut deck = |column: &Column| {
            let cands = &problem.spans[column.span].cands;
            let items = column.cands.iter().map(|cand| cands[*cand as usize].item);
            let mut deck: Vec<usize> = items.map(&mut take).collect();
            deck.sort_unstable();
            deck
        };
        ChosenLayout {
            layout: problem.layouts[self.layout].number,
            decks: self.decks.iter().map(&mut deck).collect(),
        }
    }
}
