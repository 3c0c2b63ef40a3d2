//! Writing files: what may be written, what is left where it goes wrong, and who keeps whom out. That
//! each step of writing may fail is tried beside the commands, in src/cli/faults.rs.

mod at_once;
mod limits;
mod origin;
mod targets;

use std::path::{Path, PathBuf};
use std::process::{Command, Output};

/// A folder with the files of a small purchase, gone at the end.
pub struct Folder(pub PathBuf);

impl Folder {
    pub fn new(name: &str) -> Self {
        let path =
            std::env::temp_dir().join(format!("spanyard-save-{name}-{}", std::process::id()));
        let _ = std::fs::remove_dir_all(&path);
        std::fs::create_dir_all(&path).unwrap();
        let files = Path::new(env!("CARGO_MANIFEST_DIR")).join("tests/cli/funds.in");
        for file in ["cars.csv", "yards.csv", "crossings.csv", "rules.toml"] {
            std::fs::copy(files.join(file), path.join(file)).unwrap();
        }
        Self(path)
    }

    pub fn path(&self, name: &str) -> PathBuf {
        self.0.join(name)
    }

    pub fn write(&self, name: &str, content: impl AsRef<[u8]>) {
        std::fs::write(self.path(name), content).unwrap();
    }

    pub fn read(&self, name: &str) -> String {
        std::fs::read_to_string(self.path(name)).unwrap()
    }

    /// A command on the files of the folder, run in it.
    pub fn command(&self, command: &str, more: &[&str]) -> Command {
        let mut run = Command::new(env!("CARGO_BIN_EXE_spanyard"));
        run.current_dir(&self.0).arg(command).args(more).args(FILES);
        run
    }

    pub fn run(&self, command: &str, more: &[&str]) -> Output {
        self.command(command, more).output().unwrap()
    }

    /// Names in the folder.
    pub fn names(&self) -> Vec<String> {
        let entries = std::fs::read_dir(&self.0).unwrap();
        let mut names: Vec<String> =
            entries.map(|entry| entry.unwrap().file_name().into_string().unwrap()).collect();
        names.sort();
        names
    }
}

impl Drop for Folder {
    fn drop(&mut self) {
        let _ = std::fs::remove_dir_all(&self.0);
    }
}

pub const FILES: [&str; 8] = [
    "--inventory",
    "cars.csv",
    "--yards",
    "yards.csv",
    "--crossings",
    "crossings.csv",
    "--rules",
    "rules.toml",
];

pub fn said(output: &Output) -> String {
    String::from_utf8_lossy(&output.stderr).into_owned()
}
