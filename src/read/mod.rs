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
//!      write digits and a decimal point, in feet: 89.3333"
//! );
//! ```

mod behind;
mod cells;
mod crossings;
mod dealer;
mod decisions;
mod folder;
mod gather;
mod hash;
mod haul_columns;
mod hauls;
mod headers;
mod inventory;
mod left_out;
mod lines;
mod lookalike;
mod measure;
mod names;
mod part;
mod parted;
mod parts;
mod plain;
mod plausible;
mod problem;
mod questions;
mod readback;
mod row;
mod rows;
mod rules;
mod seasons;
mod spot;
mod table;
mod text;
mod units;
mod yard_columns;
mod yards;

use std::sync::Arc;

use jiff::civil::Date;
use serde::Serialize;

pub use crate::model::columns;
pub use crate::model::crossing_columns::CrossingColumn;
pub use crate::model::inventory::Inventory;
pub use columns::{Column, Columns, Content, Need};
pub use dealer::{
    AsWritten, Choice, NotAnswered, Question, WORKBOOK_THREAD, WrittenColumn, WrittenRow, answered,
    as_csv, as_written, corrected, draft as draft_mapping, is_dealers_list, kind_of, left_out,
    unreadable, with_open,
};
pub use decisions::Decisions;
pub use folder::{FOLDER_FILE, Folder, Lists, is_list, mapping_of};
pub use hash::sha256;
pub use haul_columns::HaulColumn;
pub use part::Part;
pub use problem::{Problem, Problems};
pub use questions::questions;
pub use readback::{Absent, CarBack, FactBack, ReadBack, State, is_named, no_such_list, read_back};
pub use rules::rules;
pub use spot::Excerpt;
pub use text::SourceText;
pub use yard_columns::{LotColumn, YardColumn};

use crate::model::inputs::Inputs;
use gather::Missing;

/// The files of one run, as bytes under their names.
#[derive(Clone, Debug, Default, PartialEq, Eq)]
pub struct Sources {
    /// Inventories, in any order.
    pub inventories: Vec<SourceText>,
    /// What the columns of dealers' own lists mean; each says which inventories it is for.
    pub mappings: Vec<SourceText>,
    /// Yards; needed as soon as there is an inventory or a lot.
    pub yards: Option<SourceText>,
    /// Lots; needed only if a car belongs to one.
    pub lots: Option<SourceText>,
    /// Crossings.
    pub crossings: Option<SourceText>,
    /// What haulers quoted.
    pub hauls: Option<SourceText>,
    /// The agency's rules over the built-in ones.
    pub rules: Option<SourceText>,
    /// Files of the run that could not be opened, and why. What refers to them is not checked.
    pub unopened: Vec<(FileKind, Problem)>,
    /// What was decided since the plan.
    pub decisions: Option<SourceText>,
    /// The part of the files that is asked for; all of them, unless somebody says so.
    pub part: Part,
    /// Whether a row of an inventory that cannot be read is left out and told, in place of refusing
    /// all files. A file of which no row can be read is refused in any case.
    pub leave_out: bool,
}

impl Sources {
    /// Whether a file of this kind could not be opened.
    fn lacks(&self, kind: FileKind) -> bool {
        self.unopened.iter().any(|(unopened, _)| *unopened == kind)
    }
}

/// Which kind of file.
#[derive(Clone, Copy, Debug, PartialEq, Eq, Serialize)]
#[serde(rename_all = "snake_case")]
pub enum FileKind {
    /// Cars of one dealer or several.
    Inventory,
    /// What the columns of a dealer's lists mean.
    Mapping,
    /// Yards and their terms.
    Yards,
    /// Lots and their prices.
    Lots,
    /// Crossings.
    Crossings,
    /// What haulers quoted.
    Hauls,
    /// Rules.
    Rules,
    /// What was decided since the plan.
    Decisions,
}

impl FileKind {
    /// Its word in JSON.
    #[must_use]
    pub fn word(self) -> &'static str {
        match self {
            Self::Inventory => "inventory",
            Self::Mapping => "mapping",
            Self::Yards => "yards",
            Self::Lots => "lots",
            Self::Crossings => "crossings",
            Self::Hauls => "hauls",
            Self::Rules => "rules",
            Self::Decisions => "decisions",
        }
    }
}

/// What was read from one file.
#[derive(Clone, Debug, PartialEq, Eq, Serialize)]
pub struct FileRead {
    /// The file as named on the command line.
    #[serde(serialize_with = "problem::text")]
    pub name: Arc<str>,
    /// Which kind of file.
    pub kind: FileKind,
    /// SHA-256 of the bytes that were read, in hexadecimal: of these and of no later ones under the
    /// same name.
    pub sha256: String,
    /// Rows that are not blank, without the header; for rules and mappings 0. Of an inventory they
    /// are the rows that became cars, or batches of like cars, and those not taken.
    pub rows: usize,
    /// Rows of a dealer's list that are none of cars, with the reason.
    #[serde(skip_serializing_if = "Vec::is_empty")]
    pub not_taken: Vec<NotTaken>,
    /// How many of those are rows that cannot be read as they stand.
    #[serde(skip_serializing_if = "is_none")]
    pub left_out: usize,
}

impl FileRead {
    /// Whether it is an inventory of which no row is that of a car.
    #[must_use]
    pub fn has_no_cars(&self) -> bool {
        self.kind == FileKind::Inventory && self.rows == self.not_taken.len()
    }
}

fn is_none(number: &usize) -> bool {
    *number == 0
}

/// A row of a dealer's list that is not that of a car.
#[derive(Clone, Debug, PartialEq, Eq, Serialize)]
pub struct NotTaken {
    /// Its line, or the row of its sheet.
    pub line: u64,
    /// What it is instead: `above the header`, `row of units`, `total` and the like.
    pub reason: String,
}

/// All that came of the files.
#[derive(Clone, Debug)]
pub struct Reading {
    /// The validated inputs, without what was decided.
    pub inputs: Inputs,
    /// What was decided since the plan; `after::decide` applies it to the inputs.
    pub decisions: Decisions,
    /// The files with their numbers of rows, in the order of [`Sources`].
    pub files: Vec<FileRead>,
    /// What may stand but deserves a look, in the order of the files.
    pub warnings: Vec<Problem>,
}

/// What a look at the files found.
#[derive(Clone, Debug)]
pub struct Checked {
    /// The validated inputs, unless there is a problem. Of cars only those whose yard is known, so
    /// none without a yards file. Without what was decided.
    pub inputs: Option<Inputs>,
    /// What was decided since the plan; `after::decide` applies it to the inputs.
    pub decisions: Decisions,
    /// The files with their numbers of rows, in the order of [`Sources`].
    pub files: Vec<FileRead>,
    /// All problems, in the order of the files, but those of mappings first.
    pub problems: Problems,
    /// What may stand but deserves a look, in the same order.
    pub warnings: Vec<Problem>,
    /// What could not be checked for want of a file, in words.
    pub not_checked: Vec<String>,
}

/// Reads and validates all files. The day of the order is that of the rules, else `today`.
///
/// # Errors
///
/// All problems of all files, in the order of [`Sources`], by line and column; first the files that
/// could not be opened.
pub fn read(sources: &Sources, today: Date) -> Result<Reading, Problems> {
    examine(sources, today).into_reading()
}

impl Checked {
    /// The inputs with what was found on the way.
    ///
    /// # Errors
    ///
    /// The problems, if there is one.
    pub fn into_reading(self) -> Result<Reading, Problems> {
        let Self { inputs, decisions, files, problems, warnings, .. } = self;
        match inputs {
            Some(inputs) => Ok(Reading { inputs, decisions, files, warnings }),
            None => Err(problems),
        }
    }
}

/// As [`read`], and gives the warnings also where there are problems.
#[must_use]
pub fn examine(sources: &Sources, today: Date) -> Checked {
    gather::gather(sources, today, Missing::IsAProblem)
}

/// Checks the files that are there, such as one dealer's inventory alone. Names that a missing file
/// would define are not checked, and [`Checked::not_checked`] says so.
///
/// ```
/// use spanyard::read::{Sources, SourceText, check};
///
/// let cars = "car,dealer,yard,width_ft\nUD-7,Drumfell Reclaim,Upper Drum,9.1\n";
/// let sources = Sources {
///     inventories: vec![SourceText::new("cars.csv", cars)],
///     ..Sources::default()
/// };
/// let checked = check(&sources, jiff::civil::date(2026, 6, 1));
/// assert!(checked.problems.is_empty());
/// assert_eq!(checked.not_checked, ["yards of cars and lots: no yards file was given"]);
/// ```
#[must_use]
pub fn check(sources: &Sources, today: Date) -> Checked {
    gather::gather(sources, today, Missing::IsNotChecked)
}
