//! Small workbooks that would fill a computer's memory, or never end: each is refused in seconds and
//! within bounds of memory that a wrong way would break at once.
#![cfg(unix)]

use std::process::{Command, Output};
use std::time::{Duration, Instant};

/// `spanyard check` with so many kilobytes of address space: program, libraries and stacks included.
fn check(file: &str) -> (Output, Duration) {
    const KILOBYTES: &str = "600000";
    let start = Instant::now();
    let mut run = Command::new("sh");
    run.args([
        "-c",
        "ulimit -v $0; exec \"$@\"",
        KILOBYTES,
        env!("CARGO_BIN_EXE_spanyard"),
        "check",
    ]);
    run.arg(format!("{}/tests/read/bombs/{file}", env!("CARGO_MANIFEST_DIR")));
    (run.output().unwrap(), start.elapsed())
}

#[test]
fn small_workbooks_that_unfold_are_refused() {
    for (file, code, wrong) in [
        ("cut.ods", "D01", "content.xml: a part of it is cut off"),
        ("square.ods", "D19", "has more than "),
        ("long.ods", "D19", "has a cell of more than 32767 characters"),
        ("shared.xlsx", "D19", "has a cell of more than 32767 characters"),
    ] {
        let (output, took) = check(file);
        let said = String::from_utf8_lossy(&output.stdout);
        let errors = String::from_utf8_lossy(&output.stderr);
        assert_eq!(output.status.code(), Some(2), "{file}: {said}{errors}");
        assert!(said.contains(code) && said.contains(wrong), "{file}: {said}{errors}");
        assert!(took < Duration::from_secs(30), "{file}: {took:?}");
    }
}
