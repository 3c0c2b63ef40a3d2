//! Validated values that the stages pass on: cars, yards, lots, crossings, rules and the plan.
//!
//! Nothing here is raw text any more; `read` is the only stage that builds these from files. Blank
//! cells have become `None`, which every later stage must treat as unknown.

pub mod car;
pub mod closed;
pub mod columns;
pub mod crossing;
pub mod crossing_columns;
pub mod decision;
pub mod ends;
pub mod evidence;
pub mod haul_quote;
pub mod index;
pub mod inputs;
pub mod inventory;
mod members;
pub mod place;
pub mod plan;
pub mod rules;
pub mod season;
mod told;
pub mod vehicles;
pub mod width;
pub mod yard;

/// Declares a word list: an enum whose variants are spelled one way in files, tables and JSON.
macro_rules! words {
    ($(#[$doc:meta])* $name:ident { $($(#[$vdoc:meta])* $variant:ident = $word:literal,)* }) => {
        $(#[$doc])*
        #[derive(
            Clone, Copy, Debug, PartialEq, Eq, PartialOrd, Ord, Hash,
            serde::Serialize, serde::Deserialize,
        )]
        pub enum $name {
            $($(#[$vdoc])* #[serde(rename = $word)] $variant,)*
        }

        impl $name {
            /// Every word, in the order of the documentation.
            pub const ALL: &'static [Self] = &[$(Self::$variant,)*];

            /// Every word as written.
            #[must_use]
            pub fn words() -> Vec<&'static str> {
                Self::ALL.iter().map(|word| word.word()).collect()
            }

            /// The word as written in files and tables.
            #[must_use]
            pub fn word(self) -> &'static str {
                match self { $(Self::$variant => $word,)* }
            }

            /// The value for a word, if the word is known.
            #[must_use]
            pub fn from_word(word: &str) -> Option<Self> {
                Self::ALL.iter().copied().find(|v| v.word().eq_ignore_ascii_case(word.trim()))
            }
        }

        impl std::fmt::Display for $name {
            fn fmt(&self, f: &mut std::fmt::Formatter<'_>) -> std::fmt::Result {
                f.pad(self.word())
            }
        }
    };
}
pub(crate) use words;
