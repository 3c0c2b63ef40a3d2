//! A plan as JSON says where it comes from, and what was done to it since is noticed.

use super::{Folder, said};

fn plan_to(folder: &Folder, name: &str, more: &[&str]) {
    let output = folder.run("plan", &[more, &["--format", "json"]].concat());
    folder.write(name, output.stdout);
}

#[test]
fn a_previous_plan_that_was_changed_or_comes_from_other_files_is_told() {
    let folder = Folder::new("origin");
    plan_to(&folder, "a.json", &[]);
    let follow = || said(&folder.run("plan", &["--previous", "a.json"]));
    let whole = follow();
    assert!(!whole.contains("a.json"), "{whole}");
    // Another price, and a decisions file.
    let cars = folder.read("cars.csv");
    folder.write("cars.csv", cars.replace(",6800,", ",6900,"));
    assert!(follow().contains("since a.json: cars.csv has changed\n"), "{}", follow());
    folder.write("cars.csv", &cars);
    // One figure by hand.
    let text = folder.read("a.json");
    let at = text.find("\"net_usd_cents\": ").unwrap() + "\"net_usd_cents\": ".len();
    let mut other = text.clone();
    other.insert(at, '1');
    folder.write("a.json", &other);
    let told =
        "warning: a.json was changed after it was written: its content does not match its digest";
    assert!(follow().contains(told), "{}", follow());
}

#[test]
fn plans_set_side_by_side_say_which_of_their_files_differ() {
    let folder = Folder::new("beside");
    plan_to(&folder, "a.json", &[]);
    let rules = folder.read("rules.toml") + "\n[crane]\npick_usd = 600.0\n";
    folder.write("rules.toml", rules);
    plan_to(&folder, "b.json", &[]);
    let run = |names: &[&str]| {
        let mut run = std::process::Command::new(env!("CARGO_BIN_EXE_spanyard"));
        said(&run.current_dir(&folder.0).arg("compare").args(names).output().unwrap())
    };
    assert_eq!(run(&["a.json", "a.json"]), "");
    let told = run(&["a.json", "b.json"]);
    assert!(told.starts_with("b.json against a.json: rules in force: "), "{told}");
    assert!(told.contains("; rules.toml has changed\n"), "{told}");
}

#[cfg(unix)]
#[test]
fn the_hash_of_a_pipe_is_that_of_what_came_through_it() {
    let folder = Folder::new("pipe");
    let script = "exec \"$0\" plan --inventory <(cat cars.csv) --yards yards.csv --crossings crossings.csv --rules rules.toml --format json";
    let mut run = std::process::Command::new("bash");
    run.current_dir(&folder.0).args(["-c", script, env!("CARGO_BIN_EXE_spanyard")]);
    let output = run.output().unwrap();
    let plan: serde_json::Value = serde_json::from_slice(&output.stdout).unwrap();
    let hash = spanyard::read::sha256(folder.read("cars.csv").as_bytes());
    assert_eq!(plan["files"][0]["sha256"], hash.as_str());
}
