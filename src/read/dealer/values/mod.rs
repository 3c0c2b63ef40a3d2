//! A dealer's cell as the text that the strict reader takes, or what is wrong with it.

mod column;
mod days;
mod numbers;
mod prose;
mod words;

use std::borrow::Cow;
use std::collections::HashMap;

use super::grid::Kind;
use super::mapping::{DateOrder, Stated};
use super::scheme::Scheme;
use super::squeezed::squeezed;
use crate::check::Code;
use crate::read::columns::{self, Content};
use crate::read::measure::{Decimal, plain};
use crate::read::plain::is_plain_number;
use crate::read::units::Unit;
use days::date;
pub(super) use days::order_of;
use numbers::{in_range, number, whole};
use words::{condition, word, yes_no};

pub(super) use column::Column;

/// What is said of a cell.
#[derive(Clone, Debug, PartialEq, Eq)]
pub(super) struct Note {
    pub code: Code,
    pub wrong: String,
    pub instead: String,
    /// What the list as a whole must be asked, so that cells like this one can be read.
    pub asks: Option<Asks>,
}

/// What one answer explains for many cells.
#[derive(Clone, Copy, Debug, PartialEq, Eq)]
pub(super) enum Asks {
    /// The unit of the column's bare numbers.
    Unit,
    /// Which tons the column has.
    Tons,
    /// Whether a comma or a point is the decimal sign.
    Decimal,
    /// Whether month or day comes first.
    Dates,
    /// What a word means.
    Word,
}

impl Note {
    /// The same with what must be asked.
    fn asking(self, asks: Asks) -> Self {
        Self { asks: Some(asks), ..self }
    }
}

/// The text for the strict reader, and a warning if it deserves one; or a problem.
pub(super) type Outcome<'t> = Result<(Cow<'t, str>, Option<Note>), Note>;

/// What is known of a column of the file.
pub(super) struct Meaning<'m> {
    pub scheme: &'static Scheme,
    /// Place of our column in its table.
    pub column: usize,
    /// Unit of bare numbers.
    pub unit: Option<Unit>,
    pub decimal: Decimal,
    pub dates: Option<DateOrder>,
    /// Whether the mapping states that order, so that years of two digits can be told from days.
    pub dates_stated: bool,
    /// The mapping's words for this column.
    pub words: Option<&'m HashMap<String, Stated>>,
}

impl Meaning<'_> {
    /// Our column.
    pub fn column(&self) -> &'static columns::Column {
        &self.scheme.columns[self.column]
    }

    /// What comes of a cell whose text is struck through: it is withdrawn, and nothing stands for it.
    pub fn crossed_out(&self) -> Outcome<'static> {
        let instead = "ask the dealer, and write what holds";
        if self.scheme.blank_is_unknown(self.column()) {
            let wrong = "is struck through and is left unknown";
            return Ok((Cow::Borrowed(""), Some(note(Code::SetAside, wrong, instead))));
        }
        Err(note(Code::SetAside, "is struck through", instead))
    }
}

pub(super) fn note(code: Code, wrong: impl Into<String>, instead: impl Into<String>) -> Note {
    Note { code, wrong: wrong.into(), instead: instead.into(), asks: None }
}

/// Words for "unknown" that mean nothing else.
fn is_unknown(text: &str) -> bool {
    const WORDS: [&str; 18] = [
        "n/a",
        "na",
        "n.a.",
        "tbd",
        "tba",
        "unknown",
        "unk",
        "unk.",
        "not known",
        "not measured",
        "not stated",
        "not inspected",
        "?",
        "??",
        "-",
        "--",
        "–",
        "—",
    ];
    WORDS.contains(&text)
}

/// Turns a cell that is not blank.
pub(super) fn tidy<'t>(text: &'t str, kind: Kind, meaning: &Meaning<'_>) -> Outcome<'t> {
    let column = meaning.column();
    if kind == Kind::Error {
        let (wrong, instead) = match text.starts_with('=') {
            true => (
                "is a formula without a value",
                "open the workbook in a spreadsheet and save it, or write the value",
            ),
            false => (
                "is a formula's error and no value",
                "write the value, or clear the cell where it is unknown",
            ),
        };
        return Err(note(Code::NotANumber, wrong, instead));
    }
    if let Some(words) = meaning.words
        && let Some(value) = words.get(&squeezed(text))
    {
        return Ok((Cow::Owned(value.text.clone()), None));
    }
    match column.content {
        Content::Text | Content::Name | Content::Layouts | Content::Names => {
            return Ok((Cow::Borrowed(text), None));
        }
        // The common case, without a look at every letter.
        Content::Number { .. }
            if is_plain_number(text)
                && meaning.unit == Unit::of_column(&column.content)
                && (kind == Kind::Number || meaning.decimal != Decimal::Comma) =>
        {
            return in_range(column, text, Cow::Borrowed(text));
        }
        _ => {}
    }
    let lower = plain(text);
    if is_unknown(&lower) {
        if !meaning.scheme.blank_is_unknown(column) {
            let instead = format!(
                "write {}, or clear the cell, which means {}",
                column.content.allowed(),
                column.blank
            );
            return Err(note(
                Code::WordUnknown,
                "says unknown, and a blank cell would not",
                instead,
            ));
        }
        return Ok((Cow::Borrowed(""), None));
    }
    match column.content {
        Content::Number { .. } | Content::Money { .. } => {
            number(text, &lower, kind, column, meaning)
        }
        Content::Whole { .. } | Content::Year => whole(text, &lower, column),
        Content::Words(words) => word(&lower, &words(), meaning),
        Content::YesNo => yes_no(&lower, meaning),
        Content::Condition => condition(text, &lower, meaning),
        Content::Date => date(text, &lower, kind, meaning),
        Content::Availability => match lower.as_str() {
            "now" | "immediate" | "immediately" | "at once" => Ok((Cow::Borrowed("now"), None)),
            _ => date(text, &lower, kind, meaning),
        },
        _ => Ok((Cow::Borrowed(text), None)),
    }
}

#[cfg(test)]
mod tests {
    use super::super::scheme::INVENTORY;
    use super::*;

    fn meaning(name: &str, unit: Option<Unit>) -> Meaning<'static> {
        let column = INVENTORY.position(name).unwrap();
        Meaning {
            scheme: &INVENTORY,
            column,
            unit,
            decimal: Decimal::Point,
            dates: None,
            dates_stated: false,
            words: None,
        }
    }

    /// `text|code` of a warning, `code` of a problem.
    fn short(name: &str, text: &str, kind: Kind, unit: Option<Unit>) -> String {
        match tidy(text, kind, &meaning(name, unit)) {
            Ok((text, None)) => text.into_owned(),
            Ok((text, Some(note))) => format!("{text}|{}", note.code),
            Err(note) => note.code.to_string(),
        }
    }

    #[test]
    fn cells_become_what_the_strict_reader_takes() {
        let feet = Some(Unit::Feet);
        for (name, text, kind, unit, expected) in [
            ("length_ft", "89.33", Kind::Text, feet, "89.33"),
            ("length_ft", "89'-6\"", Kind::Text, None, "89.5"),
            ("length_ft", "89", Kind::Text, None, "D15"),
            ("length_ft", "27.2", Kind::Text, Some(Unit::Meters), "89.238845144"),
            ("length_ft", "27.2 in", Kind::Text, feet, "D05"),
            ("length_ft", "n/a", Kind::Text, feet, ""),
            ("length_ft", "88–90", Kind::Text, feet, "|D16"),
            ("width_ft", "9'2–9'4", Kind::Text, feet, "|D16"),
            ("width_ft", "89", Kind::Text, feet, "D05"),
            ("exterior_depth_in", "9-10", Kind::Text, Some(Unit::Inches), "9|D16"),
            ("weight_lb", "20-21 short tons", Kind::Text, None, "42000|D16"),
            ("weight_lb", "21 tons", Kind::Text, None, "D15"),
            ("web_loss_pct", "n/a", Kind::Text, Some(Unit::Percent), "D06"),
            ("price_usd", "$8,400", Kind::Text, None, "8400"),
            ("price_usd", "$ 8,400.50 ea", Kind::Text, None, "8400.5"),
            ("price_usd", "($8,400.00)", Kind::Text, None, "D05"),
            ("price_usd", "Price on request", Kind::Text, None, ""),
            ("price_usd", "$8,400–$8,900", Kind::Text, None, "8900|D16"),
            ("price_usd", "8,400–8,900", Kind::Text, None, "8900|D16"),
            ("quantity", "3.0", Kind::Number, None, "3"),
            ("quantity", "tbd", Kind::Text, None, "D06"),
            ("year_built", "1974-1976", Kind::Text, None, "1974|D16"),
            ("kind", "Flat Car", Kind::Text, None, "flat"),
            ("kind", "spine car", Kind::Text, None, "|D17"),
            ("wrecked", "N", Kind::Text, None, "no"),
            ("wrecked", "repaired", Kind::Text, None, "|D17"),
            ("main_girder", "Sound", Kind::Text, None, "sound"),
            ("main_girder", "good", Kind::Text, None, "|D17"),
            ("main_girder", "lt. surface rust", Kind::Text, None, "|D17"),
            ("main_girder", "corroded 8%", Kind::Text, None, "corroded 8%"),
            ("main_girder", "Corroded", Kind::Text, None, "|D17"),
            ("main_girder", "not bent", Kind::Text, None, "|D17"),
            ("main_girder", "bent, cracked", Kind::Text, None, "|D17"),
            ("cross_members", "bent x-member", Kind::Text, None, "bent|D17"),
            ("available", "Immediately", Kind::Text, None, "now"),
            ("available", "Sept 30, 2026", Kind::Text, None, "2026-09-30"),
            ("quote_expires", "15th Aug 2026", Kind::Text, None, "2026-08-15"),
            ("quote_expires", "8/15/2026", Kind::Text, None, "D07"),
            // 2026-08-15 by counting: 46,023 is 2026-01-01 in spreadsheets, and 226 days follow.
            ("quote_expires", "46249", Kind::Number, None, "2026-08-15|D20"),
            ("quote_expires", "45", Kind::Number, None, "D07"),
            ("quote_expires", "2026-08-15", Kind::Date, None, "2026-08-15"),
            ("price_usd", "#N/A", Kind::Error, None, "D04"),
            ("price_usd", "=C2*2", Kind::Error, None, "D04"),
            ("section", "101", Kind::Number, None, "101"),
        ] {
            assert_eq!(short(name, text, kind, unit), expected, "{name} {text}");
        }
    }

    #[test]
    fn the_likely_cause_is_told() {
        for (name, text, unit, instead) in [
            ("length_ft", "27.2 in", Some(Unit::Feet), "is it in feet"),
            ("length_ft", "1072", Some(Unit::Feet), "is it in inches"),
            ("width_ft", "2.7", Some(Unit::Feet), "is it in meters?"),
            ("width_ft", "89", Some(Unit::Feet), "is it the length, or in inches?"),
            ("weight_lb", "42", Some(Unit::Pounds), "is it in kips"),
            // Feet and inches need no mark behind the inches, and no other unit is asked for.
            ("price_usd", "(250)", None, "write what is asked for the car"),
            ("length_ft", "9'2", None, "correct it; is it the width?"),
            ("width_ft", "60'6", None, "correct it; is it the length?"),
            ("camber_in", "1'2", None, "if no feet are meant, write inches alone, like 1 1/2\""),
            ("length_ft", "60'6\"8", None, "before the mark, like 60'-6 1/8\" or 60'-6.5\""),
            ("width_ft", "9 2", None, "write feet and inches like 89'-4\""),
            ("width_ft", "9'14", None, "write feet and inches like 89'-4\""),
        ] {
            let found = tidy(text, Kind::Text, &meaning(name, unit)).unwrap_err();
            assert!(found.instead.contains(instead), "{name} {text}: {}", found.instead);
        }
    }

    proptest::proptest! {
        #[test]
        fn no_cell_is_too_strange(text in "\\PC{0,24}", typed in "[0-9'\"./, ½–a-z$()-]{0,16}", column in 0_usize..52) {
            let column = column % INVENTORY.columns.len();
            for kind in [Kind::Text, Kind::Number, Kind::Date] {
                for text in [&text, &typed] {
                    let meaning = Meaning { scheme: &INVENTORY, column, unit: Some(Unit::Feet), decimal: Decimal::Unsaid, dates: Some(DateOrder::DayFirst), dates_stated: true, words: None };
                    let _ = tidy(text, kind, &meaning);
                }
            }
        }
    }
}
