//! The pages: each asks the library, and says what it says.

mod ask;
mod budgets;
mod cars;
mod changed;
mod costs;
mod crossing;
mod decide;
mod earlier;
mod files;
mod grid;
mod incoming;
mod links;
mod list;
mod lists;
mod overview;
mod papers;
mod plan;
mod questions;
mod rating;
mod start;
mod table;
mod trial;

use std::sync::Arc;

use axum::http::StatusCode;
use spanyard::folder::Refusal;

use super::exchange::{Answer, Asked, encoded};
use super::known::Known;
use super::state::Desk;
use super::view::{Frame, Notice, Station, Wrong, faults, page};

/// The line of pages.
const STATIONS: &[(&str, &str)] = &[
    ("Overview", "/"),
    ("Lists", "/lists"),
    ("Crossings", "/crossings"),
    ("Cars", "/cars"),
    ("Plan", "/plan"),
    ("Decide", "/decide"),
    ("What if", "/what-if"),
    ("Ask", "/ask"),
    ("Papers", "/papers"),
];

/// The page, or what comes of the change.
pub fn answer(desk: &Arc<Desk>, asked: &Asked) -> Answer {
    if let Some(asset) = asset(&asked.path) {
        return asset;
    }
    if desk.root().is_none() {
        return start::answer(desk, asked);
    }
    let known = match desk.known() {
        Ok(known) => known,
        Err(refusal) => return cannot(Frame::default(), &refusal),
    };
    let at = Place { desk, known: &known, asked };
    let answered = match (asked.post, asked.path.as_str()) {
        (false, "/") => overview::show(&at),
        (false, "/plan") => plan::show(&at),
        (true, "/plan") => plan::begin(&at),
        (true, "/plan/agree") => plan::agree(&at),
        (true, "/search/stop") => plan::stop(&at),
        (false, "/plan/costs") => costs::show(&at),
        (false, "/rules") => costs::rules(&at),
        (false, "/plan/crossing") => crossing::show(&at),
        (false, "/cars") => cars::all(&at),
        (false, "/car") => cars::one(&at),
        (false, "/rate") => rating::show(&at),
        (false, "/why") => rating::why(&at),
        (false, "/source") => files::source(&at),
        (false, "/lists") => lists::show(&at),
        (true, "/lists/drop") => incoming::drop(&at),
        (false, "/lists/new") => incoming::show(&at),
        (true, "/lists/new/answer") => incoming::answer(&at),
        (true, "/lists/new/keep") => incoming::keep(&at),
        (true, "/lists/new/away") => incoming::away(&at),
        (false, "/lists/back") => list::back(&at),
        (true, "/lists/answer") => list::answer(&at),
        (false, "/lists/cell") => list::cell(&at),
        (true, "/lists/correct") => list::correct(&at),
        (true, "/lists/leave-out") => list::leave_out(&at),
        (true, "/lists/explain") => list::explain(&at),
        (false, "/crossings") => grid::show(&at),
        (true, "/crossings") => grid::save(&at),
        (true, "/crossings/check") => grid::check(&at),
        (false, "/decide") => decide::show(&at),
        (true, "/decide") => decide::write(&at),
        (true, "/decide/back") => decide::undo(&at),
        (false, "/what-if") => trial::show(&at),
        (true, "/what-if") => trial::begin(&at),
        (true, "/what-if/budgets") => budgets::curve(&at),
        (true, "/what-if/bring") => trial::bring(&at),
        (true, "/what-if/keep") => trial::settle(&at, true),
        (true, "/what-if/away") => trial::settle(&at, false),
        (false, "/ask") => ask::show(&at),
        (true, "/ask/questions") => questions::begin(&at),
        (true, "/ask/letters") => questions::write(&at),
        (true, "/ask/prices") => ask::begin(&at, "prices"),
        (true, "/ask/spares") => ask::begin(&at, "spares"),
        (true, "/ask/want") => ask::begin(&at, "want"),
        (false, "/papers") => papers::show(&at),
        (true, "/papers") => papers::make(&at),
        (false, "/papers/file") => papers::file(&at),
        (false, "/earlier") => earlier::show(&at),
        (false, "/earlier/state") => earlier::one(&at),
        (true, "/earlier/back") => earlier::back(&at),
        _ => Err(at.missing("there is no such page")),
    };
    answered.unwrap_or_else(|wrong| wrong)
}

/// A request, and what is known of the folder.
pub struct Place<'a> {
    pub desk: &'a Arc<Desk>,
    pub known: &'a Arc<Known>,
    pub asked: &'a Asked,
}

/// A page, or the one that says why there is none.
pub type Shown = Result<Answer, Answer>;

impl Place<'_> {
    /// The frame of a page of this station.
    pub fn frame(&self, title: &str, station: &str) -> Frame {
        let root = self.known.files.root.display().to_string();
        let here = || std::env::current_dir().ok();
        let folder = if root.is_empty() {
            here().map(|path| path.display().to_string()).unwrap_or_default()
        } else {
            root
        };
        let mut frame = Frame {
            title: title.to_owned(),
            folder,
            stations: STATIONS
                .iter()
                .map(|(name, path)| Station { name, path, here: *name == station })
                .collect(),
            ..Frame::default()
        };
        if let Some(said) = self.asked.get("done") {
            frame.notices.push(Notice::new("done", said));
        }
        let stale = self.desk.made().is_some_and(|made| made.known.stamp != self.known.stamp);
        if stale && ["Overview", "Plan"].contains(&station) {
            let words =
                "Files have changed since this plan was made: what you see is as it was then.";
            frame.notices.push(Notice::new("notice", words).link("/plan", "Plan again"));
        }
        frame
    }

    /// Something that is not there.
    pub fn missing(&self, words: &str) -> Answer {
        self.refuse(StatusCode::NOT_FOUND, "Not here", words)
    }

    /// A change that cannot be made.
    pub fn refuse(&self, status: StatusCode, title: &str, words: &str) -> Answer {
        let wrong = Wrong {
            frame: self.frame(title, ""),
            title: title.to_owned(),
            words: vec![capital(words)],
            back: self.asked.text("back"),
            problems: Vec::new(),
        };
        refused(status, &wrong)
    }

    /// The inputs; else the page that says what is wrong with the files.
    pub fn inputs(&self) -> Result<&spanyard::model::inputs::Inputs, Answer> {
        match &self.known.reading {
            Ok(reading) => Ok(&reading.inputs),
            Err(refusal) => Err(cannot(self.frame("Files", ""), refusal)),
        }
    }
}

/// The page where files cannot be used.
fn cannot(frame: Frame, refusal: &Refusal) -> Answer {
    let words = if refusal.not_named.is_empty() {
        vec![
            "The files cannot be used as they are. Mend these, and load the page again.".to_owned(),
        ]
    } else {
        vec!["The folder lacks what this page needs: Overview says what.".to_owned()]
    };
    let wrong = Wrong {
        frame,
        title: "The files have problems".to_owned(),
        words,
        back: "/".to_owned(),
        problems: faults(&refusal.problems.0),
    };
    refused(StatusCode::OK, &wrong)
}

fn refused(status: StatusCode, wrong: &Wrong) -> Answer {
    match page(wrong) {
        Answer::Page(page) => Answer::Refused(status, page),
        other => other,
    }
}

/// Style, script and sign: ours, and never of another machine.
fn asset(path: &str) -> Option<Answer> {
    let (kind, bytes): (_, &[u8]) = match path {
        "/paper.css" => ("text/css", include_bytes!("../../../templates/style.css")),
        "/desk.css" => ("text/css", include_bytes!("../../../templates/desk/desk.css")),
        "/desk.js" => ("text/javascript", include_bytes!("../../../templates/desk/desk.js")),
        "/sign.svg" | "/favicon.ico" => {
            ("image/svg+xml", include_bytes!("../../../templates/desk/sign.svg"))
        }
        _ => return None,
    };
    Some(Answer::Asset(kind, bytes))
}

/// A page with something said on it.
pub fn see(path: &str, done: &str) -> Answer {
    let sign = if path.contains('?') { '&' } else { '?' };
    let said =
        if done.is_empty() { String::new() } else { format!("{sign}done={}", encoded(done)) };
    Answer::See(format!("{path}{said}"))
}

/// A sentence begins with a capital letter.
pub fn capital(words: &str) -> String {
    let mut letters = words.chars();
    let first = letters.next().map(|first| first.to_uppercase().to_string()).unwrap_or_default();
    first + letters.as_str()
}
