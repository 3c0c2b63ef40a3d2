//! Work with somebody else's code on hostile files.

use std::time::Duration;

use crate::parallel::{self, Ended};

/// The name of the thread on which workbooks are unpacked. A program that prints to people keeps the
/// panics of this thread from them, for each is told as a problem of the file.
pub const WORKBOOK_THREAD: &str = "workbook reader";

/// Does the work, which may panic or never end, on a thread of its own, so that its panics can be told
/// from ours and it can be left behind.
pub(super) fn guarded<T: Send + 'static>(
    work: impl Fn() -> T + Send + Sync + 'static,
    deadline: Duration,
) -> Ended<T> {
    parallel::on_its_own(WORKBOOK_THREAD, work, deadline)
}
