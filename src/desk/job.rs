//! One search at a time: begun by a change, watched by whoever looks on, ended by hand, by the next one,
//! or when nobody has looked on for a while. The best plan so far is kept in each case.

use std::ops::ControlFlow;
use std::panic::{AssertUnwindSafe, catch_unwind};
use std::sync::atomic::{AtomicBool, AtomicUsize, Ordering};
use std::sync::{Arc, Mutex, MutexGuard, OnceLock, PoisonError};
use std::time::{Duration, Instant};

use serde::Serialize;
use spanyard::choose::Progress;

/// So long a search goes on that nobody watches.
const UNWATCHED: Duration = Duration::from_secs(60);

/// A search.
pub struct Job {
    /// What it is after, in words.
    pub title: String,
    /// The page that shows what came of it.
    pub page: String,
    begun: Instant,
    interrupt: AtomicBool,
    has_plan: AtomicBool,
    shown: Mutex<Shown>,
    watchers: AtomicUsize,
    seen: Mutex<Instant>,
    ended: OnceLock<Result<(), String>>,
}

/// How far a search is.
#[derive(Clone, Debug, Default, PartialEq, Serialize)]
pub struct Shown {
    /// Seconds since it began.
    pub seconds: u64,
    /// What the best plan so far does, in words.
    pub found: String,
    /// How far it may be from the cheapest, in words.
    pub open: String,
    /// Whether there is a plan to look at already.
    pub plan: bool,
}

impl Job {
    /// One that begins now.
    pub fn new(title: &str, page: &str) -> Arc<Self> {
        Arc::new(Self {
            title: title.to_owned(),
            page: page.to_owned(),
            begun: Instant::now(),
            interrupt: AtomicBool::new(false),
            has_plan: AtomicBool::new(false),
            shown: Mutex::default(),
            watchers: AtomicUsize::new(0),
            seen: Mutex::new(Instant::now()),
            ended: OnceLock::new(),
        })
    }

    /// Ends it with the best so far.
    pub fn stop(&self) {
        self.interrupt.store(true, Ordering::Relaxed);
    }

    /// Whether it runs.
    pub fn runs(&self) -> bool {
        self.ended.get().is_none()
    }

    /// Why it came to nothing.
    pub fn failed(&self) -> Option<&str> {
        self.ended.get()?.as_ref().err().map(String::as_str)
    }

    /// How far it is.
    pub fn shown(&self) -> Shown {
        let plan = self.has_plan.load(Ordering::Relaxed);
        Shown { seconds: self.begun.elapsed().as_secs(), plan, ..held(&self.shown).clone() }
    }

    /// What ends it from outside.
    pub fn interrupt(&self) -> &AtomicBool {
        &self.interrupt
    }

    /// Somebody begins to watch.
    pub fn watch(&self) {
        self.watchers.fetch_add(1, Ordering::Relaxed);
    }

    /// Somebody leaves.
    pub fn leave(&self) {
        *held(&self.seen) = Instant::now();
        self.watchers.fetch_sub(1, Ordering::Relaxed);
    }

    /// Somebody has looked, without staying.
    pub fn look(&self) {
        *held(&self.seen) = Instant::now();
    }

    /// Does the work, and keeps how it ended.
    pub fn run(&self, work: impl FnOnce() -> Result<(), String>) {
        let broke = || Err("the search broke off: a defect of this program".to_owned());
        let ended = catch_unwind(AssertUnwindSafe(work)).unwrap_or_else(|_| broke());
        let _ = self.ended.set(ended);
    }

    /// Takes what a search tells of itself; says whether it goes on.
    pub fn follow(&self, progress: &Progress) -> ControlFlow<()> {
        let Progress { served, net, bound, .. } = *progress;
        let open = match (bound, progress.gap()) {
            (Some(bound), Some(gap)) => {
                let gap = (gap.0 * 100.0).ceil() / 100.0;
                format!("no plan costs less than {bound:.0}: at most {gap:.2} % to save")
            }
            _ => "how far it is from the cheapest is not known yet".to_owned(),
        };
        let found = format!("serves {served} for {net:.0} net");
        *held(&self.shown) = Shown { found, open, ..Shown::default() };
        self.goes_on()
    }

    /// Says how far the work is, where that is no search.
    pub fn say(&self, words: &str) {
        held(&self.shown).open = words.to_owned();
        let _ = self.goes_on();
    }

    /// There is a plan to look at, and the search goes on.
    pub fn show_plan(&self) {
        self.has_plan.store(true, Ordering::Relaxed);
    }

    /// Whether it was stopped.
    pub fn is_stopped(&self) -> bool {
        self.goes_on().is_break()
    }

    /// Whether it goes on: it does not once it is stopped, or nobody has watched it for long.
    pub fn goes_on(&self) -> ControlFlow<()> {
        let watched = self.watchers.load(Ordering::Relaxed) > 0;
        if !watched && held(&self.seen).elapsed() > UNWATCHED {
            self.stop();
        }
        if self.interrupt.load(Ordering::Relaxed) {
            return ControlFlow::Break(());
        }
        ControlFlow::Continue(())
    }
}

/// What a mutex holds, also where a thread that held it has ended in a panic: all that is held at the
/// desk is replaced whole.
pub fn held<T>(mutex: &Mutex<T>) -> MutexGuard<'_, T> {
    mutex.lock().unwrap_or_else(PoisonError::into_inner)
}
