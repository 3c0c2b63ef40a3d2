//! A column of a dealer's file, which remembers what its cells came to.

use std::borrow::Cow;
use std::collections::HashMap;

use super::{Meaning, Outcome, tidy};
use crate::read::columns::{Columns, Content};
use crate::read::dealer::grid::Kind;
use crate::read::inventory::Inventory;

/// So many different texts of a column are remembered.
const REMEMBERED_MOST: usize = 4096;

/// One of our columns as the dealer fills it. Lists repeat themselves: cars of one series have one
/// length, and one condition is like the next.
pub(in crate::read::dealer) struct Column<'m> {
    /// What is known of it.
    pub meaning: Meaning<'m>,
    /// What the texts seen came to, by place.
    outcomes: Vec<Outcome<'static>>,
    places: HashMap<String, usize>,
}

impl<'m> Column<'m> {
    /// A column of which no cell was seen yet.
    pub fn new(meaning: Meaning<'m>) -> Self {
        Self { meaning, outcomes: Vec::new(), places: HashMap::new() }
    }

    /// As [`tidy`].
    pub fn tidy<'t>(&'t mut self, text: &'t str, kind: Kind) -> Outcome<'t> {
        let content = Inventory::ALL[self.meaning.column].content;
        let differs = matches!(content, Content::Text | Content::Name);
        if differs || kind != Kind::Text {
            return tidy(text, kind, &self.meaning);
        }
        let place = match self.places.get(text) {
            Some(place) => *place,
            None => {
                let outcome = tidy(text, kind, &self.meaning);
                if self.outcomes.len() == REMEMBERED_MOST {
                    return outcome;
                }
                let owned = outcome.map(|(text, note)| (Cow::Owned(text.into_owned()), note));
                self.outcomes.push(owned);
                self.places.insert(text.to_owned(), self.outcomes.len() - 1);
                self.outcomes.len() - 1
            }
        };
        match self.outcomes.get(place) {
            Some(Ok((text, note))) => Ok((Cow::Borrowed(text), note.clone())),
            Some(Err(note)) => Err(note.clone()),
            None => tidy(text, kind, &self.meaning),
        }
    }
}
