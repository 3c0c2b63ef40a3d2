//! What is fuzzed: each reader is given bytes of any kind and must come back with inputs or problems,
//! never panic, and tell a problem in words fit for a terminal. One list for the coverage-guided
//! fuzzer of a nightly toolchain (`fuzz/fuzz_targets`) and for the stable runner (`tests/fuzz.rs`).

use spanyard::after::compare::Scenario;
use spanyard::after::replan::Previous;
use spanyard::read::{SourceText, Sources, check, draft_mapping, examine};
use spanyard::words::for_terminal;

/// A name, the files of the repository that it starts from, and what is done with bytes.
pub struct Target {
    pub name: &'static str,
    pub seeds: &'static [&'static str],
    pub run: fn(&[u8]),
}

pub const TARGETS: &[Target] = &[
    Target {
        name: "inventory",
        seeds: &[
            "tests/cli/funds.in/cars.csv",
            "data-demo/lists/drumfell.csv",
            "tests/cli/broken.in/cars.csv",
        ],
        run: |bytes| read(Sources { inventories: vec![source("cars.csv", bytes)], ..around() }),
    },
    Target {
        name: "dealer_text",
        seeds: &[
            "data-demo/lists/sallowby.csv",
            "tests/cli/dealers.in/list.csv",
            "tests/cli/messes.in/asks.csv",
            "tests/cli/messes.in/utf16.txt",
        ],
        run: |bytes| {
            let list = source("list.csv", bytes);
            let _ = draft_mapping(&list);
            read(Sources {
                inventories: vec![list],
                mappings: vec![source("list.mapping.toml", MAPPING.as_bytes())],
                ..around()
            });
        },
    },
    Target {
        name: "xlsx",
        seeds: &["data-demo/lists/orlhaven.xlsx"],
        run: |bytes| book("list.xlsx", bytes),
    },
    Target {
        name: "ods",
        seeds: &["tests/cli/messes.in/list.ods", "tests/read/bombs/cut.ods"],
        run: |bytes| book("list.ods", bytes),
    },
    Target { name: "xls", seeds: &["tests/read/list.xls"], run: |bytes| book("list.xls", bytes) },
    Target {
        name: "mapping",
        seeds: &[
            "data-demo/lists/sallowby.mapping.toml",
            "data-demo/lists/orlhaven.mapping.toml",
            "tests/cli/dealers.in/wrong.mapping.toml",
        ],
        run: |bytes| {
            let list = include_bytes!("../data-demo/lists/sallowby.csv");
            read(Sources {
                inventories: vec![source("sallowby.csv", list)],
                mappings: vec![source("sallowby.mapping.toml", bytes)],
                ..around()
            });
        },
    },
    Target {
        name: "yards",
        seeds: &["data-demo/yards.csv"],
        run: |bytes| read(Sources { yards: Some(source("yards.csv", bytes)), ..around() }),
    },
    Target {
        name: "lots",
        seeds: &["data-demo/lots.csv"],
        run: |bytes| read(Sources { lots: Some(source("lots.csv", bytes)), ..around() }),
    },
    Target {
        name: "crossings",
        seeds: &["data-demo/crossings.csv", "tests/cli/funds.in/crossings.csv"],
        run: |bytes| read(Sources { crossings: Some(source("crossings.csv", bytes)), ..around() }),
    },
    Target {
        name: "rules",
        seeds: &["data-demo/rules.toml", "tests/cli/funds.in/rules.toml"],
        run: |bytes| {
            let _ = spanyard::read::rules(Some(&source("rules.toml", bytes)));
            read(Sources { rules: Some(source("rules.toml", bytes)), ..around() });
        },
    },
    Target {
        name: "decisions",
        seeds: &["fuzz/seeds/decisions.toml"],
        run: |bytes| read(Sources { decisions: Some(source("week.toml", bytes)), ..around() }),
    },
    Target {
        name: "plan_json",
        seeds: &["fuzz/seeds/plan.json"],
        run: |bytes| {
            let Ok(text) = std::str::from_utf8(bytes) else { return };
            let _ = Previous::parse(text).map_err(|error| error.to_string());
            let _ = Scenario::parse("plan", text).map_err(|error| error.to_string());
        },
    },
];

const MAPPING: &str = "[constants]\ndealer = \"Drumfell Reclaim\"\nyard = \"Upper Drum\"\n";

fn source(name: &str, bytes: &[u8]) -> SourceText {
    SourceText::new(name, bytes)
}

/// A small sound purchase around the file in question.
fn around() -> Sources {
    Sources {
        inventories: vec![source("cars.csv", include_bytes!("../tests/cli/funds.in/cars.csv"))],
        yards: Some(source("yards.csv", include_bytes!("../tests/cli/funds.in/yards.csv"))),
        crossings: Some(source(
            "crossings.csv",
            include_bytes!("../tests/cli/funds.in/crossings.csv"),
        )),
        rules: Some(source("rules.toml", include_bytes!("../tests/cli/funds.in/rules.toml"))),
        ..Sources::default()
    }
}

fn book(name: &str, bytes: &[u8]) {
    let list = source(name, bytes);
    let _ = draft_mapping(&list);
    let sources = Sources { inventories: vec![list], ..Sources::default() };
    told(check(&sources, jiff::civil::date(2026, 6, 1)).problems.iter().map(ToString::to_string));
}

fn read(sources: Sources) {
    let read = examine(&sources, jiff::civil::date(2026, 6, 1));
    assert!(
        read.inputs.is_some() == read.problems.is_empty(),
        "inputs exactly where nothing is wrong"
    );
    told(read.problems.iter().chain(&read.warnings).map(ToString::to_string));
}

/// Every problem is one line, and the terminal's guard has nothing left to do in it.
fn told(problems: impl Iterator<Item = String>) {
    for problem in problems {
        assert!(!problem.contains('\n'), "{problem:?}");
        assert_eq!(for_terminal(&problem), problem);
    }
}
