//! The same work on many things, on as many threads as there are processors.

use std::sync::Mutex;
use std::sync::atomic::{AtomicUsize, Ordering};

/// What `work` makes of each item, in the order of the items whatever thread did it.
pub(super) fn map<T: Sync, R: Send>(
    items: &[T],
    work: impl Fn(&T) -> R + Sync,
    progress: &(dyn Fn(usize, usize) + Sync),
) -> Vec<R> {
    let threads = std::thread::available_parallelism().map_or(1, usize::from).min(items.len());
    let (next, done) = (AtomicUsize::new(0), AtomicUsize::new(0));
    let results = Mutex::new(Vec::with_capacity(items.len()));
    let run = || {
        loop {
            let at = next.fetch_add(1, Ordering::Relaxed);
            let Some(item) = items.get(at) else { return };
            let result = work(item);
            progress(done.fetch_add(1, Ordering::Relaxed) + 1, items.len());
            if let Ok(mut results) = results.lock() {
                results.push((at, result));
            }
        }
    };
    std::thread::scope(|scope| {
        for _ in 0..threads {
            scope.spawn(run);
        }
    });
    let mut results = results.into_inner().unwrap_or_default();
    results.sort_by_key(|(at, _)| *at);
    results.into_iter().map(|(_, result)| result).collect()
}
