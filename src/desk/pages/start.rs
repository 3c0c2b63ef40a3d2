//! Where there is no purchase folder yet: the demonstration, or ten steps to one's own.

use std::sync::Arc;

use askama::Template;
use axum::http::StatusCode;
use spanyard::folder::{DEMO, blank, make};

use super::{capital, refused, see};
use crate::desk::exchange::{Answer, Asked};
use crate::desk::state::Desk;
use crate::desk::view::{Frame, Wrong, page};

#[derive(Template)]
#[template(path = "desk/start.html")]
struct Start {
    frame: Frame,
    beside: String,
    demo: String,
    own: String,
    steps: Vec<String>,
}

/// From an empty folder to a purchase. The commands of the terminal do the same on the same files.
pub const STEPS: [&str; 10] = [
    "Fill in the crossings, on the page Crossings or in crossings.xlsx with a spreadsheet program: a row for \
     each. Leave blank what is not known.",
    "Fill in yards.xlsx: a row for each dealer's yard.",
    "Drop the dealers' lists on the page Lists as they came: CSV, XLSX, XLS or ODS.",
    "Overview says what was understood, what is unknown and what is wrong, and where.",
    "Where a list is not understood, the page Lists drafts an explanation of its columns and words: \
     answer what it asks.",
    "Settle the rules in rules.toml with the engineer and the hauler.",
    "Cars tells which cars fit which crossing, and why the others do not.",
    "Plan works out the purchase, and what is missing for a crossing that is not served.",
    "Take the plan to the board and the engineer, ask the dealers, inspect the cars.",
    "Keep what was bought, measured or refused as decisions, and plan again: the next plan changes as \
     little as it can.",
];

/// The steps as texts.
pub fn steps() -> Vec<String> {
    STEPS.map(str::to_owned).into()
}

/// The page, or the folder that was asked for.
pub fn answer(desk: &Arc<Desk>, asked: &Asked) -> Answer {
    if asked.post && asked.path == "/start" {
        return match begin(desk, asked) {
            Ok(()) => see("/", "The folder is made"),
            Err(words) => refused(
                StatusCode::UNPROCESSABLE_ENTITY,
                &Wrong {
                    frame: Frame { title: "No folder".to_owned(), ..Frame::default() },
                    title: "No folder was made".to_owned(),
                    words: vec![capital(&words)],
                    back: "/".to_owned(),
                    problems: Vec::new(),
                },
            ),
        };
    }
    let here = std::env::current_dir().unwrap_or_default().join(desk.beside(""));
    let wanted = desk.wanted.clone();
    page(&Start {
        frame: Frame { title: "A first look".to_owned(), ..Frame::default() },
        beside: here.display().to_string(),
        demo: wanted.clone().unwrap_or_else(|| "county".to_owned()),
        own: wanted.unwrap_or_else(|| "our-county".to_owned()),
        steps: steps(),
    })
}

/// Makes the folder beside the one where the desk was started, and opens it.
fn begin(desk: &Desk, asked: &Asked) -> Result<(), String> {
    let name = asked.text("name");
    // A name and no path: a browser never says where on the disk.
    let plain = |c: char| c.is_alphanumeric() || "-_ ".contains(c);
    if name.is_empty() || name.chars().count() > 60 || !name.chars().all(plain) {
        return Err("write a name of letters, figures, blanks, - and _".to_owned());
    }
    let folder = desk.beside(&name);
    match asked.get("what") {
        Some("demo") => make(desk.disk(), &folder, DEMO).map_err(|error| error.to_string())?,
        Some("new") => {
            blank(desk.disk(), &folder).map_err(|error| error.to_string())?;
        }
        _ => return Err("choose the demonstration or an empty folder".to_owned()),
    }
    desk.open(&folder).map_err(|error| format!("{error:#}"))
}
