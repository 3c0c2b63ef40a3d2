//! One value of the rules against its kind.

use toml::Value;
use toml::de::DeValue;

use crate::check::Code;
use crate::model::rules::table::Kind;
use crate::quantity::Cents;
use crate::read::cells::date;
use crate::read::columns::plain;
use crate::read::lines::one_line;
use crate::read::problem::one_of;

/// What is wrong, as code, finding and advice.
pub(super) type Fault = (Code, String, String);

/// Checks one value against its kind.
pub(super) fn check(kind: Kind, value: &DeValue<'_>) -> Result<Value, Fault> {
    let fault = |code, wrong: &str, instead: String| Err((code, wrong.to_owned(), instead));
    match kind {
        Kind::Number(least, most) => {
            let inside = |x: f64| x >= least && x <= most;
            number(value, inside, || format!("{} to {}", plain(least), plain(most)))
        }
        Kind::Above(least, most) => {
            let inside = |x: f64| x > least && x <= most;
            number(value, inside, || format!("above {} and up to {}", plain(least), plain(most)))
        }
        Kind::Below(least, most) => {
            let inside = |x: f64| x >= least && x < most;
            number(value, inside, || format!("{} to less than {}", plain(least), plain(most)))
        }
        Kind::Money(least, most) => {
            let inside = |x: f64| x >= least && x <= most;
            let limits = || format!("{} to {}", plain(least), plain(most));
            let amount = number(value, inside, limits)?;
            match amount.as_float() {
                Some(dollars)
                    if (dollars - Cents::from_dollars(dollars).as_dollars()).abs() > 1e-9 =>
                {
                    let instead = "write dollars with at most two decimals".to_owned();
                    fault(Code::OutOfRange, "has a part of a cent", instead)
                }
                _ => Ok(amount),
            }
        }
        Kind::Whole(least, most) => whole(value, least, most),
        Kind::Wholes(least, most, count) => {
            let instead = format!("write {count} whole numbers, each {least} to {most}");
            let Some(list) = value.as_array() else {
                return fault(Code::NotANumber, "is not a list of numbers", instead);
            };
            if list.len() != count {
                return fault(Code::OutOfRange, "has the wrong count of numbers", instead);
            }
            let list: Result<_, _> =
                list.iter().map(|item| whole(item.get_ref(), least, most)).collect();
            list.map(Value::Array)
        }
        Kind::Bool => match value.as_bool() {
            Some(value) => Ok(Value::Boolean(value)),
            None => fault(
                Code::WordUnknown,
                "is neither true nor false",
                "write true or false".to_owned(),
            ),
        },
        Kind::Text => match value.as_str().map(one_line) {
            None => {
                fault(Code::WordUnknown, "is not text", "write text in double quotes".to_owned())
            }
            Some(text) if text.trim().is_empty() => {
                fault(Code::CellBlank, "is blank", "write text in double quotes".to_owned())
            }
            Some(text) => Ok(Value::String(text.trim().to_owned())),
        },
        Kind::Texts | Kind::Names => {
            let instead = "write a list of texts in double quotes".to_owned();
            let Some(list) = value.as_array() else {
                return fault(Code::WordUnknown, "is not a list of texts", instead);
            };
            let text = |item: &DeValue<'_>| {
                let text = one_line(item.as_str()?).trim().to_owned();
                let text = if matches!(kind, Kind::Texts) { text.to_lowercase() } else { text };
                (!text.is_empty()).then_some(Value::String(text))
            };
            match list.iter().map(|item| text(item.get_ref())).collect() {
                Some(list) => Ok(Value::Array(list)),
                None => fault(Code::WordUnknown, "has something else than text in it", instead),
            }
        }
        Kind::Word(words) => word(value, &words()),
        Kind::Words(words, least) => {
            let words = words();
            let instead = format!("write a list of {}", one_of(&words));
            let Some(list) = value.as_array() else {
                return fault(Code::WordUnknown, "is not a list of words", instead);
            };
            if list.len() < least {
                return fault(Code::CellBlank, "names none", instead);
            }
            let list: Result<_, _> = list.iter().map(|item| word(item.get_ref(), &words)).collect();
            list.map(Value::Array)
        }
        Kind::Day => {
            let text = match value {
                DeValue::Datetime(day) => day.to_string(),
                DeValue::String(text) => text.trim().to_owned(),
                _ => String::new(),
            };
            match date(&text) {
                // Years like those of the dates in the other files.
                Some(day) if (2000..=2100).contains(&day.year()) => Ok(Value::String(text)),
                Some(_) => {
                    let instead = "write the year with four digits, first".to_owned();
                    fault(Code::OutOfRange, "is outside 2000 to 2100", instead)
                }
                None => {
                    let instead = "write a day like 2026-05-31, without a time".to_owned();
                    fault(Code::NotADate, "is not a date", instead)
                }
            }
        }
        Kind::Numbers(above, most, fewest, greatest) => {
            let limits = || format!("above {} and up to {}", plain(above), plain(most));
            let Some(list) = value.as_array() else {
                let instead = format!("write numbers in square brackets, each {}", limits());
                return fault(Code::NotANumber, "is not a list of numbers", instead);
            };
            if !(fewest..=greatest).contains(&list.len()) {
                let count = if fewest == greatest {
                    fewest.to_string()
                } else {
                    format!("{fewest} to {greatest}")
                };
                let instead = format!("write {count} numbers, each {}", limits());
                let wrong = "has the wrong count of numbers";
                return fault(Code::OutOfRange, wrong, instead);
            }
            let inside = |x: f64| x > above && x <= most;
            let list: Result<_, _> =
                list.iter().map(|item| number(item.get_ref(), inside, limits)).collect();
            list.map(Value::Array)
        }
    }
}

fn whole(value: &DeValue<'_>, least: i64, most: i64) -> Result<Value, Fault> {
    let instead = format!("write a whole number, {least} to {most}");
    let fault = |code, wrong: &str| Err((code, wrong.to_owned(), instead));
    match value.as_integer() {
        None => fault(Code::NotANumber, "is not a whole number"),
        Some(whole) => match i64::from_str_radix(whole.as_str(), whole.radix()) {
            Ok(whole) if (least..=most).contains(&whole) => Ok(Value::Integer(whole)),
            _ => fault(Code::OutOfRange, "is out of range"),
        },
    }
}

fn word(value: &DeValue<'_>, words: &[&str]) -> Result<Value, Fault> {
    let found = value.as_str().and_then(|text| {
        words
            .iter()
            .find(|word| word.eq_ignore_ascii_case(text.trim()))
            .map(|&word| word.to_owned())
    });
    found.map(Value::String).ok_or_else(|| {
        let wrong = "is not a word for this key".to_owned();
        (Code::WordUnknown, wrong, format!("write {}, in double quotes", one_of(words)))
    })
}

fn number(
    value: &DeValue<'_>,
    inside: impl Fn(f64) -> bool,
    limits: impl Fn() -> String,
) -> Result<Value, Fault> {
    let number = match value {
        DeValue::Integer(whole) => {
            i64::from_str_radix(whole.as_str(), whole.radix()).ok().map(|whole| whole as f64)
        }
        DeValue::Float(float) => float.as_str().parse().ok(),
        _ => {
            let instead = format!("write a number {}, without quotes", limits());
            return Err((Code::NotANumber, "is not a number".to_owned(), instead));
        }
    };
    match number {
        // A NaN is inside of nothing.
        Some(number) if inside(number) => Ok(Value::Float(number)),
        _ => {
            let instead = format!("write a number {}", limits());
            Err((Code::OutOfRange, "is out of range".to_owned(), instead))
        }
    }
}
