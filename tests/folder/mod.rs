//! The purchase folder: what `new` makes, what its file names, and what the command line says over it.

mod add;
mod county;
mod made;
mod part;
mod paths;
mod workbook;

use std::path::{Path, PathBuf};

use crate::testkit::renew::path;
use crate::testkit::run::{spanyard_in, stdout};

/// A folder of the test's own, empty.
fn empty(name: &str) -> PathBuf {
    let folder = Path::new(env!("CARGO_TARGET_TMPDIR")).join(format!("folder-{name}"));
    let _ = std::fs::remove_dir_all(&folder);
    std::fs::create_dir_all(&folder).unwrap();
    folder
}

/// A copy of the demonstration.
fn demo(name: &str) -> PathBuf {
    let folder = empty(name);
    let output = spanyard_in(&folder, &["demo", "."]);
    assert!(output.status.success());
    folder
}

/// Exit code, standard output and standard error of a run.
fn run(folder: &Path, args: &[&str]) -> (i32, String, String) {
    let output = spanyard_in(folder, args);
    let said = String::from_utf8(output.stderr.clone()).unwrap();
    (output.status.code().unwrap(), stdout(&output), said)
}

/// The project's folder.
fn project() -> PathBuf {
    path(".")
}
