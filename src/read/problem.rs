//! What is wrong in a file, where, and what to write instead.

use std::fmt;
use std::sync::Arc;

use serde::{Serialize, Serializer};

use super::columns::plain;
use super::spot::{Excerpt, Spot};
use crate::check::Code;
use crate::words::is_hidden;
pub(super) use crate::words::one_of;

/// One fault of one file (or one warning; they differ only in the list they stand in).
///
/// ```
/// use spanyard::check::Code;
/// use spanyard::read::Problem;
///
/// let problem = Problem {
///     code: Code::NotANumber,
///     file: "upper-drum.csv".into(),
///     line: 7,
///     column: 31,
///     end_column: 36,
///     sheet: None,
///     excerpt: None,
///     name: "camber_in".to_owned(),
///     text: "1 1/2".to_owned(),
///     wrong: "is not a plain number".to_owned(),
///     instead: "write decimal inches".to_owned(),
/// };
/// assert_eq!(
///     problem.to_string(),
///     "upper-drum.csv:7:31: D04 camber_in: `1 1/2` is not a plain number; write decimal inches"
/// );
/// ```
#[derive(Clone, Debug, PartialEq, Eq, Serialize)]
pub struct Problem {
    /// Which kind of fault; `explain` tells more.
    pub code: Code,
    /// The file as named on the command line.
    #[serde(serialize_with = "text")]
    pub file: Arc<str>,
    /// Line from 1; 0 where the fault is of the file as a whole.
    pub line: u64,
    /// Column from 1, in characters, of the first character of the cell or key; 0 with line 0.
    pub column: u64,
    /// Column of the first character behind it in its line; the same where the cell is blank.
    pub end_column: u64,
    /// The sheet of a workbook; `line` is then its row, and `column` counts columns, A being 1.
    #[serde(skip_serializing_if = "Option::is_none", serialize_with = "sheet_text")]
    pub sheet: Option<Arc<str>>,
    /// Name of the column or key; empty where the fault is of the row or file.
    #[serde(rename = "column_name")]
    pub name: String,
    /// The offending text as it stands in the file, without surrounding blanks; empty for none.
    pub text: String,
    /// What is wrong with it, as the end of a sentence that begins with the text.
    pub wrong: String,
    /// What to write instead, as an order.
    pub instead: String,
    /// The line of the file, or the cell of the workbook; none where the fault is of the file.
    #[serde(skip_serializing_if = "Option::is_none")]
    pub excerpt: Option<Excerpt>,
}

/// Writes the shared name of a file as plain text.
pub(super) fn text<S: Serializer>(file: &Arc<str>, serializer: S) -> Result<S::Ok, S::Error> {
    serializer.serialize_str(file)
}

/// Writes the shared name of a sheet as plain text.
fn sheet_text<S: Serializer>(sheet: &Option<Arc<str>>, serializer: S) -> Result<S::Ok, S::Error> {
    serializer.serialize_str(sheet.as_deref().unwrap_or_default())
}

/// A column of a sheet by its letters: 1 is A, 27 is AA; nothing for 0.
fn column_letters(mut column: u64) -> String {
    let mut letters = Vec::new();
    while column > 0 {
        column -= 1;
        letters.push(char::from(b'A' + (column % 26) as u8));
        column /= 26;
    }
    letters.iter().rev().collect()
}

/// A cell as users of spreadsheets name it: `C7`.
pub(super) fn cell_name(column: u64, row: u64) -> String {
    format!("{}{row}", column_letters(column))
}

/// Most columns of a file; no list of the trade has as many.
pub(super) const MOST_COLUMNS: usize = 1000;

/// Longest piece of offending text that a message repeats, in characters.
const QUOTED_MOST: usize = 60;

/// A sentence in which a library may have quoted what a file holds, without what plays tricks.
fn tame(sentence: String) -> String {
    let tricks = |c: char| c.is_control() || is_hidden(c);
    if !sentence.contains(tricks) {
        return sentence;
    }
    let mut tamed = String::with_capacity(sentence.len() + 16);
    for character in sentence.chars() {
        if tricks(character) {
            tamed.extend(character.escape_default());
        } else {
            tamed.push(character);
        }
    }
    tamed
}

/// Text from a file made fit for a message: on one line, without control characters, and cut short.
#[must_use]
pub(super) fn shown(text: &str) -> String {
    let mut shown = String::new();
    for (place, character) in text.chars().enumerate() {
        if place == QUOTED_MOST {
            shown.push('…');
            break;
        }
        if character.is_control() || is_hidden(character) {
            shown.extend(character.escape_default());
        } else {
            shown.push(character);
        }
    }
    shown
}

impl Problem {
    /// A fault of a file as a whole, such as one that cannot be opened.
    #[must_use]
    pub fn of_file(
        code: Code,
        file: Arc<str>,
        wrong: impl Into<String>,
        instead: impl Into<String>,
    ) -> Self {
        Self {
            code,
            file,
            line: 0,
            column: 0,
            end_column: 0,
            sheet: None,
            name: String::new(),
            text: String::new(),
            wrong: tame(wrong.into()),
            instead: tame(instead.into()),
            excerpt: None,
        }
    }

    /// A cell beyond the most columns that a file may have.
    pub(super) fn too_wide(file: Arc<str>, text: &str, spot: Spot) -> Self {
        let most = plain(MOST_COLUMNS as f64);
        let wrong = format!("stands beyond column {most}, and {most} columns are the most");
        let instead = "delete the columns that no car needs, or correct what separates the cells";
        let problem = Self::of_file(Code::FileTooLarge, file, wrong, instead);
        Self { text: shown(text), ..problem.at(spot) }
    }

    /// The same at a place of its file.
    pub(super) fn at(self, spot: Spot) -> Self {
        let Spot { line, column, end_column, sheet, excerpt } = spot;
        Self { line, column, end_column, sheet, excerpt, ..self }
    }

    /// The cell of a workbook as its users name it: `Sheet!C7`.
    #[must_use]
    pub fn cell_of_sheet(&self) -> Option<String> {
        let sheet = self.sheet.as_deref()?;
        Some(format!("{sheet}!{}", cell_name(self.column, self.line)))
    }
}

impl fmt::Display for Problem {
    /// `file:line:column: CODE name: text what is wrong; what to write`, on one line; of a workbook
    /// the place is `file:Sheet!C7`.
    fn fmt(&self, f: &mut fmt::Formatter<'_>) -> fmt::Result {
        write!(f, "{}:", self.file)?;
        if let Some(cell) = self.cell_of_sheet() {
            write!(f, "{cell}:")?;
        } else if self.line > 0 {
            write!(f, "{}:{}:", self.line, self.column)?;
        }
        write!(f, " {}", self.code)?;
        if !self.name.is_empty() {
            write!(f, " {}:", self.name)?;
        }
        if !self.text.is_empty() {
            write!(f, " `{}`", self.text)?;
        }
        write!(f, " {}; {}", self.wrong, self.instead)
    }
}

/// All problems of all files of one run, by file, line and column.
#[derive(Clone, Debug, Default, PartialEq, Eq, Serialize)]
#[serde(transparent)]
pub struct Problems(pub Vec<Problem>);

impl Problems {
    /// The problems in order.
    pub fn iter(&self) -> std::slice::Iter<'_, Problem> {
        self.0.iter()
    }

    /// How many there are.
    #[must_use]
    pub fn len(&self) -> usize {
        self.0.len()
    }

    /// Whether there is none.
    #[must_use]
    pub fn is_empty(&self) -> bool {
        self.0.is_empty()
    }
}

impl fmt::Display for Problems {
    /// One problem to a line.
    fn fmt(&self, f: &mut fmt::Formatter<'_>) -> fmt::Result {
        for (place, problem) in self.0.iter().enumerate() {
            if place > 0 {
                f.write_str("\n")?;
            }
            write!(f, "{problem}")?;
        }
        Ok(())
    }
}

impl std::error::Error for Problems {}

impl<'a> IntoIterator for &'a Problems {
    type Item = &'a Problem;
    type IntoIter = std::slice::Iter<'a, Problem>;

    fn into_iter(self) -> Self::IntoIter {
        self.0.iter()
    }
}

/// What one file gives besides its values.
#[derive(Clone, Debug)]
pub(super) struct Findings {
    /// What must be put right.
    pub problems: Vec<Problem>,
    /// What is wrong with single rows, which can be read without them.
    pub of_rows: Vec<Problem>,
    /// What may stand but deserves a look.
    pub warnings: Vec<Problem>,
    /// Of so many the file is full.
    most: usize,
}

/// So many problems and warnings of one file are kept; a file with more is not what it is taken for.
pub(super) const FINDINGS_MOST: usize = 200_000;

impl Default for Findings {
    fn default() -> Self {
        Self::up_to(FINDINGS_MOST)
    }
}

impl Findings {
    /// Room for so many.
    pub fn up_to(most: usize) -> Self {
        Self { problems: Vec::new(), of_rows: Vec::new(), warnings: Vec::new(), most }
    }

    /// How many there are.
    pub fn len(&self) -> usize {
        self.problems.len() + self.of_rows.len() + self.warnings.len()
    }

    /// Takes those of what follows.
    pub fn add(&mut self, mut next: Self) {
        self.problems.append(&mut next.problems);
        self.of_rows.append(&mut next.of_rows);
        self.warnings.append(&mut next.warnings);
    }

    /// Takes what was found since there were so many problems for what is wrong with one row.
    pub fn of_a_row(&mut self, before: usize) {
        self.of_rows.extend(self.problems.drain(before.min(self.problems.len())..));
    }

    /// Takes what is wrong with single rows for what is wrong with the file.
    pub fn unite(&mut self) {
        self.problems.append(&mut self.of_rows);
    }

    /// Takes away those of another file.
    pub fn take_of(&mut self, file: &str) -> Self {
        let of_file = |problem: &mut Problem| *problem.file == *file;
        let problems = self.problems.extract_if(.., of_file).collect();
        let warnings = self.warnings.extract_if(.., of_file).collect();
        Self { problems, warnings, ..Self::up_to(self.most) }
    }

    /// Whether there is room for so many more without being full.
    pub fn has_room_for(&self, more: usize) -> bool {
        self.len() + more < self.most
    }

    /// Whether there are so many that the file is not worth reading on, so that they cannot use up
    /// the memory.
    pub fn is_full(&self) -> bool {
        !self.has_room_for(0)
    }

    /// Puts both lists into the order of the file.
    pub fn sort(&mut self) {
        for list in [&mut self.problems, &mut self.of_rows, &mut self.warnings] {
            // Of several at one place the order must not depend on who found them first.
            list.sort_by(|a, b| {
                let place = |problem: &Problem| (problem.line, problem.column);
                place(a).cmp(&place(b)).then_with(|| a.code.id().cmp(b.code.id()))
            });
        }
    }
}

#[cfg(test)]
mod tests {
    use super::*;

    #[test]
    fn shown_text_is_short_and_harmless() {
        assert_eq!(shown("a\u{1b}[31m\nb"), "a\\u{1b}[31m\\nb");
        assert_eq!(shown(&"x".repeat(99)).chars().count(), QUOTED_MOST + 1);
    }

    #[test]
    fn columns_of_a_sheet_have_letters() {
        for (column, letters) in
            [(0, ""), (1, "A"), (26, "Z"), (27, "AA"), (702, "ZZ"), (703, "AAA"), (16_384, "XFD")]
        {
            assert_eq!(column_letters(column), letters);
        }
    }

    #[test]
    fn whole_file_problems_have_no_line() {
        let problem =
            Problem::of_file(Code::FileUnreadable, "a.csv".into(), "is not there", "look");
        assert_eq!(problem.to_string(), "a.csv: D01 is not there; look");
    }
}
