//! The demonstration's plan, cut by section into files of tests/cli/plan, so that a change shows up
//! where it is; the file `order` has the sections in their order.

use std::collections::BTreeSet;

use crate::testkit::{renew, run};

const FOLDER: &str = "tests/cli/plan";

/// A section's name as that of a file: `2. What each crossing gets` as `what-each-crossing-gets`.
fn file_name(title: &str) -> String {
    let letters = title.trim_start_matches(|c: char| c.is_ascii_digit() || c == '.' || c == ' ');
    letters.to_lowercase().replace(' ', "-")
}

/// The sections with their names, in order. A section starts at an underlined title, and at the line
/// that starts with a crossing's ID.
fn sections(printed: &str) -> Vec<(String, String)> {
    let mut sections = vec![("headline".to_owned(), String::new())];
    let lines: Vec<&str> = printed.split_inclusive('\n').collect();
    for (at, line) in lines.iter().enumerate() {
        let underlined = lines.get(at + 1).is_some_and(|below| below.starts_with("----"));
        // Two blanks are behind the ID of a heading, and not within a sentence.
        let crossing = line.split_once("  ").map(|(id, _)| id);
        let crossing = crossing.filter(|id| id.starts_with("B-") && !id.contains(' '));
        if underlined {
            sections.push((file_name(line.trim_end()), String::new()));
        } else if let Some(id) = crossing {
            sections.push((id.to_lowercase(), String::new()));
        }
        if let Some((_, text)) = sections.last_mut() {
            text.push_str(line);
        }
    }
    sections
}

#[test]
fn the_plan_of_the_demonstration_section_by_section() {
    let output = run::demo(&["plan", "--full", "--width", "80"]);
    assert_eq!(output.status.code(), Some(1), "some crossings of it are not served");
    assert_eq!(String::from_utf8_lossy(&output.stderr), "");
    let printed = run::stdout(&output);
    let sections = sections(&printed);
    assert_eq!(sections.iter().map(|(_, text)| text.as_str()).collect::<String>(), printed);

    let order: String = sections.iter().map(|(name, _)| format!("{name}\n")).collect();
    let kept: BTreeSet<String> = sections.iter().map(|(name, _)| format!("{name}.txt")).collect();
    assert_eq!(kept.len(), sections.len(), "two sections of one name:\n{order}");
    if renew::asked() {
        let _ = std::fs::remove_dir_all(renew::path(FOLDER));
    }
    renew::same(&format!("{FOLDER}/order"), order.as_bytes());
    for (name, text) in &sections {
        renew::same(&format!("{FOLDER}/{name}.txt"), text.as_bytes());
    }
    let there = std::fs::read_dir(renew::path(FOLDER)).unwrap();
    for name in there.map(|entry| entry.unwrap().file_name().into_string().unwrap()) {
        assert!(name == "order" || kept.contains(&name), "{name} is no section; {}", renew::HOW);
    }
}
