//! The same work on many things at the same time, with what it gives in the order of the things
//! whatever thread did it.

use std::collections::BTreeMap;
use std::ops::ControlFlow;
use std::panic::resume_unwind;
use std::panic::{AssertUnwindSafe, catch_unwind};
use std::sync::atomic::{AtomicUsize, Ordering};
use std::sync::mpsc::{RecvTimeoutError, sync_channel};
use std::sync::{Arc, Mutex};
use std::thread::{Builder, available_parallelism, scope};
use std::time::Duration;

/// As many threads as there are processors.
pub(crate) fn processors() -> usize {
    available_parallelism().map_or(1, usize::from)
}

/// What is done and waits for what comes before it.
struct Queue<R, F> {
    taken: usize,
    waiting: BTreeMap<usize, R>,
    take: F,
    stopped: bool,
}

/// Does `work` on each item, on at most so many threads, and hands what it gives to `take`: one after
/// the other, in the order of the items, and each as soon as those before it are done. When `take`
/// breaks off, nothing more is taken or begun.
pub(crate) fn in_order<T: Sync, R: Send>(
    threads: usize,
    items: &[T],
    work: impl Fn(&T) -> R + Sync,
    take: impl FnMut(&T, R) -> ControlFlow<()> + Send,
) {
    let next = AtomicUsize::new(0);
    let queue = Mutex::new(Queue { taken: 0, waiting: BTreeMap::new(), take, stopped: false });
    let run = || {
        while let Some((at, item)) = claimed(&next, items) {
            let done = work(item);
            let Ok(mut queue) = queue.lock() else { return };
            queue.waiting.insert(at, done);
            queue.take_what_is_next(items);
            if queue.stopped {
                return;
            }
        }
    };
    scope(|scope| {
        for _ in 1..threads.min(items.len()) {
            // Where the system has no thread left, the others do the work.
            let _ = Builder::new().spawn_scoped(scope, run);
        }
        run();
    });
}

/// The next item that nobody works on, with its place.
fn claimed<'i, T>(next: &AtomicUsize, items: &'i [T]) -> Option<(usize, &'i T)> {
    let at = next.fetch_add(1, Ordering::Relaxed);
    items.get(at).map(|item| (at, item))
}

impl<R, F> Queue<R, F> {
    fn take_what_is_next<T>(&mut self, items: &[T])
    where
        F: FnMut(&T, R) -> ControlFlow<()>,
    {
        while !self.stopped
            && let Some(item) = items.get(self.taken)
            && let Some(done) = self.waiting.remove(&self.taken)
        {
            self.taken += 1;
            self.stopped = (self.take)(item, done).is_break();
        }
    }
}

/// What `work` makes of each item, in the order of the items.
pub(crate) fn map<T: Sync, R: Send>(
    items: &[T],
    work: impl Fn(&T) -> R + Sync,
    progress: &(dyn Fn(usize, usize) + Sync),
) -> Vec<R> {
    let done = AtomicUsize::new(0);
    let told = |item: &T| {
        let made = work(item);
        progress(done.fetch_add(1, Ordering::Relaxed) + 1, items.len());
        made
    };
    let mut made = Vec::with_capacity(items.len());
    in_order(processors(), items, told, |_, one| {
        made.push(one);
        ControlFlow::Continue(())
    });
    made
}

/// How work ended that may panic or never end.
#[derive(Debug, PartialEq, Eq)]
pub(crate) enum Ended<T> {
    Done(T),
    Panicked,
    /// It did not end in time. Its thread is left behind, for none can be stopped from outside.
    Late,
}

/// Does the work on a thread of this name, and waits for it so long. Where the system has no thread,
/// which is no fault of the work, it is done here and waited for.
pub(crate) fn on_its_own<T: Send + 'static>(
    name: &str,
    work: impl Fn() -> T + Send + Sync + 'static,
    deadline: Duration,
) -> Ended<T> {
    on_its_own_by(Builder::new().name(name.to_owned()), work, deadline)
}

fn on_its_own_by<T: Send + 'static>(
    builder: Builder,
    work: impl Fn() -> T + Send + Sync + 'static,
    deadline: Duration,
) -> Ended<T> {
    let work = Arc::new(work);
    let there = Arc::clone(&work);
    let (done, wait) = sync_channel(1);
    let thread = builder.spawn(move || {
        // Whoever waited may have left.
        let _ = done.send(there());
    });
    if thread.is_err() {
        return catch_unwind(AssertUnwindSafe(|| work())).map_or(Ended::Panicked, Ended::Done);
    }
    match wait.recv_timeout(deadline) {
        Ok(made) => Ended::Done(made),
        Err(RecvTimeoutError::Disconnected) => Ended::Panicked,
        Err(RecvTimeoutError::Timeout) => Ended::Late,
    }
}

/// What `work` makes of each item, in the order of the items, where each thread has a worker of its
/// own. Items are dealt out by turns, for neighbors are often alike in size.
pub(crate) fn by_workers<W: Send, T: Sync, R: Send>(
    workers: &mut [W],
    items: &[T],
    work: impl Fn(&mut W, &T) -> R + Sync,
) -> Vec<R> {
    if let [worker] = workers {
        return items.iter().map(|item| work(worker, item)).collect();
    }
    let threads = workers.len();
    let work = &work;
    let by_thread: Vec<Vec<R>> = scope(|scope| {
        let mut running = Vec::new();
        for (number, worker) in workers.iter_mut().enumerate() {
            let mine = items.iter().skip(number).step_by(threads);
            let deal = move || mine.map(|item| work(worker, item)).collect::<Vec<R>>();
            running.push(scope.spawn(deal));
        }
        running
            .into_iter()
            .map(|thread| thread.join().unwrap_or_else(|panic| resume_unwind(panic)))
            .collect()
    });
    let mut by_thread: Vec<_> = by_thread.into_iter().map(Vec::into_iter).collect();
    (0..items.len()).filter_map(|place| by_thread[place % threads].next()).collect()
}

#[cfg(test)]
mod tests {
    use super::*;

    const SOON: Duration = Duration::from_secs(20);

    #[test]
    fn work_that_ends_panics_or_goes_on_for_ever() {
        assert_eq!(on_its_own("a", || 7, SOON), Ended::Done(7));
        assert_eq!(on_its_own("b", || -> u8 { panic!("on purpose") }, SOON), Ended::Panicked);
        let for_ever = || std::thread::sleep(Duration::from_secs(3_600));
        assert_eq!(on_its_own("c", for_ever, Duration::from_millis(50)), Ended::Late);
    }

    #[test]
    fn without_a_thread_the_work_is_done_all_the_same() {
        // No system has room for such a stack.
        let none = || Builder::new().stack_size(usize::MAX / 4);
        assert!(none().spawn(|| ()).is_err());
        assert_eq!(on_its_own_by(none(), || 7, SOON), Ended::Done(7));
        let panics = || -> u8 { panic!("on purpose") };
        assert_eq!(on_its_own_by(none(), panics, SOON), Ended::Panicked);
    }

    #[test]
    fn workers_give_what_they_make_in_the_order_of_the_items() {
        let items: Vec<usize> = (0..100).collect();
        for count in [1, 2, 3, 7, 120] {
            let mut workers = vec![0; count];
            let made = by_workers(&mut workers, &items, |worker, item| {
                *worker += 1;
                3 * item
            });
            assert_eq!(made, items.iter().map(|item| 3 * item).collect::<Vec<_>>());
            assert_eq!(workers.iter().sum::<usize>(), 100, "{count} workers");
        }
    }

    #[test]
    fn what_is_made_comes_in_order_and_no_further_than_wanted() {
        let items: Vec<usize> = (0..200).collect();
        for threads in [0, 1, 2, 7] {
            for last in [0, 5, 199, 500] {
                let mut found = Vec::new();
                let double = |item: &usize| 2 * item;
                in_order(threads, &items, double, |item, made| {
                    found.push(made);
                    if *item == last { ControlFlow::Break(()) } else { ControlFlow::Continue(()) }
                });
                let expected: Vec<_> = (0..200.min(last + 1)).map(|item| 2 * item).collect();
                assert_eq!(found, expected, "{threads} threads");
            }
        }
    }
}
