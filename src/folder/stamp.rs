//! Whether the files are still those that were read.

use std::fs;
use std::path::{Path, PathBuf};
use std::time::{Duration, UNIX_EPOCH};

use jiff::civil::Date;

use super::files::{Files, today};
use crate::read::FOLDER_FILE;

/// Names, lengths and times of change of the files of a purchase, and the day: what is read again gives
/// the same while this is the same.
#[derive(Clone, Debug, PartialEq, Eq)]
pub struct Stamp {
    files: Vec<(PathBuf, Option<(u64, Duration)>)>,
    day: Date,
}

impl Files {
    /// The stamp of these files now.
    #[must_use]
    pub fn stamp(&self) -> Stamp {
        let named = [Some(Path::new(FOLDER_FILE)), self.decided_in.as_deref()];
        let paths = named.into_iter().flatten().chain(self.paths());
        let about = |path: &Path| {
            let about = fs::metadata(self.at(path)).ok()?;
            let changed = about.modified().ok()?.duration_since(UNIX_EPOCH).ok()?;
            Some((about.len(), changed))
        };
        Stamp { files: paths.map(|path| (path.to_owned(), about(path))).collect(), day: today() }
    }
}
