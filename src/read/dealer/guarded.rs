//! Work with somebody else's code on hostile files.

use crate::parallel;

/// The name of the thread on which workbooks are unpacked. A program that prints to people keeps the
/// panics of this thread from them, for each is told as a problem of the file.
pub const WORKBOOK_THREAD: &str = "workbook reader";

/// What the work gives; nothing if it panics. It has a thread of its own, so that its panics can be
/// told from ours.
pub(super) fn guarded<T: Send>(work: impl FnOnce() -> T + Send) -> Option<T> {
    parallel::on_its_own(WORKBOOK_THREAD, work)
}
