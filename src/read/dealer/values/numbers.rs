//! Numbers of a dealer's cells: units, ranges, money, and what is outside the trade's range.

use std::borrow::Cow;

use super::Meaning;
use super::prose;
use super::{Asks, Note, Outcome, note};
use crate::check::Code;
use crate::read::columns::{self, Column, Content};
use crate::read::dealer::grid::Kind;
use crate::read::dealer::news::is_withdrawn;
use crate::read::measure::{
    Decimal, Wrong, has_inches_beside_feet, leading, measure, plain, range,
};
use crate::read::plain::is_plain_number;
use crate::read::plausible;
use crate::read::units::Unit;

/// Words for a price that was not named.
fn is_no_price(text: &str) -> bool {
    const WORDS: [&str; 8] =
        ["call", "poa", "por", "on request", "price on request", "ask", "please call", "inquire"];
    WORDS.contains(&text)
}

/// Which end of a range is the unfavorable one.
#[derive(Clone, Copy, Debug, PartialEq, Eq)]
pub(in crate::read) enum Unfavorable {
    /// The lower.
    Lower,
    /// The higher.
    Higher,
    /// Either, depending on the use.
    Either,
}

/// Which end of a range hurts, by column. Length, width, truck centers and camber hurt at either
/// end: too short for a span or too long for the road, too narrow or too wide, and cars that match
/// on paper only. A stated weight is taken high for crane, haul and dead load.
pub(in crate::read) fn unfavorable(name: &str) -> Unfavorable {
    match name {
        "length_ft" | "width_ft" | "truck_centers_ft" | "camber_in" | "webs" => Unfavorable::Either,
        "price_usd"
        | "weight_lb"
        | "web_loss_pct"
        | "top_loss_pct"
        | "bottom_loss_pct"
        | "unbraced_ft"
        | "stringer_spacing_ft"
        | "cross_member_spacing_ft" => Unfavorable::Higher,
        _ => Unfavorable::Lower,
    }
}

/// A number as the strict reader takes it: no exponent, no more digits than it has.
fn written(value: f64) -> String {
    (value + 0.0).to_string()
}

pub(super) fn number<'t>(
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
    if money && is_withdrawn(text) {
        let wrong = "says that the car is not on offer, and is carried with the notes";
        let instead = "ask the dealer, and write the price if it is";
        return Ok((Cow::Borrowed(""), Some(note(Code::WordUnsure, wrong, instead))));
    }
    if let (true, Some((price, cars))) = (money, prose::price(lower)) {
        return in_prose(&price, cars, read, (text, column));
    }
    if let Some((low, high)) = range(lower) {
        return ends(low, high, read, column, own);
    }
    match read(lower) {
        Ok(value) if money && value < 0.0 => Err(note(
            Code::OutOfRange,
            "is less than nothing, as brackets and a minus say",
            "write what is asked for the car, or clear the cell where nothing is",
        )),
        Ok(value) => in_range(column, text, Cow::Owned(written(value))),
        // Only a dealer's list has a mapping in which to state it.
        Err(Wrong::NoUnit) if !meaning.scheme.mappable => Err(note(
            Code::UnitUnknown,
            format!("has no unit, {} or another", own.words()),
            "state the unit in the header, like `(ft)`, or behind the number",
        )),
        Err(wrong) => Err(fault(wrong, own)),
    }
}

/// A price from a sentence, told.
fn in_prose<'t>(
    price: &str,
    cars: Option<u32>,
    read: impl Fn(&str) -> Result<f64, Wrong>,
    (text, column): (&str, &Column),
) -> Outcome<'t> {
    let value = read(price).map_err(|wrong| fault(wrong, Unit::Dollars))?;
    let (tidied, _) = in_range(column, text, Cow::Owned(written(value)))?;
    let cars = cars.map(|cars| format!(" for each of {cars} cars")).unwrap_or_default();
    let wrong = format!("is read as {} US dollars{cars}", columns::plain(value));
    let instead = "compare with the list, and correct the cell if it means something else";
    Ok((tidied, Some(note(Code::ValueDoubtful, wrong, instead))))
}

/// The unfavorable end of a range. A unit behind the second end is that of both.
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
    let instead = match own {
        Unit::Dollars => "ask for one price and write it",
        _ => "measure it and write one number",
    };
    let end = match unfavorable(column.name) {
        Unfavorable::Lower => low,
        Unfavorable::Higher => high,
        Unfavorable::Either => {
            let wrong = "is a range, and either end can hurt, so it is left unknown";
            return Ok((Cow::Borrowed(""), Some(note(Code::RangeGiven, wrong, instead))));
        }
    };
    let wrong = format!(
        "is a range; its unfavorable end is taken, {} {}",
        columns::plain(end),
        own.words()
    );
    Ok((Cow::Owned(written(end)), Some(note(Code::RangeGiven, wrong, instead))))
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
        )
        .asking(Asks::Decimal),
        Wrong::TwoNumbers if own.fits(Unit::Feet) => note(
            Code::NotANumber,
            "has two numbers, and not each says whether it is feet or inches",
            "write feet and inches like 89'-4\", or one number",
        ),
        Wrong::TwoNumbers => note(
            Code::NotANumber,
            "has two numbers",
            format!("write one number in {words}, or clear the cell where it is unknown"),
        ),
        Wrong::NoUnit => note(
            Code::UnitUnknown,
            format!("has no unit, {words} or another"),
            "state the unit in the mapping, the header or behind the number",
        )
        .asking(Asks::Unit),
        Wrong::Tons => note(
            Code::UnitUnknown,
            "is in tons, which may be short tons (2,000 lb) or tonnes (2,204.6 lb)",
            "write short ton or tonne",
        )
        .asking(Asks::Tons),
        Wrong::UnitDoesNotFit => note(
            Code::UnitUnknown,
            format!("has a unit that is no measure of {words}"),
            format!("write {words}, or map the column to another of ours"),
        ),
        Wrong::BehindInches => note(
            Code::NotANumber,
            "has a number behind the inches",
            "write a part of an inch before the mark, like 60'-6 1/8\" or 60'-6.5\"",
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
pub(super) fn in_range<'t>(column: &Column, text: &str, tidied: Cow<'t, str>) -> Outcome<'t> {
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
    // Feet and inches are what they are: another unit is not likely, and one number alone may be.
    let instead = match has_inches_beside_feet(&plain(text)) {
        true => plausible::neighbor(column.name, value)
            .map(|other| format!("correct it; is it {other}?"))
            .or_else(|| Some(format!("correct it; {}", alone(unit)))),
        false => plausible::advice(column, raw),
    };
    let instead = instead.unwrap_or_else(|| "correct it; no unit makes it fit".to_owned());
    Err(note(Code::OutOfRange, wrong, instead))
}

/// How to write a length that was written as feet and inches and can hardly be that.
fn alone(unit: &str) -> &'static str {
    match unit {
        "in" => "if no feet are meant, write inches alone, like 1 1/2\"",
        _ => "feet come before the mark ' and inches behind it, like 89'-4\"",
    }
}

pub(super) fn whole<'t>(text: &str, lower: &str, column: &Column) -> Outcome<'t> {
    if let Some((low, high)) = range(lower)
        && let (Ok(low), Ok(high)) = (low.parse::<i64>(), high.parse::<i64>())
    {
        let wrong = "is a range";
        let instead = "write one number";
        if unfavorable(column.name) == Unfavorable::Either {
            return Err(note(Code::RangeGiven, wrong, instead));
        }
        let end = low.min(high);
        let wrong = format!("{wrong}; its unfavorable end is taken, {end}");
        return Ok((Cow::Owned(end.to_string()), Some(note(Code::RangeGiven, wrong, instead))));
    }
    if let (Content::Whole { .. }, Some(digits)) = (column.content, prose::cars(lower)) {
        let wrong = format!("is read as {digits}");
        let instead = "compare with the list, and correct the cell if it means something else";
        let told = note(Code::ValueDoubtful, wrong, instead);
        return Ok((Cow::Owned(digits.to_owned()), Some(told)));
    }
    let digits = lower.strip_suffix(".0").unwrap_or(lower);
    let all_digits = !digits.is_empty() && digits.bytes().all(|byte| byte.is_ascii_digit());
    Ok((Cow::Owned(if all_digits { digits } else { text }.to_owned()), None))
}
