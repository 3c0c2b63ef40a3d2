//! A column of a dealer's file, which remembers what its cells came to.

use std::borrow::Cow;

use super::{Meaning, Outcome, tidy};
use crate::read::columns::Content;
use crate::read::dealer::grid::Kind;

/// So many texts of a column are remembered at most.
const REMEMBERED_MOST: u16 = 8192;

/// One of our columns as the dealer fills it. Lists repeat themselves: cars of one series have one
/// length, and one condition is like the next.
pub(in crate::read::dealer) struct Column<'m> {
    /// What is known of it.
    pub meaning: Meaning<'m>,
    /// Texts seen, and what they came to.
    seen: Vec<(String, Outcome<'static>)>,
    /// Each text has one slot, which says where it is among those seen. Another text with that slot
    /// takes its place, so that no list, however strange, makes looking slow.
    slots: Vec<u16>,
}

impl<'m> Column<'m> {
    /// A column of which no cell was seen yet.
    pub fn new(meaning: Meaning<'m>) -> Self {
        Self { meaning, seen: Vec::new(), slots: Vec::new() }
    }

    /// As [`tidy`].
    pub fn tidy<'t>(&'t mut self, text: &'t str, kind: Kind) -> Outcome<'t> {
        let content = self.meaning.column().content;
        let differs = matches!(content, Content::Text | Content::Name);
        if differs || kind != Kind::Text {
            return tidy(text, kind, &self.meaning);
        }
        if self.slots.is_empty() {
            self.slots.resize(usize::from(REMEMBERED_MOST), u16::MAX);
        }
        let slot = &mut self.slots[slot(text)];
        let known = self.seen.get(usize::from(*slot));
        if known.is_none_or(|(known, _)| known != text) {
            let outcome = tidy(text, kind, &self.meaning);
            let owned = outcome.map(|(text, note)| (Cow::Owned(text.into_owned()), note));
            let entry = (text.to_owned(), owned);
            match self.seen.get_mut(usize::from(*slot)) {
                Some(known) => *known = entry,
                None => {
                    // There are no more of them than slots.
                    *slot = self.seen.len() as u16;
                    self.seen.push(entry);
                }
            }
        }
        match self.seen.get(usize::from(*slot)) {
            Some((_, Ok((text, note)))) => Ok((Cow::Borrowed(text), note.clone())),
            Some((_, Err(note))) => Err(note.clone()),
            None => tidy(text, kind, &self.meaning),
        }
    }
}

/// The slot of a text.
fn slot(text: &str) -> usize {
    // An odd number without a pattern spreads the bits; the upper ones depend on all that came before.
    const SPREAD: u64 = 0x9E37_79B9_7F4A_7C15;
    let mixed = text.as_bytes().chunks(8).fold(text.len() as u64, |mixed, chunk| {
        let eight = chunk.iter().fold(0, |eight, &byte| eight << 8 | u64::from(byte));
        (mixed.rotate_left(5) ^ eight).wrapping_mul(SPREAD)
    });
    (mixed >> 32) as usize % usize::from(REMEMBERED_MOST)
}
