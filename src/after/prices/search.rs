//! Choosing again, counted and in time.

use std::sync::atomic::{AtomicUsize, Ordering};
use std::time::Duration;

use super::Question;
use crate::choose::{self, Before, Choice, Effort, Floor, Market, Merit, merit};
use crate::deadline::Deadline;
use crate::parallel::processors;
use crate::quantity::Cents;

/// The time that is left for the prices that are left.
pub(super) struct Time<'a> {
    each: Option<Duration>,
    end: Deadline<'a>,
    /// From then on each price gets little time, so that something is found for all.
    quick: Deadline<'a>,
    left: AtomicUsize,
}

/// No price gets less time than this; less finds nothing.
const LEAST: Duration = Duration::from_millis(30);
/// A price may take so many even shares of the time that is left: few take so long.
const SHARES: u32 = 5;
/// One in so many parts of the time is kept for quick looks at what is left.
const KEPT_ONE_IN: u32 = 6;

impl<'a> Time<'a> {
    pub fn new(question: &Question<'a>, end: Deadline<'a>, prices: usize) -> Self {
        let quick = end.left().map_or(end, |left| end.or_after(left - left / KEPT_ONE_IN));
        Self { each: question.time_limit, end, quick, left: AtomicUsize::new(prices) }
    }

    /// Whether there is none left.
    pub fn is_up(&self) -> bool {
        self.end.has_passed()
    }

    /// When the next price is to end.
    pub fn next(&self) -> Deadline<'a> {
        let prices = self.left.fetch_sub(1, Ordering::Relaxed).max(1);
        let end = match self.each {
            Some(each) => self.end.or_after(each),
            None => self.end,
        };
        let Some(left) = self.quick.left() else { return end };
        // A whole number of rounds of all threads.
        let rounds = prices.div_ceil(processors()) as u32;
        end.or_after((left / rounds.max(1) * SHARES).min(left).max(LEAST))
    }
}

/// The choices made for one price.
pub(super) struct Search<'a> {
    /// The plan, near which the others lie.
    plan: &'a Choice,
    /// Whether it has the thing.
    pub is_chosen: bool,
    /// Bounds from which to go on, with the offer whose terms change.
    floor: Option<(&'a Floor, usize)>,
    /// Whether the price of a thing never decides who is served.
    unlimited: bool,
    end: Deadline<'a>,
    pub solves: u32,
    /// Whether each was proven best.
    pub proven: bool,
    /// The bound of the last one, where it serves as many as can be.
    pub least: Option<Cents>,
    /// That of the thing as a gift.
    pub if_free: Option<Cents>,
}

impl<'a> Search<'a> {
    pub fn new(
        plan: &'a Choice,
        end: Deadline<'a>,
        floor: Option<(&'a Floor, usize)>,
        unlimited: bool,
    ) -> Self {
        Self {
            plan,
            is_chosen: false,
            floor,
            unlimited,
            end,
            solves: 0,
            proven: true,
            least: None,
            if_free: None,
        }
    }

    /// The best choice of a market in which a thing is sold at another price, or not at all, and its merit.
    pub fn merit(&mut self, market: &Market) -> (Choice, Merit) {
        let effort = Effort::until(&self.end);
        let again =
            |(floor, offer): (&Floor, usize)| floor.choose_again(market, offer, &effort, self.plan);
        let choice = self.floor.and_then(again).unwrap_or_else(|| {
            let before =
                Before { choice: self.plan, serves_most: self.unlimited, costs_least: false };
            choose::choose_knowing(market, &effort, Some(before))
        });
        self.solves += 1;
        self.proven &= choice.cheapest && choice.service;
        self.least = choice.service.then_some(choice.bound);
        let found = merit(market, &choice, choice.net);
        (choice, found)
    }
}
