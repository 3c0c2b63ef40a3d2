//! Saving: every file that a command writes goes through here, and is afterwards either as it was or
//! whole as it should be. This is the one room of the library that touches files.
//!
//! A file is written beside its place under another name, brought to the disk, and renamed: a full
//! disk, a stop in the middle or a second program leaves the old file or the new one and nothing
//! between. What a command will write is checked before it works ([`Targets`]), and a file that is
//! read, changed and written again is locked meanwhile ([`Lock`]).

mod disk;
mod identity;
mod lock;
mod targets;

use std::fs::{self, File};
use std::io;
use std::path::{Path, PathBuf};
use std::time::Duration;

pub use disk::{Disk, RealDisk};
pub use identity::same_file;
pub use lock::{Lock, NotLocked};
pub use targets::{Targets, Unusable};

/// Why a file was not written. What stood there before still stands there.
#[derive(Debug, thiserror::Error)]
#[error("{} cannot be written: {}", path.display(), reason(error))]
pub struct Unsaved {
    /// The file.
    pub path: PathBuf,
    /// What the system said.
    pub error: io::Error,
}

/// The common causes in the same words on every system.
fn reason(error: &io::Error) -> String {
    match error.kind() {
        io::ErrorKind::NotFound => "its folder does not exist".to_owned(),
        io::ErrorKind::PermissionDenied => {
            "you may not write there, or another program holds it".to_owned()
        }
        io::ErrorKind::IsADirectory => "it is a folder".to_owned(),
        io::ErrorKind::StorageFull | io::ErrorKind::QuotaExceeded => "the disk is full".to_owned(),
        io::ErrorKind::FileTooLarge => "files may not become that large here".to_owned(),
        io::ErrorKind::AlreadyExists => "it exists already".to_owned(),
        _ => error.to_string(),
    }
}

/// Writes a file, in place of what stands there, and removes what a stopped program left beside it. A device or a pipe is written to as it is.
///
/// # Errors
/// [`Unsaved`], and then what stood there stands there still.
pub fn save(disk: &dyn Disk, path: &Path, bytes: &[u8]) -> Result<(), Unsaved> {
    let target = followed(path);
    let beside = beside(&target, &format!("{}.tmp", std::process::id()));
    replace(disk, &target, &beside, bytes)
        .map_err(|error| Unsaved { path: path.to_owned(), error })?;
    forget_stopped(disk, &target);
    Ok(())
}

/// Removes what programs stopped while they wrote this file have left beside it. What is younger than
/// `AT_WORK` may be another program's that is still writing.
fn forget_stopped(disk: &dyn Disk, target: &Path) {
    const AT_WORK: Duration = Duration::from_secs(600);
    let (start, end) = (beside(target, ""), ".tmp");
    let Some(start) = start.file_name().map(|name| name.to_string_lossy().into_owned()) else {
        return;
    };
    let left = |name: &str| {
        let number = name.strip_prefix(&start).and_then(|rest| rest.strip_suffix(end));
        number.is_some_and(|n| !n.is_empty() && n.bytes().all(|byte| byte.is_ascii_digit()))
    };
    for entry in fs::read_dir(folder_of(target)).into_iter().flatten().flatten() {
        let changed = || entry.metadata().and_then(|about| about.modified()).ok();
        let old = || changed()?.elapsed().ok().filter(|age| *age > AT_WORK);
        if left(&entry.file_name().to_string_lossy()) && old().is_some() {
            // One that cannot be removed hurts nobody.
            let _ = disk.remove(&entry.path());
        }
    }
}

/// Writes a file that must not exist yet.
///
/// # Errors
/// [`Unsaved`], also where it exists.
pub fn save_new(disk: &dyn Disk, path: &Path, bytes: &[u8]) -> Result<(), Unsaved> {
    let unsaved = |error| Unsaved { path: path.to_owned(), error };
    // Its place is taken first, so that nothing that came meanwhile is written over.
    drop(disk.create_new(path).map_err(unsaved)?);
    save(disk, path, bytes).inspect_err(|_| {
        let _ = disk.remove(path);
    })
}

/// Makes a folder and those around it, where they do not exist.
///
/// # Errors
/// [`Unsaved`] with the folder.
pub fn make_folder(disk: &dyn Disk, path: &Path) -> Result<(), Unsaved> {
    disk.make_folders(path).map_err(|error| Unsaved { path: path.to_owned(), error })
}

/// Moves files into a folder beside them, which is made, and gives its name: the first of `NAME-1`,
/// `NAME-2` and so on that is free.
///
/// # Errors
/// [`Unsaved`] with the file that could not be moved; those before it are moved.
pub fn move_aside(
    disk: &dyn Disk,
    folder: &Path,
    names: &[String],
    to: &str,
) -> Result<PathBuf, Unsaved> {
    let mut numbered = (1_u32..).map(|number| folder.join(format!("{to}-{number}")));
    let aside = numbered.find(|path| fs::symlink_metadata(path).is_err());
    let aside = aside.unwrap_or_else(|| folder.join(to));
    make_folder(disk, &aside)?;
    for name in names {
        let from = folder.join(name);
        disk.rename(&from, &aside.join(name))
            .map_err(|error| Unsaved { path: from.clone(), error })?;
    }
    Ok(aside)
}

/// Where a path leads through links; itself where it leads nowhere yet.
fn followed(path: &Path) -> PathBuf {
    fs::canonicalize(path).unwrap_or_else(|_| path.to_owned())
}

/// The folder of a file.
fn folder_of(path: &Path) -> &Path {
    match path.parent() {
        Some(parent) if !parent.as_os_str().is_empty() => parent,
        _ => Path::new("."),
    }
}

/// Another name in the folder of a file: hidden, short enough, and plainly of this file.
fn beside(path: &Path, end: &str) -> PathBuf {
    /// File systems take 255 bytes; four for each character leave room for the end.
    const MOST: usize = 50;
    let name = path.file_name().map(|name| name.to_string_lossy().into_owned()).unwrap_or_default();
    let name: String = name.chars().take(MOST).collect();
    folder_of(path).join(format!(".{name}.{end}"))
}

/// Writes beside, syncs, renames, syncs the folder.
fn replace(disk: &dyn Disk, target: &Path, beside: &Path, bytes: &[u8]) -> io::Result<()> {
    let standing = fs::metadata(target).ok();
    if standing.as_ref().is_some_and(fs::Metadata::is_dir) {
        return Err(io::ErrorKind::IsADirectory.into());
    }
    if standing.as_ref().is_some_and(|about| !about.is_file()) {
        // A device or a pipe keeps nothing that could be torn, and must not be replaced by a file.
        return disk.open(target).and_then(|mut file| disk.write(&mut file, bytes));
    }
    let written = disk.create(beside).and_then(|mut file| {
        disk.write(&mut file, bytes)?;
        if let Some(standing) = &standing {
            file.set_permissions(standing.permissions())?;
        }
        disk.sync(&file)
    });
    // On Windows a file must be closed before it is renamed, which it is here.
    let renamed = written.and_then(|()| patiently(|| disk.rename(beside, target)));
    if let Err(error) = renamed {
        // What is left of it hurts nobody; that it cannot be removed either is no further news.
        let _ = disk.remove(beside);
        return Err(error);
    }
    match disk.sync_folder(folder_of(target)) {
        // Some file systems have no such thing.
        Err(error) if error.kind() == io::ErrorKind::InvalidInput => Ok(()),
        other => other,
    }
}

/// On Windows a file that a spreadsheet program or a virus scanner holds open cannot be replaced for
/// a moment.
fn patiently(mut rename: impl FnMut() -> io::Result<()>) -> io::Result<()> {
    let mut again = if cfg!(windows) { 10 } else { 0 };
    loop {
        match rename() {
            Err(error) if again > 0 && error.kind() == io::ErrorKind::PermissionDenied => {
                again -= 1;
                std::thread::sleep(Duration::from_millis(50));
            }
            done => return done,
        }
    }
}

/// Whether a file can be made in a folder: it is tried.
fn writable(folder: &Path) -> io::Result<()> {
    // One name for all, so that a stopped program leaves one at most.
    let trial = beside(&folder.join("trial"), "tmp");
    File::create(&trial)?;
    match fs::remove_file(&trial) {
        // Another program tried at the same time.
        Err(error) if error.kind() == io::ErrorKind::NotFound => Ok(()),
        removed => removed,
    }
}
