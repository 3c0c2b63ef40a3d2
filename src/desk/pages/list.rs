//! One list of the folder: read back car by car and cell by cell, its questions answered by word, cells
//! corrected and rows left out in the mapping beside it.

use std::path::PathBuf;

use askama::Template;
use axum::http::StatusCode;
use itertools::Itertools as _;
use spanyard::folder::{Asking, asking, keep_answers, mark, open_in, open_text, replace};
use spanyard::read::{CarBack, Question, State, draft_mapping, mapping_of};
use spanyard::report::readback;

use super::lists::back_href;
use super::{Place, Shown, capital, see};
use crate::desk::exchange::{Answer, encoded};
use crate::desk::view::{
    Fault, Form, Frame, Input, Notice, Pager, Table, Tables, faults, figure, head, page, text,
};

/// Cars on a page of a read-back.
const EACH: usize = 25;

#[derive(Template)]
#[template(path = "desk/list.html")]
struct List {
    frame: Frame,
    name: String,
    title: String,
    summary: String,
    words: Vec<String>,
    questions: Vec<Asks>,
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

/// A question as it is shown.
pub struct Asks {
    pub id: String,
    pub asks: String,
    pub unanswered: String,
    /// The answers that are offered, with what they mean.
    pub choices: Vec<String>,
    /// What else can be answered; empty for nothing.
    pub or_else: String,
    /// Names to choose from while it is typed.
    pub known: Vec<String>,
}

/// Questions as they are shown.
pub fn asks(at: &Place<'_>, questions: &[Question]) -> Vec<Asks> {
    let checked = at.known.files.check(false);
    let yards = checked.inputs.as_ref().map(|inputs| inputs.yards.as_slice()).unwrap_or_default();
    let known = |id: &str| -> Vec<String> {
        match id {
            "constants.dealer" => yards.iter().map(|yard| yard.dealer.clone()).unique().collect(),
            "constants.yard" => yards.iter().map(|yard| yard.name.clone()).collect(),
            _ => Vec::new(),
        }
    };
    let choices = |question: &Question| {
        let words = question.choices.iter().map(|choice| match choice.means.as_str() {
            "" => choice.answer.clone(),
            means if choice.answer.is_empty() => means.to_owned(),
            means => format!("{}: {means}", choice.answer),
        });
        words.collect()
    };
    let shown = questions.iter().map(|question| Asks {
        id: question.id.clone(),
        asks: question.asks.clone(),
        unanswered: capital(question.unanswered),
        choices: choices(question),
        or_else: question.or_else.clone().map(|words| capital(&words)).unwrap_or_default(),
        known: known(&question.id),
    });
    shown.collect()
}

/// The question that was answered, and the answer: one of its choices by its place, or what was typed.
pub fn answer_of<'q>(
    at: &Place<'_>,
    questions: &'q [Question],
) -> Result<(&'q Question, String), String> {
    let id = at.asked.text("id");
    let found = questions.iter().find(|question| question.id == id);
    let question = found.ok_or("this question is not open any more")?;
    let choice = at.asked.number("choice").and_then(|number| question.choices.get(number));
    match choice {
        Some(choice) => Ok((question, choice.answer.clone())),
        None => {
            let typed = at.asked.get("typed").ok_or("choose an answer, or type one")?;
            Ok((question, typed.to_owned()))
        }
    }
}

/// One list, car by car and cell by cell.
pub fn back(at: &Place<'_>) -> Shown {
    show_list(at, Vec::new(), None)
}

/// The list that is asked for.
fn named(at: &Place<'_>) -> Result<PathBuf, Answer> {
    let name = at.asked.text("list");
    let list = at.known.files.inventories.iter().find(|list| list.display().to_string() == name);
    list.cloned().ok_or_else(|| at.missing("the folder has no such list"))
}

fn show_list(at: &Place<'_>, notices: Vec<Notice>, typed: Option<String>) -> Shown {
    let list = named(at)?;
    let name = list.display().to_string();
    let mapping = PathBuf::from(mapping_of(&name));
    let standing = open_text(&at.known.files.at(&mapping)).ok();
    let was = mark(&at.known.files.root, &mapping).unwrap_or_default();
    let draft = || draft_mapping(&open_in(&at.known.files.root, &list).ok()?).ok();
    let has_mapping = standing.is_some();
    let mapping_text = typed.or(standing).or_else(draft).unwrap_or_default();
    let mut frame = at.frame(&name, "Lists");
    frame.notices.extend(notices);
    let show = at.asked.text("show");
    let href = |show: &str, page: usize| format!("{}&show={show}&page={page}", back_href(&name));
    let open = asking(&at.known.files, list).map(|(asking, _)| asking.questions());
    let mut view = List {
        frame,
        title: name.clone(),
        summary: String::new(),
        words: Vec::new(),
        questions: asks(at, &open.unwrap_or_default()),
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
            view.cars = cars[rows].iter().map(|car| car_table(car, &name)).collect();
        }
        Err(refusal) => view.problems = faults(&refusal.problems.0),
    }
    Ok(page(&view))
}

/// Whether somebody should look at the car's cells.
pub fn is_doubtful(car: &CarBack) -> bool {
    let look = |state: State| !matches!(state, State::Read | State::Unknown | State::Assumed);
    car.left_out || !car.remarks.is_empty() || car.facts.iter().any(|fact| look(fact.state))
}

/// What was read of a car. With the list's name its cells can be corrected.
pub fn car_table(car: &CarBack, list: &str) -> Table {
    let heads = ["Fact", "Cell", "Header", "As written", "As understood", "", "Remarks"];
    let mut table = Table::new(readback::car_title(car), &heads);
    for words in &car.remarks {
        let mut cells = vec![head("The row")];
        cells.resize_with(6, || text(""));
        cells.push(text(words.clone()));
        table.classed("bad", cells);
    }
    for fact in &car.facts {
        let class = match fact.state {
            State::Refused | State::Doubtful => "bad",
            State::Unknown => "quiet",
            _ => "",
        };
        // What stands in the list, and not in the mapping, has a cell such as C7.
        let is_cell = !list.is_empty() && is_cell(&fact.cell);
        let href = if is_cell {
            let (list, cell) = (encoded(list), encoded(&fact.cell));
            format!("/lists/cell?list={list}&cell={cell}&row={}", car.line)
        } else {
            String::new()
        };
        table.classed(
            class,
            vec![
                head(capital(fact.label)),
                text(fact.cell.clone()).to(href),
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

/// Whether it is the name of a cell: letters, then figures.
fn is_cell(text: &str) -> bool {
    let figures = text.trim_start_matches(|c: char| c.is_ascii_uppercase());
    figures.len() < text.len() && !figures.is_empty() && figures.chars().all(|c| c.is_ascii_digit())
}

/// One cell of a list, to be corrected, and its row, to be left out.
pub fn cell(at: &Place<'_>) -> Shown {
    let name = named(at)?.display().to_string();
    let (cell, row) = (at.asked.text("cell"), at.asked.text("row"));
    let back =
        at.known.files.read_back(&name).map_err(|_| at.missing("the list cannot be read"))?;
    let car = back.cars.iter().find(|car| car.line.to_string() == row);
    let fact = car.and_then(|car| car.facts.iter().find(|fact| fact.cell == cell));
    let (car, fact) = car.zip(fact).ok_or_else(|| at.missing("the list has no such cell"))?;
    let mapping = PathBuf::from(mapping_of(&name));
    let was = mark(&at.known.files.root, &mapping).unwrap_or_default();
    let mut view = Tables::new(at.frame(&cell, "Lists"), format!("{cell} of {name}"));
    view.words.push(format!(
        "{}, {}: the list has \u{201c}{}\u{201d}. The list itself is not touched: what is typed here goes \
         into {} and holds as long as the list has that there.",
        readback::car_title(car),
        fact.label,
        fact.written,
        mapping.display()
    ));
    let hidden = |name: &str, value: &str| Input::new("hidden", name, "", value);
    let common = || {
        vec![hidden("list", &name), hidden("was", &was), hidden("cell", &cell), hidden("row", &row)]
    };
    let mut inputs = common();
    inputs.push(hidden("written", &fact.written));
    inputs.push(Input::new("text", "is", "It should say; blank for unknown", ""));
    let action = "/lists/correct";
    view.forms.push(Form { post: true, action, button: "Correct the cell", inputs });
    let mut inputs = common();
    // The ID as the list has it, by which the row is known again.
    let id = car.facts.iter().find(|fact| fact.column == "car");
    inputs.push(hidden("car", id.map_or(car.car.as_str(), |fact| fact.written.as_str())));
    inputs.push(Input::new("needed", "why", "Why", ""));
    let action = "/lists/leave-out";
    view.forms.push(Form { post: true, action, button: "Leave the whole row out", inputs });
    view.tables.push(car_table(car, ""));
    Ok(page(&view))
}

/// Changes what the mapping says of the list, unless somebody else has changed it meanwhile.
fn change(
    at: &Place<'_>,
    done: &str,
    change: impl FnOnce(&mut Asking) -> Result<(), String>,
) -> Shown {
    let list = named(at)?;
    let name = list.display().to_string();
    let was = at.asked.text("was");
    let no = |status, words: &str| at.refuse(status, "Nothing was changed", words);
    let opened = asking(&at.known.files, list);
    let (mut asking, _) = opened.map_err(|problem| at.missing(&problem.to_string()))?;
    change(&mut asking).map_err(|words| no(StatusCode::UNPROCESSABLE_ENTITY, &words))?;
    keep_answers(&at.known.files, &asking, &was, at.desk.disk())
        .map_err(|error| no(StatusCode::CONFLICT, &error.to_string()))?;
    let mapping = mapping_of(&name);
    Ok(see(&back_href(&name), &format!("{done}; it stands in {mapping}")))
}

/// Answers a question of the list.
pub fn answer(at: &Place<'_>) -> Shown {
    change(at, "Taken", |asking| {
        let questions = asking.questions();
        let (question, answer) = answer_of(at, &questions)?;
        asking.answer(question, &answer).map_err(|error| error.to_string())
    })
}

/// Corrects a cell.
pub fn correct(at: &Place<'_>) -> Shown {
    let (cell, is) = (at.asked.text("cell"), at.asked.text("is"));
    let written = at.asked.form.iter().find(|(name, _)| name == "written");
    let written = written.map(|(_, text)| text.clone()).unwrap_or_default();
    change(at, &format!("{cell} is corrected"), |asking| {
        asking.correct(&cell, &written, &is).map_err(|error| error.to_string())
    })
}

/// Leaves a row out.
pub fn leave_out(at: &Place<'_>) -> Shown {
    let row = at.asked.number("row").ok_or_else(|| at.missing("the list has no such row"))?;
    let (car, why) = (at.asked.text("car"), at.asked.text("why"));
    change(at, &format!("Row {row} is left out"), |asking| {
        asking.leave_out(row as u64, &car, &why).map_err(|error| error.to_string())
    })
}

/// Saves what explains a list's columns and words, if nobody has changed it meanwhile.
pub fn explain(at: &Place<'_>) -> Shown {
    let name = named(at)?.display().to_string();
    let raw = at.asked.form.iter().find(|(key, _)| key == "mapping").map(|(_, text)| text.as_str());
    let text = raw.unwrap_or_default().replace("\r\n", "\n");
    let mapping = PathBuf::from(mapping_of(&name));
    let was = at.asked.text("was");
    match replace(at.desk.disk(), &at.known.files.root, &mapping, text.as_bytes(), &was) {
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
