//! The choice that serves most with the least weight of questions, and of those the cheapest.

use std::collections::BTreeSet;

use itertools::Itertools;

use super::Hypothesis;
use crate::choose::{Choice, Effort, Market, Merit, choose, merit, totals};
use crate::deadline::Deadline;
use crate::model::inputs::{CarIx, CrossingIx, Inputs, YardIx};
use crate::quantity::Cents;

/// What was found.
pub(super) struct Found {
    pub choice: Choice,
    pub weight: u64,
    pub proven: bool,
}

/// Sets of yards tried at most; beyond, that no fewer visits would do is left unproven.
const SETS: usize = 500;

/// A question costs this many cents in the market of questions.
struct Weights {
    question: i64,
    visit: i64,
}

/// Serves most; then asks least; then pays least.
pub(super) fn least_questions(
    inputs: &Inputs,
    supposed: &Hypothesis,
    market: &Market,
    effort: &Effort,
    end: Deadline<'_>,
) -> Found {
    let rules = &inputs.rules.evidence;
    let weights = Weights {
        question: i64::from(rules.question_weight),
        visit: i64::from(rules.visit_weight),
    };
    let desk = Desk { inputs, supposed, market, weights, effort, end };
    let yards: Vec<YardIx> = desk.yards();
    let all = desk.asking(&yards.iter().copied().collect());
    let best_merit = all.merit.unserved.clone();
    let questions_least = all.merit.net.0;
    let mut proven = all.proven;
    let mut best = vec![all];
    let mut tried = 0;
    'sizes: for size in 0..yards.len() {
        let bound = questions_least + desk.weights.visit * size as i64;
        for set in yards.iter().copied().combinations(size) {
            let least = best.first().map_or(i64::MAX, Asking::weight);
            if bound > least || desk.weights.visit == 0 {
                break 'sizes;
            }
            tried += 1;
            if tried > SETS || desk.end.has_passed() {
                proven = false;
                break 'sizes;
            }
            let found = desk.asking(&set.into_iter().collect());
            proven &= found.proven;
            if found.merit.unserved != best_merit || found.weight() > least {
                continue;
            }
            if found.weight() < least {
                best.clear();
            }
            best.push(found);
        }
    }
    let weight = best.first().map_or(0, Asking::weight).max(0) as u64;
    let cheapest =
        best.iter().map(|asking| desk.cheapest(asking)).min_by_key(|(choice, _)| choice.net);
    let Some((choice, cheapest)) = cheapest else {
        return Found { choice: choose(market, effort), weight: 0, proven: false };
    };
    Found { choice, weight, proven: proven && cheapest }
}

/// A choice that asks least, with the yards where it asks.
struct Asking {
    choice: Choice,
    merit: Merit,
    visits: BTreeSet<YardIx>,
    visit_weight: i64,
    proven: bool,
}

impl Asking {
    fn weight(&self) -> i64 {
        self.merit.net.0 + self.visit_weight * self.visits.len() as i64
    }
}

struct Desk<'a> {
    inputs: &'a Inputs,
    supposed: &'a Hypothesis,
    market: &'a Market,
    weights: Weights,
    effort: &'a Effort<'a>,
    end: Deadline<'a>,
}

impl Desk<'_> {
    fn effort(&self) -> Effort<'_> {
        Effort { time_limit: self.end.left().or(self.effort.time_limit), ..*self.effort }
    }

    fn questions(&self, offer: usize, crossing: usize) -> i64 {
        let crossing = self.inputs.crossing(CrossingIx(crossing));
        self.supposed.questions(CarIx(offer), crossing) as i64
    }

    /// The yards of cars about which something would have to be asked.
    fn yards(&self) -> Vec<YardIx> {
        let asked = |(number, demand): (usize, &crate::choose::Demand)| {
            let spans = demand.layouts.iter().flat_map(|layout| &layout.spans);
            let offers = spans.flat_map(|span| &span.candidates).map(|candidate| candidate.offer);
            let asked = offers.filter(|offer| self.questions(*offer, number) > 0);
            asked.map(|offer| self.inputs.car(CarIx(offer)).yard).collect::<Vec<_>>()
        };
        self.market.crossings.iter().enumerate().flat_map(asked).sorted().dedup().collect()
    }

    /// The market in which something is asked at these yards alone, with `more` for each question.
    fn with(&self, yards: &BTreeSet<YardIx>, more: Cents) -> Market {
        let mut market = self.market.clone();
        for (number, demand) in market.crossings.iter_mut().enumerate() {
            let routes = self.supposed.routes(CrossingIx(number)).len() as i64;
            demand.layouts.iter_mut().for_each(|layout| layout.fixed += more * routes);
            for span in demand.layouts.iter_mut().flat_map(|layout| &mut layout.spans) {
                span.candidates.retain(|candidate| {
                    self.questions(candidate.offer, number) == 0
                        || yards.contains(&self.inputs.car(CarIx(candidate.offer)).yard)
                });
                for candidate in &mut span.candidates {
                    candidate.cost += more * self.questions(candidate.offer, number);
                }
            }
        }
        market
    }

    /// The choice with fewest questions, whatever it costs.
    fn asking(&self, yards: &BTreeSet<YardIx>) -> Asking {
        let mut market = free(self.with(yards, Cents::ZERO));
        for (number, demand) in market.crossings.iter_mut().enumerate() {
            let routes = self.supposed.routes(CrossingIx(number)).len() as i64;
            for layout in &mut demand.layouts {
                layout.fixed = Cents(self.weights.question * routes);
            }
            for span in demand.layouts.iter_mut().flat_map(|layout| &mut layout.spans) {
                for candidate in &mut span.candidates {
                    let questions = self.questions(candidate.offer, number);
                    candidate.cost = Cents(self.weights.question * questions);
                }
            }
        }
        let choice = choose(&market, &self.effort());
        let mut visits = BTreeSet::new();
        for (number, chosen) in choice.crossings.iter().enumerate() {
            for &offer in chosen.iter().flat_map(|chosen| chosen.decks.iter().flatten()) {
                if self.questions(offer, number) > 0 {
                    visits.insert(self.inputs.car(CarIx(offer)).yard);
                }
            }
        }
        Asking {
            merit: merit(&market, &choice, choice.net),
            proven: choice.service && choice.cheapest,
            visits,
            visit_weight: self.weights.visit,
            choice,
        }
    }

    /// The cheapest choice that serves as much and asks as little, and whether that is proven.
    fn cheapest(&self, asking: &Asking) -> (Choice, bool) {
        let plain = self.with(&asking.visits, Cents::ZERO);
        let Some(paid) = totals(&plain, &asking.choice).map(|totals| totals.net) else {
            return (asking.choice.clone(), false);
        };
        let least = choose(&plain, &self.effort());
        // A question more outweighs all that could be saved by it.
        let more = Cents((paid.0 - least.bound.0).max(0) + 1);
        let mut choice = choose(&self.with(&asking.visits, more), &self.effort());
        let proven = choice.service && choice.cheapest && least.service;
        if let Some(totals) = totals(&plain, &choice) {
            (choice.net, choice.bound) = (totals.net, totals.net);
        }
        (choice, proven)
    }
}

/// The market in which nothing costs anything.
fn free(mut market: Market) -> Market {
    for offer in &mut market.offers {
        (offer.price, offer.stock_value) = (Cents::ZERO, Cents::ZERO);
        for quote in &mut offer.quotes {
            (quote.price, quote.stock_value) = (Cents::ZERO, Cents::ZERO);
        }
    }
    market.trips.iter_mut().for_each(|trip| *trip = Cents::ZERO);
    market.lots.iter_mut().flatten().for_each(|price| *price = Cents::ZERO);
    for layout in market.crossings.iter_mut().flat_map(|demand| &mut demand.layouts) {
        layout.fixed = Cents::ZERO;
        for span in &mut layout.spans {
            span.fixed = Cents::ZERO;
            let joints = span.rule.joints.iter_mut().flat_map(|joint| &mut joint.costs);
            joints.chain(&mut span.rule.rails).for_each(|cost| *cost = Cents::ZERO);
            for candidate in &mut span.candidates {
                (candidate.cost, candidate.haul) = (Cents::ZERO, None);
            }
        }
    }
    market
}
