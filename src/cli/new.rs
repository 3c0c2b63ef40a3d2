//! `spanyard new DIR`: a purchase folder with templates to fill in.

use std::path::PathBuf;

use spanyard::read::{Columns, CrossingColumn, YardColumn, rules};
use spanyard::report::templates::blank;
use spanyard::save::{Disk, make_folder};

use super::Answer;
use super::demo::{in_folder, write_all, written};

/// Folders of a purchase folder that are empty at first.
const FOLDERS: [&str; 2] = ["lists", "papers"];

/// Arguments of `new`.
#[derive(Debug, clap::Args)]
#[command(after_help = "Example:\n  spanyard new mill-creek\n  spanyard check -C mill-creek")]
pub struct Args {
    /// Folder to make, or an empty one; no file in it is overwritten
    #[arg(value_name = "DIR")]
    folder: PathBuf,
}

/// Writes the folder.
pub fn run(args: &Args, disk: &dyn Disk) -> anyhow::Result<Answer> {
    let folder = &args.folder;
    let rules = rules(None).map_err(|_| anyhow::anyhow!("the built-in rules cannot be read"))?;
    let decks = rules.deck.iter().map(|deck| deck.name.clone()).collect();
    let crossings = blank("Crossings", CrossingColumn::ALL, &[("deck", decks)])?;
    let yards = blank("Yards", YardColumn::ALL, &[])?;
    let files: [(&str, &[u8]); 5] = [
        ("spanyard.toml", include_bytes!("../../templates/folder/spanyard.toml")),
        ("README.md", include_bytes!("../../templates/folder/README.md")),
        ("crossings.xlsx", &crossings),
        ("yards.xlsx", &yards),
        ("rules.toml", include_bytes!("../../templates/folder/rules.toml")),
    ];
    if let Some(standing) = write_all(disk, folder, &files)? {
        return Ok(standing);
    }
    for name in FOLDERS {
        make_folder(disk, &folder.join(name))?;
    }
    let said = format!(
        "Made a purchase folder:\n{}\n\
         Next, fill in crossings.xlsx and yards.xlsx, and put the dealers' lists into lists; then:\n  \
         spanyard check{}\n\
         README.md has all ten steps.\n",
        written(folder, &files),
        in_folder(folder)
    );
    Ok(Answer::done(said))
}
