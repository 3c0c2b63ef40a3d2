//! The search from the command line: its progress, its limits, and Ctrl-C.
#![cfg(unix)]
#![allow(clippy::unwrap_used)]

mod testkit;

use std::io::{BufRead, BufReader, Read};
use std::path::PathBuf;
use std::process::{Child, Command, Stdio};
use std::thread::JoinHandle;

/// A folder with the files of a program, gone at the end.
struct Folder(PathBuf);

impl Folder {
    fn new(name: &str, crossings: usize, cars: usize) -> Self {
        let path = std::env::temp_dir().join(format!("spanyard-{name}-{}", std::process::id()));
        std::fs::create_dir_all(&path).unwrap();
        let files = testkit::program::program(crossings, cars, 1);
        for (name, text) in [
            ("cars.csv", files.inventory),
            ("yards.csv", files.yards),
            ("lots.csv", files.lots),
            ("crossings.csv", files.crossings),
        ] {
            std::fs::write(path.join(name), text).unwrap();
        }
        Self(path)
    }

    fn plan(&self, options: &[&str]) -> Child {
        Command::new(env!("CARGO_BIN_EXE_spanyard"))
            .current_dir(&self.0)
            .args(["plan", "--inventory", "cars.csv", "--yards", "yards.csv"])
            .args(["--lots", "lots.csv", "--crossings", "crossings.csv"])
            .args(options)
            .stdin(Stdio::null())
            .stdout(Stdio::piped())
            .stderr(Stdio::piped())
            .spawn()
            .unwrap()
    }
}

impl Drop for Folder {
    fn drop(&mut self) {
        let _ = std::fs::remove_dir_all(&self.0);
    }
}

/// Reads all that a child prints while others do other things.
fn reader(mut from: impl Read + Send + 'static) -> JoinHandle<String> {
    std::thread::spawn(move || {
        let mut text = String::new();
        from.read_to_string(&mut text).unwrap();
        text
    })
}

#[test]
fn ctrl_c_ends_a_hard_search_with_the_best_plan_so_far() {
    let folder = Folder::new("interrupt", 40, 250);
    let mut child = folder.plan(&["--progress", "--format", "json"]);
    let stdout = reader(child.stdout.take().unwrap());
    let mut said = BufReader::new(child.stderr.take().unwrap());
    let mut line = String::new();
    said.read_line(&mut line).unwrap();
    assert!(line.starts_with("searching ") && line.contains(" net; "), "{line:?}");
    let said = reader(said);
    let kill = Command::new("kill").args(["-INT", &child.id().to_string()]).status().unwrap();
    assert!(kill.success());
    let status = child.wait().unwrap();
    let (stdout, _) = (stdout.join().unwrap(), said.join().unwrap());
    assert_eq!(status.code(), Some(3), "{status:?}");
    let plan: serde_json::Value = serde_json::from_str(&stdout).unwrap();
    let summary = &plan["summary"];
    assert_eq!(summary["stopped_by"], "interrupt");
    assert_eq!(summary["cost_proven_least"], false);
    assert!(summary["served"].as_u64().unwrap() > 0);
}

#[test]
fn a_gap_ends_the_search_and_the_report_says_how_far_the_plan_may_lie_above() {
    let folder = Folder::new("gap", 12, 90);
    let output = folder.plan(&["--gap", "30"]).wait_with_output().unwrap();
    let stdout = String::from_utf8(output.stdout).unwrap();
    assert!(stdout.contains("Stopped at the gap asked for"), "{stdout}");
    assert!(stdout.contains("above the cheapest possible"), "{stdout}");
    // What was asked for is done: the exit code says whether all are served, not more.
    assert!([0, 1].contains(&output.status.code().unwrap()));
    let told = String::from_utf8(output.stderr).unwrap();
    // The crossings name H15 alone, and are warned of with their lines.
    let warned = |line: &&str| line.starts_with("warning: ") || line.starts_with("  ");
    let rest: Vec<&str> = told.lines().filter(|line| !warned(line)).collect();
    assert_eq!(rest, Vec::<&str>::new(), "no progress unless asked for");
}

#[test]
fn a_time_limit_ends_the_search_with_exit_code_3() {
    let folder = Folder::new("limit", 12, 90);
    let output = folder.plan(&["--time-limit", "0.000001"]).wait_with_output().unwrap();
    let stdout = String::from_utf8(output.stdout).unwrap();
    assert!(stdout.contains("Stopped at the time limit"), "{stdout}");
    assert_eq!(output.status.code(), Some(3));
}
