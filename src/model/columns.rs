//! The columns of the files: name, content, limits, meaning. The readers and docs/formats.md both
//! come from these tables.

use std::fmt::Write as _;

use crate::quantity::group_thousands;
use crate::words::one_of;

/// What a cell of a column holds.
#[derive(Clone, Copy, Debug)]
pub enum Content {
    /// Free text on one line.
    Text,
    /// A name on one line.
    Name,
    /// A plain number.
    Number {
        /// Its unit, as in the column's name: `ft`.
        unit: &'static str,
        /// Least value of the trade, included.
        least: f64,
        /// Greatest value of the trade, included.
        most: f64,
        /// What is likely wrong with a value outside.
        likely: &'static str,
    },
    /// A whole number.
    Whole {
        /// Least, included.
        least: i64,
        /// Greatest, included.
        most: i64,
        /// What is likely wrong with a value outside.
        likely: &'static str,
    },
    /// The year of building, from 1850 to the year of the order.
    Year,
    /// US dollars, with at most two decimals.
    Money {
        /// Least, in dollars, included.
        least: i64,
        /// Greatest, in dollars, included.
        most: i64,
        /// What is likely wrong with a value outside.
        likely: &'static str,
    },
    /// One of a few words.
    Words(fn() -> Vec<&'static str>),
    /// Some of a few words, separated by semicolons.
    SomeWords(fn() -> Vec<&'static str>),
    /// `yes` or `no`.
    YesNo,
    /// A day, year-month-day.
    Date,
    /// `now` or a day.
    Availability,
    /// The condition of a group of members.
    Condition,
    /// Layouts with piers.
    Layouts,
    /// Names separated by semicolons.
    Names,
    /// Numbers of cars, each with what is off the prices.
    PriceBreaks,
    /// Closed seasons.
    Seasons,
}

/// Whether a column may be left out.
#[derive(Clone, Copy, Debug, PartialEq, Eq)]
pub enum Need {
    /// The header must have it and no cell may be blank.
    Required,
    /// May be absent, and any cell may be blank.
    Optional,
}

/// One column of one kind of file.
#[derive(Clone, Copy, Debug)]
pub struct Column {
    /// Its name in the header row.
    pub name: &'static str,
    /// Whether it may be left out.
    pub need: Need,
    /// What its cells hold.
    pub content: Content,
    /// What it means.
    pub about: &'static str,
    /// What a blank cell means; empty where no cell may be blank.
    pub blank: &'static str,
}

/// Names the columns of one kind of file.
pub trait Columns: Copy {
    /// The columns, in the order of the documentation.
    const ALL: &'static [Column];

    /// The place of this column in [`Self::ALL`].
    fn index(self) -> usize;

    /// What is known of this column.
    fn column(self) -> &'static Column {
        &Self::ALL[self.index()]
    }
}

/// Declares the columns of one kind of file: an enum to name them in code, and their table.
macro_rules! columns {
    ($(#[$doc:meta])* $name:ident {
        $($variant:ident $header:literal $need:ident, $content:expr, $about:literal, $blank:literal;)*
    }) => {
        $(#[$doc])*
        #[derive(Clone, Copy, Debug, PartialEq, Eq)]
        pub enum $name {
            $(#[doc = $about] $variant,)*
        }

        impl $name {
            /// Every column, in the order of the documentation.
            pub const COLUMNS: &'static [Self] = &[$(Self::$variant,)*];
        }

        impl $crate::model::columns::Columns for $name {
            const ALL: &'static [$crate::model::columns::Column] = &[
                $($crate::model::columns::Column {
                    name: $header,
                    need: $crate::model::columns::Need::$need,
                    content: $content,
                    about: $about,
                    blank: $blank,
                },)*
            ];

            fn index(self) -> usize {
                self as usize
            }
        }
    };
}
pub(crate) use columns;

/// Shorthand for a number column.
pub(crate) const fn number(
    unit: &'static str,
    least: f64,
    most: f64,
    likely: &'static str,
) -> Content {
    Content::Number { unit, least, most, likely }
}

/// Shorthand for a whole-number column.
pub(crate) const fn whole(least: i64, most: i64, likely: &'static str) -> Content {
    Content::Whole { least, most, likely }
}

/// Shorthand for a money column, in dollars.
pub(crate) const fn money(least: i64, most: i64, likely: &'static str) -> Content {
    Content::Money { least, most, likely }
}

/// A number as written in a message: thousands grouped, no needless decimals.
pub(crate) fn plain(value: f64) -> String {
    let whole = value.trunc();
    if (value - whole).abs() < f64::EPSILON && whole.abs() < 1e15 {
        let sign = if whole < 0.0 { "-" } else { "" };
        format!("{sign}{}", group_thousands(whole.abs() as u64))
    } else {
        value.to_string()
    }
}

impl Content {
    /// What may be written in a cell, in words.
    #[must_use]
    pub fn allowed(&self) -> String {
        match *self {
            Self::Text => "text".to_owned(),
            Self::Name => "a name".to_owned(),
            Self::Number { unit, least, most, .. } => {
                let unit = if unit == "%" { "per cent" } else { unit };
                format!("{} to {} {unit}", plain(least), plain(most))
            }
            Self::Whole { least, most, .. } => {
                format!("whole number, {} to {}", plain(least as f64), plain(most as f64))
            }
            Self::Year => "year, 1850 to the year of the order".to_owned(),
            Self::Money { least, most, .. } => {
                format!("US dollars, {} to {}", plain(least as f64), plain(most as f64))
            }
            Self::Words(words) => one_of(&words()),
            Self::SomeWords(words) => format!("{}; several separated by ;", one_of(&words())),
            Self::YesNo => "yes or no".to_owned(),
            Self::Date => "day, like 2026-05-31".to_owned(),
            Self::Availability => "now, or a day like 2026-05-31".to_owned(),
            Self::Condition => "sound, bent, cracked, corroded N (per cent) or missing".to_owned(),
            Self::Layouts => {
                "spans in ft joined by +, layouts separated by ; such as 45+45; 30+30+30".to_owned()
            }
            Self::Names => "names separated by ;".to_owned(),
            Self::Seasons => {
                "none, or days such as 03-01 to 04-30 of every year or 2027-03-01 to 2027-04-30 \
                              once, separated by ;"
                    .to_owned()
            }
            Self::PriceBreaks => {
                "numbers of cars with per cent off, separated by ; such as 4: 5 %; 8: 7.5 %"
                    .to_owned()
            }
        }
    }
}

/// The columns of one kind of file as a table in Markdown, for docs/formats.md.
#[must_use]
pub fn markdown(columns: &[Column]) -> String {
    let mut table =
        String::from("| column | may be written | meaning | blank |\n|---|---|---|---|\n");
    for column in columns {
        let blank = match column.need {
            Need::Required => "not allowed",
            Need::Optional => column.blank,
        };
        let allowed = column.content.allowed();
        // Writing to a String cannot fail.
        let _ = writeln!(table, "| `{}` | {allowed} | {} | {blank} |", column.name, column.about);
    }
    table
}
