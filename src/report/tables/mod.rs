//! The plan as tables of typed cells, once for the workbook and the CSV files.

mod bridges;
mod buying;
mod confirm;
mod reasons;
mod sources;

pub(crate) use buying::leaving;

use jiff::civil::Date;

use crate::quantity::Cents;
use crate::report::csv::{NotWritten, harmless};
use crate::report::facts::PlanReport;
use crate::report::provenance::PageContext;

/// What a column holds, for formats and widths.
#[derive(Clone, Copy, Debug, PartialEq, Eq)]
pub enum Kind {
    /// Short words: names and codes.
    Word,
    /// Sentences.
    Words,
    /// Whole numbers.
    Count,
    /// Measures, with so many decimals.
    Measure(u8),
    /// Dollars and cents.
    Money,
    /// Days.
    Day,
}

/// A column: its name in files and its heading for people.
#[derive(Clone, Copy, Debug, PartialEq, Eq)]
pub struct Column {
    /// Name with unit, as in CSV: `span_ft`.
    pub key: &'static str,
    /// Heading: `Span, ft`.
    pub title: &'static str,
    /// What it holds.
    pub kind: Kind,
}

/// One cell.
#[derive(Clone, Debug, PartialEq)]
pub enum Cell {
    /// Nothing known, or nothing to say.
    Blank,
    /// Words.
    Text(String),
    /// A count.
    Count(i64),
    /// A measure in the column's unit.
    Number(f64),
    /// Money.
    Money(Cents),
    /// A day.
    Day(Date),
}

impl From<&str> for Cell {
    fn from(text: &str) -> Self {
        if text.is_empty() { Self::Blank } else { Self::Text(text.to_owned()) }
    }
}

impl From<String> for Cell {
    fn from(text: String) -> Self {
        if text.is_empty() { Self::Blank } else { Self::Text(text) }
    }
}

impl From<usize> for Cell {
    fn from(count: usize) -> Self {
        Self::Count(i64::try_from(count).unwrap_or(i64::MAX))
    }
}

impl From<u32> for Cell {
    fn from(count: u32) -> Self {
        Self::Count(i64::from(count))
    }
}

impl From<f64> for Cell {
    fn from(number: f64) -> Self {
        Self::Number(number)
    }
}

impl From<Cents> for Cell {
    fn from(amount: Cents) -> Self {
        Self::Money(amount)
    }
}

impl From<Date> for Cell {
    fn from(day: Date) -> Self {
        Self::Day(day)
    }
}

impl<T: Into<Cell>> From<Option<T>> for Cell {
    fn from(value: Option<T>) -> Self {
        value.map_or(Self::Blank, Into::into)
    }
}

/// A table.
#[derive(Clone, Debug, PartialEq)]
pub struct Table {
    /// Name of the CSV file without its ending: `shopping`.
    pub name: &'static str,
    /// Name of the sheet: `Shopping list`.
    pub title: &'static str,
    /// The columns.
    pub columns: &'static [Column],
    /// The rows, each with a cell per column.
    pub rows: Vec<Vec<Cell>>,
}

impl Table {
    /// The index of a column.
    #[must_use]
    pub fn column(&self, key: &str) -> Option<usize> {
        self.columns.iter().position(|column| column.key == key)
    }

    /// The table as CSV. Text that a spreadsheet would take for a formula (beginning with `=`, `+`,
    /// `-` or `@`) stands behind an apostrophe.
    ///
    /// # Errors
    /// Never in practice: the table is written to memory.
    pub fn csv(&self) -> Result<String, NotWritten> {
        let mut writer = ::csv::Writer::from_writer(Vec::new());
        let header = self.columns.iter().map(|column| column.key);
        writer.write_record(header).map_err(|_| NotWritten)?;
        for row in &self.rows {
            writer.write_record(row.iter().map(plain)).map_err(|_| NotWritten)?;
        }
        let bytes = writer.into_inner().map_err(|_| NotWritten)?;
        String::from_utf8(bytes).map_err(|_| NotWritten)
    }
}

/// A cell as CSV holds it.
fn plain(cell: &Cell) -> String {
    match cell {
        Cell::Blank => String::new(),
        Cell::Text(text) => harmless(text).into_owned(),
        Cell::Count(count) => count.to_string(),
        // Adding zero turns a negative zero into zero.
        Cell::Number(number) => (number + 0.0).to_string(),
        Cell::Money(amount) => {
            let sign = if amount.0 < 0 { "-" } else { "" };
            let magnitude = amount.0.unsigned_abs();
            format!("{sign}{}.{:02}", magnitude / 100, magnitude % 100)
        }
        Cell::Day(day) => day.to_string(),
    }
}

/// All tables of a plan, in the order of the workbook.
#[must_use]
pub fn all(report: &PlanReport<'_>, context: &PageContext) -> Vec<Table> {
    vec![
        buying::shopping(report),
        bridges::crossings(report),
        bridges::decks(report),
        confirm::confirmations(report),
        buying::costs(report),
        reasons::refused(report),
        reasons::checks(report),
        sources::inputs(report, context),
    ]
}

/// Shorthand for a column.
const fn column(key: &'static str, title: &'static str, kind: Kind) -> Column {
    Column { key, title, kind }
}

#[cfg(test)]
mod tests {
    use super::*;
    use crate::report::facts::matching::Matching;
    use crate::report::fixture;
    use crate::report::provenance::Paper;
    use crate::survey::Survey;

    #[test]
    fn every_row_has_a_cell_per_column_and_csv_keeps_them() {
        let (inputs, plan, files) = (fixture::inputs(), fixture::plan(), fixture::files());
        let survey = Survey::new(&inputs);
        let matching = Matching::new(&inputs, &survey);
        let report =
            PlanReport { inputs: &inputs, plan: &plan, matching: &matching, files: &files };
        let context = PageContext::new(&report, Vec::new(), "spanyard plan", Paper::Letter);
        let tables = all(&report, &context);
        assert_eq!(tables.len(), 8);
        for table in tables {
            assert!(!table.rows.is_empty(), "{}", table.name);
            for row in &table.rows {
                assert_eq!(row.len(), table.columns.len(), "{}: {row:?}", table.name);
            }
            let text = table.csv().unwrap();
            let mut reader = ::csv::Reader::from_reader(text.as_bytes());
            assert_eq!(reader.records().filter(Result::is_ok).count(), table.rows.len());
        }
    }

    #[test]
    fn nothing_in_a_csv_is_a_formula() {
        for (cell, text) in [
            (Cell::from("=1+1"), "'=1+1"),
            (Cell::from("@cmd"), "'@cmd"),
            (Cell::from("-HYPERLINK"), "'-HYPERLINK"),
            (Cell::from("UD-1"), "UD-1"),
            (Cell::Number(-1.5), "-1.5"),
            (Cell::Number(-0.0), "0"),
            (Cell::Money(Cents(-105)), "-1.05"),
        ] {
            assert_eq!(plain(&cell), text);
        }
    }
}
