//! Making a purchase folder: the one of the demonstration, or one with tables to fill in.

use std::path::{Path, PathBuf};

use crate::read::{Column, Columns, CrossingColumn, YardColumn, rules};
use crate::report::templates;
use crate::save::{Disk, Unsaved, make_folder, save_new};

/// Names and contents of the files of the demonstration, an invented county's.
pub const DEMO: &[(&str, &[u8])] = &[
    ("spanyard.toml", include_bytes!("../../data-demo/spanyard.toml")),
    ("lists/drumfell.csv", include_bytes!("../../data-demo/lists/drumfell.csv")),
    ("lists/orlhaven.xlsx", include_bytes!("../../data-demo/lists/orlhaven.xlsx")),
    ("lists/orlhaven.mapping.toml", include_bytes!("../../data-demo/lists/orlhaven.mapping.toml")),
    ("lists/sallowby.csv", include_bytes!("../../data-demo/lists/sallowby.csv")),
    ("lists/sallowby.mapping.toml", include_bytes!("../../data-demo/lists/sallowby.mapping.toml")),
    ("yards.csv", include_bytes!("../../data-demo/yards.csv")),
    ("lots.csv", include_bytes!("../../data-demo/lots.csv")),
    ("hauls.csv", include_bytes!("../../data-demo/hauls.csv")),
    ("crossings.csv", include_bytes!("../../data-demo/crossings.csv")),
    ("rules.toml", include_bytes!("../../data-demo/rules.toml")),
];

/// Folders of a purchase folder that are empty at first.
const FOLDERS: [&str; 2] = ["lists", "papers"];

/// Why a folder was not made. Nothing is left of it, then.
#[derive(Debug, thiserror::Error)]
pub enum NotMade {
    /// Files that are there already, which nothing writes over.
    #[error("nothing was written, because these files exist already: {}", listed(.0))]
    Standing(Vec<PathBuf>),
    /// The disk refused.
    #[error(transparent)]
    Unsaved(#[from] Unsaved),
    /// A table to fill in cannot be made: a defect of this program.
    #[error("the tables to fill in cannot be made: {0}")]
    Defect(String),
}

fn listed(paths: &[PathBuf]) -> String {
    paths.iter().map(|path| path.display().to_string()).collect::<Vec<_>>().join(", ")
}

/// Writes files to a folder, all or none, unless one of them is there already.
///
/// # Errors
/// [`NotMade`].
pub fn make(
    disk: &dyn Disk,
    folder: &Path,
    files: &[(&str, impl AsRef<[u8]>)],
) -> Result<(), NotMade> {
    let paths = files.iter().map(|(name, _)| folder.join(name));
    let standing: Vec<PathBuf> = paths.filter(|path| path.symlink_metadata().is_ok()).collect();
    if !standing.is_empty() {
        return Err(NotMade::Standing(standing));
    }
    make_folder(disk, folder)?;
    for (number, (name, content)) in files.iter().enumerate() {
        let path = folder.join(name);
        let made = path.parent().map_or(Ok(()), |parent| make_folder(disk, parent));
        if let Err(error) = made.and_then(|()| save_new(disk, &path, content.as_ref())) {
            // A folder of which half is missing would only be stumbled over.
            for (name, _) in files.iter().take(number) {
                let _ = disk.remove(&folder.join(name));
            }
            return Err(error.into());
        }
    }
    Ok(())
}

/// Makes a purchase folder with tables to fill in, and gives the names of its files.
///
/// # Errors
/// [`NotMade`].
pub fn blank(disk: &dyn Disk, folder: &Path) -> Result<Vec<&'static str>, NotMade> {
    let defect = |wrong: String| NotMade::Defect(wrong);
    let rules = rules(None).map_err(|_| defect("the built-in rules cannot be read".to_owned()))?;
    let decks = rules.deck.iter().map(|deck| deck.name.clone()).collect();
    let table = |name: &str, columns: &[Column], lists: &[(&str, Vec<String>)]| {
        templates::blank(name, columns, lists).map_err(|error| defect(error.to_string()))
    };
    let crossings = table("Crossings", CrossingColumn::ALL, &[("deck", decks)])?;
    let yards = table("Yards", YardColumn::ALL, &[])?;
    let files: [(&str, &[u8]); 5] = [
        ("spanyard.toml", include_bytes!("../../templates/folder/spanyard.toml")),
        ("README.md", include_bytes!("../../templates/folder/README.md")),
        ("crossings.xlsx", &crossings),
        ("yards.xlsx", &yards),
        ("rules.toml", include_bytes!("../../templates/folder/rules.toml")),
    ];
    make(disk, folder, &files)?;
    for name in FOLDERS {
        make_folder(disk, &folder.join(name))?;
    }
    Ok(files.map(|(name, _)| name).to_vec())
}
