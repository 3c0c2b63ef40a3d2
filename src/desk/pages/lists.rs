//! Dealers' lists: dropped on the page, saved as they came, read back row by row, and explained by a
//! mapping beside them where their columns need it.

use std::path::{Path, PathBuf};

use askama::Template;
use axum::http::StatusCode;
use spanyard::folder::{NotChanged, mark, open_in, open_text, replace, within};
use spanyard::read::{CarBack, State, draft_mapping, is_list, mapping_of};
use spanyard::report::readback;

use super::{Place, Shown, capital, see};
use crate::desk::exchange::{Answer, encoded};
use crate::desk::view::{Fault, Frame, Notice, Pager, Table, faults, figure, head, page, text};

/// Cars on a page of a read-back.
const EACH: usize = 25;

#[derive(Template)]
#[template(path = "desk/lists.html")]
struct Lists {
    frame: Frame,
    folder: String,
    lists: Table,
}

#[derive(Template)]
#[template(path = "desk/list.html")]
struct List {
    frame: Frame,
    name: String,
    title: String,
    summary: String,
    words: Vec<String>,
    problems: Vec<Fault>,
    to_look_at: bool,
    all_href: String,
    some_href: String,
    pager: Pager,
    cars: Vec<Table>,
    not_taken: Table,
    mapping: String,
    mapping_text: String,
    has_mapping: bool,
    was: String,
}

/// Where lists go: the folder that `spanyard.toml` names.
fn folder(at: &Place<'_>) -> Option<PathBuf> {
    at.known.files.lists_in.clone()
}

/// The lists of the folder.
pub fn show(at: &Place<'_>) -> Shown {
    let mut table =
        Table::new("Lists", &["List", "Explained by", "#Rows", "#Not taken", "#Left out"]);
    let files = match &at.known.reading {
        Ok(reading) => reading.files.clone(),
        Err(_) => at.known.files.check(false).files,
    };
    for list in &at.known.files.inventories {
        let name = list.display().to_string();
        let mapping = mapping_of(&name);
        let explained = at.known.files.at(Path::new(&mapping)).is_file();
        let read = files.iter().find(|file| *file.name == *name);
        let number = |of: fn(&spanyard::read::FileRead) -> usize| {
            figure(read.map(of).map_or_else(String::new, |n| n.to_string()))
        };
        table.row(vec![
            head(name.clone()).to(back_href(&name)),
            text(if explained { mapping } else { "its own header".to_owned() }),
            number(|file| file.rows),
            number(|file| file.not_taken.len()),
            number(|file| file.left_out),
        ]);
    }
    let mut frame = at.frame("Lists", "Lists");
    let folder = folder(at).map(|folder| folder.display().to_string());
    if folder.is_none() {
        let words = "spanyard.toml names its lists one by one: put a new one there by hand.";
        frame.notices.push(Notice::new("notice", words));
    }
    Ok(page(&Lists { frame, folder: folder.unwrap_or_default(), lists: table }))
}

/// Where a list is read back.
fn back_href(name: &str) -> String {
    format!("/lists/back?list={}", encoded(name))
}

/// Saves a list that was dropped. Nothing is written over: a list of that name that says something else
/// stands as it is.
pub fn drop(at: &Place<'_>) -> Shown {
    let no = |status: StatusCode, words: &str| Answer::Words(status, words.to_owned());
    let (name, bytes) =
        at.asked.file.as_ref().ok_or_else(|| no(StatusCode::BAD_REQUEST, "no file"))?;
    let folder = folder(at)
        .ok_or_else(|| no(StatusCode::CONFLICT, "The folder names its lists one by one."))?;
    // Of what the browser calls it the last part, and of that only what a file's name may have.
    let name = name.rsplit(['/', '\\']).next().unwrap_or_default().trim();
    let plain = |c: char| c.is_alphanumeric() || " -_.,()".contains(c);
    if name.chars().count() > 100 || !name.chars().all(plain) || !is_list(name) {
        let words = "This is no list by its name: CSV, XLSX, XLS or ODS, and letters, figures, blanks, - and _.";
        return Err(no(StatusCode::UNPROCESSABLE_ENTITY, words));
    }
    let file = within(&folder, name);
    let was = String::new();
    match replace(at.desk.disk(), &at.known.files.root, &file, bytes, &was) {
        Ok(()) => Ok(Answer::Words(StatusCode::OK, back_href(&file.display().to_string()))),
        Err(NotChanged::Meanwhile(_)) => {
            let same = open_in(&at.known.files.root, &file)
                .is_ok_and(|standing| standing.bytes == bytes[..]);
            if same {
                return Ok(Answer::Words(StatusCode::OK, back_href(&file.display().to_string())));
            }
            let words = format!(
                "{} is there already and says something else. Give the new list a name of its own, or take the old one away.",
                file.display()
            );
            Err(no(StatusCode::CONFLICT, &words))
        }
        Err(error) => Err(no(StatusCode::INTERNAL_SERVER_ERROR, &error.to_string())),
    }
}

/// One list, car by car and cell by cell.
pub fn back(at: &Place<'_>) -> Shown {
    show_list(at, Vec::new(), None)
}

fn show_list(at: &Place<'_>, notices: Vec<Notice>, typed: Option<String>) -> Shown {
    let name = at.asked.text("list");
    let list = at.known.files.inventories.iter().find(|list| list.display().to_string() == name);
    let list = list.ok_or_else(|| at.missing("the folder has no such list"))?;
    let mapping = PathBuf::from(mapping_of(&name));
    let standing = open_text(&at.known.files.at(&mapping)).ok();
    let was = mark(&at.known.files.root, &mapping).unwrap_or_default();
    let draft = || {
        let source = open_in(&at.known.files.root, list).ok()?;
        draft_mapping(&source).ok()
    };
    let has_mapping = standing.is_some();
    let mapping_text = typed.or(standing).or_else(draft).unwrap_or_default();
    let mut frame = at.frame(&name, "Lists");
    frame.notices.extend(notices);
    let show = at.asked.text("show");
    let href = |show: &str, page: usize| format!("{}&show={show}&page={page}", back_href(&name));
    let mut view = List {
        frame,
        title: name.clone(),
        summary: String::new(),
        words: Vec::new(),
        problems: Vec::new(),
        to_look_at: show == "look",
        all_href: href("", 1),
        some_href: href("look", 1),
        pager: Pager::default(),
        cars: Vec::new(),
        not_taken: Table::new("Rows that are not taken", &["#Row", "Why"]),
        mapping: mapping.display().to_string(),
        mapping_text,
        has_mapping,
        was,
        name: name.clone(),
    };
    match at.known.files.read_back(&name) {
        Ok(back) => {
            view.title = readback::title(&back);
            view.summary = readback::summary(&back);
            view.words = back.remarks.iter().chain(&readback::absent(&back)).cloned().collect();
            for row in &back.not_taken {
                view.not_taken.row(vec![figure(row.line), text(row.reason.clone())]);
            }
            let cars: Vec<&CarBack> =
                back.cars.iter().filter(|car| !view.to_look_at || is_doubtful(car)).collect();
            let asked = at.asked.number("page").unwrap_or(1);
            let (pager, rows) = Pager::of(cars.len(), EACH, asked, |page| href(&show, page));
            view.pager = pager;
            view.cars = cars[rows].iter().map(|car| car_table(car)).collect();
        }
        Err(refusal) => view.problems = faults(&refusal.problems.0),
    }
    Ok(page(&view))
}

/// Whether somebody should look at the car's cells.
fn is_doubtful(car: &CarBack) -> bool {
    let look = |state: State| !matches!(state, State::Read | State::Unknown | State::Assumed);
    car.left_out || !car.remarks.is_empty() || car.facts.iter().any(|fact| look(fact.state))
}

pub fn car_table(car: &CarBack) -> Table {
    let heads = ["Fact", "Cell", "Header", "As written", "As understood", "", "Remarks"];
    let mut table = Table::new(readback::car_title(car), &heads);
    for words in &car.remarks {
        table.classed(
            "bad",
            vec![
                head("The row"),
                text(""),
                text(""),
                text(""),
                text(""),
                text(""),
                text(words.clone()),
            ],
        );
    }
    for fact in &car.facts {
        let class = match fact.state {
            State::Refused | State::Doubtful => "bad",
            State::Unknown => "quiet",
            _ => "",
        };
        table.classed(
            class,
            vec![
                head(capital(fact.label)),
                text(fact.cell.clone()),
                text(fact.header.clone()),
                text(fact.written.clone()),
                text(fact.understood.clone()),
                text(fact.state.word()),
                text(fact.remarks.join("; ")),
            ],
        );
    }
    table
}

/// Saves what explains a list's columns and words, if nobody has changed it meanwhile.
pub fn explain(at: &Place<'_>) -> Shown {
    let name = at.asked.text("list");
    if !at.known.files.inventories.iter().any(|list| list.display().to_string() == name) {
        return Err(at.missing("the folder has no such list"));
    }
    let raw = at.asked.form.iter().find(|(key, _)| key == "mapping").map(|(_, text)| text.as_str());
    let text = raw.unwrap_or_default().replace("\r\n", "\n");
    let mapping = PathBuf::from(mapping_of(&name));
    match replace(
        at.desk.disk(),
        &at.known.files.root,
        &mapping,
        text.as_bytes(),
        &at.asked.text("was"),
    ) {
        Ok(()) => Ok(see(&back_href(&name), &format!("Saved in {}", mapping.display()))),
        Err(error) => {
            let words = capital(&format!("{error}. What you wrote stands below and is not saved."));
            let shown = show_list(at, vec![Notice::new("alert", words)], Some(text))?;
            match shown {
                Answer::Page(page) => Err(Answer::Refused(StatusCode::CONFLICT, page)),
                other => Ok(other),
            }
        }
    }
}
