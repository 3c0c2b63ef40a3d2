//! What was understood of the files.

use std::collections::HashSet;

use crate::model::inputs::Inputs;
use crate::read::{FileKind, FileRead, NotTaken, Problems};
use crate::report::facts::count;
use crate::report::facts::holdings::{
    self, Counts, UnknownCells, unknown_of_cars, unknown_of_crossings,
};
use crate::report::text::{Align, Page, Table};

/// The files were understood: what they hold, and what they leave unknown.
#[must_use]
pub fn check(inputs: &Inputs, files: &[FileRead], width: usize) -> String {
    let mut page = Page::new(width);
    page.para(0, &understood("All files were understood", files));
    page.blank();
    held(&mut page, files);
    for sentence in sentences(&holdings::counts(inputs)) {
        page.para(0, &sentence);
    }
    page.para(0, &format!("Orders are placed on {}.", inputs.order_date));
    unknown(&mut page, "Unknown in the inventories", &unknown_of_cars(inputs));
    unknown(&mut page, "Blank in the crossings", &unknown_of_crossings(inputs));
    page.finish()
}

/// The files were understood, and are not all that a plan needs: what they hold, and what could not
/// be checked for want of the others.
#[must_use]
pub fn check_of_some(files: &[FileRead], not_checked: &[String], width: usize) -> String {
    let mut page = Page::new(width);
    page.para(0, &understood("What was given was understood", files));
    page.blank();
    held(&mut page, files);
    for wanting in not_checked {
        page.para(0, &format!("Not checked: {wanting}."));
    }
    page.finish()
}

/// That the files were understood, how many rows are left out, and which lists gave no car.
fn understood(what: &str, files: &[FileRead]) -> String {
    let understood = match files.iter().map(|file| file.left_out).sum() {
        0 => format!("{what}."),
        1 => format!("{what}, but for 1 row that is left out."),
        left_out => format!("{what}, but for {} that are left out.", count(left_out, "row")),
    };
    let without_cars = files.iter().filter(|file| file.has_no_cars());
    let names: Vec<&str> = without_cars.map(|file| &*file.name).collect();
    match names.is_empty() {
        true => understood,
        false => format!("No car was read from {}. {understood}", names.join(", ")),
    }
}

/// What each file holds, and what became of its rows: of an inventory the rows are those of cars and
/// those not taken.
fn held(page: &mut Page, files: &[FileRead]) {
    let mut table =
        Table::new(&[Align::Left, Align::Left, Align::Right, Align::Right, Align::Right])
            .header(&["File", "Holds", "Rows", "Of cars", "Not taken"]);
    for file in files {
        let number =
            |shown: bool, rows: usize| if shown { rows.to_string() } else { String::new() };
        let of_cars = file.kind == FileKind::Inventory;
        table.row([
            file.name.to_string(),
            kind_word(file.kind).to_owned(),
            number(of_cars || file.rows > 0, file.rows),
            number(of_cars, file.rows.saturating_sub(file.not_taken.len())),
            number(of_cars, file.not_taken.len()),
        ]);
    }
    page.table(2, &table);
    page.blank();
    for file in files.iter().filter(|file| !file.not_taken.is_empty()) {
        page.para(0, &not_taken(file));
    }
}

/// Why rows of a dealer's list were not taken, and which.
fn not_taken(file: &FileRead) -> String {
    let rows = count(file.not_taken.len(), "row");
    format!("{}: {rows} not taken ({}).", file.name, not_taken_of(&file.not_taken))
}

/// The reasons, each with its rows.
pub(super) fn not_taken_of(not_taken: &[NotTaken]) -> String {
    let mut reasons: Vec<(&str, Vec<String>)> = Vec::new();
    for row in not_taken {
        match reasons.iter_mut().find(|(reason, _)| *reason == row.reason) {
            Some((_, lines)) => lines.push(row.line.to_string()),
            None => reasons.push((&row.reason, vec![row.line.to_string()])),
        }
    }
    let reasons: Vec<_> =
        reasons.iter().map(|(reason, lines)| format!("{reason}: {}", shortened(lines))).collect();
    reasons.join("; ")
}

/// The first few of many numbers.
fn shortened(lines: &[String]) -> String {
    const MOST: usize = 10;
    match lines.get(..MOST) {
        Some(first) if lines.len() > MOST => {
            format!("{} and {} more", first.join(", "), lines.len() - MOST)
        }
        _ => lines.join(", "),
    }
}

fn sentences(counts: &Counts) -> Vec<String> {
    let batches = match counts.batches {
        0 => String::new(),
        n => format!(" ({} of several identical cars)", count(n, "row")),
    };
    let lots = match (counts.lots, counts.lots_without_price) {
        (0, _) => "No lots.".to_owned(),
        (lots, 0) => {
            format!("{} with {}.", count(lots, "lot"), count(counts.cars_in_lots, "car"))
        }
        (lots, unpriced) => format!(
            "{} with {}; {} without a price.",
            count(lots, "lot"),
            count(counts.cars_in_lots, "car"),
            unpriced
        ),
    };
    let own = match counts.cars_owned {
        0 => String::new(),
        n => format!(" The agency owns {n} of them."),
    };
    vec![
        format!(
            "{} in {}{batches}, from {} at {}.{own}",
            count(counts.cars, "car"),
            count(counts.inventory_rows, "row"),
            count(counts.dealers, "dealer"),
            count(counts.yards, "yard")
        ),
        lots,
        format!(
            "{}, {} with a layout on piers.",
            count(counts.crossings, "crossing"),
            counts.crossings_with_piers
        ),
    ]
}

fn unknown(page: &mut Page, title: &str, cells: &[UnknownCells]) {
    if cells.is_empty() {
        return;
    }
    page.heading(title);
    let mut table = Table::new(&[Align::Left, Align::Right, Align::Left]).header(&[
        "Column",
        "Rows",
        "A blank means",
    ]);
    for cells in cells {
        table.row([
            cells.column.to_owned(),
            format!("{} of {}", cells.unknown, cells.rows),
            cells.blank_means.to_owned(),
        ]);
    }
    page.table(2, &table);
}

/// The problems and their number.
#[must_use]
pub fn problems(problems: &Problems, width: usize) -> String {
    let files: HashSet<&str> = problems.iter().map(|problem| &*problem.file).collect();
    format!(
        "{}\n{} in {}. Nothing else was done. More on a code: spanyard explain CODE.\n",
        super::list_problems(&problems.0, "", width),
        count(problems.len(), "problem"),
        count(files.len(), "file")
    )
}

/// What a file holds, as in the names of the options.
pub fn kind_word(kind: FileKind) -> &'static str {
    match kind {
        FileKind::Inventory => "inventory",
        FileKind::Mapping => "mapping",
        FileKind::Yards => "yards",
        FileKind::Lots => "lots",
        FileKind::Crossings => "crossings",
        FileKind::Hauls => "haul quotes",
        FileKind::Rules => "rules",
        FileKind::Decisions => "decisions",
    }
}
