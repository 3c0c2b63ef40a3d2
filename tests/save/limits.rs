//! Limits of the system itself: the size of files, a full device, endless files.
#![cfg(unix)]

use std::process::{Command, Output};

use super::{FILES, Folder, said};

/// The program under a limit of the shell: `ulimit` counts blocks of 512 bytes.
fn limited(folder: &Folder, blocks: usize, words: &[&str]) -> Output {
    let mut run = Command::new("sh");
    run.current_dir(&folder.0).args(["-c", "trap '' XFSZ; ulimit -f $0; exec \"$@\""]);
    run.arg(blocks.to_string()).arg(env!("CARGO_BIN_EXE_spanyard")).args(words).args(FILES);
    run.output().unwrap()
}

#[test]
fn where_files_may_not_grow_the_plan_is_told_and_no_file_is_torn() {
    let folder = Folder::new("grow");
    let whole = folder.run("plan", &[]).stdout;
    let words = ["plan", "--report", "plan.html", "--geojson", "plan.geojson"];
    for blocks in [0, 1, 4] {
        let output = limited(&folder, blocks, &words);
        assert_eq!(output.status.code(), Some(2), "{}", said(&output));
        assert_eq!(output.stdout, whole);
        let told = "plan.html cannot be written: files may not become that large here";
        assert!(said(&output).contains(told), "{}", said(&output));
        assert!(!folder.path("plan.html").exists());
        assert!(!folder.names().iter().any(|name| name.ends_with(".tmp")));
    }
}

#[test]
fn where_files_may_not_grow_the_decisions_stay_as_they_are() {
    let folder = Folder::new("no-growth");
    let long = "# Ours.\n".to_owned() + &"# A long history of the purchase.\n".repeat(30);
    folder.write("week.toml", &long);
    for blocks in 0..3 {
        let output =
            limited(&folder, blocks, &["decide", "sold", "car=UD-2", "--decisions", "week.toml"]);
        assert_eq!(output.status.code(), Some(2), "{}", said(&output));
        assert_eq!(folder.read("week.toml"), long);
    }
}

#[test]
fn a_device_is_written_to_as_it_is() {
    let folder = Folder::new("device");
    let output = folder.run("plan", &["--report", "/dev/null"]);
    assert!(said(&output).contains("wrote /dev/null"), "{}", said(&output));
    if std::path::Path::new("/dev/full").exists() {
        let output = folder.run("plan", &["--report", "/dev/full"]);
        assert_eq!(output.status.code(), Some(2));
        assert!(!output.stdout.is_empty());
        let told = "/dev/full cannot be written: the disk is full";
        assert!(said(&output).contains(told), "{}", said(&output));
    }
}

#[test]
fn an_endless_file_is_refused() {
    let folder = Folder::new("endless");
    for words in [["check", "/dev/zero"], ["check", "--draft-mapping=/dev/zero"]] {
        let mut run = Command::new(env!("CARGO_BIN_EXE_spanyard"));
        let output = run.current_dir(&folder.0).args(words).output().unwrap();
        assert_eq!(output.status.code(), Some(2));
        let all = said(&output) + &String::from_utf8_lossy(&output.stdout);
        assert!(all.contains("has more than 64 MB"), "{all}");
    }
    let output = folder.run("plan", &["--previous", "/dev/zero"]);
    assert!(said(&output).contains("/dev/zero has more than 64 MB"), "{}", said(&output));
    let mut run = Command::new(env!("CARGO_BIN_EXE_spanyard"));
    let output = run.current_dir(&folder.0).args(["compare", "/dev/zero", "/dev/zero"]).output();
    assert!(said(&output.unwrap()).contains("/dev/zero has more than 64 MB"));
}
