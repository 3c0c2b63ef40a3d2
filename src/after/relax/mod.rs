//! Near misses: the smallest relaxation of one limit that would serve a crossing, what it costs, and
//! who may decide it.
//!
//! One limit is relaxed at a time, at one crossing, all others as they are; the whole plan is then
//! chosen again, and the crossing's decks are verified under the relaxed limit. Limits of safety
//! (rating factors, sound primary members, support inside the truck centers, what is unknown) are
//! nobody's to relax and are never tried.

mod limit;
mod trial;

use std::cell::Cell;
use std::sync::atomic::AtomicBool;
use std::time::Duration;

use crate::assemble::{PlanOptions, Solved};
use crate::check::Value;
use crate::choose::{Effort, Merit, WhyUnserved, explain_unserved, merit};
use crate::deadline::Deadline;
use crate::model::inputs::{CarIx, CrossingIx, Inputs};
use crate::quantity::Cents;
use crate::verify::Rejected;

pub use limit::{Decider, Limit};
use trial::{Outcome, Trial};

/// One limit relaxed at one crossing.
#[derive(Clone, Debug, PartialEq)]
pub struct Relaxation {
    /// The crossing.
    pub crossing: CrossingIx,
    /// The limit.
    pub limit: Limit,
    /// The limit as it is.
    pub from: Value,
    /// The limit as it would have to be.
    pub to: Value,
    /// What the plan's net cost changes by; for one crossing more it grows.
    pub extra: Cents,
    /// The layout in words.
    pub layout: String,
    /// The cars of its decks, span by span.
    pub decks: Vec<Vec<CarIx>>,
    /// What must be known besides: a pier that nobody has priced.
    pub caveat: Option<&'static str>,
    /// Whether it is proven that the plan with it is the cheapest, and no smaller step serves.
    pub proven: bool,
}

/// Where the caller sets no limit each search ends after this time: there are many of them, and of a
/// crossing that is served at all it is better to know it unproven than not to hear of it.
const PATIENCE: Duration = Duration::from_secs(10);

/// What one crossing lacks.
#[derive(Clone, Debug, PartialEq)]
pub struct NearMisses {
    /// The crossing.
    pub crossing: CrossingIx,
    /// The relaxations that would serve it, or that would make a served one cheaper, cheapest first.
    pub list: Vec<Relaxation>,
    /// Limits that were tried to their ends.
    pub tried: Vec<Limit>,
    /// Whether the time was up before all limits were tried to their ends, so that there may be more.
    pub stopped: bool,
}

/// Every single limit of these crossings that would serve them. Of a served crossing, every limit of
/// which one step makes the plan cheaper.
///
/// # Errors
/// [`Rejected`] when decks under a relaxed limit do not stand up to verification: a defect.
pub fn near_misses(
    inputs: &Inputs,
    solved: &Solved,
    options: &PlanOptions,
    crossings: &[CrossingIx],
) -> Result<Vec<NearMisses>, Box<Rejected>> {
    let choice = &solved.choice;
    let base = Base {
        inputs,
        solved,
        end: options.effort.deadline(),
        interrupt: options.effort.interrupt,
        cut_short: Cell::new(false),
        merit: merit(&solved.market, choice, choice.net),
        proven: choice.cheapest && choice.service,
    };
    crossings.iter().map(|crossing| base.crossing(*crossing)).collect()
}

/// The plan as it is, and how to ask again.
struct Base<'a> {
    inputs: &'a Inputs,
    solved: &'a Solved,
    end: Deadline<'a>,
    interrupt: Option<&'a AtomicBool>,
    /// Whether a search that found nothing was cut short.
    cut_short: Cell<bool>,
    merit: Merit,
    proven: bool,
}

impl Base<'_> {
    /// The effort of one search.
    fn effort(&self) -> Effort<'_> {
        let time_limit = self.end.left().or(Some(PATIENCE));
        Effort { time_limit, interrupt: self.interrupt, ..Effort::default() }
    }

    fn crossing(&self, crossing: CrossingIx) -> Result<NearMisses, Box<Rejected>> {
        let served = self.solved.choice.crossings[crossing.0].is_some();
        let alone_first = !served
            && matches!(
                explain_unserved(&self.solved.market, &self.solved.choice, crossing.0),
                WhyUnserved::NoCandidates { .. } | WhyUnserved::NoDeck { .. }
            );
        let (mut list, mut tried, mut stopped) = (Vec::new(), Vec::new(), false);
        for limit in Limit::all() {
            let steps = limit.steps(self.inputs, crossing);
            if steps.is_empty() {
                continue;
            }
            if self.end.has_passed() {
                self.cut_short.set(true);
                break;
            }
            self.cut_short.set(false);
            let found = if served {
                self.one_step(crossing, limit, &steps)?
            } else {
                self.smallest(crossing, limit, &steps, alone_first)?
            };
            let cut_short = found.is_none() && self.cut_short.get();
            stopped |= cut_short;
            if !cut_short {
                tried.push(limit);
            }
            list.extend(found);
        }
        stopped |= self.end.has_passed() && self.cut_short.get();
        list.sort_by_key(|relaxation| (relaxation.extra, relaxation.limit));
        Ok(NearMisses { crossing, list, tried, stopped })
    }

    /// The smallest step that serves the crossing.
    fn smallest(
        &self,
        crossing: CrossingIx,
        limit: Limit,
        steps: &[Value],
        alone_first: bool,
    ) -> Result<Option<Relaxation>, Box<Rejected>> {
        let trial = |step: usize| Trial::new(self.inputs, crossing, limit, &steps[step]);
        let mut first = 0;
        if alone_first {
            // As long as the crossing alone has no deck, it has none beside the others.
            match limit.first(0..steps.len(), |step| trial(step).has_deck()) {
                Some(step) => first = step,
                None => return Ok(None),
            }
        }
        let mut proven = self.proven;
        let mut better = |step: usize| {
            let outcome = trial(step).chosen(self.inputs, self.solved, &self.effort());
            // A search cut short may have missed that a smaller step serves.
            proven &= outcome.proven;
            self.cut_short.set(self.cut_short.get() | !outcome.proven);
            (outcome.merit.unserved < self.merit.unserved).then_some(outcome)
        };
        let step = limit.first(first..steps.len(), |step| better(step).is_some());
        let Some(step) = step else { return Ok(None) };
        let trial = trial(step);
        let outcome = trial.chosen(self.inputs, self.solved, &self.effort());
        proven &= outcome.proven;
        // More may be served elsewhere for cars set free; that is no answer for this crossing.
        self.relaxation(&trial, limit, &steps[step], &outcome, proven)
    }

    /// What one usual step would save at a crossing that is served.
    fn one_step(
        &self,
        crossing: CrossingIx,
        limit: Limit,
        steps: &[Value],
    ) -> Result<Option<Relaxation>, Box<Rejected>> {
        let usual = limit.usual_step().min(steps.len() - 1);
        let trial = Trial::new(self.inputs, crossing, limit, &steps[usual]);
        let outcome = trial.chosen(self.inputs, self.solved, &self.effort());
        self.cut_short.set(!outcome.proven);
        if outcome.merit >= self.merit {
            return Ok(None);
        }
        let proven = self.proven && outcome.proven;
        self.relaxation(&trial, limit, &steps[usual], &outcome, proven)
    }

    /// The relaxation of a trial, unless the crossing gets no decks by it.
    fn relaxation(
        &self,
        trial: &Trial,
        limit: Limit,
        to: &Value,
        outcome: &Outcome,
        proven: bool,
    ) -> Result<Option<Relaxation>, Box<Rejected>> {
        let crossing = trial.crossing;
        let Some(decks) = trial.decks(outcome)? else { return Ok(None) };
        Ok(Some(Relaxation {
            crossing,
            limit,
            from: limit.present(self.inputs, crossing),
            to: to.clone(),
            extra: outcome.merit.net - self.merit.net,
            layout: decks.layout,
            decks: decks.cars,
            caveat: limit.caveat(self.inputs, crossing),
            proven,
        }))
    }
}
