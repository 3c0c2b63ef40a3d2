//! README.md and DEVELOPERS.md are true: the main command runs, the excerpt is what it prints, the
//! lists of commands, of dependencies and of modules are complete, the links lead somewhere.

use std::path::Path;
use std::process::{Command, Output};

use crate::testkit::renew;

const README: &str = include_str!("../README.md");
const DEVELOPERS: &str = include_str!("../DEVELOPERS.md");

/// Runs the built binary in the project's folder.
fn spanyard(args: &[&str]) -> Output {
    let mut command = Command::new(env!("CARGO_BIN_EXE_spanyard"));
    command.args(args).current_dir(env!("CARGO_MANIFEST_DIR")).output().unwrap()
}

/// Standard output as text.
fn text(output: &Output) -> String {
    String::from_utf8(output.stdout.clone()).unwrap()
}

/// The arguments of the main command: what follows `--` in the one line that runs `plan`, which every
/// shell takes as it stands.
fn main_command() -> Vec<String> {
    let lines = README.lines().filter_map(|line| line.strip_prefix("cargo run --release -- "));
    let plans: Vec<_> = lines.filter(|line| line.starts_with("plan ")).collect();
    assert_eq!(plans.len(), 1, "README.md has one main command");
    let special = ['\\', '`', '^', '$', '"', '\'', '|', '>', '&', ';', '@'];
    assert!(!plans[0].contains(special), "{}", plans[0]);
    plans[0].split_whitespace().map(str::to_owned).collect()
}

#[test]
fn the_excerpt_is_what_the_main_command_prints() {
    let args = main_command();
    let output = spanyard(&args.iter().map(String::as_str).collect::<Vec<_>>());
    // Some crossings of the demonstration are not served.
    assert_eq!(output.status.code(), Some(1), "{}", String::from_utf8_lossy(&output.stderr));
    let (printed, readme) = (text(&output), renew::text("README.md"));
    let shown = readme.split("```text\n").nth(1).unwrap().split("```").next().unwrap();
    if renew::asked() {
        let renewed = readme.replace(shown, &renew::excerpt(&printed, shown));
        return renew::same("README.md", renewed.as_bytes());
    }
    let stale = renew::shows(&printed, shown).err();
    assert_eq!(stale, None, "not printed, or not in this order; {}", renew::HOW);
}

#[test]
fn every_command_is_listed() {
    let help = text(&spanyard(&["--help"]));
    let commands = help.split("Commands:\n").nth(1).unwrap().split("\n\n").next().unwrap();
    let names = commands.lines().filter_map(|line| line.strip_prefix("  ")?.split(' ').next());
    let names: Vec<_> = names.filter(|name| !name.is_empty() && *name != "help").collect();
    assert!(names.contains(&"plan"));
    for name in names {
        let listed = README.lines().any(|line| line.starts_with(&format!("| `{name}")));
        assert!(listed, "README.md does not list the command {name}");
        let help = text(&spanyard(&[name, "--help"]));
        assert!(help.contains("\nExample"), "the help of {name} has no example");
    }
}

#[test]
fn links_lead_to_files() {
    for (page, file) in [("README.md", README), ("DEVELOPERS.md", include_str!("../DEVELOPERS.md"))]
    {
        let targets = file.split("](").skip(1).filter_map(|rest| rest.split(')').next());
        for target in targets.filter(|t| !t.starts_with("https://") && !t.starts_with('#')) {
            let path = Path::new(env!("CARGO_MANIFEST_DIR")).join(target);
            assert!(path.is_file(), "{page} links to {target}, which is not there");
        }
    }
}

#[test]
fn every_dependency_has_its_reason() {
    let manifest: toml::Table = include_str!("../Cargo.toml").parse().unwrap();
    let tables =
        ["dependencies", "dev-dependencies"].map(|name| manifest[name].as_table().unwrap());
    for package in tables.iter().flat_map(|table| table.keys()) {
        let mut rows =
            DEVELOPERS.lines().filter_map(|line| line.strip_prefix("| ")?.split(" |").next());
        let named = |row: &str| row.split([',', ' ']).any(|word| word == package);
        assert!(rows.any(named), "DEVELOPERS.md does not say why {package} is there");
    }
}

#[test]
fn every_module_is_on_the_map() {
    let modules =
        include_str!("../src/lib.rs").lines().filter_map(|line| line.strip_prefix("pub mod "));
    for module in modules.map(|line| line.trim_end_matches(';')) {
        let row = format!("| `{module}` |");
        assert!(DEVELOPERS.contains(&row), "DEVELOPERS.md's module map lacks {module}");
    }
}
