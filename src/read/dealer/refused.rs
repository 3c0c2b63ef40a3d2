//! Why a workbook is not read.

use crate::check::Code;
use crate::read::problem::Problem;
use crate::read::spot::Spot;
use crate::read::text::SourceText;

/// It has too much of something.
pub(super) fn too_large(source: &SourceText, wrong: impl Into<String>) -> Box<Problem> {
    let instead = "save the one sheet with the cars as CSV";
    Box::new(Problem::of_file(Code::FileTooLarge, source.name.clone(), wrong, instead))
}

/// It is no workbook, or not all of one.
pub(super) fn broken(source: &SourceText, why: &str) -> Box<Problem> {
    let wrong = format!("cannot be read as a workbook: {why}");
    let instead = "open and save it again as XLSX, or save the sheet as CSV";
    Box::new(Problem::of_file(Code::FileUnreadable, source.name.clone(), wrong, instead))
}

/// A cell, row and column from 0, that stands beyond the last column that may be.
pub(super) fn too_wide(
    source: &SourceText,
    sheet: &str,
    (row, column): (u32, u32),
    text: &str,
) -> Box<Problem> {
    let spot = Spot::of_cell(sheet.into(), u64::from(row) + 1, u64::from(column) + 1, text);
    Box::new(Problem::too_wide(source.name.clone(), text, spot))
}
