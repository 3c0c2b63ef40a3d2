//! What the facts of a car rest on.

use std::fmt;
use std::sync::Arc;

use super::columns::Columns;
use super::place::RowPlace;
use crate::check::Grade;

/// What one fact rests on.
#[derive(Clone, Debug, PartialEq, Eq)]
pub struct Evidence {
    /// How well it is known.
    pub grade: Grade,
    /// Who says so, and when; or which document.
    pub by: Option<String>,
    /// Where it stands.
    pub place: RowPlace,
}

impl fmt::Display for Evidence {
    /// `assumed by the agency`, `inspected by the bridge foreman, 2026-03-02`, `documented: drawing 7`.
    fn fmt(&self, f: &mut fmt::Formatter<'_>) -> fmt::Result {
        f.write_str(self.grade.words())?;
        match (&self.by, self.grade) {
            (Some(by), Grade::Documented) => write!(f, ": {by}"),
            (Some(by), _) => write!(f, " by {by}"),
            (None, _) => Ok(()),
        }
    }
}

/// A fact of a car, by the name of its column.
pub type Fact = &'static str;

/// The facts of a car that rest on something else than its row.
#[derive(Clone, Debug, Default, PartialEq)]
pub struct Evidences {
    /// What all cars of a list have in common.
    shared: Arc<[(Fact, Evidence)]>,
    /// What was found of this car alone, newest last.
    own: Vec<(Fact, Evidence)>,
}

impl Evidences {
    /// What all cars of a list have in common.
    #[must_use]
    pub fn shared(shared: Arc<[(Fact, Evidence)]>) -> Self {
        Self { shared, own: Vec::new() }
    }

    /// From now on a fact rests on this.
    pub fn set(&mut self, column: impl Columns, evidence: Evidence) {
        let column = column.column().name;
        self.own.retain(|(known, _)| *known != column);
        self.own.push((column, evidence));
    }

    /// What a fact rests on, if it is something else than the car's row.
    #[must_use]
    pub fn of(&self, column: impl Columns) -> Option<&Evidence> {
        let column = column.column().name;
        let in_list =
            |list: &'_ [(Fact, Evidence)]| list.iter().position(|(known, _)| *known == column);
        match in_list(&self.own) {
            Some(at) => self.own.get(at).map(|(_, evidence)| evidence),
            None => self.shared.get(in_list(&self.shared)?).map(|(_, evidence)| evidence),
        }
    }
}
