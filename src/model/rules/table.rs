//! The table of rule keys. A row of it makes a field of the rules, its built-in value, its limits,
//! its line in the output of `spanyard rules`, and what the reader of rules files accepts.

use std::fmt::Write as _;

/// What a key holds. The limits keep out what cannot be meant: another unit, a percentage for a
/// share, a sign turned round.
#[derive(Clone, Copy, Debug)]
pub enum Kind {
    /// A number, least and greatest included.
    Number(f64, f64),
    /// A number above the first and up to the second.
    Above(f64, f64),
    /// A number from the first and below the second.
    Below(f64, f64),
    /// An amount of dollars, to the cent; least and greatest included.
    Money(f64, f64),
    /// A whole number, least and greatest included.
    Whole(i64, i64),
    /// `true` or `false`.
    Bool,
    /// Text, not blank.
    Text,
    /// A list of texts, none blank; capitals do not count.
    Texts,
    /// A list of names as written, none blank.
    Names,
    /// One of a few words.
    Word(fn() -> Vec<&'static str>),
    /// A list of some of a few words, at least as many as the number says.
    Words(fn() -> Vec<&'static str>, usize),
    /// A day.
    Day,
    /// A list of whole numbers, each from the first to the second, exactly as many as the third.
    Wholes(i64, i64, usize),
    /// A list of numbers, each above the first and up to the second, at least and at most as many
    /// as the last two.
    Numbers(f64, f64, usize, usize),
}

/// One key.
#[derive(Clone, Copy, Debug)]
pub struct Key {
    /// Its name.
    pub name: &'static str,
    /// What it may hold.
    pub kind: Kind,
    /// The built-in value as TOML; an example in round brackets where the key may be left out; empty
    /// for the keys of lists.
    pub built_in: &'static str,
    /// What it means.
    pub about: &'static str,
    /// Where the built-in value comes from; empty where the table says it for all its keys.
    pub source: &'static str,
}

/// One table of keys.
#[derive(Clone, Copy, Debug)]
pub struct Table {
    /// Its path: `rating.resistance_factors`.
    pub path: &'static str,
    /// What it is about.
    pub about: &'static str,
    /// Where the values come from.
    pub source: &'static str,
    /// Its keys. A key that a rules file gives replaces the built-in one, the others stay.
    pub keys: &'static [Key],
}

/// A list of tables. A list that a rules file gives replaces the built-in one whole, and each of its
/// tables needs all keys.
#[derive(Clone, Copy, Debug)]
pub struct List {
    /// Its path: `joint`.
    pub path: &'static str,
    /// The keys of each of its tables.
    pub keys: &'static [Key],
    /// The built-in list as TOML with its remarks; an example in comments where there is none.
    pub text: &'static str,
}

/// A part of the rules file.
#[derive(Clone, Copy, Debug)]
pub enum Section {
    /// One table.
    Table(Table),
    /// A list of tables.
    List(List),
}

/// Declares a table of keys and the struct that holds its values.
macro_rules! table {
    (
        $(#[doc = $doc:literal])+
        $(#[derive $derive:tt])?
        $name:ident $path:literal, $source:literal {
            $(
                $(#[doc = $about:literal])+
                $(#[serde $attr:tt])?
                $key:ident: $type:ty = $built_in:tt, $kind:expr $(, $key_source:literal)?;
            )*
            $(inner {
                $($(#[doc = $inner_doc:literal])+ $(#[serde $inner_attr:tt])? $inner:ident: $inner_type:ty;)*
            })?
        }
    ) => {
        $(#[doc = $doc])+
        #[derive(Clone, Debug, PartialEq, serde::Serialize, serde::Deserialize)]
        $(#[derive $derive])?
        #[serde(deny_unknown_fields)]
        pub struct $name {
            $($(#[doc = $about])+ $(#[serde $attr])? pub $key: $type,)*
            $($($(#[doc = $inner_doc])+ $(#[serde $inner_attr])? pub $inner: $inner_type,)*)?
        }

        impl $name {
            /// Its keys.
            pub(super) const TABLE: $crate::model::rules::table::Table =
                $crate::model::rules::table::Table {
                    path: $path,
                    about: concat!($($doc),+),
                    source: $source,
                    keys: &[$($crate::model::rules::table::Key {
                        name: stringify!($key),
                        kind: $kind,
                        built_in: stringify!($built_in),
                        about: concat!($($about),+),
                        source: concat!($($key_source)?),
                    },)*],
                };
        }
    };
}
pub(super) use table;

/// Declares a list of tables and the struct of one of them.
macro_rules! list {
    (
        $(#[doc = $doc:literal])+
        $name:ident $path:literal {
            $($(#[doc = $about:literal])+ $(#[serde $attr:tt])? $key:ident: $type:ty, $kind:expr;)*
        }
        $text:literal
    ) => {
        $(#[doc = $doc])+
        #[derive(Clone, Debug, PartialEq, serde::Serialize, serde::Deserialize)]
        #[serde(deny_unknown_fields)]
        pub struct $name {
            $($(#[doc = $about])+ $(#[serde $attr])? pub $key: $type,)*
        }

        impl $name {
            /// The keys of each.
            pub(super) const LIST: $crate::model::rules::table::List =
                $crate::model::rules::table::List {
                    path: $path,
                    keys: &[$($crate::model::rules::table::Key {
                        name: stringify!($key),
                        kind: $kind,
                        built_in: "",
                        about: concat!($($about),+),
                        source: "",
                    },)*],
                    text: $text,
                };
        }
    };
}
pub(super) use list;

/// Most columns of a line of the printed rules.
const WIDE: usize = 108;

/// Column at which the remark of a long line would begin too late, so that it goes above the line.
const LATE: usize = 48;

/// All sections as a rules file with remarks.
pub(super) fn text(opening: &str, sections: &[Section]) -> String {
    let mut out = String::new();
    remark(&mut out, "", opening);
    for section in sections {
        out.push('\n');
        match section {
            Section::Table(table) => write_table(&mut out, table),
            Section::List(list) => {
                out.push_str(list.text.trim());
                out.push('\n');
            }
        }
    }
    out
}

fn write_table(out: &mut String, table: &Table) {
    remark(out, "", &sentence(table.about, table.source));
    // Writing to a String cannot fail.
    let _ = writeln!(out, "[{}]", table.path);
    let assigned = table.keys.iter().map(assignment).collect::<Vec<_>>();
    let lengths = assigned.iter().map(String::len).filter(|length| *length < LATE);
    let column = lengths.max().unwrap_or_default() + 2;
    for (key, line) in table.keys.iter().zip(assigned) {
        let about = sentence(key.about, key.source);
        if line.len() >= LATE {
            remark(out, "", &about);
            let _ = writeln!(out, "{line}");
        } else {
            remark(out, &format!("{line:<column$}"), &about);
        }
    }
}

/// `key = value`, in a comment where the key may be left out; a long list on several lines.
fn assignment(key: &Key) -> String {
    let value = key.built_in.split_whitespace().collect::<Vec<_>>().join(" ");
    let example = value.strip_prefix('(').and_then(|value| value.strip_suffix(')'));
    let line = match (example, key.kind) {
        (Some(day), Kind::Day) => format!("# {} = {}", key.name, day.trim_matches('"')),
        (Some(value), _) => format!("# {} = {value}", key.name),
        (None, _) => format!("{} = {value}", key.name),
    };
    if line.len() <= WIDE {
        return line;
    }
    let mut lines = vec![String::new()];
    // Texts of a list have blanks within, so that lines part behind commas alone.
    for part in line.split_inclusive(", ") {
        let full = lines.last().is_some_and(|last| last.len() + part.trim_end().len() > WIDE);
        if full {
            lines.push("    ".to_owned());
        }
        if let Some(last) = lines.last_mut() {
            last.push_str(part);
        }
    }
    lines.iter().map(|line| line.trim_end()).collect::<Vec<_>>().join("\n")
}

/// What it means, and where it comes from behind a semicolon.
fn sentence(about: &str, source: &str) -> String {
    let about = about.trim().trim_end_matches('.');
    if source.is_empty() { about.to_owned() } else { format!("{about}; {source}") }
}

/// Writes a remark behind the beginning of its first line, the later lines under the first.
fn remark(out: &mut String, beginning: &str, words: &str) {
    let mut line = format!("{beginning}#");
    let mut empty = true;
    for word in words.split_whitespace() {
        if !empty && line.len() + 1 + word.len() > WIDE {
            out.push_str(&line);
            out.push('\n');
            line = format!("{:1$}#", "", beginning.len());
        }
        line.push(' ');
        line.push_str(word);
        empty = false;
    }
    out.push_str(if empty { line.trim_end_matches('#').trim_end() } else { &line });
    out.push('\n');
}

#[cfg(test)]
mod tests {
    use super::*;
    use crate::model::rules::{DEFAULT_RULES, SECTIONS};

    const TABLE: Table = Table {
        path: "haul",
        about: " Haul.",
        source: "ours",
        keys: &[
            Key {
                name: "road_factor",
                kind: Kind::Number(1.0, 10.0),
                built_in: "1.25",
                about: " Road miles per mile.",
                source: "",
            },
            Key {
                name: "day",
                kind: Kind::Day,
                built_in: "(\"2026-06-01\")",
                about: " The day; left out: today.",
                source: "a guess",
            },
        ],
    };

    #[test]
    fn a_table_prints_with_its_remarks_in_line() {
        let expected = "\
# Opening

# Haul; ours
[haul]
road_factor = 1.25  # Road miles per mile
# day = 2026-06-01  # The day; left out: today; a guess
";
        assert_eq!(text("Opening", &[Section::Table(TABLE)]), expected);
    }

    #[test]
    fn the_printed_rules_are_narrow_and_each_value_has_its_source() {
        for line in DEFAULT_RULES.lines() {
            assert!(line.len() <= WIDE, "{line}");
            assert_eq!(line.trim_end(), line);
        }
        for section in SECTIONS {
            let Section::Table(table) = section else { continue };
            for key in table.keys {
                assert!(!key.about.trim().is_empty(), "{}.{}", table.path, key.name);
            }
        }
    }
}
