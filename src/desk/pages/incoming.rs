//! A list on its way into the folder: what changed since the dealer's list before, what must be asked of
//! it, and what would be read, before anything is written.

use askama::Template;
use axum::http::StatusCode;
use spanyard::folder::{Add, Draft, NotAdded, draft, keep as keep_list, look};
use spanyard::read::SourceText;
use spanyard::report::readback;

use super::list::{Asks, answer_of, asks, car_table, is_doubtful};
use super::lists::back_href;
use super::{Place, Shown, capital, see};
use crate::desk::exchange::Answer;
use crate::desk::view::{Fault, Frame, Notice, Table, faults, page};

/// Cars shown before the list is in the folder; its own page has them all.
const SHOWN: usize = 10;

#[derive(Template)]
#[template(path = "desk/incoming.html")]
struct Incoming {
    frame: Frame,
    number: u64,
    list: String,
    before: String,
    since: Vec<String>,
    questions: Vec<Asks>,
    yards: Vec<String>,
    problems: Vec<Fault>,
    summary: String,
    cars: Vec<Table>,
}

/// Takes a list that was dropped to look at it. Nothing is written.
pub fn drop(at: &Place<'_>) -> Shown {
    let no = |status: StatusCode, words: &str| Answer::Words(status, capital(words));
    let (name, bytes) =
        at.asked.file.as_ref().ok_or_else(|| no(StatusCode::BAD_REQUEST, "no file"))?;
    // Of what the browser calls it the last part; it is never a path here.
    let name = name.rsplit(['/', '\\']).next().unwrap_or_default().trim();
    let source = SourceText::new(name, &bytes[..]);
    let day = match at.asked.get("day") {
        None => jiff::ZonedDateTime::now().date(),
        Some(words) => words.parse().map_err(|_| {
            no(StatusCode::UNPROCESSABLE_ENTITY, "the day is to be like 2026-05-31")
        })?,
    };
    let dealer = at.asked.get("follows").or(at.asked.get("dealer"));
    let add = Add { source: &source, dealer, yard: None, day };
    match draft(&at.known.files, &add) {
        Ok(draft) => {
            let number = at.desk.take_in(draft);
            Ok(Answer::Words(StatusCode::OK, format!("/lists/new?draft={number}")))
        }
        Err(error @ NotAdded::Standing(_)) => {
            let words = format!("{error}: choose another day for the new list");
            Err(no(StatusCode::CONFLICT, &words.replace("; give another day with --date", "")))
        }
        Err(error) => Err(no(StatusCode::UNPROCESSABLE_ENTITY, &error.to_string())),
    }
}

/// The draft that is asked for.
fn asked(at: &Place<'_>) -> Result<(u64, Draft), Answer> {
    let number = at.asked.number("draft").unwrap_or_default() as u64;
    let draft = at.desk.incoming(number);
    Ok((number, draft.ok_or_else(|| at.missing("this list is not waiting any more"))?))
}

/// The list as it would be.
pub fn show(at: &Place<'_>) -> Shown {
    Ok(page(&view(at, Vec::new())?))
}

fn view(at: &Place<'_>, notices: Vec<Notice>) -> Result<Incoming, Answer> {
    let (number, draft) = asked(at)?;
    let added = look(&at.known.files, &draft);
    let list = added.list.display().to_string();
    let mut frame = at.frame("A new list", "Lists");
    frame.notices.extend(notices);
    let (before, since) = added.since.unwrap_or_default();
    let mut view = Incoming {
        frame,
        number,
        list,
        before: before.display().to_string(),
        since,
        questions: asks(at, &added.open),
        yards: added.yards,
        problems: Vec::new(),
        summary: String::new(),
        cars: Vec::new(),
    };
    match &added.back {
        Ok(back) => {
            view.summary = readback::summary(back);
            let first = back.cars.iter().filter(|car| is_doubtful(car));
            let rest = back.cars.iter().filter(|car| !is_doubtful(car));
            view.cars = first.chain(rest).take(SHOWN).map(|car| car_table(car, "")).collect();
        }
        Err(refusal) => view.problems = faults(&refusal.problems.0),
    }
    Ok(view)
}

/// Takes an answer into the draft.
pub fn answer(at: &Place<'_>) -> Shown {
    let (number, mut draft) = asked(at)?;
    let questions = draft.asking.questions();
    let said = answer_of(at, &questions)
        .map_err(|words| at.refuse(StatusCode::UNPROCESSABLE_ENTITY, "Not taken", &words))?;
    let (question, answer) = said;
    if let Err(error) = draft.asking.answer(question, &answer) {
        let notice = Notice::new("alert", capital(&error.to_string()));
        return Ok(page(&view(at, vec![notice])?));
    }
    at.desk.keep_incoming(number, draft);
    Ok(see(&format!("/lists/new?draft={number}"), "Taken"))
}

/// Writes the list and its mapping into the folder.
pub fn keep(at: &Place<'_>) -> Shown {
    let (number, draft) = asked(at)?;
    match keep_list(&at.known.files, &draft, at.desk.disk()) {
        Ok(added) => {
            at.desk.let_go(number);
            let list = added.list.display().to_string();
            Ok(see(&back_href(&list), &format!("Added as {list}")))
        }
        Err(error) => {
            let words = error.to_string();
            Err(at.refuse(StatusCode::CONFLICT, "Nothing was added", &words))
        }
    }
}

/// Throws the draft away.
pub fn away(at: &Place<'_>) -> Shown {
    let (number, _) = asked(at)?;
    at.desk.let_go(number);
    Ok(see("/lists", "Thrown away; nothing was written"))
}
