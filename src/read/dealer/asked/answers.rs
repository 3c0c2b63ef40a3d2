//! What an answer changes in the text of a mapping, and the open questions at its end.

use toml_edit::{DocumentMut, InlineTable, Item, Table, TableLike, Value};

use super::{Change, NotAnswered, Question};
use crate::read::columns::Content;
use crate::read::dealer::headers::words;
use crate::read::dealer::mapping::IN_CELLS;
use crate::read::dealer::scheme::INVENTORY;
use crate::read::dealer::squeezed::squeezed;
use crate::read::units::Unit;

/// The lines between which open questions stand in a mapping, as comments.
const OPEN: &str = "# --- Open questions ---";
const END: &str = "# --- End of the open questions ---";

/// The text of a mapping with an answer.
///
/// # Errors
/// [`NotAnswered`].
pub fn answered(mapping: &str, question: &Question, answer: &str) -> Result<String, NotAnswered> {
    let Some(answer) = question.answer(answer) else {
        return Err(NotAnswered::NoChoice(answer.to_owned(), question.answers()));
    };
    let mut mapping = parsed(mapping)?;
    let text = || Value::from(answer.as_str());
    match &question.changes {
        Change::Key(key) => {
            mapping.insert(key, Item::Value(text()));
        }
        Change::Constant(column) => set(table(&mut mapping, &["constants"])?, column, text()),
        Change::Word(name, word) => set(table(&mut mapping, &["words", name])?, word, text()),
        Change::Heading(heading) => set(table(&mut mapping, &["headings"])?, heading, text()),
        Change::Header(header) => {
            let is = match unit_open(&answer, header) {
                true => column_in(&answer, IN_CELLS),
                false => text(),
            };
            set(table(&mut mapping, &["columns"])?, header, is);
        }
        Change::Unit(header, column) => {
            let is = column_in(column, &answer);
            set(table(&mut mapping, &["columns"])?, header, is);
        }
        Change::Which(column, headers) => {
            let columns = table(&mut mapping, &["columns"])?;
            for header in headers {
                let is = match *header == answer {
                    false => Value::from("note"),
                    true if unit_open(column, header) => column_in(column, IN_CELLS),
                    true => Value::from(*column),
                };
                // Of those that are not over the IDs each may be another column of ours.
                if *header == answer || *column != "car" {
                    set(columns, header, is);
                }
            }
        }
        Change::Cells(cells, was) => {
            for cell in cells {
                correct(&mut mapping, cell, was, &answer)?;
            }
        }
    }
    Ok(mapping.to_string())
}

/// The text of a mapping that corrects one cell, which the list has otherwise.
///
/// # Errors
/// [`NotAnswered::Mapping`].
pub fn corrected(mapping: &str, cell: &str, was: &str, is: &str) -> Result<String, NotAnswered> {
    let mut mapping = parsed(mapping)?;
    correct(&mut mapping, cell, was, is)?;
    Ok(mapping.to_string())
}

/// The text of a mapping that leaves a row out, of which the list has this ID.
///
/// # Errors
/// [`NotAnswered::Mapping`].
pub fn left_out(mapping: &str, row: u64, id: &str, why: &str) -> Result<String, NotAnswered> {
    let mut mapping = parsed(mapping)?;
    let mut both = InlineTable::new();
    both.insert("car", Value::from(id));
    both.insert("out", Value::from(why));
    set(table(&mut mapping, &["rows"])?, &row.to_string(), both.into());
    Ok(mapping.to_string())
}

fn correct(mapping: &mut DocumentMut, cell: &str, was: &str, is: &str) -> Result<(), NotAnswered> {
    let mut both = InlineTable::new();
    both.insert("was", Value::from(was));
    both.insert("is", Value::from(is));
    set(table(mapping, &["cells"])?, cell, both.into());
    Ok(())
}

fn parsed(mapping: &str) -> Result<DocumentMut, NotAnswered> {
    mapping.parse().map_err(|error: toml_edit::TomlError| {
        NotAnswered::Mapping(error.message().replace('\n', ", "))
    })
}

/// A column of ours, and the unit of a header that is it.
fn column_in(column: &str, unit: &str) -> Value {
    let mut both = InlineTable::new();
    both.insert("column", Value::from(column));
    both.insert("unit", Value::from(unit));
    both.into()
}

/// Whether a header that is a column of ours leaves open in which unit it is.
fn unit_open(column: &str, header: &str) -> bool {
    let ours = INVENTORY.position(column).map(|at| &INVENTORY.columns[at]);
    let measured = ours.is_some_and(|column| match column.content {
        Content::Money { .. } => false,
        content => Unit::of_column(&content).is_some(),
    });
    measured && words(header.split('#').next().unwrap_or(header)).unit.is_none()
}

/// A table of a mapping, made where there is none.
fn table<'m>(
    mapping: &'m mut DocumentMut,
    path: &[&str],
) -> Result<&'m mut dyn TableLike, NotAnswered> {
    let mut table: &mut dyn TableLike = mapping.as_table_mut();
    for (at, name) in path.iter().enumerate() {
        let made = || {
            let mut made = Table::new();
            // Of `[words.members]` nobody wants to read `[words]` by itself.
            made.set_implicit(at + 1 < path.len());
            Item::Table(made)
        };
        let other = || NotAnswered::Mapping(format!("`{}` is no table", path.join(".")));
        table = table.entry(name).or_insert_with(made).as_table_like_mut().ok_or_else(other)?;
    }
    Ok(table)
}

/// Sets a value, in the place of one whose key is the same to the reader.
fn set(table: &mut dyn TableLike, key: &str, value: Value) {
    let same = table.iter().map(|(known, _)| known.to_owned());
    let known = same.into_iter().find(|known| squeezed(known) == squeezed(key));
    let key = known.as_deref().unwrap_or(key);
    match table.get_mut(key).and_then(Item::as_value_mut) {
        // What stands behind a value, such as a comment that asks for it, was for that value.
        Some(old) => *old = value.decorated(" ", ""),
        None => {
            table.insert(key, Item::Value(value));
        }
    }
}

/// The text of a mapping with these questions at its end, as comments, in the place of those that stand
/// there.
#[must_use]
pub fn with_open(mapping: &str, open: &[Question]) -> String {
    let mut kept = String::new();
    let mut within = false;
    for line in mapping.lines() {
        within |= line.starts_with(OPEN);
        if !within {
            kept.push_str(line);
            kept.push('\n');
        }
        within &= !line.starts_with(END);
    }
    if open.is_empty() {
        return kept;
    }
    let mut text = format!("{}\n\n{OPEN}\n", kept.trim_end());
    text.push_str("# `spanyard answer LIST` asks them one by one; or write the lines that hold, without the #.\n");
    // Each table once, since a file may open it but once.
    let mut tables: Vec<String> = Vec::new();
    for name in open.iter().map(Question::table) {
        if !tables.contains(&name) {
            tables.push(name);
        }
    }
    for name in &tables {
        let heads = |line: &str| line.split('#').next().unwrap_or_default().trim() == name;
        match name.as_str() {
            "" => text.push_str("\n# At the top of this file, above all tables:\n"),
            _ if kept.lines().any(heads) => text.push_str(&format!("\n# Under {name} above:\n")),
            _ => text.push_str(&format!("\n# {name}\n")),
        }
        for question in open.iter().filter(|question| question.table() == *name) {
            text.push_str(&format!("\n# {}\n", question.asks));
            text.push_str(&format!("#   Answers: {}.\n", question.answers()));
            text.push_str(&format!("#   Until then {}.\n", question.unanswered));
            question.lines().iter().for_each(|line| text.push_str(&format!("# {line}\n")));
        }
    }
    text.push_str(&format!("\n{END}\n"));
    text
}

impl Question {
    /// The header of the mapping's table that an answer goes to; nothing for a word of the whole list.
    fn table(&self) -> String {
        match &self.changes {
            Change::Key(_) => String::new(),
            Change::Constant(_) => "[constants]".to_owned(),
            Change::Word(name, _) => format!("[words.{name}]"),
            Change::Heading(_) => "[headings]".to_owned(),
            Change::Header(_) | Change::Unit(..) | Change::Which(..) => "[columns]".to_owned(),
            Change::Cells(..) => "[cells]".to_owned(),
        }
    }

    /// The lines of a mapping that an answer makes, with dots in its place.
    fn lines(&self) -> Vec<String> {
        let key = |key: &str| Value::from(key).to_string();
        match &self.changes {
            Change::Key(name) | Change::Constant(name) => vec![format!("{name} = \"...\"")],
            Change::Word(_, word) | Change::Heading(word) | Change::Header(word) => {
                vec![format!("{} = \"...\"", key(word))]
            }
            Change::Unit(header, column) => {
                vec![format!("{} = {{ column = \"{column}\", unit = \"...\" }}", key(header))]
            }
            Change::Which(column, headers) => {
                let line = |header| format!("{} = \"{column}\"    # or \"note\"", key(header));
                headers.iter().map(|header| line(header.as_str())).collect()
            }
            Change::Cells(cells, was) => {
                let line =
                    |cell: &String| format!("{cell} = {{ was = {}, is = \"...\" }}", key(was));
                cells.iter().map(line).collect()
            }
        }
    }
}
