//! `spanyard demo DIR`: writes the files of an invented county.

use std::path::{Path, PathBuf};

use spanyard::folder::{DEMO, make};
use spanyard::save::Disk;

use super::Answer;

/// Arguments of `demo`.
#[derive(Debug, clap::Args)]
#[command(after_help = "Examples:\n  spanyard demo county\n  spanyard plan -C county")]
pub struct Args {
    /// Folder to write to; made if it does not exist. No file in it is overwritten
    #[arg(value_name = "DIR")]
    folder: PathBuf,
}

/// Writes the files, all or none.
pub fn run(args: &Args, disk: &dyn Disk) -> anyhow::Result<Answer> {
    let folder = &args.folder;
    make(disk, folder, DEMO)?;
    let said = format!(
        "Wrote the purchase folder of invented Tessarow County:\n{}\n\
         Next, see what to buy:\n  spanyard plan{}\n",
        written(folder, DEMO.iter().map(|(name, _)| *name)),
        in_folder(folder)
    );
    Ok(Answer::done(said))
}

/// The files written, a line for each.
pub fn written<'a>(folder: &Path, files: impl IntoIterator<Item = &'a str>) -> String {
    let path = |name: &str| quoted(&folder.join(name).display().to_string());
    files.into_iter().map(|name| format!("  {}\n", path(name))).collect()
}

/// The option that names a folder to work in; nothing for the one where the program was started.
pub fn in_folder(folder: &Path) -> String {
    match folder.to_str() {
        Some(".") => String::new(),
        _ => format!(" -C {}", quoted(&folder.display().to_string())),
    }
}

/// A path as a shell takes it, of Unix and Windows.
fn quoted(path: &str) -> String {
    let plain = |c: char| c.is_ascii_alphanumeric() || "/\\.-_:".contains(c);
    if !path.is_empty() && path.chars().all(plain) {
        path.to_owned()
    } else if path.contains('\'') && !path.contains(['"', '$', '`', '\\']) {
        format!("\"{path}\"")
    } else {
        format!("'{}'", path.replace('\'', "'\\''"))
    }
}

#[cfg(test)]
mod tests {
    use super::*;

    #[test]
    fn paths_for_a_shell() {
        for (path, text) in
            [("demo/a.csv", "demo/a.csv"), ("my demo/a", "'my demo/a'"), ("a'b", "\"a'b\"")]
        {
            assert_eq!(quoted(path), text);
        }
    }
}
