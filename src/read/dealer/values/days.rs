//! Days of a dealer's cells.

use std::borrow::Cow;

use super::{Asks, Meaning, Outcome, note};
use crate::check::Code;
use crate::read::dealer::grid::Kind;
use crate::read::dealer::mapping::DateOrder;
use crate::read::dealer::news::is_withdrawn;

pub(super) fn date<'t>(text: &str, lower: &str, kind: Kind, meaning: &Meaning<'_>) -> Outcome<'t> {
    if kind == Kind::Number {
        return serial(text);
    }
    if meaning.scheme.mappable && is_withdrawn(text) {
        let wrong = "says that the car is not on offer, and is carried with the notes";
        let instead = "ask the dealer, and write the day if it is";
        return Ok((Cow::Borrowed(""), Some(note(Code::WordUnsure, wrong, instead))));
    }
    let lower = without_time(lower);
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
        [first, second, year] if year.len() == 4 || (year.len() == 2 && meaning.dates_stated) => {
            let century = if year.len() == 2 { 2000 } else { 0 };
            let Some(year) = whole(year).map(|year| year + century) else {
                return Ok((Cow::Owned(text.to_owned()), None));
            };
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
                        match meaning.scheme.mappable {
                            true => {
                                "state `dates = \"month/day/year\"` or `\"day/month/year\"` in the mapping"
                            }
                            false => "write the day like 2026-05-31",
                        },
                    )
                    .asking(Asks::Dates)),
                },
                _ => Ok((Cow::Owned(text.to_owned()), None)),
            }
        }
        _ => Ok((Cow::Owned(text.to_owned()), None)),
    }
}

/// A date without the time of day behind it, as spreadsheets and web pages write them.
fn without_time(lower: &str) -> &str {
    match lower.split_once(' ') {
        Some((day, time))
            if time.contains(':') && time.starts_with(|c: char| c.is_ascii_digit()) =>
        {
            day
        }
        _ => lower,
    }
}

/// The order of month and day that a date settles by itself: one of the two is above 12.
pub(in crate::read::dealer) fn order_of(text: &str) -> Option<DateOrder> {
    let mut parts = text.split(['/', '.', '-']).map(str::trim);
    let number = |part: Option<&str>| {
        let part = part.filter(|part| (1..=2).contains(&part.len()))?;
        part.parse::<u8>().ok().filter(|number| (1..=31).contains(number))
    };
    let (first, second) = (number(parts.next())?, number(parts.next())?);
    let year = parts.next()?;
    if year.len() != 4 || !year.bytes().all(|byte| byte.is_ascii_digit()) || parts.next().is_some()
    {
        return None;
    }
    match (first > 12, second > 12) {
        (false, true) => Some(DateOrder::MonthFirst),
        (true, false) => Some(DateOrder::DayFirst),
        _ => None,
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
