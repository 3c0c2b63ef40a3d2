//! When work has to end. No other part of the library looks at a clock.

use std::sync::OnceLock;
use std::sync::atomic::{AtomicBool, Ordering};
use std::time::{Duration, Instant};

/// Tells the time.
pub trait Timer: Sync {
    /// Time since some moment that stays the same.
    fn now(&self) -> Duration;
}

/// The clock of the machine.
struct Machine;

impl Timer for Machine {
    fn now(&self) -> Duration {
        static START: OnceLock<Instant> = OnceLock::new();
        START.get_or_init(Instant::now).elapsed()
    }
}

/// The time at which work has to end, if there is one; a flag may end it before.
#[derive(Clone, Copy)]
pub struct Deadline<'a> {
    timer: &'a dyn Timer,
    end: Option<Duration>,
    interrupt: Option<&'a AtomicBool>,
}

impl Deadline<'static> {
    /// No deadline.
    #[must_use]
    pub fn never() -> Self {
        Self { timer: &Machine, end: None, interrupt: None }
    }
}

impl<'a> Deadline<'a> {
    /// So long from now, by this timer or, without one, by the machine's clock; no limit: never.
    #[must_use]
    pub fn after(timer: Option<&'a dyn Timer>, limit: Option<Duration>) -> Self {
        let timer = timer.unwrap_or(&Machine);
        let end = limit.and_then(|limit| timer.now().checked_add(limit));
        Self { timer, end, interrupt: None }
    }

    /// The same, but up as soon as this flag is set.
    #[must_use]
    pub fn interrupted_by(self, interrupt: Option<&'a AtomicBool>) -> Self {
        Self { interrupt, ..self }
    }

    /// Whether the flag is set.
    #[must_use]
    pub fn is_interrupted(&self) -> bool {
        self.interrupt.is_some_and(|interrupt| interrupt.load(Ordering::Relaxed))
    }

    /// The timer that it looks at, and the flag, if it has one.
    #[must_use]
    pub fn looks_at(&self) -> (&'a dyn Timer, Option<&'a AtomicBool>) {
        (self.timer, self.interrupt)
    }

    /// The earlier of this deadline and one that is so long from now.
    #[must_use]
    pub fn or_after(self, limit: Duration) -> Self {
        let end = self.timer.now().saturating_add(limit);
        Self { end: Some(self.end.map_or(end, |own| own.min(end))), ..self }
    }

    /// The deadline at this time by the same timer.
    #[must_use]
    pub fn ending(self, end: Duration) -> Self {
        Self { end: Some(end), ..self }
    }

    /// The time by its timer.
    #[must_use]
    pub fn now(&self) -> Duration {
        self.timer.now()
    }

    /// Whether the time is up. Without a deadline no clock is looked at.
    #[must_use]
    pub fn has_passed(&self) -> bool {
        self.is_interrupted() || self.end.is_some_and(|end| self.timer.now() >= end)
    }

    /// The time left, if there is a deadline; none at all once the flag is set.
    #[must_use]
    pub fn left(&self) -> Option<Duration> {
        if self.is_interrupted() {
            return Some(Duration::ZERO);
        }
        self.end.map(|end| end.saturating_sub(self.timer.now()))
    }
}

#[cfg(test)]
mod tests {
    use std::sync::atomic::AtomicU64;

    use super::*;

    /// A second passes whenever somebody looks.
    struct Counting(AtomicU64);

    impl Timer for Counting {
        fn now(&self) -> Duration {
            Duration::from_secs(self.0.fetch_add(1, Ordering::Relaxed))
        }
    }

    #[test]
    fn a_deadline_passes_when_its_time_has_come() {
        let timer = Counting(AtomicU64::new(100));
        let deadline = Deadline::after(Some(&timer), Some(Duration::from_secs(3)));
        let looks: Vec<bool> = (0..4).map(|_| deadline.has_passed()).collect();
        assert_eq!(looks, [false, false, true, true]);
        assert_eq!(deadline.left(), Some(Duration::ZERO));
    }

    #[test]
    fn a_flag_ends_it_before() {
        let flag = AtomicBool::new(false);
        let deadline = Deadline::never().interrupted_by(Some(&flag));
        assert!(!deadline.has_passed() && deadline.left().is_none());
        flag.store(true, Ordering::Relaxed);
        assert!(deadline.has_passed() && deadline.left() == Some(Duration::ZERO));
    }

    #[test]
    fn the_earlier_of_two_holds() {
        let timer = Counting(AtomicU64::new(0));
        let within = |limit: Option<u64>, more: u64| {
            timer.0.store(0, Ordering::Relaxed);
            let deadline = Deadline::after(Some(&timer), limit.map(Duration::from_secs));
            timer.0.store(10, Ordering::Relaxed);
            let left = deadline.or_after(Duration::from_secs(more)).left();
            left.map(|left| left.as_secs())
        };
        assert_eq!(within(None, 7), Some(6));
        assert_eq!(within(Some(100), 7), Some(6));
        assert_eq!(within(Some(15), 7), Some(4));
    }

    #[test]
    fn without_a_limit_it_is_never_up_and_no_clock_is_looked_at() {
        let timer = Counting(AtomicU64::new(5));
        let deadline = Deadline::after(Some(&timer), None);
        assert!(!deadline.has_passed() && deadline.left().is_none());
        assert_eq!(timer.0.load(Ordering::Relaxed), 5);
        assert!(!Deadline::never().has_passed());
    }
}
