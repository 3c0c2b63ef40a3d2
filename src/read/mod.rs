//! Reads files into validated inputs.
//!
//! The stage is a pure function of the files' bytes. It reports every problem of every file in one
//! run, each with its place, what is wrong and what to write instead, and gives inputs only when
//! there is none. Blank cells become `None`: unknown, and never taken as good. It does not open
//! files, and it does not judge cars: a car that nobody would buy is read like any other.
//!
//! ```
//! use spanyard::read::{Sources, SourceText, read};
//!
//! let sources = Sources {
//!     inventories: vec![SourceText::new(
//!         "cars.csv",
//!         "car,dealer,yard,length_ft\nUD-7,Drumfell Reclaim,Upper Drum,89'-4\"\n",
//!     )],
//!     yards: Some(SourceText::new(
//!         "yards.csv",
//!         "dealer,yard,latitude_deg,longitude_deg,loading_usd,trip_usd\n\
//!          Drumfell Reclaim,Upper Drum,44.1,-40.2,600,900\n",
//!     )),
//!     ..Sources::default()
//! };
//! let problems = read(&sources, jiff::civil::date(2026, 6, 1)).unwrap_err();
//! assert_eq!(
//!     problems.to_string(),
//!     "cars.csv:2:34: D04 length_ft: `89'-4\"` is feet and inches, not a plain number; \
//!      write digits and a decimal point, in ft"
//! );
//! ```

mod cells;
pub mod columns;
mod crossings;
mod headers;
mod inventory;
mod names;
mod problem;
mod rules;
mod table;
mod text;
mod yards;

use std::sync::Arc;

use jiff::civil::Date;
use serde::Serialize;

pub use columns::{Column, Columns, Content, Need};
pub use crossings::CrossingColumn;
pub use inventory::Inventory;
pub use problem::{Problem, Problems};
pub use rules::rules;
pub use text::SourceText;
pub use yards::{LotColumn, YardColumn};

use crate::check::Code;
use crate::model::inputs::{CarIx, Inputs};
use problem::Findings;
use table::Taken;

/// The files of one run, as bytes under their names.
#[derive(Clone, Debug, Default, PartialEq, Eq)]
pub struct Sources {
    /// Inventories, in any order.
    pub inventories: Vec<SourceText>,
    /// Yards; needed as soon as there is an inventory or a lot.
    pub yards: Option<SourceText>,
    /// Lots; needed only if a car belongs to one.
    pub lots: Option<SourceText>,
    /// Crossings.
    pub crossings: Option<SourceText>,
    /// The agency's rules over the built-in ones.
    pub rules: Option<SourceText>,
}

/// Which kind of file.
#[derive(Clone, Copy, Debug, PartialEq, Eq, Serialize)]
#[serde(rename_all = "snake_case")]
pub enum FileKind {
    /// Cars of one dealer or several.
    Inventory,
    /// Yards and their terms.
    Yards,
    /// Lots and their prices.
    Lots,
    /// Crossings.
    Crossings,
    /// Rules.
    Rules,
}

/// What was read from one file.
#[derive(Clone, Debug, PartialEq, Eq, Serialize)]
pub struct FileRead {
    /// The file as named on the command line.
    #[serde(serialize_with = "problem::text")]
    pub name: Arc<str>,
    /// Which kind of file.
    pub kind: FileKind,
    /// Rows that are not blank, without the header; for rules 0.
    pub rows: usize,
}

/// All that came of the files.
#[derive(Clone, Debug)]
pub struct Reading {
    /// The validated inputs.
    pub inputs: Inputs,
    /// The files with their numbers of rows, in the order of [`Sources`].
    pub files: Vec<FileRead>,
    /// What may stand but deserves a look, in the order of the files.
    pub warnings: Vec<Problem>,
}

/// Reads and validates all files. The day of the order is that of the rules, else `today`.
///
/// # Errors
///
/// All problems of all files, in the order of [`Sources`], by line and column.
pub fn read(sources: &Sources, today: Date) -> Result<Reading, Problems> {
    let mut files = Files::default();

    // Rules first, because crossings refer to them; their findings still come last.
    let mut of_rules = Findings::default();
    let rules = rules::examine(sources.rules.as_ref(), &mut of_rules);
    let order_date =
        rules.rules.as_ref().and_then(|rules| rules.purchase.order_date).unwrap_or(today);

    let mut of_yards = Findings::default();
    let yards = sources.yards.as_ref().map(|source| yards::yards(source, &mut of_yards));
    let (yards, yards_taken) = yards.unzip();

    let mut of_lots = Findings::default();
    let lots = sources.lots.as_ref().map(|file| yards::lots(file, yards.as_ref(), &mut of_lots));
    let (lots, lots_taken) = lots.unzip();
    let mut lots = lots.unwrap_or_default();

    let mut cars = Vec::new();
    let mut context = inventory::Context {
        yards: yards.as_ref(),
        lots: &lots,
        order_year: order_date.year(),
        seen: names::Names::default(),
    };
    for source in &sources.inventories {
        let mut findings = Findings::default();
        let taken = inventory::read(source, &mut context, &mut cars, &mut findings);
        if yards.is_none() {
            findings.problems.push(no_yards(source));
        }
        files.add(source, FileKind::Inventory, taken, findings);
    }
    cars.sort_by(|a, b| (&a.dealer, &a.id).cmp(&(&b.dealer, &b.id)));
    for (index, car) in cars.iter().enumerate() {
        if let Some(lot) = car.lot.and_then(|lot| lots.list.get_mut(lot.0)) {
            lot.cars.push(CarIx(index));
        }
    }

    let mut of_crossings = Findings::default();
    let crossings = sources
        .crossings
        .as_ref()
        .map(|source| crossings::read(source, &rules.known, &mut of_crossings));
    let (crossings, crossings_taken) = crossings.unzip();

    if let (None, Some(source)) = (&yards, &sources.lots) {
        of_lots.problems.push(no_yards(source));
    }
    for lot in lots.list.iter().filter(|lot| lot.cars.is_empty() && !sources.inventories.is_empty())
    {
        let warning = Problem::of_file(
            Code::RefersToNothing,
            lot.place.file.clone(),
            format!("is a lot of {} without a car in the inventories", lot.dealer),
            "add its cars, or remove the row",
        );
        let (name, text) = ("lot".to_owned(), problem::shown(&lot.name));
        of_lots.warnings.push(Problem { line: lot.place.line, column: 1, name, text, ..warning });
    }

    let rest = [
        (&sources.yards, FileKind::Yards, yards_taken, of_yards),
        (&sources.lots, FileKind::Lots, lots_taken, of_lots),
        (&sources.crossings, FileKind::Crossings, crossings_taken, of_crossings),
        (&sources.rules, FileKind::Rules, None, of_rules),
    ];
    for (source, kind, taken, findings) in rest {
        if let Some(source) = source {
            files.add(source, kind, taken.unwrap_or_default(), findings);
        }
    }
    let Some(rules) = rules.rules.filter(|_| files.problems.is_empty()) else {
        return Err(Problems(files.problems));
    };
    let inputs = Inputs {
        cars,
        yards: yards.map(|yards| yards.list).unwrap_or_default(),
        lots: lots.list,
        crossings: crossings.unwrap_or_default(),
        rules,
        order_date,
    };
    Ok(Reading { inputs, files: files.read, warnings: files.warnings })
}

/// What is gathered file by file.
#[derive(Default)]
struct Files {
    read: Vec<FileRead>,
    problems: Vec<Problem>,
    warnings: Vec<Problem>,
}

impl Files {
    fn add(&mut self, source: &SourceText, kind: FileKind, taken: Taken, mut findings: Findings) {
        findings.sort();
        self.problems.append(&mut findings.problems);
        self.warnings.append(&mut findings.warnings);
        self.read.push(FileRead { name: source.name.clone(), kind, rows: taken.rows });
    }
}

/// Cars and lots stand in yards, so there must be some.
fn no_yards(source: &SourceText) -> Problem {
    Problem::of_file(
        Code::RefersToNothing,
        source.name.clone(),
        "names yards, and no yards file was given",
        "give the yards file with --yards",
    )
}
