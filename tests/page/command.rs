//! The options of `plan` that write files.

use std::path::{Path, PathBuf};
use std::process::{Command, Output};

const DEMO: &str = concat!(env!("CARGO_MANIFEST_DIR"), "/data-demo");

fn plan(extra: &[&str]) -> Output {
    let file = |name: &str| format!("{DEMO}/{name}");
    let mut command = Command::new(env!("CARGO_BIN_EXE_spanyard"));
    command.arg("plan");
    for name in ["lists/drumfell.csv", "lists/sallowby.csv", "lists/orlhaven.xlsx"] {
        command.args(["--inventory", &file(name)]);
    }
    for name in ["lists/sallowby.mapping.toml", "lists/orlhaven.mapping.toml"] {
        command.args(["--mapping", &file(name)]);
    }
    for name in ["yards", "lots", "crossings"] {
        command.args([&format!("--{name}"), &file(&format!("{name}.csv"))]);
    }
    command.args(["--rules", &file("rules.toml")]).args(extra).output().unwrap()
}

fn folder(name: &str) -> PathBuf {
    let folder = Path::new(env!("CARGO_TARGET_TMPDIR")).join(name);
    let _ = std::fs::remove_dir_all(&folder);
    std::fs::create_dir_all(&folder).unwrap();
    folder
}

/// Every file below a folder with its bytes, by name.
fn contents(folder: &Path) -> Vec<(String, Vec<u8>)> {
    let mut found = Vec::new();
    for entry in std::fs::read_dir(folder).unwrap() {
        let path = entry.unwrap().path();
        if path.is_dir() {
            found.extend(contents(&path));
        } else {
            found.push((
                path.file_name().unwrap().to_string_lossy().into(),
                std::fs::read(&path).unwrap(),
            ));
        }
    }
    found.sort();
    found
}

#[test]
fn writes_every_file_the_same_each_time_and_says_so() {
    let folder = folder("command");
    let path = |name: &str| folder.join(name).display().to_string();
    let (page, book, sheets, map) =
        (path("plan.html"), path("plan.xlsx"), path("sheets"), path("plan.geojson"));
    let arguments = [
        "--report",
        &page,
        "--workbook",
        &book,
        "--sheets",
        &sheets,
        "--geojson",
        &map,
        "--paper",
        "a4",
    ];
    let output = plan(&arguments);
    // Exit code 1: the demonstration leaves crossings without.
    assert_eq!(output.status.code(), Some(1));
    let said = String::from_utf8(output.stderr).unwrap();
    let first = contents(&folder);
    assert_eq!(said.matches("wrote ").count(), first.len(), "{said}");
    assert!(first.len() > 20);
    let text = std::fs::read_to_string(&page).unwrap();
    assert!(text.contains("size: A4") && text.contains("data-demo/crossings.csv"));
    plan(&arguments);
    assert!(contents(&folder) == first, "the same plan gives the same bytes");
    // The answer itself is the same with and without files.
    assert_eq!(plan(&[]).stdout, output.stdout);
}

#[test]
fn never_writes_over_a_file_that_it_reads() {
    let before = std::fs::read(format!("{DEMO}/crossings.csv")).unwrap();
    let output = plan(&["--report", &format!("{DEMO}/crossings.csv")]);
    assert_eq!(output.status.code(), Some(2));
    let said = String::from_utf8(output.stderr).unwrap();
    assert!(said.contains("is one of the files to read"), "{said}");
    assert!(std::fs::read(format!("{DEMO}/crossings.csv")).unwrap() == before);
}

#[test]
fn says_which_file_cannot_be_written() {
    let output = plan(&["--workbook", "/nowhere/at/all/plan.xlsx"]);
    assert_eq!(output.status.code(), Some(2));
    let said = String::from_utf8(output.stderr).unwrap();
    assert!(said.contains("/nowhere/at/all/plan.xlsx: cannot be written"), "{said}");
}
