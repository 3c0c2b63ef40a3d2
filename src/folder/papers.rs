//! Writing what is made of a plan: single files, and the folder of sheets, in which those of another
//! plan are moved aside first.

use std::convert::Infallible;
use std::error::Error;
use std::fs;
use std::path::{Path, PathBuf};

use crate::report::sheets::{self, SheetFile};
use crate::save::{Disk, make_folder, move_aside, same_file, save};

/// What came of writing.
#[derive(Debug, Default)]
pub struct Written {
    /// Lines on what was written, and on what was not.
    pub said: String,
    /// Whether a file was not written.
    pub failed: bool,
}

impl Written {
    /// Writes a file and says so.
    pub fn file<E: Error>(
        &mut self,
        path: &Path,
        content: Result<impl AsRef<[u8]>, E>,
        disk: &dyn Disk,
    ) {
        match content {
            Err(error) => self.fail(&error),
            Ok(bytes) => match save(disk, path, bytes.as_ref()) {
                Ok(()) => self.said.push_str(&format!("wrote {}\n", path.display())),
                Err(error) => self.fail(&error),
            },
        }
    }

    /// Says that something was not written.
    pub fn fail(&mut self, error: &dyn Error) {
        self.failed = true;
        self.said.push_str(&format!("error: {error}\n"));
    }

    /// Writes the sheets of a plan to their folder. Those of another plan that lie there, and would be
    /// taken for part of this one, are moved aside first.
    pub fn sheets(
        &mut self,
        folder: &Path,
        files: &[SheetFile],
        plan_id: &str,
        taken: &[&Path],
        disk: &dyn Disk,
    ) {
        if let Err(error) = make_folder(disk, folder) {
            return self.fail(&error);
        }
        let is_taken = |name: &str| taken.iter().any(|other| same_file(&folder.join(name), other));
        let standing = standing(folder, |name| !is_taken(name));
        if !standing.iter().all(|name| is_of(folder, name, files, plan_id)) {
            match move_aside(disk, folder, &standing, "earlier") {
                Ok(aside) => self.said.push_str(&format!(
                    "moved {} sheets of another plan to {}\n",
                    standing.len(),
                    aside.display()
                )),
                // Sheets of two plans in one folder are worse than none.
                Err(error) => return self.fail(&error),
            }
        }
        for sheet in files {
            let path = folder.join(&sheet.name);
            if is_taken(&sheet.name) {
                self.failed = true;
                let name = path.display();
                self.said.push_str(&format!(
                    "error: {name} is a file to read or to write already: choose another folder\n"
                ));
            } else {
                self.file(&path, Ok::<_, Infallible>(&sheet.content), disk);
            }
        }
    }
}

/// The sheets that lie in a folder, by the names that sheets have.
fn standing(folder: &Path, counts: impl Fn(&str) -> bool) -> Vec<String> {
    let entries = fs::read_dir(folder).into_iter().flatten().flatten();
    let names = entries.filter_map(|entry| entry.file_name().into_string().ok());
    let mut names: Vec<String> =
        names.filter(|name| sheets::is_name(name) && counts(name)).collect();
    names.sort();
    names
}

/// Whether a sheet that lies there is of this plan: a page says the plan's ID, a table that is of
/// another plan has another content.
fn is_of(folder: &Path, name: &str, files: &[SheetFile], plan_id: &str) -> bool {
    let Some(new) = files.iter().find(|file| file.name == name) else { return false };
    let standing = fs::read(folder.join(name)).unwrap_or_default();
    let says_id = || String::from_utf8_lossy(&standing).contains(plan_id);
    standing == new.content.as_bytes() || (name.ends_with(".html") && says_id())
}

/// The files that lie in a folder, by name; those that begin with a dot are nobody's.
#[must_use]
pub fn files_in(folder: &Path) -> Vec<PathBuf> {
    let entries = fs::read_dir(folder).into_iter().flatten().flatten();
    let mut files: Vec<PathBuf> = entries
        .filter(|entry| entry.path().is_file())
        .map(|entry| PathBuf::from(entry.file_name()))
        .filter(|name| !name.to_string_lossy().starts_with('.'))
        .collect();
    files.sort();
    files
}
