//! `spanyard new DIR`: a purchase folder with templates to fill in.

use std::path::PathBuf;

use spanyard::folder::blank;
use spanyard::save::Disk;

use super::Answer;
use super::demo::{in_folder, written};

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
    let files = blank(disk, folder)?;
    let said = format!(
        "Made a purchase folder:\n{}\n\
         Next, fill in crossings.xlsx and yards.xlsx, and put the dealers' lists into lists; then:\n  \
         spanyard check{}\n\
         README.md has all ten steps.\n",
        written(folder, files),
        in_folder(folder)
    );
    Ok(Answer::done(said))
}
