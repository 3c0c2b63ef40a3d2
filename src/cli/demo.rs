//! `spanyard demo DIR`: writes the files of an invented county.

use std::path::{Path, PathBuf};

use spanyard::save::{Disk, make_folder, save_new};

use super::Answer;

/// Names and contents of the files of data-demo.
const FILES: &[(&str, &[u8])] = &[
    ("spanyard.toml", include_bytes!("../../data-demo/spanyard.toml")),
    ("lists/drumfell.csv", include_bytes!("../../data-demo/lists/drumfell.csv")),
    ("lists/orlhaven.xlsx", include_bytes!("../../data-demo/lists/orlhaven.xlsx")),
    ("lists/orlhaven.mapping.toml", include_bytes!("../../data-demo/lists/orlhaven.mapping.toml")),
    ("lists/sallowby.csv", include_bytes!("../../data-demo/lists/sallowby.csv")),
    ("lists/sallowby.mapping.toml", include_bytes!("../../data-demo/lists/sallowby.mapping.toml")),
    ("yards.csv", include_bytes!("../../data-demo/yards.csv")),
    ("lots.csv", include_bytes!("../../data-demo/lots.csv")),
    ("crossings.csv", include_bytes!("../../data-demo/crossings.csv")),
    ("rules.toml", include_bytes!("../../data-demo/rules.toml")),
];

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
    if let Some(standing) = write_all(disk, folder, FILES)? {
        return Ok(standing);
    }
    let said = format!(
        "Wrote the purchase folder of invented Tessarow County:\n{}\n\
         Next, see what to buy:\n  spanyard plan{}\n",
        written(folder, FILES),
        in_folder(folder)
    );
    Ok(Answer::done(said))
}

/// Writes files to a folder, unless one of them is there already: then nothing is written, and the
/// answer says so.
pub fn write_all(
    disk: &dyn Disk,
    folder: &Path,
    files: &[(&str, &[u8])],
) -> anyhow::Result<Option<Answer>> {
    let paths = files.iter().map(|(name, _)| folder.join(name));
    let standing: Vec<String> = paths
        .filter(|path| path.symlink_metadata().is_ok())
        .map(|path| path.display().to_string())
        .collect();
    if !standing.is_empty() {
        return Ok(Some(Answer::input_problem(&format!(
            "error: nothing was written, because these files exist already: {}",
            standing.join(", ")
        ))));
    }
    make_folder(disk, folder)?;
    for (number, (name, content)) in files.iter().enumerate() {
        let path = folder.join(name);
        let made = path.parent().map_or(Ok(()), |parent| make_folder(disk, parent));
        if let Err(error) = made.and_then(|()| save_new(disk, &path, content)) {
            // A folder of which half is missing would only be stumbled over.
            for (name, _) in files.iter().take(number) {
                let _ = disk.remove(&folder.join(name));
            }
            return Err(error.into());
        }
    }
    Ok(None)
}

/// The files written, a line for each.
pub fn written(folder: &Path, files: &[(&str, &[u8])]) -> String {
    let path = |name: &str| quoted(&folder.join(name).display().to_string());
    files.iter().map(|(name, _)| format!("  {}\n", path(name))).collect()
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
