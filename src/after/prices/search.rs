//! Choosing again, counted and in time.

use std::sync::atomic::{AtomicBool, AtomicUsize, Ordering};
use std::time::Duration;

use super::Question;
use crate::choose::{self, Choice, Effort, Market, Merit, merit};
use crate::deadline::Deadline;
use crate::parallel::processors;
use crate::quantity::Cents;

/// The time that is left for the prices that are left.
pub(super) struct Time<'a> {
    each: Option<Duration>,
    end: Deadline<'a>,
    left: AtomicUsize,
    interrupt: Option<&'a AtomicBool>,
}

/// A price takes about so many choices.
const CHOICES: u32 = 2;
/// No choice gets less time than this; less finds nothing.
const LEAST: Duration = Duration::from_millis(20);

impl<'a> Time<'a> {
    pub fn new(question: &Question<'a>, end: Deadline<'a>, prices: usize) -> Self {
        Self {
            each: question.time_limit,
            end,
            left: AtomicUsize::new(prices),
            interrupt: question.interrupt,
        }
    }

    /// Whether there is none left.
    pub fn is_up(&self) -> bool {
        self.end.has_passed()
    }

    /// The effort for each choice of the next price.
    pub fn effort(&self) -> Effort<'a> {
        Effort { time_limit: self.each(), interrupt: self.interrupt, ..Effort::default() }
    }

    fn each(&self) -> Option<Duration> {
        let prices = self.left.fetch_sub(1, Ordering::Relaxed).max(1);
        let share = self.end.left().map(|left| {
            // A whole number of rounds of all threads.
            let rounds = prices.div_ceil(processors()) as u32;
            (left / rounds.max(1) / CHOICES).max(LEAST)
        });
        match (self.each, share) {
            (Some(each), Some(share)) => Some(each.min(share)),
            (each, share) => each.or(share),
        }
    }
}

/// The choices made for one price.
pub(super) struct Search<'a> {
    /// The plan, near which the others lie.
    plan: &'a Choice,
    effort: Effort<'a>,
    pub solves: u32,
    /// Whether each was proven best.
    pub proven: bool,
    /// The bound of the last one, where it serves as many as can be.
    pub least: Option<Cents>,
}

impl<'a> Search<'a> {
    pub fn new(plan: &'a Choice, effort: Effort<'a>) -> Self {
        Self { plan, effort, solves: 0, proven: true, least: None }
    }

    /// The best choice of a market, and its merit.
    pub fn merit(&mut self, market: &Market) -> (Choice, Merit) {
        let choice = choose::choose_from(market, &self.effort, Some(self.plan));
        self.solves += 1;
        self.proven &= choice.cheapest && choice.service;
        self.least = choice.service.then_some(choice.bound);
        let found = merit(market, &choice, choice.net);
        (choice, found)
    }
}
