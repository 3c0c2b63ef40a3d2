//! Each step of writing fails in turn, for every command that writes: afterwards every file is as it
//! was or whole as it should be, nothing is left over, and the answer is told.

use std::fs;
use std::path::{Path, PathBuf};

use clap::Parser as _;
use spanyard::save::Disk;

use super::{Answer, Cli, Exit, run};
use crate::faulty::{Faulty, contents};

/// An empty folder for a test, with the files of a small purchase.
fn folder(name: &str) -> PathBuf {
    let folder = std::env::temp_dir().join(format!("spanyard-{name}-{}", std::process::id()));
    let _ = fs::remove_dir_all(&folder);
    fs::create_dir_all(&folder).unwrap();
    let files = Path::new(env!("CARGO_MANIFEST_DIR")).join("tests/cli/funds.in");
    for file in ["cars.csv", "yards.csv", "crossings.csv", "rules.toml"] {
        fs::copy(files.join(file), folder.join(file)).unwrap();
    }
    folder
}

/// Runs a command line, in which `@` stands for the folder.
fn command(folder: &Path, line: &str, disk: &dyn Disk) -> Answer {
    let words =
        line.split_whitespace().map(|word| word.replace('@', &folder.display().to_string()));
    run(&Cli::try_parse_from(std::iter::once("spanyard".to_owned()).chain(words)).unwrap(), disk)
}

const FILES: &str =
    "--inventory @/cars.csv --yards @/yards.csv --crossings @/crossings.csv --rules @/rules.toml";

/// Lets each step of a command fail, once and for good, on the files that `prepared` leaves.
fn every_step(name: &str, line: &str, prepared: impl Fn(&Path)) {
    let fresh = || {
        let folder = folder(name);
        prepared(&folder);
        folder
    };
    let place = fresh();
    let before = contents(&place);
    let whole = Faulty::at(usize::MAX, false);
    let good = command(&place, line, &whole);
    assert!(matches!(good.exit, Exit::Done | Exit::No), "{}", good.stderr);
    let after = contents(&place);
    let steps = whole.steps();
    assert!(steps > 3 && before != after, "{name} writes nothing");
    for for_good in [false, true] {
        for step in 0..steps {
            let place = fresh();
            let answer = command(&place, line, &Faulty::at(step, for_good));
            let about = format!("{name}, step {step} of {steps}: {}", answer.stderr);
            assert_eq!(answer.exit, Exit::Input, "{about}");
            assert!(answer.stderr.contains("the disk is full"), "{about}");
            if line.starts_with("plan") || line.starts_with("check") {
                assert_eq!(answer.stdout, good.stdout, "{about}");
            }
            for (file, bytes) in contents(&place) {
                let kept = before.get(&file).or_else(|| {
                    // Moved aside as it was.
                    let name = file.file_name().filter(|_| {
                        file.iter().any(|part| part.to_string_lossy().starts_with("earlier-"))
                    })?;
                    before.get(&Path::new("sheets").join(name))
                });
                let is_whole = kept == Some(&bytes) || after.get(&file) == Some(&bytes);
                assert!(is_whole, "{} is torn or left over: {about}", file.display());
            }
            for file in before.keys() {
                let aside = Path::new("sheets/earlier-1").join(file.file_name().unwrap());
                let there = place.join(file).exists() || place.join(aside).exists();
                assert!(there, "{} is gone: {about}", file.display());
            }
        }
    }
    let _ = fs::remove_dir_all(&place);
}

#[test]
fn demo() {
    every_step("fault-demo", "demo @/county", |_| ());
}

#[test]
fn new() {
    every_step("fault-new", "new @/creek", |_| ());
}

#[test]
fn decide() {
    let line = format!("decide sold car=UD-2 {FILES} --decisions @/week.toml");
    every_step("fault-decide-new", &line, |_| ());
    every_step("fault-decide-more", &line, |folder| {
        let standing =
            "# Ours.\n[[sold]]\ndealer = \"Orlhaven Equipment\"\ncar = \"LQ-1\"\ncount = 4\n";
        fs::write(folder.join("week.toml"), standing).unwrap();
    });
}

#[test]
fn plan() {
    let line = format!(
        "plan {FILES} --report @/plan.html --workbook @/plan.xlsx --geojson @/plan.geojson --sheets @/sheets"
    );
    every_step("fault-plan-new", &line, |_| ());
    every_step("fault-plan-over", &line, |folder| {
        for file in ["plan.html", "plan.xlsx", "plan.geojson"] {
            fs::write(folder.join(file), "of last week").unwrap();
        }
        fs::create_dir(folder.join("sheets")).unwrap();
        fs::write(folder.join("sheets/crew-9-closed.html"), "of last week").unwrap();
        fs::write(folder.join("sheets/notes.txt"), "mine").unwrap();
    });
}

#[test]
fn chart() {
    let line = format!("plan {FILES} --budget 100k..200k --step 100k --chart @/chart.svg");
    every_step("fault-chart", &line, |_| ());
}

#[test]
fn ask() {
    let line = format!("ask {FILES} --letters @/letters");
    // A depth that no list tells is what can be asked for.
    every_step("fault-ask", &line, |folder| {
        let cars = folder.join("cars.csv");
        let told = fs::read_to_string(&cars).unwrap();
        fs::write(&cars, told.replace(",12,33000,", ",,33000,")).unwrap();
    });
}

#[test]
fn read_back() {
    let line = format!("check --list cars {FILES} --csv @/back.csv --page @/back.html");
    every_step("fault-read-back", &line, |_| ());
}

#[test]
fn rating() {
    let line = format!("rate --car UD-2 --crossing B-03 {FILES} --page @/rating.html");
    every_step("fault-rating", &line, |_| ());
}
