//! Names that must be unique, and names that must exist.

use std::collections::HashMap;
use std::collections::hash_map::{Entry, RandomState};
use std::hash::{BuildHasher, BuildHasherDefault, Hash, Hasher};
use std::sync::LazyLock;

use crate::model::place::RowPlace;

/// Names of one kind with the place of the first row that bears each. Two names that differ only in
/// the case of letters count as one: a car listed twice must not be bought twice.
#[derive(Debug, Default)]
pub(super) struct Names {
    first: HashMap<Key, RowPlace, BuildHasherDefault<Made>>,
}

/// A name under an owner, by which alike ones are known. Its hash is made with it, which several
/// threads can do at the same time.
#[derive(Debug, PartialEq, Eq)]
pub(super) struct Key {
    hash: u64,
    text: String,
}

/// Hands on the hash that a key was made with.
#[derive(Debug, Default)]
struct Made(u64);

impl Names {
    /// Adds a name under an owner; gives the place of the first if it is there already.
    pub fn add(&mut self, owner: &str, name: &str, place: RowPlace) -> Option<RowPlace> {
        self.add_key(Key::new(owner, name), place)
    }

    /// Makes room for so many more.
    pub fn reserve(&mut self, more: usize) {
        self.first.reserve(more);
    }

    /// As [`Self::add`], of a name whose key was made.
    pub fn add_key(&mut self, key: Key, place: RowPlace) -> Option<RowPlace> {
        match self.first.entry(key) {
            Entry::Occupied(first) => Some(first.get().clone()),
            Entry::Vacant(free) => {
                free.insert(place);
                None
            }
        }
    }
}

impl Key {
    /// The key of a name under an owner.
    pub fn new(owner: &str, name: &str) -> Self {
        // Chosen anew in each run, so that no file can be made of names with one and the same hash.
        static HASHES: LazyLock<RandomState> = LazyLock::new(RandomState::new);
        // A unit separator cannot stand in either: control characters are refused with the file.
        let mut text = String::with_capacity(owner.len() + name.len() + 1);
        text.push_str(owner);
        text.push('\u{1f}');
        text.push_str(name);
        if text.is_ascii() {
            text.make_ascii_lowercase();
        } else {
            text = text.to_lowercase();
        }
        Self { hash: HASHES.hash_one(&text), text }
    }
}

impl Hash for Key {
    fn hash<H: Hasher>(&self, state: &mut H) {
        state.write_u64(self.hash);
    }
}

impl Hasher for Made {
    fn write(&mut self, bytes: &[u8]) {
        for &byte in bytes {
            self.0 = self.0.rotate_left(8) ^ u64::from(byte);
        }
    }

    fn write_u64(&mut self, hash: u64) {
        self.0 = hash;
    }

    fn finish(&self) -> u64 {
        self.0
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
