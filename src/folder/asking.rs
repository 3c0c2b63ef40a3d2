//! Asking about a list: its open questions, and the answers in its mapping.

use std::path::PathBuf;

use super::change::{NotChanged, mark, replace};
use super::files::{Files, today};
use super::open::open_in;
use crate::read::{
    NotAnswered, Problem, Question, SourceText, answered, corrected, left_out, mapping_of,
    questions, with_open,
};
use crate::save::Disk;

/// A list with what its mapping says so far.
#[derive(Clone, Debug)]
pub struct Asking {
    /// The list in the folder.
    pub list: PathBuf,
    /// Its bytes, under that name.
    pub source: SourceText,
    /// The text of its mapping; none where its columns are our own.
    pub mapping: Option<String>,
}

impl Asking {
    /// What is still to be answered, in the order in which it is asked. Where the list or its mapping
    /// cannot be understood at all there is nothing: its read-back says why.
    #[must_use]
    pub fn questions(&self) -> Vec<Question> {
        let name = self.mapping_file().display().to_string();
        let mapping = self.mapping.as_ref().map(|text| SourceText::new(&name, text.as_bytes()));
        // Our own columns leave nothing to ask that a cell could not say.
        if mapping.is_none() {
            return Vec::new();
        }
        questions(&self.source, mapping.as_ref(), today()).unwrap_or_default()
    }

    /// Puts an answer into the mapping.
    ///
    /// # Errors
    /// [`NotAnswered`]; the mapping is as it was, then.
    pub fn answer(&mut self, question: &Question, answer: &str) -> Result<(), NotAnswered> {
        let text = answered(self.mapping.as_deref().unwrap_or_default(), question, answer)?;
        self.mapping = Some(text);
        Ok(())
    }

    /// Corrects a cell that the list has otherwise.
    ///
    /// # Errors
    /// [`NotAnswered`]; the mapping is as it was, then.
    pub fn correct(&mut self, cell: &str, was: &str, is: &str) -> Result<(), NotAnswered> {
        let text = self.mapping.as_deref().unwrap_or_default();
        self.mapping = Some(corrected(text, cell, was, is)?);
        Ok(())
    }

    /// Leaves a row out, of which the list has this ID.
    ///
    /// # Errors
    /// [`NotAnswered`]; the mapping is as it was, then.
    pub fn leave_out(&mut self, row: u64, id: &str, why: &str) -> Result<(), NotAnswered> {
        let text = self.mapping.as_deref().unwrap_or_default();
        self.mapping = Some(left_out(text, row, id, why)?);
        Ok(())
    }

    /// The file of the mapping.
    #[must_use]
    pub fn mapping_file(&self) -> PathBuf {
        PathBuf::from(mapping_of(&self.list.display().to_string()))
    }
}

/// A list of the folder to ask about, and the mark of its mapping as it stands.
///
/// # Errors
/// The list cannot be opened.
pub fn asking(files: &Files, list: PathBuf) -> Result<(Asking, String), Box<Problem>> {
    let source = open_in(&files.root, &list)?;
    let mut asking = Asking { list, source, mapping: None };
    let file = asking.mapping_file();
    if files.at(&file).is_file() {
        let text = open_in(&files.root, &file)?;
        asking.mapping = String::from_utf8(text.bytes).ok();
    }
    let mark = mark(&files.root, &file).unwrap_or_default();
    Ok((asking, mark))
}

/// Writes the mapping of a list with the answers, what is still open at its end.
///
/// # Errors
/// [`NotChanged`]; the mapping is as it was, then.
pub fn keep_answers(
    files: &Files,
    asking: &Asking,
    was: &str,
    disk: &dyn Disk,
) -> Result<(), NotChanged> {
    let text = with_open(asking.mapping.as_deref().unwrap_or_default(), &asking.questions());
    replace(disk, &files.root, &asking.mapping_file(), text.as_bytes(), was)
}
