//! The questions to the dealers and to the agency itself: the fewest that open the most crossings, as the
//! library finds them, and the letters that ask them.

use std::path::PathBuf;

use axum::http::StatusCode;
use itertools::Itertools;
use spanyard::after::ask::{Asked, ask};
use spanyard::choose::{Effort, Progress};
use spanyard::folder::{Written, files_in};
use spanyard::model::inputs::Inputs;
use spanyard::model::plan::Plan;
use spanyard::report::facts::PlanReport;
use spanyard::report::facts::ask::{CONDITIONAL, by_yard, closed, proof, route_row, row, title};
use spanyard::report::facts::matching::Matching;
use spanyard::report::sheets::{SheetFile, conditional, letters};
use spanyard::report::terminal;
use spanyard::save::make_folder;
use spanyard::survey::Survey;

use super::cars::car_href;
use super::papers::folder;
use super::{Place, Shown, capital, see};
use crate::desk::exchange::{Answer, encoded};
use crate::desk::job::Job;
use crate::desk::made::{self, Made, Wish};
use crate::desk::told::Told;
use crate::desk::view::{Form, Table, figure, head, text};

/// Columns of the conditional plan's text.
const WIDTH: usize = 100;

/// Begins to look for the questions. A plan that is not made yet, or of other files, is made first: what
/// it serves needs no question.
pub fn begin(at: &Place<'_>) -> Shown {
    at.inputs()?;
    at.desk.begin("Looking for the fewest questions", "/ask", move |desk, job| {
        let known = desk.known().map_err(|_| "the files have problems".to_owned())?;
        let fresh = |made: &std::sync::Arc<Made>| {
            made.known.stamp == known.stamp && made.what_if.is_empty() && made.plan.budget.is_none()
        };
        if desk.made().filter(fresh).is_none() {
            desk.keep(made::plan(&known, &Wish::default(), job)?);
        }
        let made = desk.made().ok_or("there is no plan")?;
        desk.tell("questions", told(&made, job)?);
        Ok(())
    });
    Ok(Answer::See("/plan".to_owned()))
}

fn told(made: &Made, job: &Job) -> Result<Told, String> {
    let reading = made.known.reading.as_ref().map_err(|_| "the files have problems".to_owned())?;
    let (inputs, plan) = (&reading.inputs, &made.plan);
    let watch = |progress: &Progress| job.follow(progress);
    let effort =
        Effort { interrupt: Some(job.interrupt()), watch: Some(&watch), ..Effort::default() };
    let asked = ask(inputs, &effort);
    let mut told = Told::new(&made.known);
    told.words.push(capital(&title(inputs, plan, &asked)));
    told.words.extend(opened(inputs, plan, &asked));
    told.words.push(proof(inputs, &asked));
    if asked.questions.is_empty() && asked.routes.is_empty() {
        told.tables.extend(not_opened(inputs, &asked));
        return Ok(told);
    }
    told.words.push(CONDITIONAL.to_owned());
    told.tables = tables(inputs, &asked);
    told.tables.extend(not_opened(inputs, &asked));
    told.letters = letters(inputs, &asked).map_err(|error| error.to_string())?;
    if let Some(plan) = &asked.plan {
        let survey = Survey::new(&asked.inputs);
        let matching = Matching::new(&asked.inputs, &survey);
        let report =
            PlanReport { inputs: &asked.inputs, plan, matching: &matching, files: &reading.files };
        told.letters.push(conditional(&terminal::plan(&report, WIDTH)));
    }
    Ok(told)
}

/// Which crossings the questions would open that are not served now.
fn opened(inputs: &Inputs, plan: &Plan, asked: &Asked) -> Option<String> {
    let now = |at| plan.crossings.iter().any(|c| c.crossing == at && c.served().is_some());
    let opened = asked.served.iter().filter(|at| !now(**at));
    let opened = opened.map(|at| inputs.crossing(*at).id.as_str()).join(", ");
    (!opened.is_empty()).then(|| format!("They would open {opened}."))
}

/// The questions of each yard, and those to the agency itself.
fn tables(inputs: &Inputs, asked: &Asked) -> Vec<Table> {
    let mut tables = Vec::new();
    for (yard, questions) in by_yard(asked, inputs) {
        let yard = inputs.yard(yard);
        let heads = ["Car", "To find out", "#Must be", "Opens", "How"];
        let mut table = Table::new(format!("To ask {}, yard {}", yard.dealer, yard.name), &heads);
        for question in &questions {
            let car = inputs.car(question.car);
            let [id, fact, value, opens, how] = row(inputs, question);
            let first = question.opens.first().map(|at| inputs.crossing(*at).id.as_str());
            let href = car_href(&car.dealer, &car.id, first.unwrap_or_default());
            table.row(vec![
                head(id).to(href),
                text(capital(&fact)),
                figure(value),
                text(opens),
                text(how),
            ]);
        }
        tables.push(table);
    }
    if !asked.routes.is_empty() {
        let heads = ["Crossing", "To find out", "#Must be"];
        let mut table = Table::new("To find out yourselves", &heads);
        for route in &asked.routes {
            let [id, what, value] = route_row(inputs, route);
            let place = &inputs.crossing(route.crossing).place;
            let href = format!("/source?file={}&line={}", encoded(&place.file), place.line);
            table.row(vec![head(id).to(href), text(capital(&what)), figure(value)]);
        }
        tables.push(table);
    }
    tables
}

/// The crossings that no question opens, and why; none where there is none.
fn not_opened(inputs: &Inputs, asked: &Asked) -> Option<Table> {
    let mut table = Table::new("Not opened by any question", &["Crossing", "Why"]);
    for (crossing, why) in closed(inputs, asked) {
        let href = format!("/cars?crossing={}", encoded(&crossing));
        table.row(vec![head(crossing).to(href), text(capital(&why))]);
    }
    (!table.rows.is_empty()).then_some(table)
}

/// The button under the questions, and the letters that stand in the folder of papers.
pub fn papers_of(at: &Place<'_>, told: &Told) -> (Option<Form>, Table) {
    let mut table = Table::new("Letters and tables in the folder of papers", &["File", "Download"]);
    if told.letters.is_empty() {
        return (None, table);
    }
    let standing = files_in(&at.known.files.at(&folder(at)));
    let ours = |name: &PathBuf| told.letters.iter().any(|letter| name.as_os_str() == &*letter.name);
    for name in standing.iter().filter(|name| ours(name)) {
        let name = name.display().to_string();
        let href = format!("/papers/file?name={}", encoded(&name));
        table.row(vec![
            head(name.clone()).to(href.clone()),
            text("download").to(format!("{href}&keep=yes")),
        ]);
    }
    let button = "Write the letters and the tables to fill in";
    (Some(Form { post: true, action: "/ask/letters", button, inputs: Vec::new() }), table)
}

/// Writes the letters into the folder of papers.
pub fn write(at: &Place<'_>) -> Shown {
    let told = at.desk.told("questions").filter(|told| told.stamp == at.known.stamp);
    let told = told.ok_or_else(|| {
        let words = "the files have changed since: look for the questions again";
        at.refuse(StatusCode::CONFLICT, "Nothing was written", words)
    })?;
    let folder = folder(at);
    let root = at.known.files.at(&folder);
    let failed = |words: &str| {
        at.refuse(StatusCode::INTERNAL_SERVER_ERROR, "Not all letters were written", words)
    };
    make_folder(at.desk.disk(), &root).map_err(|error| failed(&error.to_string()))?;
    let mut written = Written::default();
    for SheetFile { name, content } in &told.letters {
        written.file(&root.join(name), Ok::<_, std::io::Error>(content), at.desk.disk());
    }
    if written.failed {
        let wrong = written.said.lines().filter(|line| line.starts_with("error: "));
        return Err(failed(&wrong.collect::<Vec<_>>().join("; ")));
    }
    let n = told.letters.len();
    Ok(see("/ask", &format!("{n} files written to {}", folder.display())))
}
