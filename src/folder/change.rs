//! Changing a file of the folder: under its lock, with what stood there kept, and never over what
//! somebody else has saved meanwhile.

use std::fs;
use std::io;
use std::path::{Path, PathBuf};
use std::time::Duration;

use super::earlier::keep_earlier;
use crate::read::sha256;
use crate::save::{Disk, Lock, NotLocked, Unsaved};

/// How long another program that changes the same file is waited for.
const PATIENCE: Duration = Duration::from_secs(10);

/// Why a file was not changed. It is as it was.
#[derive(Debug, thiserror::Error)]
pub enum NotChanged {
    /// It was changed by somebody else since it was read.
    #[error("the file {} was changed by another program or in another window meanwhile", .0.display())]
    Meanwhile(PathBuf),
    /// Another program is at it.
    #[error(transparent)]
    NotLocked(#[from] NotLocked),
    /// It cannot be read.
    #[error("{} cannot be read: {}", .0.display(), .1)]
    Unread(PathBuf, io::Error),
    /// The disk refused.
    #[error(transparent)]
    Unsaved(#[from] Unsaved),
}

/// What names a state of a file: the hash of its bytes, nothing where it does not exist.
///
/// # Errors
/// [`NotChanged::Unread`].
pub fn mark(root: &Path, file: &Path) -> Result<String, NotChanged> {
    match fs::read(root.join(file)) {
        Ok(bytes) => Ok(sha256(&bytes)),
        Err(error) if error.kind() == io::ErrorKind::NotFound => Ok(String::new()),
        Err(error) => Err(NotChanged::Unread(file.to_owned(), error)),
    }
}

/// Writes a file if it is still in the state that the mark names, and keeps what stood there.
///
/// # Errors
/// [`NotChanged`].
pub fn replace(
    disk: &dyn Disk,
    root: &Path,
    file: &Path,
    bytes: &[u8],
    was: &str,
) -> Result<(), NotChanged> {
    let lock = Lock::take(&root.join(file), PATIENCE)?;
    if mark(root, file)? != was {
        return Err(NotChanged::Meanwhile(file.to_owned()));
    }
    keep_earlier(disk, root, file)?;
    Ok(lock.save(disk, bytes)?)
}

/// Takes a file away, and keeps what stood there.
///
/// # Errors
/// [`NotChanged`].
pub fn remove(disk: &dyn Disk, root: &Path, file: &Path) -> Result<(), NotChanged> {
    keep_earlier(disk, root, file)?;
    let path = root.join(file);
    disk.remove(&path).map_err(|error| Unsaved { path, error })?;
    Ok(())
}
