//! Keeping others out while a file is read, changed and written again.

use std::fs::{File, OpenOptions, TryLockError};
use std::io;
use std::path::{Path, PathBuf};
use std::thread::sleep;
use std::time::{Duration, Instant};

use super::disk::Disk;
use super::{Unsaved, beside, followed, replace};

/// One program's sole right to change a file, till it is dropped or the program ends in any way. What
/// is locked is another file beside it, `.NAME.lock`: the file itself is replaced when it is saved. The
/// lock's file stays, for removing it would let two programs in.
#[derive(Debug)]
pub struct Lock {
    target: PathBuf,
    shown: PathBuf,
    // Held open, for the system takes the lock back with the last handle.
    _held: File,
}

/// Why a file could not be locked.
#[derive(Debug, thiserror::Error)]
pub enum NotLocked {
    /// Somebody else is at it.
    #[error("{} is being changed by another program: try again when it is done", .0.display())]
    Busy(PathBuf),
    /// The lock's file cannot be made.
    #[error("{} cannot be locked: {}", .0.display(), .1)]
    Impossible(PathBuf, io::Error),
}

impl Lock {
    /// Locks a file, which need not exist yet, and waits for others as long as `patience`.
    ///
    /// # Errors
    /// [`NotLocked`].
    pub fn take(path: &Path, patience: Duration) -> Result<Self, NotLocked> {
        let impossible = |error| NotLocked::Impossible(path.to_owned(), error);
        let target = followed(path);
        let name = beside(&target, "lock");
        let file = OpenOptions::new().write(true).create(true).truncate(false).open(name);
        let held = file.map_err(impossible)?;
        let begun = Instant::now();
        loop {
            match held.try_lock() {
                Ok(()) => return Ok(Self { target, shown: path.to_owned(), _held: held }),
                Err(TryLockError::WouldBlock) if begun.elapsed() < patience => {
                    sleep(Duration::from_millis(20));
                }
                Err(TryLockError::WouldBlock) => return Err(NotLocked::Busy(path.to_owned())),
                Err(TryLockError::Error(error)) => return Err(impossible(error)),
            }
        }
    }

    /// Writes the locked file. What a stopped program left beside it is written over.
    ///
    /// # Errors
    /// [`Unsaved`], and then what stood there stands there still.
    pub fn save(&self, disk: &dyn Disk, bytes: &[u8]) -> Result<(), Unsaved> {
        let saved = replace(disk, &self.target, &beside(&self.target, "tmp"), bytes);
        saved.map_err(|error| Unsaved { path: self.shown.clone(), error })
    }
}
