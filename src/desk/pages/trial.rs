//! What if: trials beside each other, made without touching the files. One can be kept as a plan of its
//! own, or thrown away.

use std::path::{Path, PathBuf};
use std::sync::Arc;

use askama::Template;
use axum::http::StatusCode;
use spanyard::after::compare::Scenario;
use spanyard::after::discount::discounted;
use spanyard::folder::{Files, files_in, mark, open_in, open_text, replace};
use spanyard::quantity::{Cents, Percent};
use spanyard::read::{Column, Columns as _, CrossingColumn, Part};
use spanyard::report::facts::compare::lines;
use spanyard::report::json;
use spanyard::report::page::Drawn;
use spanyard::save::make_folder;

use super::plan::dollars;
use super::table::{Grid, form_of, load};
use super::{Place, Shown, budgets, capital, see};
use crate::desk::exchange::Answer;
use crate::desk::known::Known;
use crate::desk::made::{self, Wish};
use crate::desk::state::Trial;
use crate::desk::view::{Choice, Frame, Table, figure, head, page};

/// Where trials are kept, in the folder.
const KEPT: &str = "scenarios";

#[derive(Template)]
#[template(path = "desk/trial.html")]
struct TrialPage {
    frame: Frame,
    dealers: Vec<Choice>,
    crossings: Vec<Choice>,
    columns: Vec<Choice>,
    asked_budget: String,
    budget: String,
    most: String,
    step: String,
    editable: bool,
    steps: Vec<Choice>,
    curve: Vec<Drawn>,
    points: Table,
    beside: Table,
    cells: Vec<[String; 3]>,
    trials: Vec<Row>,
}

struct Row {
    number: usize,
    words: String,
    kept: bool,
    /// The file that it can be brought into; empty for none.
    into: String,
}

/// Cells of crossings that one trial can change.
const EDITS: usize = 3;

/// The names of the fields of such a cell.
fn names(number: usize) -> [String; 3] {
    let n = if number == 1 { String::new() } else { number.to_string() };
    ["crossing", "column", "value"].map(|name| format!("{name}{n}"))
}

/// The forms, the curve and the trials so far.
pub fn show(at: &Place<'_>) -> Shown {
    let inputs = at.inputs()?;
    let frame = at.frame("What if", "What if");
    let dealers: std::collections::BTreeSet<&str> =
        inputs.cars.iter().map(|car| car.dealer.as_str()).collect();
    let outlay = at.desk.made().map_or(Cents::ZERO, |made| made.plan.totals.outlay);
    let most = (outlay.as_dollars() * 1.2 / 1_000.0).ceil().max(100.0) * 1_000.0;
    let told = at.desk.told("budgets").filter(|told| told.stamp == at.known.stamp);
    let kept = kept(at);
    let trials = at.desk.trials();
    let mut scenarios: Vec<Scenario> = Vec::new();
    if let Some(made) = at.desk.made()
        && let Some(Ok(text)) = made.report(json::plan)
    {
        scenarios.extend(Scenario::parse("the plan", &text));
    }
    for trial in trials.iter() {
        scenarios.extend(Scenario::parse(&trial.name, &trial.json));
    }
    for (name, text) in &kept {
        scenarios.extend(Scenario::parse(name, text));
    }
    let memory = trials.iter().enumerate();
    let file = at.known.files.crossings.as_ref().map(|file| file.display().to_string());
    let memory = memory.map(|(number, trial)| Row {
        number,
        words: trial.name.clone(),
        kept: false,
        into: file.clone().filter(|_| !trial.edits.is_empty()).unwrap_or_default(),
    });
    let files = kept.iter().enumerate();
    let files = files.map(|(number, (name, _))| Row {
        number,
        words: name.clone(),
        kept: true,
        into: String::new(),
    });
    let chosen = at.asked.text("crossing");
    Ok(page(&TrialPage {
        frame,
        dealers: dealers.into_iter().map(|dealer| Choice::new(dealer, dealer, "")).collect(),
        crossings: inputs
            .crossings
            .iter()
            .map(|c| Choice::new(&c.id, format!("{} {}", c.id, c.road), &chosen))
            .collect(),
        columns: columns(),
        cells: (1..=EDITS).map(names).collect(),
        asked_budget: at.asked.text("budget"),
        budget: format!("{:.0}", (outlay.as_dollars() / 1_000.0).floor() * 1_000.0),
        most: format!("{most:.0}"),
        step: "1000".to_owned(),
        editable: at.known.files.crossings.is_some(),
        steps: told.as_ref().map(|told| budgets::steps(&told.tables)).unwrap_or_default(),
        curve: told.as_ref().map(|told| told.figures.clone()).unwrap_or_default(),
        points: told.and_then(|told| told.tables.first().cloned()).unwrap_or_default(),
        beside: beside(&scenarios),
        trials: memory.chain(files).collect(),
    }))
}

/// The columns of a crossing that can be tried with.
fn columns() -> Vec<Choice> {
    let columns = CrossingColumn::ALL.iter().filter(|column| column.name != "crossing");
    let words = |column: &Column| {
        let about = column.about.split([';', ':', ',']).next().unwrap_or_default();
        format!("{about} ({})", column.name)
    };
    let columns = columns.map(|column| Choice::new(column.name, words(column), ""));
    std::iter::once(Choice::new("", "choose", "")).chain(columns).collect()
}

/// The trials kept in the folder, by name, with their text.
fn kept(at: &Place<'_>) -> Vec<(String, String)> {
    let folder = at.known.files.at(Path::new(KEPT));
    let files = files_in(&folder)
        .into_iter()
        .filter(|name| name.extension().is_some_and(|end| end == "json"));
    let texts = files.filter_map(|name| {
        let text = open_text(&folder.join(&name)).ok()?;
        Some((name.file_stem()?.to_string_lossy().into_owned(), text))
    });
    texts.collect()
}

fn beside(scenarios: &[Scenario]) -> Table {
    let mut table = Table::new("Beside each other", &["What"]);
    if scenarios.len() < 2 {
        return table;
    }
    table.head.extend(
        scenarios
            .iter()
            .map(|scenario| crate::desk::view::Head { words: scenario.name.clone(), number: true }),
    );
    for line in lines(scenarios) {
        let cells = line.cells.into_iter().map(figure);
        table.row(std::iter::once(head(capital(line.label.trim()))).chain(cells).collect());
    }
    table
}

/// Begins a trial.
pub fn begin(at: &Place<'_>) -> Shown {
    at.inputs()?;
    let no = |words: &str| at.refuse(StatusCode::UNPROCESSABLE_ENTITY, "Not understood", words);
    let mut said: Vec<String> = Vec::new();
    let mut files = at.known.files.clone();
    let mut wish = Wish::default();
    if let Some(words) = at.asked.get("budget") {
        let budget =
            dollars(words).ok_or_else(|| no(&format!("\u{201c}{words}\u{201d} is no budget")))?;
        said.push(format!("budget {budget:.0}"));
        wish.budget = Some(budget);
    }
    if let Some(dealer) = at.asked.get("dealer") {
        said.push(format!("only {dealer}"));
        files.part = Part { only_dealers: vec![dealer.to_owned()], ..Part::default() };
    }
    let mut edits: Vec<(String, String, String)> = Vec::new();
    let beside_files = !said.is_empty() || at.asked.get("discount").is_some();
    for [id, column, value] in (1..=EDITS).map(names) {
        if let (Some(id), Some(column), Some(value)) =
            (at.asked.get(&id), at.asked.get(&column), at.asked.get(&value))
        {
            edits.push((id.to_owned(), column.to_owned(), value.to_owned()));
            said.push(format!("{id} {column} {value}"));
        }
    }
    if !edits.is_empty() {
        files.instead.push(edited(&files, &edits).map_err(|words| no(&words))?);
    }
    let discount = match at.asked.get("discount") {
        None => None,
        Some(words) => {
            let share = words.parse::<f64>().ok().filter(|share| (0.0..=100.0).contains(share));
            Some(share.ok_or_else(|| no("a discount is a number of 0 to 100 per cent"))?)
        }
    };
    let from = at.asked.text("from");
    if let Some(share) = discount {
        let whose = if from.is_empty() { String::new() } else { format!(" of {from}") };
        said.push(format!("{share} % off{whose}"));
    }
    if said.is_empty() {
        return Err(no("say what is to be different"));
    }
    let name = said.join(", ");
    wish.what_if.clone_from(&name);
    let known = Arc::clone(at.known);
    let stamp = known.stamp.clone();
    let title = format!("What if: {name}");
    at.desk.begin(&title, "/what-if", move |desk, job| {
        let mut trial = Known::of(files, known.stamp.clone());
        if let (Some(share), Ok(reading)) = (discount, &mut trial.reading) {
            let from = (!from.is_empty()).then_some(from.as_str());
            discounted(&mut reading.inputs, Percent(share), from);
        }
        if let Err(refusal) = &trial.reading {
            let first = refusal.problems.iter().next().map(ToString::to_string);
            return Err(first.unwrap_or_else(|| refusal.not_named.clone()));
        }
        let made = made::plan(&Arc::new(trial), &wish, job)?;
        let text = made.report(json::plan).and_then(Result::ok);
        let json = text.ok_or("the plan cannot be written")?;
        desk.try_out(Trial { name, json, edits, beside_files, stamp });
        Ok(())
    });
    Ok(Answer::See("/plan".to_owned()))
}

/// The crossings file with cells as asked; the reader judges them like any others.
fn edited(files: &Files, edits: &[(String, String, String)]) -> Result<(PathBuf, Vec<u8>), String> {
    let (file, mut grid) = load(files)?;
    set(&mut grid, edits)?;
    // As text, whatever the file is: it is read in the place of the file, and not written.
    let text = grid.write().ok_or("the crossings file cannot be written")?;
    Ok((file, text.into_bytes()))
}

fn set(grid: &mut Grid, edits: &[(String, String, String)]) -> Result<(), String> {
    for (id, column, value) in edits {
        grid.set(id, column, value).ok_or(format!("the crossings file has no crossing {id}"))?;
    }
    Ok(())
}

/// Brings what a trial has otherwise than the crossings file into that file; what stood there is kept.
pub fn bring(at: &Place<'_>) -> Shown {
    let number = at.asked.number("number").ok_or_else(|| at.missing("there is no such trial"))?;
    let failed = |words: &str| at.refuse(StatusCode::CONFLICT, "Nothing was changed", words);
    let trial = at.desk.trial(number).ok_or_else(|| at.missing("there is no such trial"))?;
    if trial.stamp != at.known.stamp {
        return Err(failed("files have changed since the trial was made: try it again first"));
    }
    let root = &at.known.files.root;
    let (file, mut grid) = load(&at.known.files).map_err(|words| failed(&words))?;
    let was = mark(root, &file).map_err(|error| failed(&error.to_string()))?;
    set(&mut grid, &trial.edits).map_err(|words| failed(&words))?;
    let source = open_in(root, &file).map_err(|problem| failed(&problem.to_string()))?;
    let bytes = grid.bytes_for(form_of(&file), &source).map_err(|error| {
        failed(&format!(
            "{} stays as it is: {error}; change it on the page Crossings",
            file.display()
        ))
    })?;
    replace(at.desk.disk(), root, &file, &bytes, &was)
        .map_err(|error| failed(&error.to_string()))?;
    at.desk.take_trial(number);
    let cells = trial.edits.iter().map(|(id, column, value)| format!("{id} {column} {value}"));
    let mut words = format!(
        "In {} now: {}. What stood there is kept under Earlier states",
        file.display(),
        cells.collect::<Vec<_>>().join(", ")
    );
    if trial.beside_files {
        words.push_str(
            ". A budget, a choice of dealers and a discount stand in no file: they are not kept",
        );
    }
    Ok(see("/what-if", &words))
}

/// Keeps a trial in the folder, or throws one away.
pub fn settle(at: &Place<'_>, keep: bool) -> Shown {
    let number = at.asked.number("number").ok_or_else(|| at.missing("there is no such trial"))?;
    let root = &at.known.files.root;
    let failed = |words: &str| at.refuse(StatusCode::CONFLICT, "Nothing was changed", words);
    if at.asked.get("kept").is_some() {
        let (name, _) =
            kept(at).into_iter().nth(number).ok_or_else(|| at.missing("there is no such trial"))?;
        let file = Path::new(KEPT).join(format!("{name}.json"));
        spanyard::folder::remove(at.desk.disk(), root, &file)
            .map_err(|error| failed(&error.to_string()))?;
        return Ok(see("/what-if", &format!("{} is gone", file.display())));
    }
    if !keep {
        at.desk.take_trial(number).ok_or_else(|| at.missing("there is no such trial"))?;
        return Ok(see("/what-if", "Thrown away"));
    }
    let trial = at.desk.trial(number).ok_or_else(|| at.missing("there is no such trial"))?;
    let plain = |c: char| if c.is_alphanumeric() || "-_. ".contains(c) { c } else { '-' };
    let name: String = trial.name.chars().map(plain).take(80).collect();
    let file = Path::new(KEPT).join(format!("{}.json", name.trim()));
    make_folder(at.desk.disk(), &root.join(KEPT)).map_err(|error| failed(&error.to_string()))?;
    let was = mark(root, &file).map_err(|error| failed(&error.to_string()))?;
    replace(at.desk.disk(), root, &file, trial.json.as_bytes(), &was)
        .map_err(|error| failed(&error.to_string()))?;
    // It leaves the memory once it stands in the folder, and not before.
    at.desk.take_trial(number);
    Ok(see("/what-if", &format!("Kept in {}", file.display())))
}
