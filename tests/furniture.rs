//! The project's furniture holds: the recipes name files that exist, the commands they name exist, and
//! every package that comes in agrees with deny.toml.

use std::collections::BTreeMap;
use std::process::Command;

use serde_json::Value;

use crate::testkit::renew::{path, text};

/// Every path of ours between backticks in a page: one whose first part is a folder of ours.
fn named_paths(page: &str) -> Vec<String> {
    let page = text(page);
    let quoted = page.split('`').skip(1).step_by(2);
    let paths = quoted.map(|words| words.split(' ').next().unwrap_or_default().to_owned());
    let ours = |name: &String| {
        let (top, _) = name.split_once('/').unwrap_or_default();
        ["src", "tests", "docs", "data-demo", "benches", "examples", "templates", ".ci"]
            .contains(&top)
    };
    paths.filter(ours).collect()
}

#[test]
fn the_pages_for_developers_name_files_that_exist() {
    let mut seen = 0;
    for page in ["CONTRIBUTING.md", "DEVELOPERS.md", "docs/performance.md", "docs/optimizer.md"] {
        for name in named_paths(page) {
            assert!(path(&name).exists(), "{page} names {name}, which is not there");
            seen += 1;
        }
    }
    assert!(seen > 40, "{seen} paths");
}

#[test]
fn the_scripts_say_how_they_are_called() {
    for script in [".ci/run", ".ci/renew"] {
        assert!(text(script).starts_with("#!/usr/bin/env bash\n#"), "{script}");
        assert!(text("DEVELOPERS.md").contains(&format!("`{script}`")), "{script}");
    }
}

#[test]
fn the_licenses_are_the_ones_that_the_manifest_names() {
    let manifest: toml::Table = text("Cargo.toml").parse().unwrap();
    assert_eq!(manifest["package"]["license"].as_str(), Some("MIT OR Apache-2.0"));
    assert!(text("LICENSE-MIT").starts_with("MIT License\n"));
    assert!(text("LICENSE-APACHE").contains("Version 2.0, January 2004"));
}

/// Whether a license expression can be met with the licenses allowed; `/` is an old way to write OR.
fn allowed(expression: &str, licenses: &[&str]) -> bool {
    let spaced = expression.replace('/', " OR ").replace('(', " ( ").replace(')', " ) ");
    let spaced = spaced.replace(" WITH ", "+WITH+");
    let mut words = spaced.split_whitespace().peekable();
    any(&mut words, licenses)
}

type Words<'w> = std::iter::Peekable<std::str::SplitWhitespace<'w>>;

fn any(words: &mut Words<'_>, licenses: &[&str]) -> bool {
    let mut met = all(words, licenses);
    while words.next_if_eq(&"OR").is_some() {
        met |= all(words, licenses);
    }
    met
}

fn all(words: &mut Words<'_>, licenses: &[&str]) -> bool {
    let mut met = one(words, licenses);
    while words.next_if_eq(&"AND").is_some() {
        met &= one(words, licenses);
    }
    met
}

fn one(words: &mut Words<'_>, licenses: &[&str]) -> bool {
    if words.next_if_eq(&"(").is_some() {
        let met = any(words, licenses);
        words.next();
        return met;
    }
    let word = words.next().unwrap_or_default().replace("+WITH+", " WITH ");
    licenses.contains(&word.as_str())
}

#[test]
fn license_expressions() {
    let licenses = ["MIT", "Apache-2.0", "BSD-3-Clause"];
    for (expression, met) in [
        ("MIT", true),
        ("Apache-2.0/MIT", true),
        ("GPL-3.0", false),
        ("GPL-3.0 OR MIT", true),
        ("(Apache-2.0 OR MIT) AND BSD-3-Clause", true),
        ("MIT AND GPL-3.0", false),
        ("(GPL-3.0 OR MIT) AND Zlib", false),
        ("Apache-2.0 WITH LLVM-exception", false),
        ("", false),
    ] {
        assert_eq!(allowed(expression, &licenses), met, "{expression}");
    }
}

/// What cargo knows of all packages that this machine builds the program and its tests from.
fn packages() -> Vec<Value> {
    let cargo = std::env::var("CARGO").unwrap_or_else(|_| "cargo".to_owned());
    let about = Command::new("rustc").arg("-vV").output().unwrap();
    let about = String::from_utf8(about.stdout).unwrap();
    let host = about.lines().find_map(|line| line.strip_prefix("host: ")).unwrap();
    let output = Command::new(cargo)
        .args(["metadata", "--format-version", "1", "--offline", "--filter-platform", host])
        .current_dir(env!("CARGO_MANIFEST_DIR"))
        .output()
        .unwrap();
    assert!(output.status.success(), "{}", String::from_utf8_lossy(&output.stderr));
    let metadata: Value = serde_json::from_slice(&output.stdout).unwrap();
    metadata["packages"].as_array().unwrap().clone()
}

#[test]
fn every_package_agrees_with_deny_toml() {
    let deny: toml::Table = text("deny.toml").parse().unwrap();
    let licenses = deny["licenses"]["allow"].as_array().unwrap();
    let licenses: Vec<&str> = licenses.iter().filter_map(toml::Value::as_str).collect();
    let skip = deny["bans"]["skip"].as_array().unwrap();
    let skip: Vec<&str> = skip.iter().filter_map(|entry| entry["crate"].as_str()).collect();
    let registry = deny["sources"]["allow-registry"][0].as_str().unwrap();

    let mut versions: BTreeMap<String, Vec<String>> = BTreeMap::new();
    let packages = packages();
    assert!(packages.len() > 100, "{} packages", packages.len());
    for package in &packages {
        let [name, version] = ["name", "version"].map(|key| package[key].as_str().unwrap());
        let license = package["license"].as_str().unwrap_or_default();
        assert!(allowed(license, &licenses), "{name} {version} is under {license:?}");
        if let Some(source) = package["source"].as_str() {
            assert_eq!(source, format!("registry+{registry}"), "{name} {version}");
        }
        versions.entry(name.to_owned()).or_default().push(version.to_owned());
    }
    for (name, versions) in versions {
        let skipped = |version: &&String| {
            let mut parts = skip.iter().filter_map(|entry| entry.strip_prefix(&format!("{name}@")));
            parts.any(|start| **version == *start || version.starts_with(&format!("{start}.")))
        };
        let left = versions.iter().filter(|version| !skipped(version)).count();
        assert!(left <= 1, "{name} comes in as {versions:?}; deny.toml says why that may be");
    }
}

/// Files of `src` longer than this hold more than one subject.
const LONGEST: usize = 400;

/// Tables of which every row is told in one place, so that cutting them would cut the subject.
const TABLES: &[&str] = &["src/check/registry/table.rs"];

#[test]
fn no_file_is_longer_than_can_be_read_at_once() {
    let mut open = vec![path("src")];
    let mut long = Vec::new();
    while let Some(folder) = open.pop() {
        for entry in std::fs::read_dir(folder).unwrap() {
            let file = entry.unwrap().path();
            if file.is_dir() {
                open.push(file);
            } else if std::fs::read_to_string(&file).unwrap().lines().count() > LONGEST {
                let name =
                    file.strip_prefix(path("")).unwrap().to_string_lossy().replace('\\', "/");
                long.push(name);
            }
        }
    }
    long.retain(|name| !TABLES.contains(&name.as_str()));
    assert!(long.is_empty(), "longer than {LONGEST} lines: {long:?}");
}
