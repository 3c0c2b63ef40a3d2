//! The time limit.

use std::time::{Duration, Instant};

/// Says when to stop. Without a limit it never looks at the time.
#[derive(Clone, Copy, Debug)]
pub(super) struct Clock {
    deadline: Option<Instant>,
}

impl Clock {
    /// Starts now.
    pub fn new(limit: Option<Duration>) -> Self {
        Self { deadline: limit.and_then(|limit| Instant::now().checked_add(limit)) }
    }

    /// Whether the time is up.
    pub fn up(&self) -> bool {
        self.deadline.is_some_and(|deadline| Instant::now() >= deadline)
    }
}
