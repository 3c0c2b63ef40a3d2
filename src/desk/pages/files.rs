//! The folder's files as they stand: the rows around the one that a figure comes from.

use std::path::Path;

use spanyard::folder::open_text;

use super::{Place, Shown};
use crate::desk::exchange::encoded;
use crate::desk::view::{Table, Tables, figure, page, text};

/// Lines shown before and behind the one asked for.
const AROUND: u64 = 4;

/// Where a place such as `lists/a.csv:12` or `lists/a.csv:12 length_ft` is shown; nothing for what is
/// no place in a file.
pub fn href_of(place: &str) -> String {
    let (place, column) = place.split_once(' ').unwrap_or((place, ""));
    let mut parts = place.split(':');
    let (Some(file), Some(line)) = (parts.next(), parts.next()) else { return String::new() };
    match line.parse::<u64>() {
        Ok(line) if file.contains('.') => {
            format!("/source?file={}&line={line}&column={}", encoded(file), encoded(column))
        }
        _ => String::new(),
    }
}

/// The rows around a line. The name is looked up among the folder's files, and never opened as given.
pub fn source(at: &Place<'_>) -> Shown {
    let name = at.asked.text("file");
    let line = at.asked.number("line").unwrap_or(1) as u64;
    let mut paths = at.known.files.paths();
    let path = paths
        .find(|path| path.display().to_string() == name)
        .map(Path::to_owned)
        .ok_or_else(|| at.missing("the folder has no such file"))?;
    let mut view = Tables::new(at.frame(&name, ""), format!("{name}, line {line}"));
    let column = at.asked.text("column");
    // Of a dealer's list the reader knows which cell a fact came from, whatever its columns are called.
    let of_list = if at.known.files.inventories.contains(&path) {
        fact(at, &name, line, &column)
    } else {
        None
    };
    let has_cell = of_list.is_some();
    view.tables.extend(of_list);
    match open_text(&at.known.files.at(&path)) {
        Ok(words) => {
            if !has_cell {
                view.tables.extend(cell(&words, line, &column));
            }
            let mut table = Table::new("As written", &["#Line", "Text"]);
            let first = line.saturating_sub(AROUND).max(1);
            let lines = (1..)
                .zip(words.lines())
                .filter(|(number, _)| *number == 1 || (first..=line + AROUND).contains(number));
            for (number, words) in lines {
                let class = if number == line { "marked" } else { "" };
                let cut: String = words.chars().take(2_000).collect();
                table.classed(class, vec![figure(number), text(cut)]);
            }
            view.tables.push(table);
        }
        Err(_) if has_cell => {}
        Err(_) => view.words.push(format!(
            "This is a workbook or another text than UTF-8: open it and look at row {line}."
        )),
    }
    Ok(page(&view))
}

/// What was read of the row of a list, with the fact that is asked for marked.
fn fact(at: &Place<'_>, list: &str, line: u64, column: &str) -> Option<Table> {
    let back = at.known.files.read_back(list).ok()?;
    let car = back.cars.iter().find(|car| car.line == line)?;
    let mut table = super::list::car_table(car, "");
    for (row, fact) in table.rows.iter_mut().skip(car.remarks.len()).zip(&car.facts) {
        if fact.column == column {
            row.class = "marked";
        }
    }
    Some(table)
}

/// The cell of a column in a line, where the first line names the columns.
fn cell(words: &str, line: u64, column: &str) -> Option<Table> {
    let mut lines = words.lines();
    let names = cells(lines.next()?);
    let at = names.iter().position(|name| name == column)?;
    let row = cells(lines.nth(usize::try_from(line).ok()?.checked_sub(2)?)?);
    let mut table = Table::new("The cell", &["Column", "As written"]);
    table.class = "slim";
    table.classed("marked", vec![text(column), text(row.get(at)?.clone())]);
    Some(table)
}

/// The cells of one line.
fn cells(line: &str) -> Vec<String> {
    let mut reader = csv::ReaderBuilder::new().has_headers(false).from_reader(line.as_bytes());
    let row = reader.records().next().and_then(Result::ok);
    row.map(|row| row.iter().map(|cell| cell.trim().to_owned()).collect()).unwrap_or_default()
}
