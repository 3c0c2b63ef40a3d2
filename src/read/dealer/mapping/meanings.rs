//! What a dealer's words mean: the tables `[words.COLUMN]` of a mapping, and `[words.members]`.

use std::collections::HashMap;

use toml::Spanned;
use toml::de::{DeTable, DeValue};

use super::reader::Reader;
use super::{MEMBERS, Mapping, Stated};
use crate::model::inventory::Inventory;
use crate::read::columns::{Columns, Content};
use crate::read::dealer::squeezed::squeezed;
use crate::read::spot::Spot;

impl Reader<'_> {
    pub fn words(&mut self, mapping: &mut Mapping, value: &Spanned<DeValue<'_>>) {
        let Some(tables) = self.table("words", value) else { return };
        let mut of_members = HashMap::new();
        for (name, words) in tables {
            if name.get_ref() == MEMBERS {
                let Some(words) = self.table(MEMBERS, words) else { continue };
                of_members = self.meanings(words);
                continue;
            }
            let Some(at) = self.our(&name.span(), name.get_ref()) else { continue };
            let Some(words) = self.table(name.get_ref(), words) else { continue };
            let has_words = matches!(
                Inventory::ALL[at].content,
                Content::Words(_) | Content::YesNo | Content::Condition | Content::Availability
            );
            if !has_words {
                self.problem(
                    &name.span(),
                    name.get_ref(),
                    "is not a column of words",
                    "leave it out",
                );
                continue;
            }
            let meanings = self.meanings(words);
            mapping.words.entry(at).or_default().extend(meanings);
        }
        // What is said of one member alone goes before what is said of all.
        let columns = Inventory::ALL.iter().enumerate();
        for (at, _) in columns.filter(|(_, column)| matches!(column.content, Content::Condition)) {
            for (word, meaning) in &of_members {
                let words = mapping.words.entry(at).or_default();
                words.entry(word.clone()).or_insert_with(|| meaning.clone());
            }
        }
    }

    /// The words of one table, squeezed, with what they mean.
    fn meanings(&mut self, words: &DeTable<'_>) -> HashMap<String, Stated> {
        let mut meanings = HashMap::new();
        for (word, meaning) in words {
            let spot = Spot::of(self.text, meaning.span());
            // An empty text says that the word means nothing known.
            let text = match meaning.get_ref() {
                DeValue::String(text) => text.to_string(),
                _ => match self.string(word.get_ref(), meaning) {
                    Some(meaning) => meaning,
                    None => continue,
                },
            };
            let before = meanings.insert(squeezed(word.get_ref()), Stated { text, spot });
            if before.is_some() {
                let wrong = "stands twice, but for case, blanks and punctuation";
                self.problem(&word.span(), word.get_ref(), wrong, "keep one of the two");
            }
        }
        meanings
    }
}
