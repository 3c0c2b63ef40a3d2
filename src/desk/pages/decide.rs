//! Deciding: each decision is an entry of the decisions file, through the same door as the terminal's.

use askama::Template;
use axum::http::StatusCode;
use spanyard::folder::{NotDecided, decide, keep_earlier, mark, take_back, try_out};
use spanyard::model::columns::Columns as _;
use spanyard::model::inputs::Inputs;
use spanyard::model::inventory::Inventory;
use spanyard::read::{Column, CrossingColumn, Need};

use super::{Place, Shown, capital, see};
use crate::desk::exchange::Answer;
use crate::desk::made::AGREED;
use crate::desk::view::{Choice, Fault, Frame, Input, Notice, faults, page};

/// What can be decided: the word of the file, the word on the page, and the fields. `columns` stands for
/// the columns of the crossings file, `pairs` for what was measured.
const KINDS: &[(&str, &str, &[&str])] = &[
    ("bought", "Bought", &["car", "lot", "price_usd", "count", "as"]),
    ("reserved", "Reserved", &["car", "lot", "until", "price_usd", "count", "as"]),
    ("sold", "Sold to others", &["car", "lot", "count", "as"]),
    ("quoted", "Quoted anew", &["car", "lot", "price_usd", "until"]),
    ("measured", "Measured", &["car", "pairs", "by", "document", "count", "as"]),
    ("refused", "Refused after inspection", &["car", "count", "as"]),
    ("answered", "Bad news answered", &["car", "count", "as"]),
    ("different", "Another car than the one of a like ID", &["car", "count", "as"]),
    ("fixed", "This car to this crossing", &["car", "crossing", "count", "as"]),
    ("held", "Kept for later", &["car", "count", "as"]),
    ("dropped", "Crossing dropped", &["crossing"]),
    ("changed", "Crossing changed", &["crossing", "columns"]),
    ("added", "Crossing added", &["new", "columns"]),
    ("built", "Bridge built", &["crossing", "cars"]),
];

/// Values that one decision can measure on this page.
const PAIRS: usize = 4;

#[derive(Template)]
#[template(path = "desk/decide.html")]
struct Decide {
    frame: Frame,
    kinds: Vec<Choice>,
    kind: String,
    title: String,
    about: &'static str,
    inputs: Vec<Input>,
    /// Whether the crossing is chosen before there is anything to fill in.
    choose_first: bool,
    again: bool,
    cars: Vec<Choice>,
    problems: Vec<Fault>,
    entry: Vec<String>,
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
    let choose_first = *kind == "changed" && at.asked.get("crossing").is_none();
    let fields_shown = if choose_first { vec!["crossing".to_owned()] } else { names(fields) };
    Ok(Decide {
        frame,
        kinds: KINDS.iter().map(|(kind, words, _)| Choice::new(*kind, *words, &asked)).collect(),
        kind: (*kind).to_owned(),
        title: (*title).to_owned(),
        about: about(kind),
        inputs: fields_shown.iter().map(|name| field(at, inputs, kind, name)).collect(),
        choose_first,
        again: at.desk.made().is_some() || at.known.files.at(AGREED.as_ref()).exists(),
        cars: inputs
            .cars
            .iter()
            .map(|car| Choice::new(&car.id, car.name(), ""))
            .take(if fields.contains(&"car") { 6_000 } else { 0 })
            .collect(),
        problems,
        entry: Vec::new(),
        decisions: decisions.collect(),
        was,
        file: name.map(|name| name.display().to_string()).unwrap_or_default(),
    })
}

/// What has to be known of a kind.
fn about(kind: &str) -> &'static str {
    match kind {
        "answered" => "The note says what was answered; without it the car stays barred.",
        "different" => "The note says how it is known that these are two cars.",
        "held" => "A car that is the agency's own already; it is not used in this plan.",
        "changed" => {
            "Fill in what is other than the crossings file says; what is left blank stays. The file itself \
             is not touched: its value stands in gray."
        }
        "added" => "The columns of the crossings file; those in bold are needed.",
        "built" => {
            "The crossing is done, what was paid stays paid, and its cars are in it for good. Without cars \
             it is those that were bound to it."
        }
        "dropped" => "It is not served any more, and its cars are free.",
        _ => "",
    }
}

/// The names of the fields, in the order of the form and of the entry.
fn names(fields: &[&str]) -> Vec<String> {
    let columns =
        || CrossingColumn::ALL.iter().map(|column| column.name).filter(|n| *n != "crossing");
    let mut names = Vec::new();
    for field in fields.iter().chain(&["dealer", "on", "note"]) {
        match *field {
            "columns" => names.extend(columns().map(str::to_owned)),
            "pairs" => names.extend((1..=PAIRS).flat_map(|n| {
                let n = if n == 1 { String::new() } else { n.to_string() };
                [format!("column{n}"), format!("value{n}")]
            })),
            "dealer" if fields.contains(&"columns") || fields.contains(&"cars") => {}
            "dealer" if fields == ["crossing"] => {}
            field => names.push(field.to_owned()),
        }
    }
    names
}

/// A field of the form, with what was written in it.
fn field(at: &Place<'_>, inputs: &Inputs, kind: &str, name: &str) -> Input {
    let value = at.asked.text(name);
    if let Some(column) = CrossingColumn::ALL.iter().find(|c| c.name == name && name != "crossing")
    {
        return column_field(at, kind, column, value);
    }
    match name.trim_end_matches(|c: char| c.is_ascii_digit()) {
        "column" => {
            let measurable = Inventory::EACH.iter().filter(|column| column.is_measurable());
            let options = measurable.map(|column| {
                let words = format!("{} ({})", column.fact().label, column.column().name);
                Choice::new(column.column().name, words, &value)
            });
            let first = name == "column";
            let none = (!first).then(|| Choice::new("", "nothing more", &value));
            let label = if first { "What was measured" } else { "and" };
            Input::choice(name, label, none.into_iter().chain(options).collect())
        }
        // What the file says of it stands in gray, so it is chosen before.
        "crossing" if kind == "changed" && !value.is_empty() => {
            Input::new("given", name, "Crossing", value)
        }
        "crossing" => {
            let options = inputs.crossings.iter().map(|crossing| {
                Choice::new(&crossing.id, format!("{} {}", crossing.id, crossing.road), &value)
            });
            Input::choice("crossing", "Crossing", options.collect())
        }
        "new" => Input::new("needed", name, "ID of the crossing", value),
        "cars" => Input::new("text", name, "IDs of its cars, with ; between", value),
        "car" => Input::new("car", name, "Car", value),
        "lot" => Input::new("text", name, "or lot", value),
        "price_usd" => Input::new("number", name, "Price of one, in dollars", value),
        "count" => Input::new("number", name, "How many, of a row of several", value),
        "as" => Input::new("text", name, "ID of those from now on", value),
        "until" => Input::new("date", name, "Until", value),
        "value" if name == "value" => Input::new("needed", name, "Value found", value),
        "value" => Input::new("text", name, "Value found", value),
        "by" => Input::new("text", name, "By whom", value),
        "document" => Input::new("text", name, "Document", value),
        "dealer" => Input::new("text", name, "Dealer, where two have the same ID", value),
        "on" => Input::new("date", name, "On the day", value),
        _ if ["answered", "different"].contains(&kind) => Input::new("needed", name, "Note", value),
        _ => Input::new("text", name, "Note", value),
    }
}

/// A column of a crossing, with what its file says in gray.
fn column_field(at: &Place<'_>, kind: &str, column: &Column, value: String) -> Input {
    let needed = kind == "added" && column.need == Need::Required;
    let label = column.about.split([';', ':', ',']).next().unwrap_or(column.about);
    let label = format!("{label} ({})", column.name);
    let hint = match (kind, at.asked.get("crossing")) {
        ("changed", Some(id)) => super::grid::cell(at, id, column.name).unwrap_or_default(),
        _ => String::new(),
    };
    Input { hint, ..Input::new(if needed { "needed" } else { "text" }, column.name, &label, value) }
}

/// Writes a decision, and plans again if that was asked for.
pub fn write(at: &Place<'_>) -> Shown {
    at.inputs()?;
    let kind = at.asked.text("kind");
    let Some((_, _, fields)) = KINDS.iter().find(|(known, ..)| *known == kind) else {
        return Err(at.missing("there is no such decision"));
    };
    let keys = keys(at, fields);
    let files = &at.known.files;
    if at.asked.get("look").is_some() {
        return Ok(match try_out(files, &kind, &keys) {
            Ok(decided) => {
                let words = format!("{}. Nothing is written yet; it would be:", decided.sentence);
                let lines = decided.entry.lines().map(str::to_owned).collect();
                with_entry(at, Notice::new("done", words), lines)
            }
            Err(error) => cannot_be(at, error),
        });
    }
    if let Some(file) = &files.decided_in
        && let Err(error) = keep_earlier(at.desk.disk(), &files.root, file)
    {
        return Ok(again(at, &error.to_string(), Vec::new()));
    }
    match decide(files, &kind, &keys, at.desk.disk()) {
        Ok(decided) => {
            if at.asked.get("again").is_some() {
                let wish = crate::desk::made::Wish { little_change: true, ..Default::default() };
                super::plan::search(at.desk, wish);
                return Ok(see("/plan", &decided.sentence));
            }
            Ok(see(&format!("/decide?kind={kind}"), &decided.sentence))
        }
        Err(error) => Ok(cannot_be(at, error)),
    }
}

/// The keys of the entry, in the order of the form.
fn keys(at: &Place<'_>, fields: &[&str]) -> Vec<(String, String)> {
    let mut keys: Vec<(String, String)> = Vec::new();
    for name in names(fields) {
        let Some(value) = at.asked.get(&name) else { continue };
        match name.as_str() {
            "dealer" => keys.insert(0, (name, value.to_owned())),
            "new" => keys.push(("crossing".to_owned(), value.to_owned())),
            _ if name.starts_with("column") => {
                let measured = at.asked.text(&name.replace("column", "value"));
                // What was chosen and not filled in was not measured.
                if !measured.is_empty() {
                    keys.push((value.to_owned(), measured));
                }
            }
            _ if name.starts_with("value") => {}
            _ => keys.push((name, value.to_owned())),
        }
    }
    keys
}

/// Why it cannot be decided.
fn cannot_be(at: &Place<'_>, error: NotDecided) -> Answer {
    match error {
        NotDecided::Refused(refusal, _) => {
            let words = "Nothing was written, for the decision cannot be obeyed";
            again(at, words, faults(&refusal.problems.0))
        }
        error => again(at, &error.to_string(), Vec::new()),
    }
}

/// The form again, with the entry that it would be.
fn with_entry(at: &Place<'_>, notice: Notice, entry: Vec<String>) -> Answer {
    match view(at, vec![notice], Vec::new()) {
        Ok(view) => page(&Decide { entry, ..view }),
        Err(wrong) => wrong,
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
    match take_back(&at.known.files, number, &was, at.desk.disk()) {
        Ok(sentence) => Ok(see("/decide", &format!("Taken back: {sentence}"))),
        Err(NotDecided::Refused(refusal, _)) => {
            let words = "Nothing was changed: later decisions rest on this one";
            Ok(again(at, words, faults(&refusal.problems.0)))
        }
        Err(error) => Ok(again(at, &error.to_string(), Vec::new())),
    }
}
