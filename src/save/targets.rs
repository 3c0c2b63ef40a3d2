//! What a command will write, looked at before it works: an hour's search is not to end at a folder
//! that does not exist.

use std::fs::{self, OpenOptions};
use std::path::{Path, PathBuf};

use super::{folder_of, reason, same_file, writable};

/// The files and folders that a command will write.
#[derive(Debug, Default)]
pub struct Targets<'a> {
    files: Vec<(&'static str, &'a Path)>,
    folders: Vec<(&'static str, &'a Path)>,
}

/// Why a target cannot be written to.
#[derive(Debug, PartialEq, Eq, thiserror::Error)]
#[error("{option} {}: {why}", path.display())]
pub struct Unusable {
    /// The option that names it.
    pub option: &'static str,
    /// The file or folder.
    pub path: PathBuf,
    /// What is wrong, and what to do.
    pub why: String,
}

impl<'a> Targets<'a> {
    /// The same with one more file, if it is named.
    #[must_use]
    pub fn file(mut self, option: &'static str, path: Option<&'a Path>) -> Self {
        self.files.extend(path.map(|path| (option, path)));
        self
    }

    /// The same with one more folder, if it is named.
    #[must_use]
    pub fn folder(mut self, option: &'static str, path: Option<&'a Path>) -> Self {
        self.folders.extend(path.map(|path| (option, path)));
        self
    }

    /// Looks at all of them beside the files that are read.
    ///
    /// # Errors
    /// Everything that is wrong with them.
    pub fn check(&self, read: &[PathBuf]) -> Result<(), Vec<Unusable>> {
        let mut wrong = Vec::new();
        for (at, &(option, path)) in self.files.iter().enumerate() {
            let mut say = |why| wrong.push(Unusable { option, path: path.to_owned(), why });
            if read.iter().any(|input| same_file(input, path)) {
                say("is one of the files to read: choose another name".to_owned());
            } else if let Some((other, _)) =
                self.files.iter().take(at).find(|(_, other)| same_file(other, path))
            {
                say(format!("is also the file of {other}: choose another name"));
            } else if let Err(why) = file(path) {
                say(why);
            }
        }
        for (at, &(option, path)) in self.folders.iter().enumerate() {
            let mut say = |why| wrong.push(Unusable { option, path: path.to_owned(), why });
            let earlier = self.folders.iter().take(at).chain(&self.files);
            if let Some((other, _)) = earlier.clone().find(|(_, other)| same_file(other, path)) {
                say(format!("is also that of {other}: choose another name"));
            } else if let Err(why) = folder(path) {
                say(why);
            }
        }
        if wrong.is_empty() { Ok(()) } else { Err(wrong) }
    }
}

/// Whether a file can be written.
fn file(path: &Path) -> Result<(), String> {
    let standing = fs::metadata(path);
    if let Ok(about) = &standing {
        if about.is_dir() {
            return Err("is a folder: name a file".to_owned());
        }
        if !about.is_file() {
            return Ok(());
        }
        if about.permissions().readonly() {
            return Err(
                "is write-protected: choose another name, or lift the protection".to_owned()
            );
        }
        // Opened without a change; it fails where another program holds the file.
        if let Err(error) = OpenOptions::new().append(true).open(path) {
            return Err(format!("cannot be written: {}", reason(&error)));
        }
    }
    let into = if standing.is_ok() { fs::canonicalize(path) } else { Ok(path.to_owned()) };
    let into = into.unwrap_or_else(|_| path.to_owned());
    writable(folder_of(&into)).map_err(|error| format!("cannot be written: {}", reason(&error)))
}

/// Whether files can be written to a folder, which need not exist yet.
fn folder(path: &Path) -> Result<(), String> {
    let mut standing = path;
    loop {
        match fs::metadata(standing) {
            Ok(about) if about.is_dir() => {
                let tried = writable(standing);
                return tried.map_err(|error| format!("cannot be written to: {}", reason(&error)));
            }
            Ok(_) => return Err(format!("{} is a file: name a folder", standing.display())),
            Err(_) if standing == Path::new(".") => {
                return Err("the folder you are in does not exist".to_owned());
            }
            Err(_) => standing = folder_of(standing),
        }
    }
}
