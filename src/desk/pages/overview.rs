//! What is there, what is wrong, and what comes next.

use askama::Template;
use spanyard::read::Reading;
use spanyard::report::facts::headline;
use spanyard::report::facts::holdings::{
    UnknownCells, counts, unknown_of_cars, unknown_of_crossings,
};

use super::start::steps;
use super::{Place, Shown};
use crate::desk::view::{Fault, Frame, Table, faults, figure, head, page, text};

#[derive(Template)]
#[template(path = "desk/overview.html")]
struct Overview {
    frame: Frame,
    title: String,
    figures: Vec<(&'static str, String)>,
    next: String,
    next_href: &'static str,
    next_link: &'static str,
    files: Table,
    problems: Vec<Fault>,
    warnings: Vec<Fault>,
    unknown: Table,
    steps: Vec<String>,
}

/// The page.
pub fn show(at: &Place<'_>) -> Shown {
    let mut view = Overview {
        frame: at.frame("Overview", "Overview"),
        title: "What is in the folder".to_owned(),
        figures: Vec::new(),
        next: String::new(),
        next_href: "",
        next_link: "",
        files: Table::new("Files", &["File", "What", "#Rows", "Rows not taken"]),
        problems: Vec::new(),
        warnings: Vec::new(),
        unknown: Table::default(),
        steps: Vec::new(),
    };
    match &at.known.reading {
        Ok(reading) => fill(at, reading, &mut view),
        Err(refusal) => {
            view.problems = faults(&refusal.problems.0);
            view.warnings = faults(&refusal.warnings);
            view.next = match refusal.problems.len() {
                0 => lacks(at),
                1 => "One problem is in the way of a plan.".to_owned(),
                n => format!("{n} problems are in the way of a plan."),
            };
            view.steps = steps();
            for path in at.known.files.paths() {
                let name = path.display().to_string();
                view.files.row(vec![head(name), text(""), figure(""), text("")]);
            }
        }
    }
    Ok(page(&view))
}

fn fill(at: &Place<'_>, reading: &Reading, view: &mut Overview) {
    let inputs = &reading.inputs;
    let counts = counts(inputs);
    if let Some(name) = &inputs.rules.agency.name {
        view.title.clone_from(name);
    }
    view.figures = vec![
        ("Crossings", counts.crossings.to_string()),
        ("Cars", counts.cars.to_string()),
        ("Dealers", counts.dealers.to_string()),
        ("Yards", counts.yards.to_string()),
        ("Lots", counts.lots.to_string()),
        ("Order on", inputs.order_date.to_string()),
    ];
    (view.next, view.next_href, view.next_link) = match at.desk.made() {
        None => ("All files are understood.".to_owned(), "/plan", "Plan the purchase"),
        Some(made) => {
            let title = headline::title(inputs, &made.plan);
            (format!("The plan {title}"), "/plan", "See the plan")
        }
    };
    for file in &reading.files {
        let not_taken = match file.not_taken.len() {
            0 => String::new(),
            n => {
                let reasons = file.not_taken.iter().take(3).map(|row| row.reason.as_str());
                format!("{n}: {}", reasons.collect::<Vec<_>>().join(", "))
            }
        };
        view.files.row(vec![
            head(file.name.to_string()),
            text(file.kind.word()),
            figure(file.rows),
            text(not_taken),
        ]);
    }
    view.warnings = faults(&reading.warnings);
    let heads = ["Column", "#Unknown", "#Of", "A blank cell means"];
    view.unknown = Table::new("Unknown cells of cars and crossings", &heads);
    let cars = unknown_of_cars(inputs);
    for UnknownCells { column, unknown, rows, blank_means } in
        cars.into_iter().chain(unknown_of_crossings(inputs))
    {
        view.unknown.row(vec![head(column), figure(unknown), figure(rows), text(blank_means)]);
    }
}

/// What the folder has not yet, and a plan needs.
fn lacks(at: &Place<'_>) -> String {
    let files = &at.known.files;
    let lacks = [
        ("a dealer's list", files.inventories.is_empty()),
        ("yards", files.yards.is_none()),
        ("crossings", files.crossings.is_none()),
    ];
    let lacks: Vec<&str> =
        lacks.iter().filter(|(_, lacks)| *lacks).map(|(what, _)| *what).collect();
    format!("A plan needs {} yet.", lacks.join(" and "))
}
