//! Texts, numbers and names that are made to do harm, through the whole program.

use std::path::{Path, PathBuf};
use std::process::{Command, Output};

fn demo(name: &str) -> String {
    format!("{}/data-demo/{name}", env!("CARGO_MANIFEST_DIR"))
}

fn folder(name: &str) -> PathBuf {
    let folder = Path::new(env!("CARGO_TARGET_TMPDIR")).join(name);
    let _ = std::fs::remove_dir_all(&folder);
    std::fs::create_dir_all(&folder).unwrap();
    folder
}

fn run(words: &[&str]) -> Output {
    Command::new(env!("CARGO_BIN_EXE_spanyard")).args(words).output().unwrap()
}

/// Everything said must be fit for a terminal.
fn tame(output: &Output) -> String {
    let all = [output.stdout.as_slice(), &output.stderr].concat();
    let text = String::from_utf8(all).unwrap();
    let strange = |c: char| {
        (c.is_control() && c != '\n' && c != '\t')
            || matches!(c, '\u{202a}'..='\u{202e}' | '\u{200b}')
    };
    let found = text.chars().find(|c| strange(*c));
    assert_eq!(found, None, "{text}");
    text
}

const RULES: &str = "[[deck]]\nname = \"\\u001b[2Jx\"\n\n[[vehicle]]\nname = \"\\u009b31mq\\u202e\"\n\
                     axles_kip = [1.0]\nspacings_ft = []\nsource = \"\\u001b[2J\"\n";

#[test]
fn rules_files_and_names_play_no_tricks_on_a_terminal() {
    let folder = folder("tricks");
    let rules = folder.join("rules\u{1b}[2J\u{202e}.toml");
    std::fs::write(&rules, RULES).unwrap();
    let rules = rules.display().to_string();
    for format in ["table", "json"] {
        tame(&run(&["check", "--rules", &rules, "--format", format]));
        tame(&run(&["vehicles", "--rules", &rules, "--format", format]));
    }
    // Notes of a list, and a file that is not there.
    let cars = folder.join("cars.csv");
    std::fs::write(
        &cars,
        "car,dealer,yard,notes\nA\u{202e}1,B\u{200b},C,\"=x\u{202e};\u{200b}\"\n",
    )
    .unwrap();
    let cars = cars.display().to_string();
    for format in ["table", "json"] {
        tame(&run(&["check", &cars, "--format", format]));
    }
    tame(&run(&["check", "no\u{1b}[2J\u{9b}5m.csv"]));
    tame(&run(&["explain", "\u{1b}[2J"]));
    tame(&run(&["compare", "\u{1b}[2J", "\u{1b}[2J"]));
}

/// The text of a page, in which nothing turns letters round.
fn shows_what_it_holds(page: &std::path::Path) -> String {
    let text = std::fs::read_to_string(page).unwrap();
    let turns =
        |c: char| matches!(c, '\u{202a}'..='\u{202e}' | '\u{2066}'..='\u{2069}' | '\u{200b}');
    assert!(!text.contains(turns), "{}", page.display());
    text
}

#[test]
fn tables_and_pages_hold_no_strange_characters() {
    let folder = folder("tricks-csv");
    let text = std::fs::read_to_string(demo("crossings.csv")).unwrap();
    let crossings = folder.join("crossings.csv");
    // The road of the first crossing.
    let road = text.lines().nth(1).unwrap().split(',').nth(1).unwrap().to_owned();
    std::fs::write(&crossings, text.replace(&road, "x\u{202e}\u{200b}; =1+1")).unwrap();
    let sheets = folder.join("sheets").display().to_string();
    let page = folder.join("plan.html").display().to_string();
    let output = run(&[
        "plan",
        "--inventory",
        &demo("lists/drumfell.csv"),
        "--yards",
        &demo("yards.csv"),
        "--lots",
        &demo("lots.csv"),
        "--crossings",
        &crossings.display().to_string(),
        "--rules",
        &demo("rules.toml"),
        "--sheets",
        &sheets,
        "--report",
        &page,
        "--format",
        "csv",
    ]);
    assert!(!output.stdout.is_empty(), "{}", String::from_utf8_lossy(&output.stderr));
    let mut seen = 0;
    assert!(shows_what_it_holds(page.as_ref()).contains("x\u{fffd}\u{fffd}; =1+1"));
    for entry in std::fs::read_dir(sheets).unwrap() {
        let path = entry.unwrap().path();
        if path.extension().is_some_and(|end| end == "html") {
            shows_what_it_holds(&path);
        } else if path.extension().is_some_and(|end| end == "csv") {
            let text = std::fs::read_to_string(&path).unwrap();
            let strange = |c: char| {
                (c.is_control() && c != '\n') || matches!(c, ';' | '\u{202e}' | '\u{200b}')
            };
            assert!(!text.contains(strange), "{}", path.display());
            seen += text.matches("=1+1").count();
        }
    }
    assert!(seen > 0);
}

#[test]
fn numbers_beyond_all_reason_are_refused_at_the_edge() {
    for words in [
        &["plan", "--previous", "x", "--tolerance", "1e308"][..],
        &["plan", "--gap", "101"],
        &["plan", "--budget", "99999999999999999999"],
        &["plan", "--time-limit", "1e30"],
        &["prices", "--discount", "150"],
        &["prices", "--within", "1e300"],
    ] {
        let output =
            run(&[words, &["--inventory", "a", "--yards", "b", "--crossings", "c"]].concat());
        assert_eq!(output.status.code(), Some(2), "{words:?}");
        let said = String::from_utf8_lossy(&output.stderr);
        assert!(said.contains("invalid value"), "{words:?}: {said}");
    }
}

#[cfg(target_os = "linux")]
#[test]
fn a_file_name_that_is_not_text_does_no_harm() {
    use std::ffi::OsStr;
    use std::os::unix::ffi::OsStrExt as _;

    let folder = folder("not-utf-8");
    let name = folder.join(OsStr::from_bytes(b"cr\xff\xfeossings.csv"));
    std::fs::copy(demo("crossings.csv"), &name).unwrap();
    let page = folder.join(OsStr::from_bytes(b"pl\xffan.html"));
    let mut run = Command::new(env!("CARGO_BIN_EXE_spanyard"));
    run.args(["plan", "--inventory", &demo("lists/drumfell.csv"), "--yards", &demo("yards.csv")]);
    run.args(["--lots", &demo("lots.csv"), "--rules", &demo("rules.toml"), "--crossings"])
        .arg(&name);
    let output = run.arg("--report").arg(&page).output().unwrap();
    assert!(
        matches!(output.status.code(), Some(0 | 1)),
        "{}",
        String::from_utf8_lossy(&output.stderr)
    );
    assert!(page.exists());
}
