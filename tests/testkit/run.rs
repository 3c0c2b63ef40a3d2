//! The built program, run in a folder.

use std::path::Path;
use std::process::{Command, Output};

/// The arguments that name the demonstration's files, for a run in `data-demo`.
pub const DEMO: &[&str] = &[
    "--inventory",
    "drumfell.csv",
    "orlhaven.xlsx",
    "sallowby.csv",
    "--mapping",
    "orlhaven.mapping.toml",
    "sallowby.mapping.toml",
    "--yards",
    "yards.csv",
    "--lots",
    "lots.csv",
    "--crossings",
    "crossings.csv",
    "--rules",
    "rules.toml",
];

/// Runs the program with these arguments in a folder.
pub fn spanyard_in(folder: &Path, args: &[&str]) -> Output {
    let mut command = Command::new(env!("CARGO_BIN_EXE_spanyard"));
    command.args(args).current_dir(folder).output().unwrap()
}

/// Runs the program on the files of the demonstration, in their folder.
pub fn demo(args: &[&str]) -> Output {
    spanyard_in(&super::renew::path("data-demo"), &[args, DEMO].concat())
}

/// What went to standard output.
pub fn stdout(output: &Output) -> String {
    String::from_utf8(output.stdout.clone()).unwrap()
}
