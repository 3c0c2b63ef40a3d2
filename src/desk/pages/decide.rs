//! Deciding: each decision is an entry of the decisions file, through the same door as the terminal's.

use askama::Template;
use axum::http::StatusCode;
use spanyard::folder::{NotDecided, decide, keep_earlier, mark, take_back};
use spanyard::model::columns::Columns as _;
use spanyard::model::inputs::Inputs;
use spanyard::model::inventory::Inventory;
use spanyard::save::RealDisk;

use super::{Place, Shown, capital, see};
use crate::desk::exchange::Answer;
use crate::desk::made::AGREED;
use crate::desk::view::{Choice, Fault, Frame, Input, Notice, faults, page};

/// What can be decided: the word of the file, the word on the page, and the fields.
const KINDS: &[(&str, &str, &[&str])] = &[
    ("bought", "Bought", &["car", "lot", "price_usd", "count"]),
    ("reserved", "Reserved", &["car", "lot", "until", "price_usd", "count"]),
    ("sold", "Sold to others", &["car", "lot", "count"]),
    ("quoted", "Quoted anew", &["car", "lot", "price_usd", "until"]),
    ("measured", "Measured", &["car", "column", "value", "by", "document", "count"]),
    ("refused", "Refused after inspection", &["car", "count"]),
    ("answered", "Bad news answered", &["car", "count"]),
    ("fixed", "This car to this crossing", &["car", "crossing", "count"]),
    ("dropped", "Crossing dropped", &["crossing"]),
];

#[derive(Template)]
#[template(path = "desk/decide.html")]
struct Decide {
    frame: Frame,
    kinds: Vec<Choice>,
    kind: String,
    title: String,
    inputs: Vec<Input>,
    again: bool,
    cars: Vec<Choice>,
    problems: Vec<Fault>,
    decisions: Vec<Taken>,
    was: String,
    file: String,
}

struct Taken {
    number: usize,
    sentence: String,
    place: String,
    href: String,
}

/// The form of a kind, and what was decided so far.
pub fn show(at: &Place<'_>) -> Shown {
    Ok(page(&view(at, Vec::new(), Vec::new())?))
}

fn view(at: &Place<'_>, notices: Vec<Notice>, problems: Vec<Fault>) -> Result<Decide, Answer> {
    let inputs = at.inputs()?;
    let asked = at.asked.text("kind");
    let (kind, title, fields) = KINDS.iter().find(|(kind, ..)| *kind == asked).unwrap_or(&KINDS[0]);
    let mut frame = at.frame("Decide", "Decide");
    frame.notices.extend(notices);
    let name = at.known.files.decided_in.clone();
    let was = match &name {
        Some(name) => mark(&at.known.files.root, name).unwrap_or_default(),
        None => {
            let words = "spanyard.toml names no file of decisions: write decisions = \"decisions.toml\" there";
            frame.notices.push(Notice::new("alert", words));
            String::new()
        }
    };
    let decisions = inputs.decided.list.iter().enumerate();
    let decisions = decisions.map(|(number, decision)| Taken {
        number,
        sentence: decision.sentence(),
        place: decision.place.to_string(),
        href: super::files::href_of(&decision.place.to_string()),
    });
    Ok(Decide {
        frame,
        kinds: KINDS.iter().map(|(kind, words, _)| Choice::new(*kind, *words, &asked)).collect(),
        kind: (*kind).to_owned(),
        title: (*title).to_owned(),
        inputs: fields
            .iter()
            .chain(&["dealer", "on", "note"])
            .map(|name| field(at, inputs, name))
            .collect(),
        again: at.desk.made().is_some() || at.known.files.at(AGREED.as_ref()).exists(),
        cars: inputs
            .cars
            .iter()
            .map(|car| Choice::new(&car.id, car.name(), ""))
            .take(if fields.contains(&"car") { 6_000 } else { 0 })
            .collect(),
        problems,
        decisions: decisions.collect(),
        was,
        file: name.map(|name| name.display().to_string()).unwrap_or_default(),
    })
}

/// A field of the form, with what was written in it.
fn field(at: &Place<'_>, inputs: &Inputs, name: &str) -> Input {
    let value = at.asked.text(name);
    match name {
        "column" => {
            let measurable = Inventory::EACH.iter().filter(|column| column.is_measurable());
            let options = measurable.map(|column| {
                let words = format!("{} ({})", column.fact().label, column.column().name);
                Choice::new(column.column().name, words, &value)
            });
            Input::choice("column", "What was measured", options.collect())
        }
        "crossing" => {
            let options = inputs.crossings.iter().map(|crossing| {
                Choice::new(&crossing.id, format!("{} {}", crossing.id, crossing.road), &value)
            });
            Input::choice("crossing", "Crossing", options.collect())
        }
        "car" => Input::new("car", name, "Car", value),
        "lot" => Input::new("text", name, "or lot", value),
        "price_usd" => Input::new("number", name, "Price of one, in dollars", value),
        "count" => Input::new("number", name, "How many, of a row of several", value),
        "until" => Input::new("date", name, "Until", value),
        "value" => Input::new("needed", name, "Value found", value),
        "by" => Input::new("text", name, "By whom", value),
        "document" => Input::new("text", name, "Document", value),
        "dealer" => Input::new("text", name, "Dealer, where two have the same ID", value),
        "on" => Input::new("date", name, "On the day", value),
        _ => Input::new("text", name, "Note", value),
    }
}

/// Writes a decision, and plans again if that was asked for.
pub fn write(at: &Place<'_>) -> Shown {
    at.inputs()?;
    let kind = at.asked.text("kind");
    let Some((_, _, fields)) = KINDS.iter().find(|(known, ..)| *known == kind) else {
        return Err(at.missing("there is no such decision"));
    };
    let mut keys: Vec<(String, String)> = Vec::new();
    for name in fields.iter().copied().chain(["dealer", "on", "note"]) {
        let Some(value) = at.asked.get(name) else { continue };
        match name {
            "column" => {
                let measured = at.asked.text("value");
                keys.push((value.to_owned(), measured));
            }
            "value" => {}
            "dealer" => keys.insert(0, (name.to_owned(), value.to_owned())),
            _ => keys.push((name.to_owned(), value.to_owned())),
        }
    }
    let files = &at.known.files;
    if let Some(file) = &files.decided_in
        && let Err(error) = keep_earlier(&RealDisk, &files.root, file)
    {
        return Ok(again(at, &error.to_string(), Vec::new()));
    }
    match decide(files, &kind, &keys, &RealDisk) {
        Ok(decided) => {
            if at.asked.get("again").is_some() {
                let wish = crate::desk::made::Wish { little_change: true, ..Default::default() };
                super::plan::search(at.desk, wish);
                return Ok(see("/plan", &decided.sentence));
            }
            Ok(see(&format!("/decide?kind={kind}"), &decided.sentence))
        }
        Err(NotDecided::Refused(refusal, _)) => {
            let words = "Nothing was written, for the decision cannot be obeyed";
            Ok(again(at, words, faults(&refusal.problems.0)))
        }
        Err(error) => Ok(again(at, &error.to_string(), Vec::new())),
    }
}

/// The form again, with what was written in it and what is wrong with that.
fn again(at: &Place<'_>, words: &str, problems: Vec<Fault>) -> Answer {
    let notice = Notice::new("alert", capital(words));
    match view(at, vec![notice], problems) {
        Ok(view) => match page(&view) {
            Answer::Page(page) => Answer::Refused(StatusCode::UNPROCESSABLE_ENTITY, page),
            other => other,
        },
        Err(wrong) => wrong,
    }
}

/// Takes a decision back.
pub fn undo(at: &Place<'_>) -> Shown {
    let number =
        at.asked.number("number").ok_or_else(|| at.missing("there is no such decision"))?;
    let was = at.asked.text("was");
    match take_back(&at.known.files, number, &was, &RealDisk) {
        Ok(sentence) => Ok(see("/decide", &format!("Taken back: {sentence}"))),
        Err(NotDecided::Refused(refusal, _)) => {
            let words = "Nothing was changed: later decisions rest on this one";
            Ok(again(at, words, faults(&refusal.problems.0)))
        }
        Err(error) => Ok(again(at, &error.to_string(), Vec::new())),
    }
}
