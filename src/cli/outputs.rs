//! The files that `plan` writes beside its answer: page, workbook, sheets, GeoJSON.

use std::fs;
use std::path::{Path, PathBuf};

use anyhow::{Context, Result, bail};
use clap::ValueEnum;
use spanyard::model::inputs::Inputs;
use spanyard::report::facts::PlanReport;
use spanyard::report::provenance::{HashedFile, PageContext, Paper};
use spanyard::report::{geojson, page, sheets, tables, workbook};

use super::files::FileArgs;

/// Where to write what.
#[derive(Debug, clap::Args)]
pub struct OutputArgs {
    /// Write the plan as a page for board and engineer, HTML; it prints
    #[arg(long, value_name = "FILE")]
    report: Option<PathBuf>,

    /// Write the plan as a workbook with live sums, XLSX
    #[arg(long, value_name = "FILE")]
    workbook: Option<PathBuf>,

    /// Write requests to dealers, inspection forms, crew sheets and every table as CSV to a folder
    #[arg(long, value_name = "DIR")]
    sheets: Option<PathBuf>,

    /// Write crossings, yards and hauls for maps, GeoJSON
    #[arg(long, value_name = "FILE")]
    geojson: Option<PathBuf>,

    /// Paper that page, sheets and workbook print on
    #[arg(long, value_enum, default_value_t = PaperArg::Letter)]
    paper: PaperArg,
}

/// Paper sizes by name.
#[derive(Clone, Copy, Debug, PartialEq, Eq, ValueEnum)]
enum PaperArg {
    /// US Letter
    Letter,
    /// A4
    A4,
}

impl OutputArgs {
    /// Writes what was asked for and says so, a line for each.
    ///
    /// # Errors
    /// When a file cannot be written.
    pub fn write(
        &self,
        inputs: &Inputs,
        report: &PlanReport<'_>,
        files: &FileArgs,
    ) -> Result<String> {
        let mut said = String::new();
        if !self.any() {
            return Ok(said);
        }
        let context = self.context(report, files)?;
        let inputs_read = files.paths();
        let mut write = |path: &Path, bytes: &[u8]| -> Result<()> {
            said.push_str(&write_file(path, bytes, &inputs_read)?);
            Ok(())
        };
        if let Some(path) = &self.report {
            write(path, page::plan(report, &context)?.as_bytes())?;
        }
        if let Some(path) = &self.workbook {
            let tables = tables::all(report, &context);
            write(path, &workbook::workbook(&tables, &context, inputs.order_date)?)?;
        }
        if let Some(path) = &self.geojson {
            write(path, geojson::plan(report, &context).as_bytes())?;
        }
        if let Some(folder) = &self.sheets {
            fs::create_dir_all(folder)
                .with_context(|| format!("{} cannot be made", folder.display()))?;
            for sheet in sheets::all(report, &context)? {
                write(&folder.join(&sheet.name), sheet.content.as_bytes())?;
            }
        }
        Ok(said)
    }

    /// Whether anything was asked for.
    pub fn any(&self) -> bool {
        [&self.report, &self.workbook, &self.sheets, &self.geojson].iter().any(|o| o.is_some())
    }

    fn context(&self, report: &PlanReport<'_>, files: &FileArgs) -> Result<PageContext> {
        let mut hashed = Vec::new();
        for path in files.paths() {
            let bytes = fs::read(&path)
                .with_context(|| format!("{} cannot be read again", path.display()))?;
            hashed.push(HashedFile::new(&path.display().to_string(), &bytes));
        }
        let paper = match self.paper {
            PaperArg::Letter => Paper::Letter,
            PaperArg::A4 => Paper::A4,
        };
        let words: Vec<String> = std::env::args().skip(1).collect();
        let command = format!("spanyard {}", words.join(" "));
        Ok(PageContext::new(report, hashed, &command, paper))
    }
}

/// Writes a file, unless it is one of those that were read, and says so.
pub fn write_file(path: &Path, bytes: &[u8], inputs_read: &[PathBuf]) -> Result<String> {
    if inputs_read.iter().any(|input| same_file(input, path)) {
        bail!("{} is one of the files to read: choose another name", path.display());
    }
    fs::write(path, bytes).with_context(|| format!("{} cannot be written", path.display()))?;
    Ok(format!("wrote {}\n", path.display()))
}

/// Whether two paths lead to one file. A file that does not exist yet is no other.
fn same_file(a: &Path, b: &Path) -> bool {
    matches!((fs::canonicalize(a), fs::canonicalize(b)), (Ok(a), Ok(b)) if a == b)
}
