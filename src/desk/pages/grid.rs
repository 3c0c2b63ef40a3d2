//! The crossings as a grid: as written in the file, edited, held against the reader before they are
//! saved, and never saved over what somebody else has changed meanwhile.

use std::path::{Path, PathBuf};

use askama::Template;
use axum::http::StatusCode;
use spanyard::folder::{Files, NotChanged, mark, open_text, replace};
use spanyard::model::columns::Columns as _;
use spanyard::read::{CrossingColumn, Problem};
use spanyard::report::drawing;
use spanyard::report::page::Drawn;
use spanyard::save::RealDisk;

use super::{Place, Shown, capital, see};
use crate::desk::exchange::{Answer, Asked};
use crate::desk::view::{Frame, Notice, page};

/// Blank rows below those of the file.
const MORE: usize = 3;

/// Most rows of a grid; a file with more is edited with a spreadsheet program.
const MOST: usize = 400;

#[derive(Template)]
#[template(path = "desk/grid.html")]
struct GridPage {
    frame: Frame,
    file: String,
    was: String,
    heads: Vec<Head>,
    rows: Vec<Vec<GridCell>>,
    others: Vec<String>,
    editable: bool,
    convertible: bool,
    anyway: bool,
    figures: Vec<Drawn>,
}

struct Head {
    name: String,
    about: String,
}

#[derive(Clone, Default)]
struct GridCell {
    name: String,
    label: String,
    value: String,
    says: Vec<String>,
}

/// Header and rows as they stand.
#[derive(Clone, Debug, Default, PartialEq)]
pub struct Grid {
    pub names: Vec<String>,
    pub rows: Vec<Vec<String>>,
}

impl Grid {
    pub fn parse(text: &str) -> Option<Self> {
        let text = text.strip_prefix('\u{feff}').unwrap_or(text);
        let mut reader = csv::ReaderBuilder::new()
            .has_headers(false)
            .flexible(true)
            .from_reader(text.as_bytes());
        let mut all = reader
            .records()
            .map(|row| row.map(|row| row.iter().map(str::to_owned).collect::<Vec<_>>()));
        let names = all.next()?.ok()?;
        let mut rows = Vec::new();
        for row in all {
            let mut row = row.ok()?;
            row.resize(names.len(), String::new());
            rows.push(row);
        }
        Some(Self { names, rows })
    }

    pub fn write(&self) -> Option<String> {
        let mut writer = csv::Writer::from_writer(Vec::new());
        writer.write_record(&self.names).ok()?;
        for row in &self.rows {
            if row.iter().any(|cell| !cell.trim().is_empty()) {
                writer.write_record(row).ok()?;
            }
        }
        String::from_utf8(writer.into_inner().ok()?).ok()
    }

    /// Out of a form: `h0`, `h1` are the names, `r3c7` a cell.
    fn of(asked: &Asked) -> Self {
        let mut grid = Self::default();
        for (name, value) in &asked.form {
            if name.strip_prefix('h').is_some_and(|n| n.parse::<usize>().is_ok()) {
                grid.names.push(value.clone());
            } else if let Some((row, column)) =
                name.strip_prefix('r').and_then(|rest| rest.split_once('c'))
                && let (Ok(row), Ok(column)) = (row.parse::<usize>(), column.parse::<usize>())
                && row < MOST + MORE
                && column < grid.names.len()
            {
                while grid.rows.len() <= row {
                    grid.rows.push(vec![String::new(); grid.names.len()]);
                }
                if let Some(cell) = grid.rows.get_mut(row).and_then(|row| row.get_mut(column)) {
                    cell.clone_from(value);
                }
            }
        }
        grid
    }

    /// The rows that are not blank, so that a row's line in the file is its place here and two.
    fn tidied(mut self) -> Self {
        self.rows.retain(|row| row.iter().any(|cell| !cell.trim().is_empty()));
        self
    }
}

/// The file of crossings, if it is one that can be edited here.
pub fn csv_file(files: &Files) -> Option<PathBuf> {
    let file = files.crossings.clone()?;
    file.extension().is_some_and(|end| end.eq_ignore_ascii_case("csv")).then_some(file)
}

/// The grid as the file stands.
pub fn show(at: &Place<'_>) -> Shown {
    let Some(file) = csv_file(&at.known.files) else { return other(at) };
    let text =
        open_text(&at.known.files.at(&file)).map_err(|error| at.missing(&error.to_string()))?;
    let was = mark(&at.known.files.root, &file).unwrap_or_default();
    let grid = Grid::parse(&text).ok_or_else(|| at.missing("the file is no table"))?;
    let problems = match &at.known.reading {
        Ok(reading) => reading.warnings.clone(),
        Err(refusal) => refusal.problems.0.iter().chain(&refusal.warnings).cloned().collect(),
    };
    Ok(page(&view(at, &file, grid, &was, &problems, Vec::new())))
}

/// A workbook is edited with a spreadsheet program; an empty one can be left for a table here.
fn other(at: &Place<'_>) -> Shown {
    let file = at.known.files.crossings.clone().unwrap_or_default();
    let checked = at.known.files.check(false);
    let rows: usize = checked
        .files
        .iter()
        .filter(|read| *read.name == *file.display().to_string())
        .map(|read| read.rows)
        .sum();
    let mut frame = at.frame("Crossings", "Crossings");
    let words = if file.as_os_str().is_empty() {
        "spanyard.toml names no file of crossings.".to_owned()
    } else {
        format!(
            "{} is a workbook: edit it with a spreadsheet program, and load this page again.",
            file.display()
        )
    };
    frame.notices.push(Notice::new("notice", words));
    Ok(page(&GridPage {
        frame,
        file: file.display().to_string(),
        was: String::new(),
        heads: Vec::new(),
        rows: Vec::new(),
        others: Vec::new(),
        editable: false,
        convertible: rows == 0,
        anyway: false,
        figures: figures(at),
    }))
}

fn figures(at: &Place<'_>) -> Vec<Drawn> {
    let made = at.desk.made();
    let map = made.and_then(|made| {
        made.report(|report| drawing::map::draw(report.inputs, report.plan, "map"))
    });
    let caption = "Crossings, yards and the hauls of the last plan".to_owned();
    map.map(|svg| Drawn { caption, svg }).into_iter().collect()
}

/// From here on the crossings stand in a table that can be edited here.
pub fn convert(at: &Place<'_>) -> Shown {
    let conflict = |words: &str| at.refuse(StatusCode::CONFLICT, "Nothing was changed", words);
    let root = &at.known.files.root;
    let (toml, csv) = (Path::new("spanyard.toml"), Path::new("crossings.csv"));
    let old = at.known.files.crossings.clone().unwrap_or_default().display().to_string();
    let text = open_text(&root.join(toml)).map_err(|error| conflict(&error.to_string()))?;
    let line = format!("crossings = \"{old}\"");
    if old.is_empty() || text.matches(&line).count() != 1 {
        return Err(conflict(
            "spanyard.toml does not name the file in the usual way: change it by hand",
        ));
    }
    let was = mark(root, toml).map_err(|error| conflict(&error.to_string()))?;
    let names: Vec<&str> = CrossingColumn::ALL.iter().map(|column| column.name).collect();
    let header = format!("{}\n", names.join(","));
    replace(&RealDisk, root, csv, header.as_bytes(), "")
        .map_err(|error| conflict(&error.to_string()))?;
    let changed = text.replace(&line, "crossings = \"crossings.csv\"");
    replace(&RealDisk, root, toml, changed.as_bytes(), &was)
        .map_err(|error| conflict(&error.to_string()))?;
    Ok(see("/crossings", "The crossings stand in crossings.csv from here on"))
}

/// Saves the grid, if the reader takes it and nobody has changed the file.
pub fn save(at: &Place<'_>) -> Shown {
    let file = csv_file(&at.known.files).ok_or_else(|| at.missing("there is no such table"))?;
    let grid = Grid::of(at.asked).tidied();
    let was = at.asked.text("was");
    let text = grid.write().ok_or_else(|| at.missing("the table cannot be written"))?;
    let name = file.display().to_string();
    let edited = Files {
        instead: vec![(file.clone(), text.clone().into_bytes())],
        ..at.known.files.clone()
    };
    let checked = edited.check(false);
    let ours = |problem: &&Problem| *problem.file == *name;
    let problems: Vec<Problem> = checked.problems.0.iter().filter(ours).cloned().collect();
    let anyway = at.asked.get("anyway").is_some();
    if !problems.is_empty() && !anyway {
        let n = problems.len();
        let words = format!("Nothing is saved yet: {n} cells have problems, told in them.");
        let notice = Notice::new("alert", words);
        let mut view = view(at, &file, grid, &was, &problems, vec![notice]);
        view.anyway = true;
        return Err(refused(&view));
    }
    match replace(&RealDisk, &at.known.files.root, &file, text.as_bytes(), &was) {
        Ok(()) => Ok(see("/crossings", &format!("Saved in {name}"))),
        Err(error @ NotChanged::Meanwhile(_)) => {
            // Theirs stands in the file, ours in the grid: nothing is lost, and nobody is written over.
            let theirs =
                open_text(&at.known.files.at(&file)).ok().and_then(|text| Grid::parse(&text));
            let now = mark(&at.known.files.root, &file).unwrap_or_default();
            let words = capital(&format!(
                "{error}. Your cells stand below and are not saved; where the file now \
                has something else, the cell says so. Saving again writes what you see."
            ));
            let mut view =
                view(at, &file, grid, &now, &problems, vec![Notice::new("alert", words)]);
            if let Some(theirs) = theirs {
                differences(&mut view, &theirs);
            }
            Err(conflicted(&view))
        }
        Err(error) => {
            let notice = Notice::new("alert", capital(&error.to_string()));
            Err(refused(&view(at, &file, grid, &was, &problems, vec![notice])))
        }
    }
}

/// Tells at each cell what the file has instead, crossing by crossing.
fn differences(view: &mut GridPage, theirs: &Grid) {
    let id = |row: &Vec<String>| row.first().map(|cell| cell.trim().to_owned()).unwrap_or_default();
    let mut seen = Vec::new();
    for row in &mut view.rows {
        let Some(own) = row.first().map(|cell| cell.value.trim().to_owned()) else { continue };
        if own.is_empty() {
            continue;
        }
        seen.push(own.clone());
        match theirs.rows.iter().find(|row| id(row) == own) {
            Some(their) => {
                for (cell, their) in row.iter_mut().zip(their) {
                    if cell.value != *their {
                        cell.says.push(format!("the file has: {their}"));
                    }
                }
            }
            None => {
                if let Some(cell) = row.first_mut() {
                    cell.says.push("the file has no such row now".to_owned());
                }
            }
        }
    }
    for row in theirs.rows.iter().filter(|row| !seen.contains(&id(row))) {
        view.others.push(format!("The file also has: {}", row.join(", ")));
    }
}

fn refused(view: &GridPage) -> Answer {
    with_status(StatusCode::UNPROCESSABLE_ENTITY, view)
}

fn conflicted(view: &GridPage) -> Answer {
    with_status(StatusCode::CONFLICT, view)
}

fn with_status(status: StatusCode, view: &GridPage) -> Answer {
    match page(view) {
        Answer::Page(page) => Answer::Refused(status, page),
        other => other,
    }
}

fn view(
    at: &Place<'_>,
    file: &Path,
    grid: Grid,
    was: &str,
    problems: &[Problem],
    notices: Vec<Notice>,
) -> GridPage {
    let name = file.display().to_string();
    let mut frame = at.frame("Crossings", "Crossings");
    frame.notices.extend(notices);
    let editable = grid.rows.len() <= MOST;
    if !editable {
        let words =
            format!("{name} has more than {MOST} rows: edit it with a spreadsheet program.");
        frame.notices.push(Notice::new("notice", words));
    }
    let known = CrossingColumn::ALL;
    let heads = grid.names.iter().map(|name| {
        let column = known.iter().find(|column| column.name == name.trim());
        let about = column.map(|column| {
            let blank = if column.blank.is_empty() {
                String::new()
            } else {
                format!(" Blank: {}.", column.blank)
            };
            format!("{}. Write {}.{blank}", column.about, column.content.allowed())
        });
        Head { name: name.clone(), about: about.unwrap_or_default() }
    });
    let heads: Vec<Head> = heads.collect();
    let mut rows = Vec::new();
    let blank = vec![String::new(); grid.names.len()];
    let more = if editable { MORE } else { 0 };
    let shown = grid.rows.iter().take(MOST).chain(std::iter::repeat_n(&blank, more));
    for (number, row) in shown.enumerate() {
        let line = number as u64 + 2;
        let cells = row.iter().enumerate().map(|(column, value)| {
            let of = &grid.names[column];
            let here = problems.iter().filter(|problem| {
                *problem.file == *name && problem.line == line && problem.name == of.trim()
            });
            GridCell {
                name: format!("r{number}c{column}"),
                label: format!("{of}, row {}", number + 1),
                value: value.clone(),
                says: here
                    .map(|problem| format!("{}; {}", problem.wrong, problem.instead))
                    .collect(),
            }
        });
        rows.push(cells.collect());
    }
    let others = problems.iter().filter(|problem| {
        let at_cell = grid.names.iter().any(|name| name.trim() == problem.name) && problem.line > 1;
        *problem.file == *name && !at_cell
    });
    GridPage {
        frame,
        file: name.clone(),
        was: was.to_owned(),
        heads,
        rows,
        others: others.map(ToString::to_string).collect(),
        editable,
        convertible: false,
        anyway: false,
        figures: figures(at),
    }
}
