//! Blank tables to fill in: a workbook with the columns of a file, a note on each, and drop-down lists.

use rust_xlsxwriter::{
    DataValidation, DataValidationErrorStyle, DocProperties, ExcelDateTime, Format, FormatAlign,
    FormatBorder, Note, Workbook,
};

use super::workbook::NotWritten;
use crate::read::{Column, Content, Need};

/// Rows with drop-down lists; more can be filled in without.
const ROWS: u32 = 500;

/// Longest list that a spreadsheet takes as one text, in characters.
const LIST_MOST: usize = 255;

/// A workbook with one empty table of these columns. `choices` are the names that a column of names
/// can have, such as deck systems.
///
/// # Errors
/// When the columns are more than a sheet holds.
pub fn blank(
    sheet: &str,
    columns: &[Column],
    choices: &[(&str, Vec<String>)],
) -> Result<Vec<u8>, NotWritten> {
    let mut book = Workbook::new();
    // A fixed day, so that the same columns give the same bytes.
    let day = ExcelDateTime::from_ymd(2026, 1, 1)?;
    book.set_properties(&DocProperties::new().set_creation_datetime(&day));
    let page = book.add_worksheet().set_name(sheet)?;
    let header = || {
        let line = Format::new().set_bold().set_text_wrap().set_align(FormatAlign::Top);
        line.set_border_bottom(FormatBorder::Medium)
    };
    let needed = header().set_background_color("#E4E0D6");
    let text = Format::new().set_num_format("@");
    for (at, column) in (0_u16..).zip(columns) {
        let format = if column.need == Need::Required { &needed } else { &header() };
        page.write_with_format(0, at, column.name, format)?;
        page.insert_note(0, at, &Note::new(about(column)).set_width(260).set_height(150))?;
        page.set_column_width(at, (column.name.chars().count() as f64 + 3.0).max(12.0))?;
        // IDs keep their leading zeros.
        if matches!(column.content, Content::Name | Content::Names) {
            page.set_column_format(at, &text)?;
        }
        let named = choices.iter().find(|(name, _)| *name == column.name);
        let words = named.map(|(_, names)| names.clone()).or_else(|| words(&column.content));
        if let Some(words) = words.filter(|words| words.join(",").chars().count() <= LIST_MOST) {
            let list = DataValidation::new()
                .allow_list_strings(&words)?
                .set_error_style(DataValidationErrorStyle::Information)
                .set_error_message(
                    "This is none of the usual words; see the note in the header.",
                )?;
            page.add_data_validation(1, at, ROWS, at, &list)?;
        }
    }
    page.set_freeze_panes(1, 1)?;
    Ok(book.save_to_buffer()?)
}

/// The words that a cell can hold; none where it is free.
fn words(content: &Content) -> Option<Vec<String>> {
    let words: Vec<&str> = match content {
        Content::Words(words) | Content::SomeWords(words) => words(),
        Content::YesNo => vec!["yes", "no"],
        _ => return None,
    };
    Some(words.into_iter().map(str::to_owned).collect())
}

/// The note in a header cell.
fn about(column: &Column) -> String {
    let blank = match column.need {
        Need::Required => "must be filled in".to_owned(),
        Need::Optional => format!("blank means: {}", column.blank),
    };
    format!("{}.\nWrite: {}.\n{blank}.", column.about, column.content.allowed())
}

#[cfg(test)]
mod tests {
    use super::*;
    use crate::read::{Columns, CrossingColumn, YardColumn};

    #[test]
    fn the_notes_say_what_a_blank_means() {
        let column = |name: &str| *CrossingColumn::ALL.iter().find(|c| c.name == name).unwrap();
        let crane = about(&column("crane_limit_lb"));
        assert!(crane.contains("blank means: not known; every car is barred"), "{crane}");
        assert!(about(&column("road")).ends_with("must be filled in."));
    }

    #[test]
    fn the_same_columns_give_the_same_bytes() {
        let decks = [("deck", vec!["timber".to_owned(), "concrete".to_owned()])];
        let once = blank("Crossings", CrossingColumn::ALL, &decks).unwrap();
        assert_eq!(once, blank("Crossings", CrossingColumn::ALL, &decks).unwrap());
        assert!(blank("Yards", YardColumn::ALL, &[]).unwrap().starts_with(b"PK"));
    }
}
