//! A dealer's cell as the text that the strict reader takes, or what is wrong with it.

use std::borrow::Cow;
use std::collections::HashMap;

use super::grid::Kind;
use super::headers::squeezed;
use super::mapping::DateOrder;
use super::measure::{Decimal, Wrong, leading, measure, plain, range};
use crate::check::Code;
use crate::read::cells::is_plain_number;
use crate::read::columns::{self, Column, Columns, Content};
use crate::read::inventory::Inventory;
use crate::read::plausible;
use crate::read::units::Unit;

/// What is said of a cell.
#[derive(Clone, Debug, PartialEq, Eq)]
pub(super) struct Note {
    pub code: Code,
    pub wrong: String,
    pub instead: String,
}

/// The text for the strict reader, and a warning if it deserves one; or a problem.
pub(super) type Outcome<'t> = Result<(Cow<'t, str>, Option<Note>), Note>;

/// What is known of a column of the file.
pub(super) struct Meaning<'m> {
    /// Place of our column in its table.
    pub column: usize,
    /// Unit of bare numbers.
    pub unit: Option<Unit>,
    pub decimal: Decimal,
    pub dates: Option<DateOrder>,
    /// The mapping's words for this column.
    pub words: Option<&'m HashMap<String, String>>,
}

fn note(code: Code, wrong: impl Into<String>, instead: impl Into<String>) -> Note {
    Note { code, wrong: wrong.into(), instead: instead.into() }
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

/// Words for a price that was not named.
fn is_no_price(text: &str) -> bool {
    const WORDS: [&str; 8] =
        ["call", "poa", "por", "on request", "price on request", "ask", "please call", "inquire"];
    WORDS.contains(&text)
}

/// Whether a blank cell of the column means unknown, and not a value such as "one car", "sold
/// singly" or "no loss".
fn blank_is_unknown(column: &Column) -> bool {
    !matches!(
        column.name,
        "quantity"
            | "lot"
            | "web_loss_pct"
            | "top_loss_pct"
            | "bottom_loss_pct"
            | "web_depth_at_trucks_in"
            | "top_cover_width_in"
            | "top_cover_thickness_in"
            | "bottom_cover_width_in"
            | "bottom_cover_thickness_in"
    )
}

/// Which end of a range is the unfavourable one.
#[derive(Clone, Copy, Debug, PartialEq, Eq)]
pub(in crate::read) enum Unfavourable {
    /// The lower.
    Lower,
    /// The higher.
    Higher,
    /// Either, depending on the use.
    Either,
}

/// Which end of a range hurts, by column. Length, width, truck centres and camber hurt at either
/// end: too short for a span or too long for the road, too narrow or too wide, and cars that match
/// on paper only. A stated weight is taken high for crane, haul and dead load.
pub(in crate::read) fn unfavourable(name: &str) -> Unfavourable {
    match name {
        "length_ft" | "width_ft" | "truck_centres_ft" | "camber_in" | "webs" => {
            Unfavourable::Either
        }
        "price_usd"
        | "weight_lb"
        | "web_loss_pct"
        | "top_loss_pct"
        | "bottom_loss_pct"
        | "unbraced_ft"
        | "stringer_spacing_ft"
        | "cross_member_spacing_ft" => Unfavourable::Higher,
        _ => Unfavourable::Lower,
    }
}

/// Turns a cell that is not blank.
pub(super) fn tidy<'t>(text: &'t str, kind: Kind, meaning: &Meaning<'_>) -> Outcome<'t> {
    let column = &Inventory::ALL[meaning.column];
    if kind == Kind::Error {
        let instead = "write the value, or clear the cell where it is unknown";
        return Err(note(Code::NotANumber, "is a formula's error and no value", instead));
    }
    if let Some(words) = meaning.words
        && let Some(value) = words.get(&squeezed(text))
    {
        return Ok((Cow::Owned(value.clone()), None));
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
        if !blank_is_unknown(column) {
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
        Content::Words(words) => word(text, &lower, &words(), column),
        Content::YesNo => yes_no(&lower, column),
        Content::Condition => condition(text, &lower, column),
        Content::Date => date(text, &lower, kind, meaning),
        Content::Availability => match lower.as_str() {
            "now" | "immediate" | "immediately" | "at once" => Ok((Cow::Borrowed("now"), None)),
            _ => date(text, &lower, kind, meaning),
        },
        _ => Ok((Cow::Borrowed(text), None)),
    }
}

/// A number as the strict reader takes it: no exponent, no more digits than it has.
fn written(value: f64) -> String {
    (value + 0.0).to_string()
}

fn number<'t>(
    text: &str,
    lower: &str,
    kind: Kind,
    column: &Column,
    meaning: &Meaning<'_>,
) -> Outcome<'t> {
    let Some(own) = Unit::of_column(&column.content) else {
        return Ok((Cow::Owned(text.to_owned()), None));
    };
    let money = own == Unit::Dollars;
    // A workbook keeps its numbers without signs of any country.
    let decimal = if kind == Kind::Number { Decimal::Point } else { meaning.decimal };
    let read = |text: &str| {
        if money {
            let (inner, negative) =
                match text.strip_prefix('(').and_then(|text| text.strip_suffix(')')) {
                    Some(inner) => (inner, true),
                    None => (text, false),
                };
            let inner = inner.trim();
            let inner = inner
                .strip_suffix("ea")
                .or_else(|| inner.strip_suffix("each"))
                .unwrap_or(inner)
                .trim();
            let value = measure(inner, meaning.unit.or(Some(own)), own, decimal)?;
            Ok(if negative { -value } else { value })
        } else {
            measure(text, meaning.unit, own, decimal)
        }
    };
    if money && is_no_price(lower) {
        return Ok((Cow::Borrowed(""), None));
    }
    let bare = if money {
        Cow::Owned(lower.replace("us$", "").replace('$', ""))
    } else {
        Cow::Borrowed(lower)
    };
    let lower = bare.trim();
    if let Some((low, high)) = range(lower) {
        return ends(low, high, read, column, own);
    }
    match read(lower) {
        Ok(value) => in_range(column, text, Cow::Owned(written(value))),
        Err(wrong) => Err(fault(wrong, own)),
    }
}

/// The unfavourable end of a range. A unit behind the second end is that of both.
fn ends<'t>(
    low: &str,
    high: &str,
    read: impl Fn(&str) -> Result<f64, Wrong>,
    column: &Column,
    own: Unit,
) -> Outcome<'t> {
    let unit: String = high.chars().skip_while(|c| !c.is_alphabetic()).collect();
    let bare = is_plain_number(low) && !unit.is_empty() && !high.contains(['\'', '"']);
    let low = if bare { Cow::Owned(format!("{low} {unit}")) } else { Cow::Borrowed(low) };
    let (low, high) = match (read(&low), read(high)) {
        (Ok(low), Ok(high)) => (low.min(high), low.max(high)),
        (Err(wrong), _) | (_, Err(wrong)) => return Err(fault(wrong, own)),
    };
    let end = match unfavourable(column.name) {
        Unfavourable::Lower => low,
        Unfavourable::Higher => high,
        Unfavourable::Either => {
            let wrong = "is a range, and either end can hurt, so it is left unknown";
            return Ok((
                Cow::Borrowed(""),
                Some(note(Code::RangeGiven, wrong, "measure it and write one number")),
            ));
        }
    };
    let wrong = format!(
        "is a range; its unfavourable end is taken, {} {}",
        columns::plain(end),
        own.words()
    );
    Ok((
        Cow::Owned(written(end)),
        Some(note(Code::RangeGiven, wrong, "measure it and write one number")),
    ))
}

fn fault(wrong: Wrong, own: Unit) -> Note {
    let words = own.words();
    match wrong {
        Wrong::NotANumber => note(
            Code::NotANumber,
            "is not a number with a unit",
            format!("write a number in {words}, or clear the cell where it is unknown"),
        ),
        Wrong::Comma => note(
            Code::NotANumber,
            "has a comma or point that may be a decimal sign or group thousands",
            "state `decimal = \"point\"` or `decimal = \"comma\"` in the mapping, or correct the number",
        ),
        Wrong::NoUnit => note(
            Code::UnitUnknown,
            format!("has no unit: {words}, or what?"),
            "state the unit in the mapping, the header or behind the number",
        ),
        Wrong::Tons => note(
            Code::UnitUnknown,
            "is in tons: short ton (2,000 lb) or tonne (2,204.6 lb)?",
            "write short ton or tonne",
        ),
        Wrong::UnitDoesNotFit => note(
            Code::UnitUnknown,
            format!("has a unit that is no measure of {words}"),
            format!("write {words}, or map the column to another of ours"),
        ),
        Wrong::FeetAndInches => note(
            Code::NotANumber,
            "has feet with decimals beside inches, or 12 inches and more",
            "write feet and inches like 89'-4\"",
        ),
        Wrong::FeetAndInchesSwapped => note(
            Code::NotANumber,
            "has 12 inches and more beside feet",
            "write feet and inches like 89'-4\"; are the two swapped?",
        ),
    }
}

/// Tells the likely cause of a number outside the trade's range. The strict reader would refuse it
/// as well, but knows nothing of the units in the file.
fn in_range<'t>(column: &Column, text: &str, tidied: Cow<'t, str>) -> Outcome<'t> {
    let (Content::Number { unit, least, most, .. }, Ok(value)) =
        (column.content, tidied.parse::<f64>())
    else {
        return Ok((tidied, None));
    };
    if (least..=most).contains(&value) {
        return Ok((tidied, None));
    }
    let raw = leading(&plain(text)).unwrap_or(value);
    let unit = if unit == "%" { "per cent" } else { unit };
    let converted = if is_plain_number(text) && value == raw {
        String::new()
    } else {
        format!(" is {} {unit} and", columns::plain((value * 1000.0).round() / 1000.0))
    };
    let wrong = format!(
        "{} outside {} to {} {unit}",
        if converted.is_empty() { "is" } else { converted.trim() },
        columns::plain(least),
        columns::plain(most)
    );
    let instead = plausible::advice(column, raw)
        .unwrap_or_else(|| "correct it; no unit makes it fit".to_owned());
    Err(note(Code::OutOfRange, wrong, instead))
}

fn whole<'t>(text: &str, lower: &str, column: &Column) -> Outcome<'t> {
    if let Some((low, high)) = range(lower)
        && let (Ok(low), Ok(high)) = (low.parse::<i64>(), high.parse::<i64>())
    {
        let wrong = "is a range";
        let instead = "write one number";
        if unfavourable(column.name) == Unfavourable::Either {
            return Err(note(Code::RangeGiven, wrong, instead));
        }
        let end = low.min(high);
        let wrong = format!("{wrong}; its unfavourable end is taken, {end}");
        return Ok((Cow::Owned(end.to_string()), Some(note(Code::RangeGiven, wrong, instead))));
    }
    let digits = lower.strip_suffix(".0").unwrap_or(lower);
    let all_digits = !digits.is_empty() && digits.bytes().all(|byte| byte.is_ascii_digit());
    Ok((Cow::Owned(if all_digits { digits } else { text }.to_owned()), None))
}

/// Words of the trade that can mean one thing only.
const SAME: [(&str, &str, &str); 14] = [
    ("kind", "flatcar", "flat"),
    ("kind", "flat car", "flat"),
    ("kind", "box car", "boxcar"),
    ("kind", "bulkhead flatcar", "bulkhead flat"),
    ("kind", "autorack", "car hauler"),
    ("deck", "wood", "timber"),
    ("deck", "wooden", "timber"),
    ("deck", "planks", "timber"),
    ("deck", "steel", "steel plate"),
    ("deck", "no deck", "none"),
    ("deck_condition", "rotten", "failed"),
    ("coating", "gone", "failed"),
    ("lead", "lead free", "lead-free"),
    ("lead", "leaded", "lead"),
];

/// Left unknown, for a person to look at.
fn unsure<'t>(column: &Column) -> Outcome<'t> {
    let instead =
        format!("look at the car, and add the word to [words.{}] of the mapping", column.name);
    if !blank_is_unknown(column) {
        return Err(note(Code::WordUnsure, "is not a word of ours", instead));
    }
    Ok((
        Cow::Borrowed(""),
        Some(note(Code::WordUnsure, "is not a word of ours and is left unknown", instead)),
    ))
}

fn word<'t>(text: &str, lower: &str, words: &[&'static str], column: &Column) -> Outcome<'t> {
    let _ = text;
    let one_line = lower.split_whitespace().collect::<Vec<_>>().join(" ");
    if let Some(word) = words.iter().find(|word| word.eq_ignore_ascii_case(&one_line)) {
        return Ok((Cow::Borrowed(word), None));
    }
    let same = SAME.iter().find(|(name, word, _)| *name == column.name && *word == one_line);
    match same {
        Some((.., ours)) => Ok((Cow::Borrowed(ours), None)),
        None => unsure(column),
    }
}

fn yes_no<'t>(lower: &str, column: &Column) -> Outcome<'t> {
    match lower.trim_end_matches('.') {
        "yes" | "y" | "true" | "wrecked" => Ok((Cow::Borrowed("yes"), None)),
        "no" | "n" | "false" | "never" | "not wrecked" => Ok((Cow::Borrowed("no"), None)),
        _ => unsure(column),
    }
}

/// A condition. Good news is taken only in our own words; bad news also where it is plain in itself,
/// a bad word beside the name of a member: `bent x-member`.
fn condition<'t>(text: &str, lower: &str, column: &Column) -> Outcome<'t> {
    if matches!(lower, "sound" | "bent" | "cracked" | "missing")
        || lower.starts_with("corroded ") && lower.contains(|c: char| c.is_ascii_digit())
    {
        return Ok((Cow::Owned(text.to_lowercase()), None));
    }
    const BAD: [(&str, &str); 8] = [
        ("bent", "bent"),
        ("buckled", "bent"),
        ("cracked", "cracked"),
        ("crack", "cracked"),
        ("broken", "cracked"),
        ("missing", "missing"),
        ("gone", "missing"),
        ("bowed", "bent"),
    ];
    const BESIDE: [&str; 30] = [
        "x",
        "cross",
        "member",
        "members",
        "girder",
        "girders",
        "main",
        "exterior",
        "side",
        "sill",
        "sills",
        "stringer",
        "stringers",
        "bolster",
        "bolsters",
        "flange",
        "web",
        "left",
        "right",
        "top",
        "bottom",
        "one",
        "two",
        "end",
        "ends",
        "at",
        "a",
        "the",
        "in",
        "l",
    ];
    let mut found = None;
    for token in lower.split(|c: char| !c.is_alphanumeric()).filter(|token| !token.is_empty()) {
        match BAD.iter().find(|(word, _)| *word == token) {
            Some((_, class)) if found.is_none_or(|found| found == *class) => found = Some(*class),
            None if BESIDE.contains(&token) => {}
            _ => return unsure(column),
        }
    }
    match found {
        Some(class) => {
            let wrong = format!("is taken as {class}");
            let instead = format!(
                "if it means something else, add it to [words.{}] of the mapping",
                column.name
            );
            Ok((Cow::Borrowed(class), Some(note(Code::WordUnsure, wrong, instead))))
        }
        None => unsure(column),
    }
}

fn date<'t>(text: &str, lower: &str, kind: Kind, meaning: &Meaning<'_>) -> Outcome<'t> {
    if kind == Kind::Number {
        return serial(text);
    }
    const MONTHS: [&str; 12] =
        ["jan", "feb", "mar", "apr", "may", "jun", "jul", "aug", "sep", "oct", "nov", "dec"];
    let parts: Vec<&str> =
        lower.split([' ', ',', '/', '.', '-']).filter(|part| !part.is_empty()).collect();
    let whole = |part: &str| {
        let part = part.trim_end_matches(['s', 't', 'h', 'n', 'd', 'r']);
        part.parse::<u32>().ok().filter(|_| part.bytes().all(|byte| byte.is_ascii_digit()))
    };
    let month = |part: &str| {
        let short = part.get(..3)?;
        let at = MONTHS.iter().position(|month| *month == short)?;
        part.bytes().all(|byte| byte.is_ascii_alphabetic()).then_some(at as u32 + 1)
    };
    let iso =
        |year: u32, month: u32, day: u32| Cow::Owned(format!("{year:04}-{month:02}-{day:02}"));
    match *parts.as_slice() {
        [first, second, year] if year.len() == 4 => {
            let Some(year) = whole(year) else { return Ok((Cow::Owned(text.to_owned()), None)) };
            match (month(first), whole(first), month(second), whole(second)) {
                (Some(month), _, _, Some(day)) | (_, Some(day), Some(month), _) => {
                    Ok((iso(year, month, day), None))
                }
                (_, Some(first), _, Some(second)) => match meaning.dates {
                    Some(DateOrder::MonthFirst) => Ok((iso(year, first, second), None)),
                    Some(DateOrder::DayFirst) => Ok((iso(year, second, first), None)),
                    None => Err(note(
                        Code::NotADate,
                        "is a date in which month and day can be swapped",
                        "state `dates = \"month/day/year\"` or `\"day/month/year\"` in the mapping",
                    )),
                },
                _ => Ok((Cow::Owned(text.to_owned()), None)),
            }
        }
        _ => Ok((Cow::Owned(text.to_owned()), None)),
    }
}

/// A day kept as a bare number: days since the end of 1899, as spreadsheets count them.
fn serial<'t>(text: &str) -> Outcome<'t> {
    let days = text.parse::<f64>().ok().filter(|days| (36_526.0..73_415.0).contains(days));
    let Some(days) = days else {
        return Err(note(
            Code::NotADate,
            "is a number and not a date",
            "write the day like 2026-05-31",
        ));
    };
    let span = jiff::Span::new().days(days.trunc() as i64);
    let Ok(day) = jiff::civil::date(1899, 12, 30).checked_add(span) else {
        return Err(note(
            Code::NotADate,
            "is a number and not a date",
            "write the day like 2026-05-31",
        ));
    };
    let wrong = format!("is a bare number in a column of days and is taken as {day}");
    Ok((
        Cow::Owned(day.to_string()),
        Some(note(Code::ValueDoubtful, wrong, "format the cell as a date")),
    ))
}

#[cfg(test)]
mod tests {
    use super::*;

    fn meaning(name: &str, unit: Option<Unit>) -> Meaning<'static> {
        let column = Inventory::ALL.iter().position(|column| column.name == name).unwrap();
        Meaning { column, unit, decimal: Decimal::Point, dates: None, words: None }
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
            ("length_ft", "27.2", Kind::Text, Some(Unit::Metres), "89.238845144"),
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
            ("price_usd", "($8,400.00)", Kind::Text, None, "-8400"),
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
            ("width_ft", "2.7", Some(Unit::Feet), "is it in metres?"),
            ("width_ft", "89", Some(Unit::Feet), "is it the length, or in inches?"),
            ("weight_lb", "42", Some(Unit::Pounds), "is it in kips"),
        ] {
            let found = tidy(text, Kind::Text, &meaning(name, unit)).unwrap_err();
            assert!(found.instead.contains(instead), "{name} {text}: {}", found.instead);
        }
    }

    proptest::proptest! {
        #[test]
        fn no_cell_is_too_strange(text in "\\PC{0,24}", typed in "[0-9'\"./, ½–a-z$()-]{0,16}", column in 0_usize..52) {
            let column = column % Inventory::ALL.len();
            for kind in [Kind::Text, Kind::Number, Kind::Date] {
                for text in [&text, &typed] {
                    let meaning = Meaning { column, unit: Some(Unit::Feet), decimal: Decimal::Unsaid, dates: Some(DateOrder::DayFirst), words: None };
                    let _ = tidy(text, kind, &meaning);
                }
            }
        }
    }
}
