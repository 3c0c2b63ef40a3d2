//! Work with somebody else's code on hostile files.

use std::thread::Builder;

/// The name of the thread on which workbooks are unpacked. A program that prints to people keeps the
/// panics of this thread from them, for each is told as a problem of the file.
pub const WORKBOOK_THREAD: &str = "workbook reader";

/// What the work gives; nothing if it panics. It has a thread of its own, so that its panics can be
/// told from ours.
pub(super) fn guarded<T: Send>(work: impl FnOnce() -> T + Send) -> Option<T> {
    let name = WORKBOOK_THREAD.to_owned();
    std::thread::scope(|scope| {
        Builder::new().name(name).spawn_scoped(scope, work).ok()?.join().ok()
    })
}
