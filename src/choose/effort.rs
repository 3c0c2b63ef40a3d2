//! How long and how closely to search, and what is told on the way.

use std::fmt;
use std::ops::ControlFlow;
use std::sync::atomic::AtomicBool;
use std::time::Duration;

use crate::choose::tuning::{AFTERWARDS_LEAST, AFTERWARDS_SHARE, EXPLAINING_ONE_IN};
use crate::deadline::{Deadline, Timer};
use crate::model::plan::Stop;
use crate::quantity::{Cents, Percent};

/// How long and how closely to search. The default searches until the choice is proven.
#[derive(Clone, Copy, Default)]
pub struct Effort<'a> {
    /// Stop after this time with the best plan so far.
    pub time_limit: Option<Duration>,
    /// Stop when the net cost is proven to lie no more than this above the cheapest possible, as a
    /// share of the latter. It says nothing about service, which is proven first.
    pub gap: Option<Percent>,
    /// Called many times a second with what has been reached; `Break` ends the search with the best
    /// plan so far.
    pub watch: Option<Watch<'a>>,
    /// Tells the time; none: the machine does.
    pub timer: Option<&'a dyn Timer>,
    /// Ends the search, as the watch does, when it is set; threads see it too.
    pub interrupt: Option<&'a AtomicBool>,
}

/// Follows a search.
pub type Watch<'a> = &'a dyn Fn(&Progress) -> ControlFlow<()>;

impl fmt::Debug for Effort<'_> {
    fn fmt(&self, f: &mut fmt::Formatter<'_>) -> fmt::Result {
        f.debug_struct("Effort")
            .field("time_limit", &self.time_limit)
            .field("gap", &self.gap)
            .field("watched", &self.watch.is_some())
            .finish()
    }
}

/// What a search has reached.
#[derive(Clone, Copy, Debug, Default, PartialEq)]
pub struct Progress {
    /// Time since the search began.
    pub elapsed: Duration,
    /// Crossings that the best plan so far serves.
    pub served: usize,
    /// Net cost of the best plan so far.
    pub net: Cents,
    /// No plan that serves as many, by priority, costs less, net; none while it is still open how
    /// many can be served, or nothing is proven yet.
    pub bound: Option<Cents>,
}

impl Progress {
    /// How far the net cost may lie above the cheapest possible, as a share of the latter; none
    /// without a bound above zero.
    #[must_use]
    pub fn gap(&self) -> Option<Percent> {
        let bound = self.bound.filter(|bound| *bound > Cents::ZERO)?;
        Some(above(self.net, bound))
    }
}

/// By what share of the bound a cost lies above it.
fn above(net: Cents, bound: Cents) -> Percent {
    Percent((net.0 - bound.0).max(0) as f64 / bound.0 as f64 * 100.0)
}

impl<'a> Effort<'a> {
    /// The effort of a search that nobody watches and that ends then.
    #[must_use]
    pub fn until(end: &Deadline<'a>) -> Self {
        let (timer, interrupt) = end.looks_at();
        Self { time_limit: end.left(), timer: Some(timer), interrupt, ..Self::default() }
    }

    /// When the time limit is up, counted from now.
    #[must_use]
    pub fn deadline(&self) -> Deadline<'a> {
        Deadline::after(self.timer, self.time_limit).interrupted_by(self.interrupt)
    }

    /// The effort for the search alone, where all is to end then: what is done afterwards keeps its part. Three
    /// quarters of what is left at least, so that something is found.
    #[must_use]
    pub fn searching(&self, end: &Deadline<'_>) -> Self {
        let kept = self.time_limit.map(|limit| limit * 3 / AFTERWARDS_SHARE);
        let left =
            end.left().zip(kept).map(|(left, kept)| left.saturating_sub(kept).max(left * 3 / 4));
        Self { time_limit: left, ..*self }
    }

    /// The effort for what is left to do when a search of this effort has ended, for this reason.
    #[must_use]
    pub fn afterwards(&self, stopped: Option<Stop>) -> Self {
        // Who has interrupted the search once need not do so again.
        let interrupted = stopped == Some(Stop::Interrupt);
        let limit = self.time_limit.map(|limit| (limit / AFTERWARDS_SHARE).max(AFTERWARDS_LEAST));
        Self {
            time_limit: if interrupted { Some(AFTERWARDS_LEAST) } else { limit },
            watch: self.watch.filter(|_| !interrupted),
            interrupt: self.interrupt.filter(|_| !interrupted),
            gap: None,
            ..*self
        }
    }

    /// The effort for telling why crossings go without, when a search of this effort has ended, for
    /// this reason.
    #[must_use]
    pub fn explaining(&self, stopped: Option<Stop>) -> Self {
        let after = self.afterwards(stopped);
        Self { time_limit: after.time_limit.map(|limit| limit / EXPLAINING_ONE_IN), ..after }
    }

    /// Whether the watch or the flag ends the search.
    #[must_use]
    pub fn is_interrupted(&self) -> bool {
        self.deadline().is_interrupted()
            || self.watch.is_some_and(|watch| watch(&Progress::default()).is_break())
    }

    /// Whether a net cost is near enough to a bound.
    pub fn near_enough(&self, net: Cents, bound: Cents) -> bool {
        self.gap.is_some_and(|gap| bound > Cents::ZERO && above(net, bound).0 <= gap.0)
    }
}

#[cfg(test)]
mod tests {
    use super::*;

    #[test]
    fn near_enough_is_a_share_of_the_bound_and_inclusive() {
        for (gap, net, bound, enough) in [
            (Some(25.0), 125, 100, true),
            (Some(25.0), 126, 100, false),
            (Some(0.0), 100, 100, true),
            (Some(0.0), 101, 100, false),
            (None, 100, 100, false),
            (Some(50.0), 0, 0, false),
            (Some(50.0), 10, -10, false),
        ] {
            let effort = Effort { gap: gap.map(Percent), ..Effort::default() };
            assert_eq!(
                effort.near_enough(Cents(net), Cents(bound)),
                enough,
                "{gap:?} {net} {bound}"
            );
        }
    }

    #[test]
    fn a_gap_needs_a_bound_that_says_something() {
        let at = |bound: Option<i64>| {
            Progress { net: Cents(110), bound: bound.map(Cents), ..Progress::default() }.gap()
        };
        assert_eq!(at(None), None);
        assert_eq!(at(Some(0)), None);
        assert_eq!(at(Some(100)), Some(Percent(10.0)));
    }
}
