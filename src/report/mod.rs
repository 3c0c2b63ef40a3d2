//! Renders what the other stages found: pure functions from inputs, plan and width to text.
//!
//! [`facts`] picks and merges what is to be said, once; [`terminal`], [`json`], [`csv`], [`page`],
//! [`workbook`] and [`geojson`] say it, so that they never disagree. Nothing here reads a file, asks the clock or prints.

pub mod csv;
mod deck_drawing;
pub mod docs;
pub mod drawing;
pub mod facts;
pub mod geojson;
pub mod json;
pub mod logo;
pub mod outline;
pub mod page;
pub mod provenance;
pub mod rating;
pub mod readback;
pub mod sheets;
pub mod tables;
pub mod templates;
pub mod terminal;
mod text;
pub mod workbook;

#[cfg(test)]
mod fixture;

use facts::PlanReport;
use provenance::PageContext;

/// A file to write, or a folder of them.
#[derive(Clone, Debug, PartialEq, Eq)]
pub enum Made {
    /// One file.
    File(Vec<u8>),
    /// Files of a folder.
    Folder(Vec<sheets::SheetFile>),
}

/// What an option of an output takes.
#[derive(Clone, Copy, Debug, PartialEq, Eq)]
pub enum Takes {
    /// The name of a file.
    File,
    /// The name of a folder.
    Folder,
}

impl Takes {
    /// The word in `--help`.
    #[must_use]
    pub fn word(self) -> &'static str {
        match self {
            Self::File => "FILE",
            Self::Folder => "DIR",
        }
    }
}

/// Why an output could not be made; does not happen when writing to memory.
pub type NotMade = Box<dyn std::error::Error + Send + Sync>;

/// A form in which a plan is written beside its answer: an option of `plan` with its name.
#[derive(Debug)]
pub struct OutputFormat {
    /// The option, without its hyphens.
    pub option: &'static str,
    /// The option as it is typed.
    pub flag: &'static str,
    /// What the option takes.
    pub takes: Takes,
    /// What it writes, in the words of `--help`.
    pub help: &'static str,
    /// Makes it.
    pub make: fn(&PlanReport<'_>, &PageContext) -> Result<Made, NotMade>,
}

/// Every output format: a new one is a module of its own and a row here.
pub const OUTPUT_FORMATS: &[OutputFormat] = &[
    OutputFormat {
        option: "report",
        flag: "--report",
        takes: Takes::File,
        help: "Write the plan as a page for board and engineer, HTML; it prints",
        make: |report, context| Ok(Made::File(page::plan(report, context)?.into_bytes())),
    },
    OutputFormat {
        option: "workbook",
        flag: "--workbook",
        takes: Takes::File,
        help: "Write the plan as a workbook with live sums, XLSX",
        make: |report, context| {
            let tables = tables::all(report, context);
            let date = report.inputs.order_date;
            Ok(Made::File(workbook::workbook(&tables, context, date)?))
        },
    },
    OutputFormat {
        option: "sheets",
        flag: "--sheets",
        takes: Takes::Folder,
        help: "Write requests to dealers, inspection forms, crew sheets and every table as CSV to a \
               folder",
        make: |report, context| Ok(Made::Folder(sheets::all(report, context)?)),
    },
    OutputFormat {
        option: "geojson",
        flag: "--geojson",
        takes: Takes::File,
        help: "Write crossings, yards and hauls for maps, GeoJSON",
        make: |report, context| Ok(Made::File(geojson::plan(report, context).into_bytes())),
    },
];
