//! The crossings as a grid: as written in the file, edited, held against the reader before they are
//! saved, and never saved over what somebody else has changed meanwhile.

use std::path::Path;

use askama::Template;
use axum::http::StatusCode;
use spanyard::folder::{Files, NotChanged, NotKept, mark, open_in, open_text, replace};
use spanyard::read::{Columns as _, CrossingColumn, Problem, SourceText};
use spanyard::report::drawing::sites::{self, Site};
use spanyard::report::page::Drawn;

use super::table::{Form, Grid, MORE, MOST, beside, form_of, is_blank, load, read};
use super::{Place, Shown, capital, see};
use crate::desk::exchange::Answer;
use crate::desk::view::{Frame, Notice, page};

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
    /// The table that can take the workbook's place.
    as_csv: String,
    anyway: bool,
    map: Option<Drawn>,
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
    /// `latitude` or `longitude`, for the map.
    part: &'static str,
}

/// What the file has for a crossing in a column.
pub fn cell(at: &Place<'_>, crossing: &str, column: &str) -> Option<String> {
    let (_, grid) = load(&at.known.files).ok()?;
    grid.cell(crossing, column).map(str::to_owned)
}

/// The grid as the file stands.
pub fn show(at: &Place<'_>) -> Shown {
    let (file, grid) = load(&at.known.files).map_err(|words| at.missing(&words))?;
    let was = mark(&at.known.files.root, &file).unwrap_or_default();
    let problems = match &at.known.reading {
        Ok(reading) => reading.warnings.clone(),
        Err(refusal) => refusal.problems.0.iter().chain(&refusal.warnings).cloned().collect(),
    };
    let notices = match form_of(&file) {
        Form::Beside => {
            vec![Notice::new("notice", beside_words(&file, "only XLSX and CSV can be edited here"))]
        }
        _ => Vec::new(),
    };
    Ok(page(&view(at, &file, grid, &was, &problems, notices)))
}

fn beside_words(file: &Path, why: &str) -> String {
    let (file, csv) = (file.display(), beside(file));
    format!(
        "{file} stays as it is: {why}. What you see can be saved as {} beside it; spanyard.toml then \
         names that, and {file} is not read any more.",
        csv.display()
    )
}

/// What the reader says of the folder with these bytes in place of the crossings file.
fn problems_of(at: &Place<'_>, file: &Path, bytes: Vec<u8>) -> Vec<Problem> {
    let name = file.display().to_string();
    let instead = vec![(file.to_owned(), bytes)];
    let checked = Files { instead, ..at.known.files.clone() }.check(false);
    let ours = |problem: &Problem| *problem.file == *name;
    checked.problems.0.into_iter().filter(ours).collect()
}

/// The grid that was sent, with what is known of its columns.
fn sent(at: &Place<'_>, standing: &Grid) -> Result<Grid, Answer> {
    let grid = Grid::of(at.asked);
    if grid.names != standing.names {
        let words = "the columns of the file are others now: load the page again";
        return Err(at.refuse(StatusCode::CONFLICT, "Nothing was saved", words));
    }
    Ok(Grid { ours: standing.ours.clone(), lines: standing.lines.clone(), ..grid })
}

/// Says what is wrong with the cells as they were sent, and saves nothing; for the script.
pub fn check(at: &Place<'_>) -> Shown {
    let (file, standing) = load(&at.known.files).map_err(|words| at.missing(&words))?;
    let grid = sent(at, &standing)?;
    // Blank rows keep their lines, so that a problem is told at its own cell.
    let text = grid.write().unwrap_or_default();
    let kept: Vec<usize> = (0..grid.rows.len()).filter(|&row| !is_blank(&grid.rows[row])).collect();
    let problems = problems_of(at, &file, text.clone().into_bytes());
    let lines = Grid::parse(&text).map(|grid| grid.lines).unwrap_or_default();
    let mut cells = serde_json::Map::new();
    for problem in &problems {
        let place = lines.iter().position(|line| *line == problem.line);
        let row = place.and_then(|at| kept.get(at));
        if let (Some(row), Some(column)) = (row, column_of(&grid, problem)) {
            let words = format!("{}; {}", problem.wrong, problem.instead);
            cells.insert(format!("r{row}c{column}"), words.into());
        }
    }
    let words = serde_json::Value::Object(cells).to_string();
    Ok(Answer::Words(StatusCode::OK, words))
}

/// The column of a grid that a problem is told of.
fn column_of(grid: &Grid, problem: &Problem) -> Option<usize> {
    let named = grid.names.iter().position(|name| name.trim() == problem.name);
    grid.ours.iter().position(|ours| *ours == Some(problem.name.as_str())).or(named)
}

/// Saves the grid, if the reader takes it and nobody has changed the file.
pub fn save(at: &Place<'_>) -> Shown {
    let (file, standing) = load(&at.known.files).map_err(|words| at.missing(&words))?;
    let grid = sent(at, &standing)?;
    let root = &at.known.files.root;
    let was = at.asked.text("was");
    let now = mark(root, &file).unwrap_or_default();
    if now != was {
        return Err(conflict(at, &file, grid, &standing, &now));
    }
    let source = open_in(root, &file).map_err(|problem| at.missing(&problem.to_string()))?;
    let as_csv = at.asked.get("as_csv").is_some();
    let (target, bytes) = if as_csv {
        (beside(&file), grid.bytes_for(Form::Csv, &source))
    } else {
        (file.clone(), grid.bytes_for(form_of(&file), &source))
    };
    let bytes = match bytes {
        Ok(bytes) => bytes,
        Err(error) => return Err(not_kept(at, &file, grid, &was, &error)),
    };
    let problems = problems_of(at, &file, bytes.clone());
    if !problems.is_empty() && at.asked.get("anyway").is_none() {
        let written = SourceText::new(&source.name, bytes.as_slice());
        let grid = read(&written).unwrap_or(grid);
        let words = match problems.len() {
            1 => "Nothing is saved yet: there is a problem, told at its cell.".to_owned(),
            n => format!("Nothing is saved yet: there are {n} problems, told at their cells."),
        };
        let mut view = view(at, &file, grid, &was, &problems, vec![Notice::new("alert", words)]);
        view.anyway = true;
        return Err(with_status(StatusCode::UNPROCESSABLE_ENTITY, &view));
    }
    let saved = if as_csv {
        switch(at, &file, &target, &bytes)
    } else {
        replace(at.desk.disk(), root, &target, &bytes, &was).map_err(|error| match error {
            NotChanged::Meanwhile(_) => None,
            other => Some(other.to_string()),
        })
    };
    match saved {
        Ok(()) => Ok(see("/crossings", &format!("Saved in {}", target.display()))),
        Err(None) => {
            let now = mark(root, &file).unwrap_or_default();
            let theirs = load(&at.known.files).map(|(_, grid)| grid).unwrap_or(standing);
            Err(conflict(at, &file, grid, &theirs, &now))
        }
        Err(Some(words)) => {
            let notice = Notice::new("alert", capital(&words));
            let view = view(at, &file, grid, &was, &problems, vec![notice]);
            Err(with_status(StatusCode::UNPROCESSABLE_ENTITY, &view))
        }
    }
}

/// The workbook cannot be kept as it is: the grid again, with the offer to go on in a table beside it.
fn not_kept(at: &Place<'_>, file: &Path, grid: Grid, was: &str, error: &NotKept) -> Answer {
    let words = format!("Nothing is saved yet. {}", beside_words(file, &error.to_string()));
    let mut view = view(at, file, grid, was, &[], vec![Notice::new("alert", words)]);
    view.as_csv = beside(file).display().to_string();
    with_status(StatusCode::UNPROCESSABLE_ENTITY, &view)
}

/// Theirs stands in the file, mine in the grid: nothing is lost, and nobody is written over.
fn conflict(at: &Place<'_>, file: &Path, grid: Grid, theirs: &Grid, now: &str) -> Answer {
    let words = capital(&format!(
        "{}. Your cells stand below and are not saved; where the file now has something else, the cell \
         says so. Saving again writes what you see.",
        NotChanged::Meanwhile(file.to_owned())
    ));
    let mut view = view(at, file, grid.over(theirs), now, &[], vec![Notice::new("alert", words)]);
    differences(&mut view, theirs);
    with_status(StatusCode::CONFLICT, &view)
}

/// Writes the table that takes the workbook's place, and names it in spanyard.toml. The table comes
/// first: where the second step fails it can be done again.
fn switch(at: &Place<'_>, file: &Path, csv: &Path, bytes: &[u8]) -> Result<(), Option<String>> {
    let root = &at.known.files.root;
    let say = |words: String| Some(words);
    let toml = Path::new(spanyard::read::FOLDER_FILE);
    let text = open_text(&root.join(toml)).map_err(|error| say(error.to_string()))?;
    let line = |file: &Path| format!("crossings = \"{}\"", file.display());
    if text.matches(&line(file)).count() != 1 {
        let words = "spanyard.toml does not name the file in the usual way: change it by hand";
        return Err(say(words.to_owned()));
    }
    let stands = std::path::Path::exists(&root.join(csv));
    let same = stands && open_in(root, csv).is_ok_and(|standing| standing.bytes == bytes);
    if stands && !same {
        return Err(say(format!("{} is there already and says something else", csv.display())));
    }
    let disk = at.desk.disk();
    if !same {
        replace(disk, root, csv, bytes, "").map_err(|error| say(error.to_string()))?;
    }
    let was = mark(root, toml).map_err(|error| say(error.to_string()))?;
    let text = text.replace(&line(file), &line(csv));
    replace(disk, root, toml, text.as_bytes(), &was).map_err(|error| say(error.to_string()))
}

/// Tells at each cell what the file has instead, crossing by crossing.
fn differences(view: &mut GridPage, theirs: &Grid) {
    for (row, cells) in view.rows.iter_mut().enumerate() {
        let Some(their) = theirs.rows.get(row) else { continue };
        for (cell, their) in cells.iter_mut().zip(their) {
            if cell.value != *their {
                cell.says.push(format!("the file has: {their}"));
            }
        }
    }
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
    let of_file = || problems.iter().filter(|problem| *problem.file == *name);
    let more = if editable { MORE } else { 0 };
    let blank = vec![String::new(); grid.names.len()];
    let shown = grid.rows.iter().take(MOST).chain(std::iter::repeat_n(&blank, more));
    let rows = shown.enumerate().map(|(number, row)| {
        let line = grid.lines.get(number).copied().unwrap_or_default();
        let cells = row.iter().enumerate().map(|(column, value)| {
            let here = of_file().filter(|problem| {
                problem.line == line && column_of(&grid, problem) == Some(column)
            });
            GridCell {
                name: format!("r{number}c{column}"),
                label: format!("{}, row {}", grid.names[column], number + 1),
                value: value.clone(),
                says: here.map(|told| format!("{}; {}", told.wrong, told.instead)).collect(),
                part: match grid.ours.get(column).copied().flatten() {
                    Some("latitude_deg") => "latitude",
                    Some("longitude_deg") => "longitude",
                    Some("crossing") => "crossing",
                    _ => "",
                },
            }
        });
        cells.collect()
    });
    let at_cell = |problem: &&Problem| {
        column_of(&grid, problem).is_some() && grid.lines.contains(&problem.line)
    };
    let others = of_file().filter(|problem| !at_cell(problem)).map(ToString::to_string);
    let heads = grid.names.iter().zip(&grid.ours).map(|(name, ours)| head(name, *ours));
    GridPage {
        frame,
        file: name.clone(),
        was: was.to_owned(),
        heads: heads.collect(),
        others: others.collect(),
        rows: rows.collect(),
        editable,
        as_csv: match form_of(file) {
            Form::Beside => beside(file).display().to_string(),
            _ => String::new(),
        },
        anyway: false,
        map: map(at),
    }
}

fn head(name: &str, ours: Option<&'static str>) -> Head {
    let column = CrossingColumn::ALL.iter().find(|column| Some(column.name) == ours);
    let about = column.map(|column| {
        let blank = match column.blank {
            "" => String::new(),
            blank => format!(" Blank: {blank}."),
        };
        format!("{}. Write {}.{blank}", column.about, column.content.allowed())
    });
    Head { name: name.to_owned(), about: about.unwrap_or_default() }
}

/// The crossings and yards that have a place, to point at new places beside them.
fn map(at: &Place<'_>) -> Option<Drawn> {
    let checked;
    let (crossings, yards) = match at.known.inputs() {
        Some(inputs) => (&inputs.crossings, &inputs.yards),
        None => {
            checked = at.known.files.check(false);
            let inputs = checked.inputs.as_ref()?;
            (&inputs.crossings, &inputs.yards)
        }
    };
    let crossings = crossings.iter().map(|crossing| Site {
        name: crossing.id.clone(),
        position: crossing.position,
        is_yard: false,
    });
    let yards = yards.iter().map(|yard| Site {
        name: yard.name.clone(),
        position: yard.position,
        is_yard: true,
    });
    let svg = sites::draw(&crossings.chain(yards).collect::<Vec<_>>(), "sites")?;
    Some(Drawn { caption: "Where they are".to_owned(), svg })
}
