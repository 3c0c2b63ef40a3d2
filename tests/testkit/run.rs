//! The built program, run in a folder.

use std::path::Path;
use std::process::{Command, Output};

/// Runs the program with these arguments in a folder.
pub fn spanyard_in(folder: &Path, args: &[&str]) -> Output {
    let mut command = Command::new(env!("CARGO_BIN_EXE_spanyard"));
    command.args(args).current_dir(folder).output().unwrap()
}

/// Runs the program in the purchase folder of the demonstration.
pub fn demo(args: &[&str]) -> Output {
    spanyard_in(&super::renew::path("data-demo"), args)
}

/// What went to standard output.
pub fn stdout(output: &Output) -> String {
    String::from_utf8(output.stdout.clone()).unwrap()
}
