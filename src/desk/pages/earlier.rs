//! Earlier states of the folder's files: to look at, and to bring back.

use axum::http::StatusCode;
use spanyard::folder::{EARLIER, State, earlier, mark, open_bytes, replace};

use super::{Place, Shown, see};
use crate::desk::exchange::encoded;
use crate::desk::view::{Form, Input, Table, Tables, figure, head, page, text};

/// All states that are kept.
pub fn show(at: &Place<'_>) -> Shown {
    let mut view = Tables::new(at.frame("Earlier states", ""), "Earlier states of the files");
    let words = "Before the desk writes over a file, it keeps what stood there, for seven days. Bringing \
                 a state back keeps the present one in the same way.";
    view.words.push(words.to_owned());
    let mut table = Table::new("Kept", &["File", "Day", "#Time", "State"]);
    for state in earlier(&at.known.files.root) {
        let href = format!("/earlier/state?day={}&name={}", state.day, encoded(&state.name));
        table.row(vec![
            head(state.file.display().to_string()),
            text(state.day.clone()),
            figure(time(&state)),
            text("look, bring back").to(href),
        ]);
    }
    if table.rows.is_empty() {
        view.words.push("Nothing is kept yet.".to_owned());
    }
    view.tables.push(table);
    Ok(page(&view))
}

fn time(state: &State) -> String {
    let part = |from: usize| state.name.get(from..from + 2).unwrap_or_default();
    format!("{}:{}:{}", part(0), part(2), part(4))
}

/// The state that is asked for, looked up among those that are kept.
fn asked(at: &Place<'_>) -> Option<State> {
    let (day, name) = (at.asked.text("day"), at.asked.text("name"));
    earlier(&at.known.files.root).into_iter().find(|state| state.day == day && state.name == name)
}

fn bytes(at: &Place<'_>, state: &State) -> Option<Vec<u8>> {
    let path = at.known.files.root.join(EARLIER).join(&state.day).join(&state.name);
    open_bytes(&path).ok()
}

/// One state, beside what stands there now.
pub fn one(at: &Place<'_>) -> Shown {
    let state = asked(at).ok_or_else(|| at.missing("there is no such state"))?;
    let bytes = bytes(at, &state).ok_or_else(|| at.missing("there is no such state"))?;
    let file = state.file.display().to_string();
    let mut view = Tables::new(
        at.frame("Earlier state", ""),
        format!("{file} as of {}, {}", state.day, time(&state)),
    );
    let now = open_bytes(&at.known.files.at(&state.file)).unwrap_or_default();
    let was = mark(&at.known.files.root, &state.file).unwrap_or_default();
    if now == bytes {
        view.words.push("The file stands so now.".to_owned());
    } else {
        view.forms.push(Form {
            post: true,
            action: "/earlier/back",
            button: "Bring it back",
            inputs: vec![
                Input::new("hidden", "day", "", state.day.clone()),
                Input::new("hidden", "name", "", state.name.clone()),
                Input::new("hidden", "was", "", was),
            ],
        });
    }
    match (std::str::from_utf8(&bytes), std::str::from_utf8(&now)) {
        (Ok(then), Ok(now)) => {
            let mut table = Table::new(
                "Line by line; a colored one is not in the file now",
                &["#Line", "Text"],
            );
            let present: std::collections::HashSet<&str> = now.lines().collect();
            for (number, line) in (1..).zip(then.lines()).take(500) {
                let class = if present.contains(line) { "" } else { "marked" };
                let cut: String = line.chars().take(500).collect();
                table.classed(class, vec![figure(number), text(cut)]);
            }
            view.tables.push(table);
        }
        _ => view.words.push(format!("A file of {} bytes.", bytes.len())),
    }
    Ok(page(&view))
}

/// Brings a state back, if the file is still as it was seen.
pub fn back(at: &Place<'_>) -> Shown {
    let state = asked(at).ok_or_else(|| at.missing("there is no such state"))?;
    let bytes = bytes(at, &state).ok_or_else(|| at.missing("there is no such state"))?;
    let was = at.asked.text("was");
    match replace(at.desk.disk(), &at.known.files.root, &state.file, &bytes, &was) {
        Ok(()) => Ok(see("/", &format!("{} is as it was", state.file.display()))),
        Err(error) => {
            let words = error.to_string();
            Err(at.refuse(StatusCode::CONFLICT, "Nothing was changed", &words))
        }
    }
}
