//! Papers: made with a click into the folder of papers, to look at and to download.

use std::path::{Path, PathBuf};

use askama::Template;
use axum::http::StatusCode;
use spanyard::folder::{Written, files_in, open_bytes};
use spanyard::report::provenance::{Beside, HashedFile, PageContext, Paper};
use spanyard::report::{Made as Output, OUTPUT_FORMATS, Takes};
use spanyard::save::make_folder;

use super::{Place, Shown, see};
use crate::desk::exchange::{Answer, encoded};
use crate::desk::view::{Choice, Frame, Table, head, page, text};

#[derive(Template)]
#[template(path = "desk/papers.html")]
struct Papers {
    frame: Frame,
    folder: String,
    planned: bool,
    stale: bool,
    sizes: Vec<Choice>,
    papers: Table,
}

/// Where papers go: as the folder says, else `papers`.
pub fn folder(at: &Place<'_>) -> PathBuf {
    at.known.files.papers.clone().unwrap_or_else(|| PathBuf::from("papers"))
}

/// The page.
pub fn show(at: &Place<'_>) -> Shown {
    let folder = folder(at);
    let mut papers = Table::new("Papers in the folder", &["Paper", "What", "Download"]);
    for name in files_in(&at.known.files.at(&folder)) {
        let name = name.display().to_string();
        let href = format!("/papers/file?name={}", encoded(&name));
        let open = if name.ends_with(".html") || name.ends_with(".txt") {
            href.clone()
        } else {
            String::new()
        };
        papers.row(vec![
            head(name.clone()).to(open),
            text(what(&name)),
            text("download").to(format!("{href}&keep=yes")),
        ]);
    }
    let made = at.desk.made();
    Ok(page(&Papers {
        frame: at.frame("Papers", "Papers"),
        folder: folder.display().to_string(),
        planned: made.is_some(),
        stale: made.is_some_and(|made| made.known.stamp != at.known.stamp),
        sizes: vec![
            Choice::new("letter", "US Letter", "letter"),
            Choice::new("a4", "A4", "letter"),
        ],
        papers,
    }))
}

/// What a paper is, by its name.
fn what(name: &str) -> &'static str {
    for (start, words) in [
        ("plan.html", "the plan for board, buyer and engineer"),
        ("plan.xlsx", "the plan as a workbook with live sums"),
        ("map.geojson", "crossings, yards and hauls for a map"),
        ("request-", "request to a dealer"),
        ("order-", "draft purchase order"),
        ("inspection-", "inspection form for a yard"),
        ("crew-", "sheet for the crew at a crossing"),
        ("letter-", "questions to a yard"),
        ("conditional-plan", "what the answers would open; no purchase"),
    ] {
        if name.starts_with(start) && !(name.ends_with(".csv") && start == "letter-") {
            return words;
        }
    }
    if name.ends_with(".csv") { "table" } else { "" }
}

/// Makes all papers of the plan.
pub fn make(at: &Place<'_>) -> Shown {
    let Some(made) = at.desk.made() else {
        let words = "there is no plan yet: plan the purchase first";
        return Err(at.refuse(StatusCode::CONFLICT, "Nothing was written", words));
    };
    let folder = folder(at);
    let root = at.known.files.at(&folder);
    if let Err(error) = make_folder(at.desk.disk(), &root) {
        let words = error.to_string();
        return Err(at.refuse(StatusCode::INTERNAL_SERVER_ERROR, "Nothing was written", &words));
    }
    let paper = if at.asked.get("paper") == Some("a4") { Paper::A4 } else { Paper::Letter };
    let read: Vec<PathBuf> = at.known.files.paths().map(|path| at.known.files.at(path)).collect();
    let written = made.report(|report| {
        let logo = at.known.files.logo(&report.inputs.rules.agency).ok().flatten();
        let context =
            PageContext::new(report, HashedFile::all(report.files), "spanyard desk", paper)
                .with(Beside { logo, ..Beside::default() });
        let mut written = Written::default();
        let taken: Vec<&Path> = read.iter().map(PathBuf::as_path).collect();
        for format in OUTPUT_FORMATS {
            let made = (format.make)(report, &context);
            match (made, format.takes, name_of(format.option)) {
                (Err(error), ..) => written.fail(&*error),
                (Ok(Output::Folder(files)), Takes::Folder, _) => {
                    written.sheets(&root, &files, &context.plan_id, &taken, at.desk.disk());
                }
                (Ok(Output::File(bytes)), _, Some(name)) => {
                    written.file(&root.join(name), Ok::<_, std::io::Error>(bytes), at.desk.disk());
                }
                _ => {}
            }
        }
        written
    });
    let written = written.ok_or_else(|| at.missing("the plan is gone"))?;
    if written.failed {
        let wrong = written.said.lines().filter(|line| line.starts_with("error: "));
        let words = wrong.collect::<Vec<_>>().join("; ");
        return Err(at.refuse(
            StatusCode::INTERNAL_SERVER_ERROR,
            "Not all papers were written",
            &words,
        ));
    }
    let n = written.said.lines().filter(|line| line.starts_with("wrote ")).count();
    Ok(see("/papers", &format!("{n} papers written to {}", folder.display())))
}

/// The file that an output goes to.
fn name_of(option: &str) -> Option<&'static str> {
    match option {
        "report" => Some("plan.html"),
        "workbook" => Some("plan.xlsx"),
        "geojson" => Some("map.geojson"),
        _ => None,
    }
}

/// One paper. The name is looked up among those that lie in the folder, and never opened as given.
pub fn file(at: &Place<'_>) -> Shown {
    let name = at.asked.text("name");
    let root = at.known.files.at(&folder(at));
    let found = files_in(&root).into_iter().find(|file| file.display().to_string() == name);
    let found = found.ok_or_else(|| at.missing("there is no such paper"))?;
    let bytes = open_bytes(&root.join(found)).map_err(|error| at.missing(&error.to_string()))?;
    let kind = match name.rsplit('.').next() {
        Some("html") => "text/html; charset=utf-8",
        Some("csv") => "text/csv; charset=utf-8",
        Some("txt") => "text/plain; charset=utf-8",
        Some("svg") => "image/svg+xml",
        Some("geojson") => "application/geo+json",
        Some("xlsx") => "application/vnd.openxmlformats-officedocument.spreadsheetml.sheet",
        _ => "application/octet-stream",
    };
    Ok(Answer::Paper(kind, name, bytes, at.asked.get("keep").is_some()))
}
