//! The read-back of a list: what is said of it once, and its CSV and page.

use std::collections::BTreeMap;

use askama::Template;

use super::csv::{NotWritten, Rows};
use super::facts::count;
use crate::read::{CarBack, ReadBack, State};
use crate::words::for_page;

/// What the marks mean.
pub const LEGEND: &str = "\"assumed\" is the agency's word in the mapping for the whole list; \"?\" is \
                          unknown, and never taken as good; \"look\" was read with a warning.";

/// Which list it is.
#[must_use]
pub fn title(back: &ReadBack) -> String {
    let sheet = back.sheet.as_ref().map(|sheet| format!(", sheet {sheet}")).unwrap_or_default();
    format!("Read back: {}{sheet}", back.list)
}

/// How many cars and how they were read.
#[must_use]
pub fn summary(back: &ReadBack) -> String {
    let left = back.cars.iter().filter(|car| car.left_out).count();
    let facts = back.cars.iter().flat_map(|car| &car.facts);
    let mut states: BTreeMap<&str, usize> = BTreeMap::new();
    for fact in facts.filter(|fact| fact.state != State::Read) {
        *states.entry(fact.state.word()).or_default() += 1;
    }
    let states: Vec<String> = states.iter().map(|(word, n)| format!("{n} {word}")).collect();
    let states = match states.is_empty() {
        true => String::new(),
        false => format!(" Of the cells: {}.", states.join(", ")),
    };
    let left = match left {
        0 => String::new(),
        1 => " 1 of them is left out, because something of it cannot be read.".to_owned(),
        n => format!(" {n} of them are left out, because something of them cannot be read."),
    };
    let rows = count(back.cars.len(), "row");
    format!("{rows} of cars, and {} that are not taken.{left}{states}", back.not_taken.len())
}

/// One car's heading.
#[must_use]
pub fn car_title(car: &CarBack) -> String {
    let id = if car.car.is_empty() { "(no ID)" } else { &car.car };
    let dealer = if car.dealer.is_empty() { "" } else { ", " };
    let left = if car.left_out { ": left out" } else { "" };
    format!("{id}{dealer}{} (row {}){left}", car.dealer, car.line)
}

/// The columns that the list does not have, together by what that means.
#[must_use]
pub fn absent(back: &ReadBack) -> Vec<String> {
    let mut by_meaning: Vec<(&str, Vec<&str>)> = Vec::new();
    for absent in &back.absent {
        match by_meaning.iter_mut().find(|(means, _)| *means == absent.means) {
            Some((_, columns)) => columns.push(absent.column),
            None => by_meaning.push((absent.means, vec![absent.column])),
        }
    }
    by_meaning
        .into_iter()
        .map(|(means, columns)| format!("{}: {means}", columns.join(", ")))
        .collect()
}

/// One row for each fact of each car.
///
/// # Errors
/// Never in practice: the table is written to memory.
pub fn csv(back: &ReadBack) -> Result<String, NotWritten> {
    let mut table = Rows::new(&[
        "list",
        "row",
        "car",
        "dealer",
        "left_out",
        "fact",
        "cell",
        "header",
        "as_written",
        "as_understood",
        "state",
        "remarks",
    ])?;
    for car in &back.cars {
        let line = car.line.to_string();
        let left_out = if car.left_out { "yes" } else { "no" };
        for fact in &car.facts {
            let head = [back.list.clone(), line.clone(), car.car.clone(), car.dealer.clone()];
            let state = if fact.state == State::Read { "read" } else { fact.state.word() };
            table.row(
                &head,
                &[
                    left_out,
                    fact.column,
                    &fact.cell,
                    &fact.header,
                    &fact.written,
                    &fact.understood,
                    state,
                    &fact.remarks.join(" | "),
                ],
            )?;
        }
    }
    table.finish()
}

#[derive(Template)]
#[template(path = "readback.html")]
struct ReadBackPage<'a> {
    title: String,
    summary: String,
    legend: &'static str,
    style: &'static str,
    absent: Vec<String>,
    back: &'a ReadBack,
    cars: Vec<(String, &'a CarBack)>,
}

/// The read-back as a page to print and sign.
///
/// # Errors
/// Never in practice: the page is written to memory.
pub fn page(back: &ReadBack) -> Result<String, super::page::NotWritten> {
    let page = ReadBackPage {
        title: title(back),
        summary: summary(back),
        legend: LEGEND,
        style: include_str!("../../templates/style.css"),
        absent: absent(back),
        back,
        cars: back.cars.iter().map(|car| (car_title(car), car)).collect(),
    };
    Ok(for_page(page.render()?))
}
