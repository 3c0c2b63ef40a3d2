//! Names that must be unique, and names that must exist.

use std::collections::HashMap;
use std::collections::hash_map::Entry;

use crate::model::place::RowPlace;

/// Names of one kind with the place of the first row that bears each. Two names that differ only in
/// the case of letters count as one: a car listed twice must not be bought twice.
#[derive(Debug, Default)]
pub(super) struct Names {
    first: HashMap<String, RowPlace>,
}

impl Names {
    /// Adds a name under an owner; gives the place of the first if it is there already.
    pub fn add(&mut self, owner: &str, name: &str, place: RowPlace) -> Option<RowPlace> {
        self.add_key(key(owner, name), place)
    }

    /// As [`Self::add`], of a name as [`key`] makes it.
    pub fn add_key(&mut self, key: String, place: RowPlace) -> Option<RowPlace> {
        match self.first.entry(key) {
            Entry::Occupied(first) => Some(first.get().clone()),
            Entry::Vacant(free) => {
                free.insert(place);
                None
            }
        }
    }
}

/// A name under an owner, by which alike ones are known.
pub(super) fn key(owner: &str, name: &str) -> String {
    // A unit separator cannot stand in either: control characters are refused with the file.
    let mut key = String::with_capacity(owner.len() + name.len() + 1);
    key.push_str(owner);
    key.push('\u{1f}');
    key.push_str(name);
    if key.is_ascii() {
        key.make_ascii_lowercase();
        key
    } else {
        key.to_lowercase()
    }
}

/// What to say of a name that nothing defines.
#[derive(Debug, PartialEq, Eq)]
pub(super) struct Missing {
    /// What is wrong.
    pub wrong: String,
    /// What to write instead.
    pub instead: String,
}
