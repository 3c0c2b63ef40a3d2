//! What if: trials beside each other, made without touching the files. One can be kept as a plan of its
//! own, or thrown away.

use std::path::{Path, PathBuf};
use std::sync::Arc;
use std::time::Duration;

use askama::Template;
use axum::http::StatusCode;
use spanyard::after::compare::Scenario;
use spanyard::after::discount::discounted;
use spanyard::assemble::{PlanOptions, make_plan};
use spanyard::choose::{Effort, Progress};
use spanyard::folder::{Files, files_in, mark, open_text, replace};
use spanyard::quantity::{Cents, Percent};
use spanyard::read::Part;
use spanyard::report::drawing::budget_chart;
use spanyard::report::facts::compare::lines;
use spanyard::report::facts::sweep::Point;
use spanyard::report::json;
use spanyard::report::page::Drawn;
use spanyard::save::make_folder;

use super::plan::dollars;
use super::table::load;
use super::{Place, Shown, capital, see};
use crate::desk::exchange::Answer;
use crate::desk::job::Job;
use crate::desk::known::Known;
use crate::desk::made::{self, Wish};
use crate::desk::told::Told;
use crate::desk::view::{Choice, Frame, Table, figure, head, page, text};

/// Where trials are kept, in the folder.
const KEPT: &str = "scenarios";

#[derive(Template)]
#[template(path = "desk/trial.html")]
struct TrialPage {
    frame: Frame,
    dealers: Vec<Choice>,
    crossings: Vec<Choice>,
    columns: Vec<Choice>,
    budget: String,
    most: String,
    step: String,
    editable: bool,
    curve: Vec<Drawn>,
    points: Table,
    beside: Table,
    trials: Vec<Trial>,
}

struct Trial {
    number: usize,
    words: String,
    kept: bool,
}

/// The forms, the curve and the trials so far.
pub fn show(at: &Place<'_>) -> Shown {
    let inputs = at.inputs()?;
    let frame = at.frame("What if", "What if");
    let dealers: std::collections::BTreeSet<&str> =
        inputs.cars.iter().map(|car| car.dealer.as_str()).collect();
    let columns = [
        "span_ft",
        "clear_width_ft",
        "vehicles",
        "least_posting_tons",
        "deck",
        "most_abreast",
        "priority",
    ];
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
    let memory =
        memory.map(|(number, trial)| Trial { number, words: trial.name.clone(), kept: false });
    let files = kept.iter().enumerate();
    let files = files.map(|(number, (name, _))| Trial { number, words: name.clone(), kept: true });
    let chosen = at.asked.text("crossing");
    Ok(page(&TrialPage {
        frame,
        dealers: dealers.into_iter().map(|dealer| Choice::new(dealer, dealer, "")).collect(),
        crossings: inputs
            .crossings
            .iter()
            .map(|c| Choice::new(&c.id, format!("{} {}", c.id, c.road), &chosen))
            .collect(),
        columns: columns.map(|column| Choice::new(column, column, "")).into(),
        budget: format!("{:.0}", (outlay.as_dollars() / 1_000.0).floor() * 1_000.0),
        most: format!("{most:.0}"),
        step: "1000".to_owned(),
        editable: at.known.files.crossings.is_some(),
        curve: told.as_ref().map(|told| told.figures.clone()).unwrap_or_default(),
        points: told.and_then(|told| told.tables.first().cloned()).unwrap_or_default(),
        beside: beside(&scenarios),
        trials: memory.chain(files).collect(),
    }))
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
    if let (Some(id), Some(column), Some(value)) =
        (at.asked.get("crossing"), at.asked.get("column"), at.asked.get("value"))
    {
        let edited = edited(&files, id, column, value).map_err(|words| no(&words))?;
        files.instead.push(edited);
        said.push(format!("{id} {column} {value}"));
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
        desk.try_out(&name, text.ok_or("the plan cannot be written")?);
        Ok(())
    });
    Ok(Answer::See("/plan".to_owned()))
}

/// The crossings file with one cell of one crossing as asked; the reader judges it like any other.
fn edited(
    files: &Files,
    id: &str,
    column: &str,
    value: &str,
) -> Result<(PathBuf, Vec<u8>), String> {
    let (file, mut grid) = load(files)?;
    grid.set(id, column, value).ok_or("the crossings file has no such crossing")?;
    // As text, whatever the file is: it is read in the place of the file, and not written.
    let text = grid.write().ok_or("the crossings file cannot be written")?;
    Ok((file, text.into_bytes()))
}

/// Begins the curve: what each budget of a range buys.
pub fn curve(at: &Place<'_>) -> Shown {
    at.inputs()?;
    let no = |words: &str| at.refuse(StatusCode::UNPROCESSABLE_ENTITY, "Not understood", words);
    let money = |name: &str| at.asked.get(name).and_then(dollars);
    let (Some(from), Some(to)) = (money("from"), money("to")) else {
        return Err(no("write the least and the greatest budget in dollars"));
    };
    let steps = at.asked.number("steps").unwrap_or(9).clamp(2, 40) as i64;
    if from >= to {
        return Err(no("the least budget is to be less than the greatest"));
    }
    let known = Arc::clone(at.known);
    at.desk.begin("What each budget buys", "/what-if", move |desk, job| {
        let told = sweep(&known, from, to, steps, job)?;
        desk.tell("budgets", told);
        Ok(())
    });
    Ok(Answer::See("/plan".to_owned()))
}

/// One verified plan for each budget, each with a tenth of a minute at most.
fn sweep(known: &Known, from: Cents, to: Cents, steps: i64, job: &Job) -> Result<Told, String> {
    const EACH: Duration = Duration::from_secs(6);
    let gone = || "the files have problems".to_owned();
    let (inputs, survey) = (known.inputs().ok_or_else(gone)?, known.survey().ok_or_else(gone)?);
    let mut points = Vec::new();
    for step in 0..=steps {
        if job.is_stopped() {
            break;
        }
        let budget = Cents(from.0 + (to.0 - from.0) * step / steps).max(inputs.decided.paid);
        job.say(&format!("budget {budget:.0}, {} of {}", step + 1, steps + 1));
        let watch = |_: &Progress| job.goes_on();
        let effort = Effort { time_limit: Some(EACH), watch: Some(&watch), ..Effort::default() };
        let options = PlanOptions { budget: Some(budget), effort };
        let plan = make_plan(inputs, survey, &options).map_err(|error| error.to_string())?;
        points.push(Point::of(inputs, budget, &plan));
    }
    let mut told = Told::new(known);
    let heads = ["#Budget", "#Crossings served", "#To pay", "#Net", "Proven", "Not served"];
    let mut table = Table::new("What each budget buys", &heads);
    for point in &points {
        table.row(vec![
            figure(point.budget),
            figure(format!("{} of {}", point.served(), point.crossings())),
            figure(point.outlay),
            figure(point.net),
            text(if point.proven { "yes" } else { "no" }),
            text(point.unserved.join(", ")),
        ]);
    }
    if points.len() > 1 {
        let svg = budget_chart::draw(&points, "what-money-buys");
        told.figures.push(Drawn { caption: "What each budget buys".to_owned(), svg });
    }
    told.tables.push(table);
    Ok(told)
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
