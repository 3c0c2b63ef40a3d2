//! Each step of writing fails in turn, for everything that the desk writes: afterwards every file is as
//! it was or whole as it should be, nothing is left over, and the page says so.

use std::collections::BTreeMap;
use std::fs;
use std::path::{Path, PathBuf};
use std::sync::Arc;

use spanyard::folder::EARLIER;
use spanyard::report::sheets::SheetFile;

use super::exchange::{Answer, Asked};
use super::job::Job;
use super::made::{self, Made, Wish};
use super::pages;
use super::state::{Desk, Trial};
use super::told::Told;
use crate::faulty::{Faulty, contents};

const TOML: &str = "lists = \"lists\"\ncrossings = \"crossings.csv\"\nyards = \"yards.csv\"\n\
                    rules = \"rules.toml\"\ndecisions = \"decisions.toml\"\npapers = \"papers\"\n";

/// A small purchase folder.
fn folder(name: &str) -> PathBuf {
    let folder = std::env::temp_dir().join(format!("spanyard-{name}-{}", std::process::id()));
    let _ = fs::remove_dir_all(&folder);
    fs::create_dir_all(folder.join("lists")).unwrap();
    let from = Path::new(env!("CARGO_MANIFEST_DIR")).join("tests/cli/funds.in");
    for file in ["yards.csv", "crossings.csv", "rules.toml"] {
        fs::copy(from.join(file), folder.join(file)).unwrap();
    }
    fs::copy(from.join("cars.csv"), folder.join("lists/cars.csv")).unwrap();
    fs::write(folder.join("spanyard.toml"), TOML).unwrap();
    folder
}

/// Puts a folder back to what it was; what did not change is not touched.
fn restore(folder: &Path, before: &BTreeMap<PathBuf, Vec<u8>>) {
    for (file, bytes) in contents(folder) {
        match before.get(&file) {
            None => fs::remove_file(folder.join(file)).unwrap(),
            Some(was) if *was != bytes => fs::write(folder.join(file), was).unwrap(),
            Some(_) => {}
        }
    }
    for (file, bytes) in before {
        if !folder.join(file).exists() {
            fs::write(folder.join(file), bytes).unwrap();
        }
    }
    let _ = fs::remove_dir_all(folder.join(EARLIER));
}

/// Files by name, and earlier states by the file that they are of: their names tell the time.
fn named(files: BTreeMap<PathBuf, Vec<u8>>) -> BTreeMap<PathBuf, Vec<u8>> {
    let name = |path: PathBuf| match path.strip_prefix(EARLIER) {
        Ok(rest) => {
            let file = rest.file_name().unwrap_or_default().to_string_lossy().into_owned();
            Path::new(EARLIER).join(file.split_once('-').map_or(file.as_str(), |(_, file)| file))
        }
        Err(_) => path,
    };
    files.into_iter().map(|(path, bytes)| (name(path), bytes)).collect()
}

/// A desk on a folder whose disk fails at a step.
fn desk_on(folder: &Path, disk: Arc<Faulty>) -> Arc<Desk> {
    Arc::new(Desk::new(Some(folder), 0, disk).unwrap())
}

/// A form, sent.
fn form(path: &str, fields: &[(&str, String)]) -> Asked {
    let form = fields.iter().map(|(name, value)| ((*name).to_owned(), value.clone())).collect();
    Asked { post: true, path: path.to_owned(), form, ..Asked::default() }
}

/// Lets each step of what is asked fail, once and for good.
fn every_step(folder: &Path, asked: impl Fn() -> Asked, prepared: impl Fn(&Arc<Desk>)) {
    let before = contents(folder);
    let whole = Arc::new(Faulty::at(usize::MAX, false));
    let run = |disk: Arc<Faulty>| {
        let desk = desk_on(folder, disk);
        prepared(&desk);
        pages::answer(&desk, &asked())
    };
    let good = run(Arc::clone(&whole));
    let about = asked().path;
    let well = matches!(good, Answer::See(_) | Answer::Words(axum::http::StatusCode::OK, _));
    let said = format!("{good:?}");
    let said = said.split("<main").nth(1).unwrap_or(&said);
    assert!(well, "{about}: {said}");
    let after = named(contents(folder));
    assert!(whole.steps() > 3, "{about} writes nothing");
    for for_good in [false, true] {
        for step in 0..whole.steps() {
            restore(folder, &before);
            let answer = run(Arc::new(Faulty::at(step, for_good)));
            let about = format!("{about}, step {step} of {}", whole.steps());
            let (Answer::Refused(_, said) | Answer::Words(_, said)) = &answer else {
                panic!("{about}: {answer:?}");
            };
            assert!(said.contains("the disk is full"), "{about}: {said}");
            let left = named(contents(folder));
            for (file, bytes) in &left {
                let kept = match file.strip_prefix(EARLIER) {
                    Ok(of) => before.get(&PathBuf::from(of.to_string_lossy().replace('+', "/"))),
                    Err(_) => before.get(file),
                };
                let is_whole = kept == Some(bytes) || after.get(file) == Some(bytes);
                assert!(is_whole, "{} is torn or left over: {about}", file.display());
            }
            for file in before.keys() {
                assert!(left.contains_key(file), "{} is gone: {about}", file.display());
            }
        }
    }
    restore(folder, &before);
}

/// A plan of a folder.
fn made_of(folder: &Path) -> Made {
    let desk = desk_on(folder, Arc::new(Faulty::at(usize::MAX, false)));
    let known = desk.known().unwrap_or_else(|_| panic!("the folder cannot be read"));
    made::plan(&known, &Wish::default(), &Job::new("", "")).unwrap()
}

fn mark(folder: &Path, file: &str) -> String {
    spanyard::folder::mark(folder, Path::new(file)).unwrap()
}

#[test]
fn decisions() {
    let folder = folder("desk-fault-decisions");
    let sold = || {
        let fields = [("kind", "sold"), ("car", "UD-2"), ("note", "by telephone")]
            .map(|(n, v)| (n, v.into()));
        form("/decide", &fields)
    };
    every_step(&folder, sold, |_| ());
    fs::write(folder.join("decisions.toml"), "[[dropped]]\ncrossing = \"B-09\"\n").unwrap();
    every_step(&folder, sold, |_| ());
    let was = mark(&folder, "decisions.toml");
    let back = || form("/decide/back", &[("number", "0".into()), ("was", was.clone())]);
    every_step(&folder, back, |_| ());
    let _ = fs::remove_dir_all(&folder);
}

#[test]
fn lists_and_crossings() {
    let folder = folder("desk-fault-lists");
    let explain = || {
        let fields = [("list", "lists/cars.csv".into()), ("mapping", "[constants]\n".into())];
        form("/lists/explain", &fields)
    };
    every_step(&folder, explain, |_| ());
    // A list is looked at first; it is written, with its mapping, when it is added.
    let drop = |desk: &Arc<Desk>| {
        let name = "Spur.csv".to_owned();
        let list = "Stock no,Length,Main sill\nW-1,60 ft,good\n".into();
        pages::answer(desk, &Asked { file: Some((name, list)), ..form("/lists/drop", &[]) });
    };
    let add = || form("/lists/new/keep", &[("draft", "1".into())]);
    every_step(&folder, add, drop);
    let correct = || {
        let was = mark(&folder, "lists/cars.mapping.toml");
        let fields = [("cell", "I2"), ("written", "50"), ("is", "51"), ("row", "2")];
        let mut fields: Vec<_> = fields.map(|(name, value)| (name, value.to_owned())).into();
        fields.extend([("list", "lists/cars.csv".to_owned()), ("was", was)]);
        form("/lists/correct", &fields)
    };
    every_step(&folder, correct, |_| ());
    let text = fs::read_to_string(folder.join("crossings.csv")).unwrap();
    let was = mark(&folder, "crossings.csv");
    every_step(&folder, || grid(&text, &was, &[]), |_| ());
    let _ = fs::remove_dir_all(&folder);
}

#[test]
fn a_workbook_of_crossings() {
    let folder = folder("desk-fault-workbook");
    let text = fs::read_to_string(folder.join("crossings.csv")).unwrap();
    // The blank one that `new` makes, with as many columns as the small purchase has.
    fs::remove_file(folder.join("crossings.csv")).unwrap();
    fs::write(folder.join("spanyard.toml"), TOML.replace("crossings.csv", "crossings.xlsx"))
        .unwrap();
    let blank = folder.join("blank");
    spanyard::folder::blank(&spanyard::save::RealDisk, &blank).unwrap();
    fs::rename(blank.join("crossings.xlsx"), folder.join("crossings.xlsx")).unwrap();
    fs::remove_dir_all(&blank).unwrap();
    let source = spanyard::folder::open_in(&folder, Path::new("crossings.xlsx")).unwrap();
    let table = spanyard::read::as_written(&source, spanyard::read::FileKind::Crossings);
    let table = table.unwrap().unwrap();
    let mut lines = text.lines();
    let names: Vec<&str> = lines.next().unwrap().split(',').collect();
    let header: Vec<&str> = table.columns.iter().map(|column| column.header.as_str()).collect();
    let row = |line: &str| {
        let cells: Vec<&str> = line.split(',').collect();
        let cell = |name: &&str| {
            let at = names.iter().position(|known| known == name);
            at.and_then(|at| cells.get(at)).copied().unwrap_or_default()
        };
        header.iter().map(cell).collect::<Vec<_>>().join(",")
    };
    let rows: Vec<String> = lines.map(row).collect();
    let text = format!("{}\n{}\n", header.join(","), rows.join("\n"));
    let was = mark(&folder, "crossings.xlsx");
    every_step(&folder, || grid(&text, &was, &[]), |_| ());
    // In a table beside it, which spanyard.toml names from then on.
    every_step(&folder, || grid(&text, &was, &[("as_csv", "yes")]), |_| ());
    let _ = fs::remove_dir_all(&folder);
}

/// A trial with these cells of B-03.
fn trial(desk: &Desk, edits: &[(&str, &str)]) -> Trial {
    let edit = |(column, value): &(&str, &str)| {
        ("B-03".to_owned(), (*column).to_owned(), (*value).to_owned())
    };
    Trial {
        name: "what if".to_owned(),
        json: "{}".to_owned(),
        edits: edits.iter().map(edit).collect(),
        beside_files: false,
        stamp: desk.known().unwrap_or_else(|_| panic!("the folder cannot be read")).stamp.clone(),
    }
}

/// A table as the form of the page Crossings sends it.
fn grid(text: &str, was: &str, more: &[(&str, &str)]) -> Asked {
    let mut fields = vec![("was".to_owned(), was.to_owned())];
    for (row, line) in text.lines().enumerate() {
        for (column, cell) in line.split(',').enumerate() {
            let name = match row.checked_sub(1) {
                None => format!("h{column}"),
                Some(row) => format!("r{row}c{column}"),
            };
            fields.push((name, cell.replace("Quillet Ford", "Quillet Bridge")));
        }
    }
    fields.extend(more.iter().map(|(name, value)| ((*name).to_owned(), (*value).to_owned())));
    Asked { form: fields, ..form("/crossings", &[]) }
}

#[test]
fn plans_papers_and_scenarios() {
    let folder = folder("desk-fault-papers");
    let made = Arc::new(made_of(&folder));
    let planned = |desk: &Arc<Desk>| {
        desk.keep_shared(Arc::clone(&made));
        desk.try_out(trial(desk, &[]));
        let mut told = Told::new(&made.known);
        let letter =
            |name: &str| SheetFile { name: name.to_owned(), content: "Found:\n".to_owned() };
        told.letters = vec![letter("letter-1-upper-drum.txt"), letter("letter-1-upper-drum.csv")];
        desk.tell("questions", told);
    };
    for path in ["/plan/agree", "/papers", "/what-if/keep", "/ask/letters"] {
        every_step(&folder, || form(path, &[("number", "0".into())]), planned);
    }
    let changed = |desk: &Arc<Desk>| desk.try_out(trial(desk, &[("span_ft", "32")]));
    every_step(&folder, || form("/what-if/bring", &[("number", "0".into())]), changed);
    // What could not be kept is still there to be kept.
    let desk = desk_on(&folder, Arc::new(Faulty::at(0, true)));
    planned(&desk);
    pages::answer(&desk, &form("/what-if/keep", &[("number", "0".into())]));
    assert_eq!(desk.trials().len(), 1);
    let _ = fs::remove_dir_all(&folder);
}

#[test]
fn earlier_states() {
    let folder = folder("desk-fault-earlier");
    let day = folder.join("earlier/2026-06-01");
    let asked = || {
        // Alone before each step, so that what stands there now is kept too.
        let _ = fs::remove_dir_all(folder.join(EARLIER));
        fs::create_dir_all(&day).unwrap();
        fs::write(day.join("09301200-rules.toml"), "# As it was.\n").unwrap();
        let fields = [
            ("day", "2026-06-01".to_owned()),
            ("name", "09301200-rules.toml".to_owned()),
            ("was", mark(&folder, "rules.toml")),
        ];
        form("/earlier/back", &fields)
    };
    let whole = Arc::new(Faulty::at(usize::MAX, false));
    pages::answer(&desk_on(&folder, Arc::clone(&whole)), &asked());
    assert_eq!(fs::read_to_string(folder.join("rules.toml")).unwrap(), "# As it was.\n");
    let rules = Path::new(env!("CARGO_MANIFEST_DIR")).join("tests/cli/funds.in/rules.toml");
    let rules = fs::read(rules).unwrap();
    for step in 0..whole.steps() {
        fs::write(folder.join("rules.toml"), &rules).unwrap();
        let answer = pages::answer(&desk_on(&folder, Arc::new(Faulty::at(step, true))), &asked());
        assert!(matches!(answer, Answer::Refused(..)), "step {step}: {answer:?}");
        let left = fs::read(folder.join("rules.toml")).unwrap();
        assert!(left == rules || left == b"# As it was.\n", "torn at step {step}");
    }
    let _ = fs::remove_dir_all(&folder);
}

#[test]
fn a_new_folder() {
    let place =
        std::env::temp_dir().join(format!("spanyard-desk-fault-new-{}", std::process::id()));
    for what in ["demo", "new"] {
        let asked = || form("/start", &[("name", "county".into()), ("what", what.into())]);
        let at = |disk: Arc<Faulty>| {
            let _ = fs::remove_dir_all(&place);
            fs::create_dir_all(&place).unwrap();
            pages::answer(&desk_on(&place.join("county"), disk), &asked())
        };
        let whole = Arc::new(Faulty::at(usize::MAX, false));
        assert!(matches!(at(Arc::clone(&whole)), Answer::See(_)), "{what}");
        let after = contents(&place);
        for step in 0..whole.steps() {
            let answer = at(Arc::new(Faulty::at(step, true)));
            assert!(matches!(answer, Answer::Refused(..)), "{what}, step {step}: {answer:?}");
            for (file, bytes) in contents(&place) {
                assert_eq!(
                    after.get(&file),
                    Some(&bytes),
                    "{what}, step {step}: {}",
                    file.display()
                );
            }
        }
    }
    let _ = fs::remove_dir_all(&place);
}
