//! Earlier states: before a file of the folder is written over, what stood there is kept under the day
//! and the time, so that it can be had back.

use std::fs;
use std::path::{Path, PathBuf};

use jiff::ZonedDateTime;

use crate::save::{Disk, Unsaved, make_folder, save_new};

/// The folder of earlier states, in the purchase folder.
pub const EARLIER: &str = "earlier";

/// Days that are kept.
const DAYS: usize = 7;

/// States of one day that are kept.
const STATES: usize = 200;

/// A state that was kept.
#[derive(Clone, Debug, PartialEq, Eq)]
pub struct State {
    /// The day, `2026-06-01`.
    pub day: String,
    /// The time and the file, `093012-decisions.toml`, with `+` for what parts folders.
    pub name: String,
    /// The file, as a path from the folder.
    pub file: PathBuf,
}

/// Keeps what stands in a file, unless the last state kept of it today is the same. Of what is beyond
/// the bounds the oldest goes.
///
/// # Errors
/// [`Unsaved`].
pub fn keep_earlier(disk: &dyn Disk, root: &Path, file: &Path) -> Result<(), Unsaved> {
    let Ok(bytes) = fs::read(root.join(file)) else { return Ok(()) };
    let now = ZonedDateTime::now();
    let day = now.strftime("%Y-%m-%d").to_string();
    let folder = root.join(EARLIER).join(&day);
    let states = earlier(root);
    let today: Vec<&State> = states.iter().filter(|state| state.day == day).collect();
    let last = today.iter().find(|state| state.file == *file);
    if last.is_some_and(|state| fs::read(folder.join(&state.name)).is_ok_and(|old| old == bytes)) {
        return Ok(());
    }
    make_folder(disk, &folder)?;
    let plain = file.display().to_string().replace(['/', '\\'], "+");
    let mut number = 0;
    let path = loop {
        let time = now.strftime("%H%M%S");
        let path = folder.join(format!("{time}{number:02}-{plain}"));
        if !path.exists() || number == 99 {
            break path;
        }
        number += 1;
    };
    save_new(disk, &path, &bytes)?;
    for old in today.iter().skip(STATES - 1) {
        let _ = disk.remove(&folder.join(&old.name));
    }
    let mut days: Vec<String> = states.into_iter().map(|state| state.day).collect();
    days.dedup();
    for day in days.iter().filter(|kept| **kept != day).skip(DAYS - 1) {
        let _ = fs::remove_dir_all(root.join(EARLIER).join(day));
    }
    Ok(())
}

/// The states kept, newest first.
#[must_use]
pub fn earlier(root: &Path) -> Vec<State> {
    let names = |folder: &Path| -> Vec<String> {
        let entries = fs::read_dir(folder).into_iter().flatten().flatten();
        let mut names: Vec<String> =
            entries.filter_map(|entry| entry.file_name().into_string().ok()).collect();
        names.sort_by(|a, b| b.cmp(a));
        names
    };
    let mut states = Vec::new();
    for day in names(&root.join(EARLIER)) {
        if day.parse::<jiff::civil::Date>().is_err() {
            continue;
        }
        for name in names(&root.join(EARLIER).join(&day)) {
            let Some((time, file)) = name.split_once('-') else { continue };
            if time.len() == 8 && time.chars().all(|c| c.is_ascii_digit()) {
                let file = PathBuf::from(file.replace('+', "/"));
                states.push(State { day: day.clone(), name, file });
            }
        }
    }
    states
}
