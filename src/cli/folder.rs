//! The purchase folder on disk: which files its `spanyard.toml` names.

use std::fs;
use std::path::{Path, PathBuf};

use spanyard::check::Code;
use spanyard::read::{FOLDER_FILE, Folder, Lists, Problem, is_list, mapping_of};

use super::files::{Refusal, open};

/// The files of a purchase folder.
#[derive(Debug, Default)]
pub struct Here {
    pub lists: Vec<PathBuf>,
    pub crossings: Option<PathBuf>,
    pub yards: Option<PathBuf>,
    pub lots: Option<PathBuf>,
    pub rules: Option<PathBuf>,
    pub decisions: Option<PathBuf>,
}

/// The purchase folder in which the program was started; none where it is none.
pub fn here() -> Result<Option<Here>, Refusal> {
    let file = Path::new(FOLDER_FILE);
    if !file.is_file() {
        return Ok(None);
    }
    let folder = open(file).and_then(|source| Folder::read(&source)).map_err(|problem| *problem)?;
    let path = |name: Option<String>| name.map(PathBuf::from);
    Ok(Some(Here {
        lists: folder.lists.map(lists).transpose().map_err(|problem| *problem)?.unwrap_or_default(),
        crossings: path(folder.crossings),
        yards: path(folder.yards),
        lots: path(folder.lots),
        rules: path(folder.rules),
        decisions: path(folder.decisions),
    }))
}

/// The lists, of a folder by name, so that the order is the same on every system.
fn lists(named: Lists) -> Result<Vec<PathBuf>, Box<Problem>> {
    let folder = match named {
        Lists::Files(files) => return Ok(files.into_iter().map(PathBuf::from).collect()),
        Lists::Folder(folder) => PathBuf::from(folder),
    };
    let unread = |error: std::io::Error| {
        let wrong = format!("names the folder {}, which cannot be read: {error}", folder.display());
        let instead = "make the folder, or correct `lists`";
        Box::new(Problem::of_file(Code::FileUnreadable, FOLDER_FILE.into(), wrong, instead))
    };
    let mut files = Vec::new();
    for entry in fs::read_dir(&folder).map_err(unread)? {
        let path = entry.map_err(unread)?.path();
        let named = path.file_name().is_some_and(|name| is_list(&name.to_string_lossy()));
        if named && path.is_file() {
            files.push(path);
        }
    }
    files.sort();
    Ok(files)
}

/// The mapping that lies beside a list.
pub fn mapping_beside(list: &Path) -> Option<PathBuf> {
    let mapping = PathBuf::from(mapping_of(list.to_str()?));
    mapping.is_file().then_some(mapping)
}
