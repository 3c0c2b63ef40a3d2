//! How the search goes, on standard error while it runs; and Ctrl-C, which ends it with the best
//! plan so far.

use std::cell::Cell;
use std::io::{self, IsTerminal, Write};
use std::ops::ControlFlow;
use std::sync::atomic::{AtomicBool, Ordering};
use std::time::{Duration, Instant};

use anyhow::Context;
use spanyard::choose::Progress;

/// Arguments on what is told of the search.
#[derive(Debug, clap::Args)]
pub struct ProgressArgs {
    /// Tell how the search goes even where standard error is no terminal
    #[arg(long)]
    progress: bool,
}

impl ProgressArgs {
    /// Follows the search from now on, and takes Ctrl-C.
    ///
    /// # Errors
    /// Where the system does not let Ctrl-C be taken.
    pub fn follower(&self) -> anyhow::Result<Follower> {
        let interrupted = interrupts()?;
        // Cron and scripts take lines on standard error for complaints, so only who looks on, or
        // asks, is told. Whole lines, so that they can be kept.
        let tells = self.progress || io::stderr().is_terminal();
        Ok(Follower { tells, next: Cell::new(FIRST), interrupted })
    }
}

/// A flag that the first Ctrl-C from now on sets; the second ends the program, whatever it is at.
///
/// # Errors
/// Where the system does not let Ctrl-C be taken.
pub fn interrupts() -> anyhow::Result<&'static AtomicBool> {
    static INTERRUPTED: AtomicBool = AtomicBool::new(false);
    static TAKEN: AtomicBool = AtomicBool::new(false);
    INTERRUPTED.store(false, Ordering::Relaxed);
    // A program takes it once, and may search more than once.
    if TAKEN.swap(true, Ordering::Relaxed) {
        return Ok(&INTERRUPTED);
    }
    ctrlc::set_handler(|| {
        if INTERRUPTED.swap(true, Ordering::Relaxed) {
            std::process::exit(INTERRUPTED_TWICE);
        }
    })
    .context("cannot take Ctrl-C")?;
    Ok(&INTERRUPTED)
}

/// Exit code of a program that Ctrl-C ended, by the custom of shells: 128 and the signal's number.
const INTERRUPTED_TWICE: i32 = 130;

/// The first line comes after a second, the next after as long again, but at least every half minute.
const FIRST: Duration = Duration::from_secs(1);
const AT_LEAST_EVERY: Duration = Duration::from_secs(30);

/// Follows one search.
pub struct Follower {
    tells: bool,
    next: Cell<Duration>,
    interrupted: &'static AtomicBool,
}

impl Follower {
    /// Prints a line where it is time for one; says whether the search goes on.
    pub fn follow(&self, progress: &Progress) -> ControlFlow<()> {
        if self.interrupted.load(Ordering::Relaxed) {
            return ControlFlow::Break(());
        }
        let now = progress.elapsed;
        if self.tells && now >= self.next.get() {
            self.next.set(now + now.min(AT_LEAST_EVERY));
            // A search goes on though nobody may hear of it.
            let _ = writeln!(io::stderr().lock(), "{}", line(progress));
        }
        ControlFlow::Continue(())
    }
}

/// `searching 12 s: serves 9 for $1,234.00 net, at least $1,230.00, gap at most 0.33 %`
fn line(progress: &Progress) -> String {
    let Progress { elapsed, served, net, bound, .. } = progress;
    let seconds = elapsed.as_secs_f64();
    let known = match (bound, progress.gap()) {
        (Some(bound), Some(gap)) => {
            let up = (gap.0 * 100.0).ceil() / 100.0;
            format!("cheapest possible at least {bound}, gap at most {up:.2} %")
        }
        _ => "no bound yet".to_owned(),
    };
    format!("searching {seconds:.0} s: serves {served} for {net} net; {known}")
}

/// Says on a terminal how many of these are done, once it takes longer than people wait without a word.
pub fn counted(what: &str, start: Instant) -> impl Fn(usize, usize) + Sync {
    const PATIENCE: Duration = Duration::from_secs(2);
    let watched = io::stderr().is_terminal();
    move |done, all| {
        if watched && start.elapsed() > PATIENCE && done % 10 == 0 {
            // Nobody is harmed if this cannot be said.
            let _ = writeln!(io::stderr(), "{done} of {all} {what}");
        }
    }
}

#[cfg(test)]
mod tests {
    use spanyard::quantity::Cents;

    use super::*;

    fn flag(set: bool) -> &'static AtomicBool {
        Box::leak(Box::new(AtomicBool::new(set)))
    }

    fn at(seconds: u64, bound: Option<Cents>) -> Progress {
        let elapsed = Duration::from_secs(seconds);
        Progress { elapsed, served: 9, net: Cents::dollars(1_010), bound }
    }

    #[test]
    fn lines() {
        assert_eq!(
            line(&at(12, Some(Cents::dollars(1_000)))),
            "searching 12 s: serves 9 for $1,010.00 net; cheapest possible at least $1,000.00, \
             gap at most 1.00 %"
        );
        assert_eq!(line(&at(1, None)), "searching 1 s: serves 9 for $1,010.00 net; no bound yet");
    }

    #[test]
    fn lines_come_more_slowly_with_time() {
        let follower = Follower { tells: true, next: Cell::new(FIRST), interrupted: flag(false) };
        let mut told = Vec::new();
        for second in 0..100 {
            let next = follower.next.get();
            let _ = follower.follow(&at(second, None));
            if follower.next.get() != next {
                told.push(second);
            }
        }
        assert_eq!(told, [1, 2, 4, 8, 16, 32, 62, 92]);
    }

    #[test]
    fn an_interrupt_ends_the_search() {
        let interrupted = flag(true);
        let follower = Follower { tells: false, next: Cell::new(FIRST), interrupted };
        assert_eq!(follower.follow(&at(0, None)), ControlFlow::Break(()));
    }
}
