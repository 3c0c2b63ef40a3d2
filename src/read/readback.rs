//! The read-back: car by car what was read of a list, from which cell, as written and as understood.
//! It is what an agent signs for before the list is relied on.

use jiff::civil::Date;
use serde::Serialize;

use super::behind::Behind;
use super::dealer::Mappings;
use super::inventory::{self, Context, Inventory as C};
use super::parts::Pace;
use super::problem::{Findings, Problem, Problems};
use super::row::Row;
use super::yards::Lots;
use super::{NotTaken, Sources, rules, yards};
use crate::check::Code;
use crate::model::columns::{Columns as _, Content};
use crate::words::nearest;

/// What was read of one list.
#[derive(Clone, Debug, PartialEq, Eq, Serialize)]
pub struct ReadBack {
    /// The file as named.
    pub list: String,
    /// The sheet of a workbook.
    pub sheet: Option<String>,
    /// SHA-256 of its bytes, so that it can be told which file was signed for.
    pub sha256: String,
    /// Its cars, in the order of the list; those too that are left out.
    pub cars: Vec<CarBack>,
    /// Rows that are none of cars, or are set aside.
    pub not_taken: Vec<NotTaken>,
    /// Our columns that the list does not have, with what a blank means.
    pub absent: Vec<Absent>,
    /// What was said of the list as a whole.
    pub remarks: Vec<String>,
}

/// A column that the list does not have.
#[derive(Clone, Debug, PartialEq, Eq, Serialize)]
pub struct Absent {
    /// Our column.
    pub column: &'static str,
    /// What that means for every car.
    pub means: &'static str,
}

/// What was read of one car.
#[derive(Clone, Debug, PartialEq, Eq, Serialize)]
pub struct CarBack {
    /// Its ID as understood.
    pub car: String,
    /// The dealer.
    pub dealer: String,
    /// Line of the list, or row of its sheet.
    pub line: u64,
    /// Whether the row is left out, because something of it cannot be read.
    pub left_out: bool,
    /// Cell by cell.
    pub facts: Vec<FactBack>,
    /// What was said of the row and not of one of its cells.
    pub remarks: Vec<String>,
}

/// How a fact came into the inputs.
#[derive(Clone, Copy, Debug, PartialEq, Eq, Serialize)]
#[serde(rename_all = "snake_case")]
pub enum State {
    /// Read as written.
    Read,
    /// Read, and a warning says why somebody must look.
    Doubtful,
    /// Corrected in the mapping.
    Corrected,
    /// Stated by the mapping for the whole list: nobody saw it on this car.
    Assumed,
    /// Blank, or left unknown.
    Unknown,
    /// Not read: the row is left out for it.
    Refused,
}

impl State {
    /// The word for people; nothing where there is nothing to look at.
    #[must_use]
    pub fn word(self) -> &'static str {
        match self {
            Self::Read => "",
            Self::Doubtful => "look",
            Self::Corrected => "corrected",
            Self::Assumed => "assumed",
            Self::Unknown => "unknown",
            Self::Refused => "not read",
        }
    }
}

/// One fact of a car.
#[derive(Clone, Debug, PartialEq, Eq, Serialize)]
pub struct FactBack {
    /// Our column.
    pub column: &'static str,
    /// Its name on forms.
    pub label: &'static str,
    /// The cell, like `C7`; for what the mapping states its place there.
    pub cell: String,
    /// The header above it, as the list has it.
    pub header: String,
    /// As written.
    pub written: String,
    /// As understood, with its unit; empty where it is unknown.
    pub understood: String,
    /// How it came into the inputs.
    pub state: State,
    /// What was said of it.
    pub remarks: Vec<String>,
}

/// Reads a list back. The list is named by its path, the end of it, or its name without the ending.
///
/// # Errors
/// No list has the name, or the list cannot be read at all.
pub fn read_back(sources: &Sources, today: Date, list: &str) -> Result<ReadBack, Problems> {
    let names = || sources.inventories.iter().map(|source| &*source.name);
    let Some(source) = sources.inventories.iter().find(|source| is_named(&source.name, list))
    else {
        return Err(Problems(vec![no_such_list(list, names())]));
    };
    let mut quiet = Findings::default();
    let order_date = rules::examine(sources.rules.as_ref(), &mut quiet).order_date.unwrap_or(today);
    let yards = sources.yards.as_ref().map(|source| yards::yards(source, &mut quiet).0);
    let lots = sources.lots.as_ref().map(|file| yards::lots(file, yards.as_ref(), &mut quiet).0);
    let lots = lots.unwrap_or_else(|| Lots::without_file(true));
    let context = Context {
        yards: yards.as_ref(),
        lots: &lots,
        order_year: order_date.year(),
        pace: Pace::whole(),
    };
    let mappings = Mappings::read(sources);
    let mut findings = Findings::default();
    let mut back = ReadBack {
        list: source.name.to_string(),
        sheet: None,
        sha256: super::hash::sha256(&source.bytes),
        cars: Vec::new(),
        not_taken: Vec::new(),
        absent: Vec::new(),
        remarks: Vec::new(),
    };
    let went = inventory::each(source, &mappings, &context, &mut findings, |row, car| {
        back.cars.push(of_row(row, car));
    });
    if !findings.problems.is_empty() {
        findings.sort();
        return Err(Problems(findings.problems));
    }
    back.not_taken = went.not_taken;
    back.remarks = findings.warnings.iter().filter(|told| told.line == 0).map(said).collect();
    let has = |column: C| {
        let name = column.column().name;
        back.cars.iter().any(|car| car.facts.iter().any(|fact| fact.column == name))
    };
    let absent = C::EACH.iter().filter(|column| !has(**column));
    let absent = absent.map(|column| column.column());
    back.absent =
        absent.map(|column| Absent { column: column.name, means: column.blank }).collect();
    Ok(back)
}

/// That no list has a name.
#[must_use]
pub fn no_such_list<S: AsRef<str>>(list: &str, names: impl Iterator<Item = S>) -> Problem {
    let names: Vec<S> = names.collect();
    let names: Vec<&str> = names.iter().map(AsRef::as_ref).collect();
    let instead = match nearest(list, names.iter().copied()) {
        Some(meant) => format!("write `{meant}` if that is meant"),
        None => format!("write one of: {}", names.join(", ")),
    };
    Problem::of_file(Code::RefersToNothing, list.into(), "is none of the lists", instead)
}

/// Whether a list is the one named: by its path, its file's name, or that without its ending.
#[must_use]
pub fn is_named(path: &str, name: &str) -> bool {
    let file = path.rsplit(['/', '\\']).next().unwrap_or(path);
    let stem = file.rsplit_once('.').map_or(file, |(stem, _)| stem);
    [path, file, stem].iter().any(|own| own.eq_ignore_ascii_case(name))
}

fn said(problem: &Problem) -> String {
    format!("{} {}; {}", problem.code, problem.wrong, problem.instead)
}

/// What was read of one row, whose car was read already.
fn of_row(row: &mut Row<'_, C>, sound: bool) -> CarBack {
    let told: Vec<Problem> = row.told().cloned().collect();
    let (mut facts, mut named) = (Vec::new(), Vec::new());
    for &column in C::EACH.iter().filter(|column| row.has(**column)) {
        let of_column = column.column();
        let behind = row.written(column);
        let here = |problem: &&Problem| problem.name == of_column.name;
        let remarks: Vec<String> = told.iter().filter(here).map(said).collect();
        let refused = row.problems().iter().any(|problem| problem.name == of_column.name);
        let understood = match refused {
            true => String::new(),
            false => {
                row.cell(column).map(|text| with_unit(text, &of_column.content)).unwrap_or_default()
            }
        };
        let state = match &behind {
            _ if refused => State::Refused,
            Behind { is_constant: true, .. } => State::Assumed,
            _ if understood.is_empty() => State::Unknown,
            Behind { is_corrected: true, .. } => State::Corrected,
            _ if !remarks.is_empty() => State::Doubtful,
            _ => State::Read,
        };
        named.push(of_column.name);
        let Behind { cell, header, text, .. } = behind;
        let (column, label) = (of_column.name, column.fact().label);
        facts.push(FactBack {
            column,
            label,
            cell,
            header,
            written: text,
            understood,
            state,
            remarks,
        });
    }
    let of_row = told.iter().filter(|problem| !named.contains(&problem.name.as_str()));
    CarBack {
        car: row.cell(C::Car).unwrap_or_default().to_owned(),
        dealer: row.cell(C::Dealer).unwrap_or_default().to_owned(),
        line: row.place().line,
        left_out: !sound,
        remarks: of_row.map(said).collect(),
        facts,
    }
}

/// A tidy cell as a person reads it.
fn with_unit(text: &str, content: &Content) -> String {
    match content {
        Content::Number { unit, .. } => {
            let number =
                text.parse::<f64>().map(|value| super::columns::plain((value * 1e4).round() / 1e4));
            let number = number.unwrap_or_else(|_| text.to_owned());
            let unit = if *unit == "%" { "per cent" } else { unit };
            format!("{number} {unit}").trim_end().to_owned()
        }
        Content::Money { .. } => match super::cells::cents(text) {
            Some(cents) => cents.to_string(),
            None => text.to_owned(),
        },
        _ => text.to_owned(),
    }
}
