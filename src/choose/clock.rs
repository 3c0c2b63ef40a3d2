//! When to stop, and what is told on the way.

use std::cell::Cell;
use std::ops::ControlFlow;
use std::time::Duration;

use crate::choose::effort::{Effort, Progress};
use crate::deadline::Deadline;
use crate::model::plan::Stop;
use crate::quantity::Cents;

/// Says when to stop, and once it has said so, keeps to it. Without a limit and a watch it never
/// looks at the time.
pub struct Clock<'a> {
    effort: Effort<'a>,
    start: Duration,
    deadline: Deadline<'a>,
    /// When the stage in hand is to end, if before.
    stage: Cell<Option<Duration>>,
    progress: Cell<Progress>,
    /// Whether it is open that more can be served.
    open: Cell<bool>,
    stop: Cell<Option<Stop>>,
}

impl<'a> Clock<'a> {
    /// Starts now.
    pub fn new(effort: &Effort<'a>) -> Self {
        Self::until(effort, effort.deadline())
    }

    /// The clock of a part of a search, of which nobody is told.
    pub fn of_part(deadline: Deadline<'a>) -> Self {
        Self::until(&Effort::default(), deadline)
    }

    fn until(effort: &Effort<'a>, deadline: Deadline<'a>) -> Self {
        Self {
            effort: *effort,
            start: deadline.now(),
            deadline,
            stage: Cell::new(None),
            progress: Cell::default(),
            open: Cell::new(false),
            stop: Cell::new(None),
        }
    }

    /// When the time is up, for the stage in hand or for all.
    pub fn deadline(&self) -> Deadline<'a> {
        self.stage.get().map_or(self.deadline, |end| self.deadline.ending(end))
    }

    /// Time left, if there is a limit.
    pub fn left(&self) -> Option<Duration> {
        self.deadline().left()
    }

    /// Gives the next stage one in so many parts of the time left; one: all of it.
    pub fn grant(&self, one_in: u32) {
        self.stage.set(None);
        let stage = self.left().map(|left| self.deadline.now() + left / one_in);
        self.stage.set(stage.filter(|_| one_in > 1));
    }

    /// Whether the search is to end. Tells the watch what has been reached.
    pub fn up(&self) -> bool {
        if self.stop.get().is_some() {
            return true;
        }
        if self.deadline.has_passed() {
            let interrupted = self.deadline.is_interrupted();
            self.stop.set(Some(if interrupted { Stop::Interrupt } else { Stop::TimeLimit }));
        } else if let Some(watch) = self.effort.watch {
            let progress = Progress {
                elapsed: self.deadline.now().saturating_sub(self.start),
                ..self.progress.get()
            };
            if watch(&progress) == ControlFlow::Break(()) {
                self.stop.set(Some(Stop::Interrupt));
            }
        }
        self.stop.get().is_some() || self.stage.get().is_some_and(|end| self.deadline.now() >= end)
    }

    /// Whether the time is up or the watch says so, whatever ended the search: a gap that is reached
    /// ends no work after it.
    pub fn is_past_limit(&self) -> bool {
        self.up() && self.stop.get() != Some(Stop::Gap)
    }

    /// The best plan so far is this.
    pub fn best(&self, served: usize, net: i64) {
        self.progress.set(Progress { served, net: Cents(net), ..self.progress.get() });
    }

    /// No plan that serves as many costs less than this; the search ends if that is near enough.
    pub fn bound(&self, bound: i64) {
        let progress = Progress { bound: Some(Cents(bound)), ..self.progress.get() };
        self.progress.set(progress);
        self.weigh_up();
    }

    /// A plan that serves more is the best so far: no bound holds for it yet.
    pub fn anew(&self, served: usize, net: i64) {
        self.progress.set(Progress { bound: None, ..self.progress.get() });
        self.best(served, net);
    }

    /// Says whether it is proven that no more can be served: until it is, no cost is near enough.
    pub fn serves_most(&self, proven: bool) {
        self.open.set(!proven);
        self.weigh_up();
    }

    fn weigh_up(&self) {
        let Progress { net, bound, .. } = self.progress.get();
        let enough = bound.is_some_and(|bound| self.effort.near_enough(net, bound));
        if enough && !self.open.get() && self.stop.get().is_none() {
            self.stop.set(Some(Stop::Gap));
        }
    }

    /// Why the search was ended, if it was.
    pub fn stopped(&self) -> Option<Stop> {
        self.stop.get()
    }
}
