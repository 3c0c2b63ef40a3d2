//! `spanyard demo DIR`: writes the files of an invented county.

use std::path::{Path, PathBuf};

use spanyard::save::{Disk, make_folder, save_new};

use super::Answer;

/// Names and contents of the demo files, as they stand in data-demo.
const FILES: &[(&str, &[u8])] = &[
    ("drumfell.csv", include_bytes!("../../data-demo/drumfell.csv")),
    ("orlhaven.xlsx", include_bytes!("../../data-demo/orlhaven.xlsx")),
    ("orlhaven.mapping.toml", include_bytes!("../../data-demo/orlhaven.mapping.toml")),
    ("sallowby.csv", include_bytes!("../../data-demo/sallowby.csv")),
    ("sallowby.mapping.toml", include_bytes!("../../data-demo/sallowby.mapping.toml")),
    ("yards.csv", include_bytes!("../../data-demo/yards.csv")),
    ("lots.csv", include_bytes!("../../data-demo/lots.csv")),
    ("crossings.csv", include_bytes!("../../data-demo/crossings.csv")),
    ("rules.toml", include_bytes!("../../data-demo/rules.toml")),
];

/// Arguments of `demo`.
#[derive(Debug, clap::Args)]
pub struct Args {
    /// Folder to write to; made if it does not exist. No file in it is overwritten
    #[arg(value_name = "DIR")]
    folder: PathBuf,
}

/// Writes the files, all or none.
pub fn run(args: &Args, disk: &dyn Disk) -> anyhow::Result<Answer> {
    let folder = &args.folder;
    let standing: Vec<String> = FILES
        .iter()
        .map(|(name, _)| folder.join(name))
        .filter(|path| path.symlink_metadata().is_ok())
        .map(|path| path.display().to_string())
        .collect();
    if !standing.is_empty() {
        return Ok(Answer::input_problem(&format!(
            "error: nothing was written, because these files exist already: {}",
            standing.join(", ")
        )));
    }
    make_folder(disk, folder)?;
    for (number, (name, content)) in FILES.iter().enumerate() {
        if let Err(error) = save_new(disk, &folder.join(name), content) {
            // A county of which half is missing would only be stumbled over.
            for (name, _) in FILES.iter().take(number) {
                let _ = disk.remove(&folder.join(name));
            }
            return Err(error.into());
        }
    }
    Ok(Answer::done(next_steps(folder)))
}

fn next_steps(folder: &Path) -> String {
    let path = |name: &str| quoted(&folder.join(name).display().to_string());
    let written: String = FILES.iter().map(|(name, _)| format!("  {}\n", path(name))).collect();
    format!(
        "Wrote the files of invented Tessarow County:\n{written}\n\
         Next, see what to buy:\n  \
         spanyard plan --inventory {} {} {} --mapping {} {} --yards {} --lots {} --crossings {} --rules {}\n",
        path("drumfell.csv"),
        path("orlhaven.xlsx"),
        path("sallowby.csv"),
        path("orlhaven.mapping.toml"),
        path("sallowby.mapping.toml"),
        path("yards.csv"),
        path("lots.csv"),
        path("crossings.csv"),
        path("rules.toml"),
    )
}

/// A path as a shell takes it.
fn quoted(path: &str) -> String {
    let plain = |c: char| c.is_ascii_alphanumeric() || "/\\.-_:".contains(c);
    if !path.is_empty() && path.chars().all(plain) {
        path.to_owned()
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
            [("demo/a.csv", "demo/a.csv"), ("my demo/a", "'my demo/a'"), ("a'b", "'a'\\''b'")]
        {
            assert_eq!(quoted(path), text);
        }
    }
}
