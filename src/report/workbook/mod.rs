//! The plan as a workbook: a summary with charts, then the tables with live sums, ready to filter and to
//! print.
//!
//! Sums are formulas with our own result beside them, so that the book is right before and after
//! somebody recalculates it. Text stays text: a name that begins with `=` is no formula.

mod summary;
mod sums;

use rust_xlsxwriter::{
    DocProperties, ExcelDateTime, Format, FormatAlign, FormatBorder, Workbook, Worksheet, XlsxError,
};

use super::provenance::{PageContext, Paper};
use super::tables::{Cell, Column, Kind, Table};
use jiff::civil::Date;

/// Why a workbook could not be written: a table larger than a workbook holds.
#[derive(Debug, thiserror::Error)]
#[error("the workbook could not be written: {0}")]
pub struct NotWritten(#[from] XlsxError);

/// Longer texts than this are cut; a cell holds 32,767 characters.
const LONGEST_TEXT: usize = 32_000;

/// The formats of a book.
struct Formats {
    header: Format,
    text: Format,
    count: Format,
    measures: [Format; 7],
    money: Format,
    day: Format,
    bold: Format,
    total: Format,
    total_money: Format,
}

impl Formats {
    fn new() -> Self {
        let plain = || Format::new().set_align(FormatAlign::Top);
        let total = || Format::new().set_bold().set_border_top(FormatBorder::Double);
        Self {
            header: Format::new()
                .set_bold()
                .set_text_wrap()
                .set_align(FormatAlign::Top)
                .set_background_color("#E4E0D6")
                .set_border_bottom(FormatBorder::Medium),
            // A little room at the left keeps words off the numbers before them.
            text: plain().set_text_wrap().set_indent(1),
            count: plain().set_num_format("#,##0"),
            measures: [0_usize, 1, 2, 3, 4, 5, 6].map(|decimals| {
                let zeros = "0".repeat(decimals);
                let point = if decimals == 0 { "" } else { "." };
                plain().set_num_format(format!("#,##0{point}{zeros}"))
            }),
            money: plain().set_num_format(MONEY),
            day: plain().set_num_format("yyyy-mm-dd"),
            bold: plain().set_bold(),
            total: total(),
            total_money: total().set_num_format(MONEY),
        }
    }

    fn of(&self, kind: Kind) -> &Format {
        match kind {
            Kind::Word | Kind::Words => &self.text,
            Kind::Count => &self.count,
            Kind::Measure(decimals) => &self.measures[usize::from(decimals.min(6))],
            Kind::Money => &self.money,
            Kind::Day => &self.day,
        }
    }
}

const MONEY: &str = "$#,##0.00;[Red]-$#,##0.00";

/// The workbook's bytes.
///
/// # Errors
/// When a table has more rows than a sheet holds (1,048,576).
pub fn workbook(
    tables: &[Table],
    context: &PageContext,
    order_date: Date,
) -> Result<Vec<u8>, NotWritten> {
    let mut book = Workbook::new();
    // The day of the order, not of the clock: the same plan gives the same bytes.
    let day = day(order_date)?;
    book.set_properties(
        &DocProperties::new()
            .set_title(format!("Plan {}", context.plan_id))
            .set_subject(&context.version)
            .set_comment(format!("Inputs {}", context.inputs_hash))
            .set_creation_datetime(&day),
    );
    let formats = Formats::new();
    summary::write(book.add_worksheet(), tables, &formats, context)?;
    for table in tables {
        let sheet = book.add_worksheet();
        write(sheet, table, &formats, context)?;
        sums::write(sheet, table, tables, &formats)?;
    }
    Ok(book.save_to_buffer()?)
}

fn write(
    sheet: &mut Worksheet,
    table: &Table,
    formats: &Formats,
    context: &PageContext,
) -> Result<(), XlsxError> {
    sheet.set_name(table.title)?;
    for (column, index) in table.columns.iter().zip(0..) {
        sheet.write_string_with_format(0, index, column.title, &formats.header)?;
        sheet.set_column_width(index, width(table, column))?;
    }
    let widths: Vec<f64> = table.columns.iter().map(|column| width(table, column)).collect();
    // Headings are bold, and share their cell with the button of the filter.
    let heads = table.columns.iter().zip(&widths).map(|(c, &w)| (c.title, (w - 3.0).max(4.0)));
    sheet.set_row_height(0, height(heads))?;
    for (row, at) in table.rows.iter().zip(1..) {
        for ((cell, column), index) in row.iter().zip(table.columns).zip(0..) {
            put(sheet, (at, index), cell, formats.of(column.kind))?;
        }
        let texts = row.iter().zip(&widths).filter_map(|(cell, &width)| match cell {
            Cell::Text(text) => Some((text.as_str(), width)),
            _ => None,
        });
        sheet.set_row_height(at, height(texts))?;
    }
    sheet.set_freeze_panes(1, 0)?;
    let last = table.columns.len().saturating_sub(1) as u16;
    sheet.autofilter(0, 0, table.rows.len().max(1) as u32, last)?;
    sheet.set_repeat_rows(0, 0)?;
    let wide: f64 = widths.iter().sum();
    let pages = if wide > PAGE_WIDTH { 2 } else { 1 };
    set_print(sheet, context, pages);
    sheet.set_print_gridlines(true);
    if pages > 1 {
        // The second page would not say of what it speaks.
        sheet.set_repeat_columns(0, 0)?;
    }
    Ok(())
}

/// Characters that a page of landscape holds and people can read: 10 in at 7 points.
const PAGE_WIDTH: f64 = 180.0;

/// How a sheet prints: landscape, on so many pages side by side, with its origin on each.
fn set_print(sheet: &mut Worksheet, context: &PageContext, pages: u16) {
    sheet.set_landscape();
    sheet.set_paper_size(match context.paper {
        Paper::Letter => 1,
        Paper::A4 => 9,
    });
    sheet.set_margins(0.4, 0.4, 0.5, 0.6, 0.3, 0.3);
    sheet.set_print_fit_to_pages(pages, 0);
    sheet.set_footer(format!(
        "&L{} plan {}, inputs {}&RPage &P of &N",
        context.version.replace('&', "&&"),
        context.plan_id,
        context.short_hash()
    ));
}

fn put(
    sheet: &mut Worksheet,
    (row, column): (u32, u16),
    cell: &Cell,
    format: &Format,
) -> Result<(), XlsxError> {
    match cell {
        Cell::Blank => {}
        Cell::Text(text) => {
            let text: String = text.chars().take(LONGEST_TEXT).collect();
            sheet.write_string_with_format(row, column, text, format)?;
        }
        Cell::Count(count) => {
            sheet.write_number_with_format(row, column, *count as f64, format)?;
        }
        Cell::Number(number) => {
            sheet.write_number_with_format(row, column, *number, format)?;
        }
        Cell::Money(amount) => {
            sheet.write_number_with_format(row, column, amount.as_dollars(), format)?;
        }
        Cell::Day(date) => {
            sheet.write_datetime_with_format(row, column, day(*date)?, format)?;
        }
    }
    Ok(())
}

/// A day as the book counts it; days before 1900 have none.
fn day(date: Date) -> Result<ExcelDateTime, XlsxError> {
    let year = u16::try_from(date.year().max(1900)).unwrap_or(1900);
    let part = |part: i8| u8::try_from(part).unwrap_or(1);
    ExcelDateTime::from_ymd(year, part(date.month()), part(date.day()))
}

/// A column as wide as its longest cell, within reason for its kind; narrower where many columns
/// share a page.
fn width(table: &Table, column: &Column) -> f64 {
    let index = table.column(column.key).unwrap_or_default();
    let longest = |row: &Vec<Cell>| match row.get(index) {
        Some(Cell::Text(text)) => text.chars().count(),
        Some(Cell::Money(amount)) => amount.to_string().len(),
        _ => 0,
    };
    let cells = table.rows.iter().map(longest).max().unwrap_or_default() as f64;
    let (word_most, words_most) = match table.columns.len() {
        0..=6 => (36.0, 66.0),
        7..=12 => (30.0, 44.0),
        _ => (26.0, 28.0),
    };
    let (least, most) = match column.kind {
        Kind::Word => (8.0, word_most),
        Kind::Words => (14.0, words_most),
        Kind::Count => (8.0, 10.0),
        Kind::Measure(_) => (9.0, 10.0),
        Kind::Money => (13.0, 18.0),
        Kind::Day => (12.0, 12.0),
    };
    (cells + 3.0).clamp(least, most)
}

/// Height of a line of text in points.
const LINE: f64 = 15.0;
/// No row holds more: 409 points are the most that a workbook knows.
const MOST_LINES: usize = 27;

/// The height of a row whose texts wrap within their columns. Without it some programs lay the
/// second line of a cell over the next row.
fn height<'a>(texts: impl Iterator<Item = (&'a str, f64)>) -> f64 {
    let lines = texts.map(|(text, width)| lines(text, width)).max().unwrap_or(1);
    LINE * lines.clamp(1, MOST_LINES) as f64
}

/// About how many lines a text takes in a column that holds so many characters, broken at spaces.
fn lines(text: &str, width: f64) -> usize {
    // A character of the usual letters is a little wider than a figure, by which widths count.
    let room = ((width - 1.0) / 1.04).max(1.0);
    let (mut lines, mut used) = (1, 0.0);
    for word in text.split_whitespace() {
        let long = word.chars().count() as f64;
        if used > 0.0 && used + 1.0 + long > room {
            lines += 1;
            used = 0.0;
        } else if used > 0.0 {
            used += 1.0;
        }
        // A word longer than a line is cut.
        lines += (long / room) as usize;
        used += long % room;
    }
    lines
}

#[cfg(test)]
mod tests {
    use super::*;

    #[test]
    fn lines_break_at_spaces_and_long_words_are_cut() {
        for (text, width, count) in [
            ("", 10.0, 1),
            ("one two", 11.4, 1),
            ("one two three", 11.4, 2),
            ("one two three four five", 11.4, 3),
            ("abcdefghijklmnopqrstuvwxyz", 11.4, 3),
        ] {
            assert_eq!(lines(text, width), count, "{text:?}");
        }
    }
}
