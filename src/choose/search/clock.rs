//! When to stop, and what is told on the way.

use std::cell::Cell;
use std::ops::ControlFlow;
use std::time::{Duration, Instant};

use crate::choose::search::effort::{Effort, Progress};
use crate::model::plan::Stop;
use crate::quantity::Cents;

/// Says when to stop, and once it has said so, keeps to it. Without a limit and a watch it never
/// looks at the time.
pub struct Clock<'a> {
    effort: Effort<'a>,
    start: Instant,
    deadline: Option<Instant>,
    /// When the stage in hand is to end, if before.
    stage: Cell<Option<Instant>>,
    progress: Cell<Progress>,
    stop: Cell<Option<Stop>>,
}

impl<'a> Clock<'a> {
    /// Starts now.
    pub fn new(effort: &Effort<'a>) -> Self {
        let start = Instant::now();
        Self {
            effort: *effort,
            start,
            deadline: effort.time_limit.and_then(|limit| start.checked_add(limit)),
            stage: Cell::new(None),
            progress: Cell::default(),
            stop: Cell::new(None),
        }
    }

    /// The clock of a part of a search, which tells nobody.
    pub fn until(deadline: Option<Instant>) -> Self {
        Self { deadline, ..Self::new(&Effort::default()) }
    }

    /// When the time is up, for the stage in hand or for all.
    pub fn deadline(&self) -> Option<Instant> {
        self.stage.get().or(self.deadline)
    }

    /// Time left, if there is a limit.
    pub fn left(&self) -> Option<Duration> {
        self.deadline().map(|deadline| deadline.saturating_duration_since(Instant::now()))
    }

    /// Gives the next stage one in so many parts of the time left; one: all of it.
    pub fn grant(&self, one_in: u32) {
        self.stage.set(None);
        let stage = self.left().map(|left| Instant::now() + left / one_in);
        self.stage.set(stage.filter(|_| one_in > 1));
    }

    /// Whether the search is to end. Tells the watch what has been reached.
    pub fn up(&self) -> bool {
        if self.stop.get().is_some() {
            return true;
        }
        if self.deadline.is_some_and(|deadline| Instant::now() >= deadline) {
            self.stop.set(Some(Stop::TimeLimit));
        } else if let Some(watch) = self.effort.watch {
            let progress = Progress { elapsed: self.start.elapsed(), ..self.progress.get() };
            if watch(&progress) == ControlFlow::Break(()) {
                self.stop.set(Some(Stop::Interrupt));
            }
        }
        self.stop.get().is_some() || self.stage.get().is_some_and(|stage| Instant::now() >= stage)
    }

    /// The best plan so far is this.
    pub fn best(&self, served: usize, net: i64) {
        self.progress.set(Progress { served, net: Cents(net), ..self.progress.get() });
    }

    /// No plan that serves as many costs less than this; the search ends if that is near enough.
    pub fn bound(&self, bound: i64) {
        let progress = Progress { bound: Some(Cents(bound)), ..self.progress.get() };
        self.progress.set(progress);
        if self.stop.get().is_none() && self.effort.near_enough(progress.net, Cents(bound)) {
            self.stop.set(Some(Stop::Gap));
        }
    }

    /// Why the search was ended, if it was.
    pub fn stopped(&self) -> Option<Stop> {
        self.stop.get()
    }
}
