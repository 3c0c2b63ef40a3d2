//! What the commands say in different formats and places is the same.

use std::collections::BTreeSet;
use std::process::{Command, Stdio};

use crate::testkit::run;

#[test]
fn rules_are_printed_as_they_are_built_in() {
    let printed = Command::new(env!("CARGO_BIN_EXE_spanyard")).arg("rules").output().unwrap();
    assert!(printed.status.success());
    let text = String::from_utf8(printed.stdout).unwrap();
    assert_eq!(text, *spanyard::model::rules::DEFAULT_RULES);
}

#[test]
fn a_reader_who_leaves_early_hears_no_complaint() {
    let mut child = Command::new(env!("CARGO_BIN_EXE_spanyard"))
        .arg("rules")
        .stdout(Stdio::piped())
        .stderr(Stdio::piped())
        .spawn()
        .unwrap();
    drop(child.stdout.take());
    let output = child.wait_with_output().unwrap();
    assert!(output.status.success());
    assert_eq!(String::from_utf8(output.stderr).unwrap(), "");
}

/// Everything the JSON must share with the report for people, on the demonstration county.
#[test]
fn json_and_terminal_tell_the_same_plan() {
    let print = |format: &str| {
        let output = run::demo(&["plan", "--full", "--width", "200", "--format", format]);
        (output.status.code(), String::from_utf8(output.stdout).unwrap())
    };
    let ((code, table), (json_code, json)) = (print("table"), print("json"));
    assert_eq!(code, json_code);
    let plan: serde_json::Value = serde_json::from_str(&json).unwrap();
    let money =
        |value: &serde_json::Value| spanyard::quantity::Cents(value.as_i64().unwrap()).to_string();
    let said = |text: &str| assert!(table.contains(text), "{text:?} is not in the table");
    said(&money(&plan["summary"]["outlay_usd_cents"]));
    for crossing in plan["crossings"].as_array().unwrap() {
        said(crossing["road"].as_str().unwrap());
        match crossing["status"].as_str().unwrap() {
            "served" => {
                said(&money(&crossing["total_usd_cents"]));
                let lines = crossing["cost_lines"].as_array().unwrap();
                let sum: i64 = lines.iter().map(|l| l["amount_usd_cents"].as_i64().unwrap()).sum();
                assert_eq!(Some(sum), crossing["total_usd_cents"].as_i64());
                for deck in crossing["decks"].as_array().unwrap() {
                    for car in deck["cars_left_to_right"].as_array().unwrap() {
                        said(&format!(
                            "{} {}",
                            car["dealer"].as_str().unwrap(),
                            car["car"].as_str().unwrap()
                        ));
                    }
                }
            }
            _ => crossing["reasons"].as_array().unwrap().iter().for_each(|reason| {
                let sentence = reason["sentence"].as_str().unwrap();
                said(&sentence[..40]);
            }),
        }
    }
    for total in plan["totals_by_item"].as_array().unwrap() {
        said(&money(&total["amount_usd_cents"]));
    }
}

/// The calculation sheet as data: every result of the sheet for people, and the same verdict.
#[test]
fn json_and_terminal_tell_the_same_rating() {
    let print = |format: &str| {
        let args = ["rate", "--car", "UD-08", "--crossing", "B-07", "--width", "400"];
        let output = run::demo(&[&args[..], &["--format", format]].concat());
        assert!(output.status.success());
        String::from_utf8(output.stdout).unwrap()
    };
    let table = print("table");
    let data: serde_json::Value = serde_json::from_str(&print("json")).unwrap();
    let said = |text: &str| assert!(table.contains(text), "{text:?} is not in the table");
    let sheets = data["sheets"].as_array().unwrap();
    assert_eq!(sheets.len(), 1);
    said(sheets[0]["governs"].as_str().unwrap());
    let mut results = 0;
    for part in sheets[0]["parts"].as_array().unwrap() {
        said(part["title"].as_str().unwrap());
        for line in part["lines"].as_array().unwrap() {
            said(line["label"].as_str().unwrap());
            line["formula"].as_str().into_iter().for_each(said);
            results += usize::from(line["result"].is_object());
        }
    }
    assert!(results > 100, "{results} results");
    for vehicle in sheets[0]["summary"].as_array().unwrap() {
        said(vehicle["vehicle"].as_str().unwrap());
        said(&format!("{:.3}", vehicle["least"].as_f64().unwrap()));
    }
}

#[test]
fn the_command_that_demo_prints_makes_the_plan_of_the_demo() {
    let program = env!("CARGO_BIN_EXE_spanyard");
    let folder = std::env::temp_dir().join(format!("spanyard-demo-{}", std::process::id()));
    let run = |arguments: &[&str]| {
        let output = Command::new(program).args(arguments).output().unwrap();
        (output.status.code(), String::from_utf8(output.stdout).unwrap())
    };
    fn names(folder: &std::path::Path, inside: &str) -> BTreeSet<String> {
        let mut all = BTreeSet::new();
        for entry in std::fs::read_dir(folder).unwrap().map(Result::unwrap) {
            let name = format!("{inside}{}", entry.file_name().to_str().unwrap());
            if entry.path().is_dir() {
                all.extend(names(&entry.path(), &format!("{name}/")));
            } else {
                all.insert(name);
            }
        }
        all
    }
    let (code, said) = run(&["demo", folder.to_str().unwrap()]);
    assert_eq!(code, Some(0));
    let ours = std::path::Path::new(concat!(env!("CARGO_MANIFEST_DIR"), "/data-demo"));
    assert_eq!(names(&folder, ""), names(ours, ""), "demo writes every file of data-demo");
    let command = said.lines().find_map(|line| line.trim().strip_prefix("spanyard ")).unwrap();
    let arguments: Vec<&str> = command.split(' ').map(|word| word.trim_matches('\'')).collect();
    let (code, plan) = run(&arguments);
    std::fs::remove_dir_all(&folder).unwrap();
    assert_eq!(code, Some(1));
    assert!(plan.starts_with("PLAN: serves "), "{plan}");
}
