//! What must be asked of a dealer's list, and what an answer changes in its mapping.
//!
//! A question stands for all cells that it explains, so that a word which fills three columns is asked
//! once. Questions and answers are values: who asks, and where, is no matter of the reader.

mod answers;
mod cells;
mod header;

use std::fmt::Write as _;

use super::List;
use super::mapping::{MEMBERS, Mapping};
use super::scheme::INVENTORY;
use crate::read::columns::{Column, Content, Need};
use crate::read::parts::Pace;
use crate::read::problem::{Findings, Problem, shown};
use crate::read::text::SourceText;

pub use answers::{answered, corrected, left_out, with_open};
pub(super) use header::choices;

/// A question about a list.
#[derive(Clone, Debug, PartialEq, Eq)]
pub struct Question {
    /// Names it among all questions of the list; the same question has it again after other answers.
    pub id: String,
    /// The question, a sentence or two.
    pub asks: String,
    /// Cells that it explains; 0 where it is about the list as a whole.
    pub cells: usize,
    /// What is answered most.
    pub choices: Vec<Choice>,
    /// What else may be answered, in words; none where one of the choices must be taken.
    pub or_else: Option<String>,
    /// What follows as long as nobody answers.
    pub unanswered: &'static str,
    /// What an answer changes.
    pub(super) changes: Change,
}

/// An answer that is offered.
#[derive(Clone, Debug, PartialEq, Eq)]
pub struct Choice {
    /// The answer.
    pub answer: String,
    /// What it means, where the answer does not say it.
    pub means: String,
}

/// Why an answer cannot be taken. The mapping stands as it is.
#[derive(Clone, Debug, PartialEq, Eq, thiserror::Error)]
pub enum NotAnswered {
    /// It is none of the choices.
    #[error("{0} is no answer here: {1}")]
    NoChoice(String, String),
    /// The mapping is no TOML, or has something else in the place.
    #[error("the mapping cannot be changed by itself: {0}; write the answer into it by hand")]
    Mapping(String),
}

/// What an answer changes in a mapping.
#[derive(Clone, Debug, PartialEq, Eq)]
pub(super) enum Change {
    /// `key`, a word of the file as a whole.
    Key(&'static str),
    /// `[constants]`, of our column.
    Constant(&'static str),
    /// `[words.TABLE]`, of a word.
    Word(String, String),
    /// `[headings]`, of a heading.
    Heading(String),
    /// `[columns]`: what the header is.
    Header(String),
    /// `[columns]`: the unit of the header that is our column.
    Unit(String, &'static str),
    /// `[columns]`: which of the headers is our column; the others are carried with the notes.
    Which(&'static str, Vec<String>),
    /// `[cells]`, each with its text.
    Cells(Vec<String>, String),
}

impl Choice {
    fn plain(answer: &str) -> Self {
        Self::meaning(answer, "")
    }

    fn meaning(answer: &str, means: &str) -> Self {
        Self { answer: answer.to_owned(), means: means.to_owned() }
    }
}

impl Question {
    /// The answer that a text of a person is, if it is one: one of the choices, or what else may be
    /// answered.
    #[must_use]
    pub fn answer(&self, text: &str) -> Option<String> {
        let text = text.trim();
        let same = |choice: &&Choice| choice.answer.eq_ignore_ascii_case(text);
        match self.choices.iter().find(same) {
            Some(choice) => Some(choice.answer.clone()),
            None => (self.or_else.is_some() && self.may_say(text)).then(|| text.to_owned()),
        }
    }

    /// Whether a text that is none of the choices can be what else is asked for.
    fn may_say(&self, text: &str) -> bool {
        match &self.changes {
            Change::Word(..) => text
                .strip_prefix("corroded ")
                .is_some_and(|loss| loss.starts_with(|c: char| c.is_ascii_digit())),
            Change::Header(_) => INVENTORY.position(text).is_some(),
            _ => !text.is_empty(),
        }
    }

    /// The answers in words.
    #[must_use]
    pub fn answers(&self) -> String {
        let mut words = String::new();
        for choice in &self.choices {
            let gap = if words.is_empty() { "" } else { ", " };
            let answer = if choice.answer.is_empty() { "\"\"" } else { &choice.answer };
            // Writing to a String cannot fail.
            let _ = write!(words, "{gap}{answer}");
            if !choice.means.is_empty() {
                let _ = write!(words, " ({})", choice.means);
            }
        }
        if let Some(other) = &self.or_else {
            let gap = if words.is_empty() { "" } else { ", or " };
            let _ = write!(words, "{gap}{other}");
        }
        words
    }
}

/// What must be asked of a list, and the cells that were asked about; nothing where its table cannot be
/// found, with what is wrong then.
pub(in crate::read) fn asked(
    source: &SourceText,
    mapping: Option<(&SourceText, &Mapping)>,
) -> Result<(Vec<Question>, Vec<String>), Vec<Problem>> {
    let mut findings = Findings::default();
    let list = List::open(source, mapping, Default::default(), &Pace::whole(), &mut findings);
    let Some(list) = list else { return Err(findings.problems) };
    let mut asked = list.asked_of_header();
    let (of_cells, about) = list.asked_of_cells();
    asked.extend(of_cells);
    Ok((asked, about))
}

/// The question of cells that cannot be read and that no other answer explains: what they should say.
pub(in crate::read) fn asked_of_text(
    (column, header): (&Column, &str),
    cells: Vec<String>,
    was: String,
    wrong: &str,
) -> Question {
    let number = cells.len();
    let blank = Choice::meaning("", &format!("blank, which means {}", column.blank));
    let may_be_blank = column.need == Need::Optional && !column.blank.is_empty();
    Question {
        id: format!("cells.{}", cells.first().map_or("", String::as_str)),
        asks: format!(
            "{} in {} of {} ({}) {wrong}. What should it say?",
            marked(&was),
            count(number, "cell"),
            marked(header),
            some(&cells)
        ),
        cells: number,
        choices: if may_be_blank { vec![blank] } else { Vec::new() },
        or_else: Some(column.content.allowed()),
        unanswered: "the rows with such cells are left out",
        changes: Change::Cells(cells, was),
    }
}

/// `3 cells`, `1 cell`.
fn count(n: usize, noun: &str) -> String {
    format!("{n} {noun}{}", if n == 1 { "" } else { "s" })
}

/// A text between marks, short enough for a question.
fn marked(text: &str) -> String {
    format!("`{}`", shown(text))
}

/// Some names in a row, the first few of many.
fn some<S: AsRef<str>>(names: &[S]) -> String {
    const MOST: usize = 8;
    let first: Vec<&str> = names.iter().take(MOST).map(AsRef::as_ref).collect();
    let rest = names.len().saturating_sub(MOST);
    let more = if rest > 0 { format!(" and {rest} more") } else { String::new() };
    format!("{}{more}", first.join(", "))
}

/// The words that a column of words takes, as choices, and what else it takes.
fn words_of(column: &Column) -> Option<(Vec<Choice>, Option<String>)> {
    let unknown = Choice::meaning("", "leave unknown");
    let (words, other): (Vec<&str>, _) = match column.content {
        Content::Condition => (
            vec!["sound", "bent", "cracked", "missing"],
            Some("corroded and the loss in per cent, like corroded 8".to_owned()),
        ),
        Content::Words(words) => (words(), None),
        Content::YesNo => (vec!["yes", "no"], None),
        _ => return None,
    };
    let choices = words.into_iter().map(Choice::plain).chain([unknown]);
    Some((choices.collect(), other))
}
