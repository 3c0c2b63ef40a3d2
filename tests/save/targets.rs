//! What a plan may write to.

use super::{Folder, said};

/// Refused before the search: no plan is printed, nothing is written.
fn refused(folder: &Folder, more: &[&str], why: &str) {
    let before = folder.names();
    let output = folder.run("plan", more);
    assert_eq!(output.status.code(), Some(2), "{more:?}: {}", said(&output));
    assert!(said(&output).contains(why), "{more:?}: {}", said(&output));
    assert!(output.stdout.is_empty(), "{more:?}");
    assert_eq!(folder.names(), before, "{more:?}");
}

#[test]
fn a_target_that_is_also_something_else_is_refused() {
    let folder = Folder::new("targets");
    let previous = folder.run("plan", &["--format", "json"]);
    folder.write("previous.json", &previous.stdout);
    let cars = folder.read("cars.csv");
    std::fs::hard_link(folder.path("cars.csv"), folder.path("linked.html")).unwrap();
    std::fs::create_dir(folder.path("here")).unwrap();
    for (more, why) in [
        (&["--report", "cars.csv"][..], "--report cars.csv: is one of the files to read"),
        (&["--report", "linked.html"], "--report linked.html: is one of the files to read"),
        (&["--report", "here/../cars.csv"], "is one of the files to read"),
        (
            &["--previous", "previous.json", "--report", "previous.json"],
            "--report previous.json: is one of the files to read",
        ),
        (
            &["--report", "a.html", "--geojson", "here/../a.html"],
            "--geojson here/../a.html: is also the file of --report",
        ),
        (
            &["--report", "a.html", "--sheets", "a.html"],
            "--sheets a.html: is also that of --report",
        ),
        (&["--report", "here"], "--report here: is a folder: name a file"),
        (&["--sheets", "cars.csv"], "cars.csv is a file: name a folder"),
        (&["--sheets", "cars.csv/below"], "cars.csv is a file: name a folder"),
        (&["--workbook", "no/plan.xlsx"], "cannot be written: its folder does not exist"),
    ] {
        refused(&folder, more, why);
    }
    assert_eq!(folder.read("cars.csv"), cars);
}

#[cfg(unix)]
#[test]
fn a_link_to_an_input_and_a_protected_file_are_refused() {
    let folder = Folder::new("protected");
    std::os::unix::fs::symlink("cars.csv", folder.path("link.html")).unwrap();
    refused(&folder, &["--report", "link.html"], "is one of the files to read");
    folder.write("kept.html", "kept");
    let path = folder.path("kept.html");
    let mut rights = std::fs::metadata(&path).unwrap().permissions();
    rights.set_readonly(true);
    std::fs::set_permissions(&path, rights).unwrap();
    refused(&folder, &["--report", "kept.html"], "kept.html: is write-protected");
    assert_eq!(folder.read("kept.html"), "kept");
}

#[test]
fn sheets_of_another_plan_are_moved_aside_and_those_of_the_same_are_renewed() {
    let folder = Folder::new("sheets");
    let output = folder.run("plan", &["--sheets", "sheets"]);
    assert!(!said(&output).contains("moved"), "{}", said(&output));
    folder.write("sheets/notes.txt", "mine");
    let again = folder.run("plan", &["--sheets", "sheets"]);
    assert!(!said(&again).contains("moved"), "{}", said(&again));
    // Another budget, another plan.
    let before = std::fs::read_dir(folder.path("sheets")).unwrap().count() - 1;
    let other = folder.run("plan", &["--sheets", "sheets", "--budget", "60k"]);
    let aside = folder.path("sheets").join("earlier-1");
    let moved = format!("moved {before} sheets of another plan to ");
    assert!(said(&other).contains(&moved), "{moved}: {}", said(&other));
    assert_eq!(std::fs::read_dir(aside).unwrap().count(), before);
    assert_eq!(folder.read("sheets/notes.txt"), "mine");
}

#[test]
fn an_input_in_the_folder_of_the_sheets_stays_what_it_is() {
    let folder = Folder::new("among");
    std::fs::create_dir(folder.path("sheets")).unwrap();
    let cars = folder.read("cars.csv");
    folder.write("sheets/table-cars.csv", &cars);
    let mut run = std::process::Command::new(env!("CARGO_BIN_EXE_spanyard"));
    run.current_dir(&folder.0).args(["plan", "--inventory", "sheets/table-cars.csv"]);
    run.args(["--yards", "yards.csv", "--crossings", "crossings.csv", "--rules", "rules.toml"]);
    let output = run.args(["--sheets", "sheets"]).output().unwrap();
    assert!(!output.stdout.is_empty());
    assert_eq!(folder.read("sheets/table-cars.csv"), cars);
    assert!(folder.path("sheets/table-cars.csv").exists());
}
