//! Cells to typed values. Each parser gives `None` both for a blank cell and for one that it had to
//! report, so a row goes on to its next cell and every fault of a row is found in one run.

use std::borrow::Cow;

use jiff::civil::Date;

use super::columns::{Columns, Content, Need, plain};
use super::lines::one_line;
use super::measure::in_one_number;
use super::plain::{is_plain_number, is_unknown_word, plain_number};
use super::plausible::advice;
use super::problem::one_of;
use super::row::Row;
use crate::check::Code;
use crate::model::car::{Availability, MemberCondition};
use crate::quantity::{Cents, Percent};

/// A unit as a word, where its short form could be misread.
fn unit_in_words(unit: &str) -> &str {
    match unit {
        "ft" => "feet",
        "in" => "inches",
        "in3" => "cubic inches",
        "lb" => "pounds",
        "deg" => "degrees",
        "tons" => "short tons",
        "%" => "per cent",
        unit => unit,
    }
}

/// What is wrong with a text that is not a plain number, and what to write.
fn number_advice(text: &str, unit: &str) -> (String, String) {
    let lower = text.to_lowercase();
    let wanted = format!("write digits and a decimal point, in {}", unit_in_words(unit));
    let (wrong, instead) = if is_unknown_word(text) {
        ("is not a number", "leave the cell blank where the value is unknown".to_owned())
    } else if text.contains(',') {
        ("has a comma in the number", format!("{wanted}, without thousands separators"))
    } else if text.contains(['\'', '"', '’', '′', '″', '”']) {
        let value = in_one_number(text, unit).map(|value| format!(": {value}"));
        ("is feet and inches, not a plain number", wanted + &value.unwrap_or_default())
    } else if text.contains('/') {
        ("has a fraction, which is not a plain number", wanted)
    } else if text.contains(['$', '€', '£']) {
        ("has a currency sign in the number", wanted)
    } else if lower.contains('e')
        && lower.replace('e', "").replace(['+', '-'], "").parse::<f64>().is_ok()
    {
        ("has an exponent, which is not a plain number", wanted)
    } else if text.starts_with(|c: char| c.is_ascii_digit())
        && lower.ends_with(|c: char| c.is_alphabetic() || c == '%')
    {
        ("has a unit or words behind the number", wanted)
    } else {
        ("is not a plain number", format!("{wanted}, or leave the cell blank where it is unknown"))
    };
    (wrong.to_owned(), instead)
}

/// Cents of a plain number of dollars; `None` if it has more than two decimals or is beyond counting.
pub(super) fn cents(text: &str) -> Option<Cents> {
    let (sign, digits) = match text.strip_prefix('-') {
        Some(digits) => (-1, digits),
        None => (1, text.strip_prefix('+').unwrap_or(text)),
    };
    let (dollars, decimals) = digits.split_once('.').unwrap_or((digits, ""));
    let dollars: i64 = if dollars.is_empty() { 0 } else { dollars.parse().ok()? };
    let part = match decimals.len() {
        0 => 0,
        1 => decimals.parse::<i64>().ok()? * 10,
        2 => decimals.parse::<i64>().ok()?,
        _ => return None,
    };
    Some(Cents(dollars.checked_mul(100)?.checked_add(part)? * sign))
}

/// A day written year-month-day, in full.
pub(super) fn date(text: &str) -> Option<Date> {
    let shape = |(place, byte): (usize, u8)| match place {
        4 | 7 => byte == b'-',
        _ => byte.is_ascii_digit(),
    };
    let fits = text.len() == 10 && text.bytes().enumerate().all(shape);
    fits.then(|| text.parse().ok()).flatten()
}

/// Years that a date of a quote or a plan can lie in.
const DATE_YEARS: std::ops::RangeInclusive<i16> = 2000..=2100;

impl<'t, C: Columns> Row<'t, C> {
    /// Reports a blank cell in a column that must be filled, unless the whole column is absent, which
    /// the header's problem says already.
    pub fn require<T>(&mut self, column: C, value: Option<T>) -> Option<T> {
        if value.is_none() && self.cell(column).is_none() && self.has(column) {
            let instead = format!("write {}", column.column().content.allowed());
            self.problem(column, Code::CellBlank, "the cell is blank", instead);
        }
        value
    }

    /// Text.
    pub fn text(&mut self, column: C) -> Option<String> {
        self.words(column).map(Cow::into_owned)
    }

    /// As [`Self::text`], without a copy where none is needed. A word for "unknown" must not pass for a
    /// name: two cars of section `?` would count as cars of one section.
    pub fn words(&mut self, column: C) -> Option<Cow<'t, str>> {
        let text = self.cell(column).map(one_line);
        let is_name = matches!(column.column().content, Content::Name);
        if is_name && text.as_ref().is_some_and(|text| is_unknown_word(text)) {
            let instead = match column.column().need {
                Need::Required => "write the name",
                Need::Optional => "leave the cell blank where the name is unknown",
            };
            self.problem(column, Code::WordUnknown, "is not a name", instead);
            return None;
        }
        match column.column().need {
            Need::Required => self.require(column, text),
            Need::Optional => text,
        }
    }

    /// A number within the column's limits.
    pub fn number(&mut self, column: C) -> Option<f64> {
        let Content::Number { unit, least, most, likely } = column.column().content else {
            return None;
        };
        let value = match self.cell(column) {
            None => None,
            Some(text) => {
                let number = plain_number(text);
                if number.is_none() {
                    let (wrong, instead) = number_advice(text, unit);
                    self.problem(column, Code::NotANumber, wrong, instead);
                    return None;
                }
                number
            }
        };
        let value = match value {
            Some(value) if !(least..=most).contains(&value) => {
                self.out_of_range(column, value, (least, most), unit, likely);
                return None;
            }
            // Adding zero turns -0 into 0.
            value => value.map(|value| value + 0.0),
        };
        match column.column().need {
            Need::Required => self.require(column, value),
            Need::Optional => value,
        }
    }

    /// A share in per cent.
    pub fn percent(&mut self, column: C) -> Option<Percent> {
        self.number(column).map(Percent)
    }

    /// Reports a number outside the column's limits, with the likely cause.
    fn out_of_range(
        &mut self,
        column: C,
        number: f64,
        limits: (f64, f64),
        unit: &str,
        likely: &str,
    ) {
        let instead = advice(column.column(), number).unwrap_or_else(|| likely.to_owned());
        let unit = match unit {
            "%" => " per cent".to_owned(),
            "" => String::new(),
            unit => format!(" {unit}"),
        };
        let wrong = format!("is outside {} to {}{unit}", plain(limits.0), plain(limits.1));
        self.problem(column, Code::OutOfRange, wrong, instead);
    }

    /// A whole number within the column's limits.
    pub fn whole(&mut self, column: C) -> Option<i64> {
        let Content::Whole { least, most, likely } = column.column().content else { return None };
        self.whole_within(column, least, most, likely)
    }

    /// A year of building, up to the year of the order.
    pub fn year(&mut self, column: C, order_year: i16) -> Option<i16> {
        let likely = "write the year of building with four digits";
        let year = self.whole_within(column, 1850, i64::from(order_year), likely)?;
        i16::try_from(year).ok()
    }

    fn whole_within(&mut self, column: C, least: i64, most: i64, likely: &str) -> Option<i64> {
        let value = match self.cell(column) {
            None => None,
            Some(text) => {
                let digits = text.strip_prefix(['-', '+']).unwrap_or(text);
                if digits.is_empty() || !digits.bytes().all(|byte| byte.is_ascii_digit()) {
                    let instead = "write digits only".to_owned();
                    let instead = if is_unknown_word(text) {
                        "leave the cell blank where the value is unknown".to_owned()
                    } else {
                        instead
                    };
                    self.problem(column, Code::NotANumber, "is not a whole number", instead);
                    return None;
                }
                // What does not fit the type is out of range as well.
                let value = text.parse::<i64>().unwrap_or(i64::MAX);
                if !(least..=most).contains(&value) {
                    // Years read better without a thousands separator.
                    let wrong = match column.column().content {
                        Content::Year => format!("is outside {least} to {most}"),
                        _ => {
                            format!("is outside {} to {}", plain(least as f64), plain(most as f64))
                        }
                    };
                    self.problem(column, Code::OutOfRange, wrong, likely);
                    return None;
                }
                Some(value)
            }
        };
        match column.column().need {
            Need::Required => self.require(column, value),
            Need::Optional => value,
        }
    }

    /// Money within the column's limits, in cents.
    pub fn money(&mut self, column: C) -> Option<Cents> {
        let Content::Money { least, most, likely } = column.column().content else { return None };
        let value = match self.cell(column) {
            None => None,
            Some(text) if !is_plain_number(text) => {
                let (wrong, instead) = number_advice(text, "US dollars");
                self.problem(column, Code::NotANumber, wrong, instead);
                return None;
            }
            Some(text) => {
                let decimals = text.split_once('.').map_or(0, |(_, decimals)| decimals.len());
                if decimals > 2 {
                    let wrong = "has more than two decimals";
                    self.problem(column, Code::NotANumber, wrong, "write dollars and cents");
                    return None;
                }
                let value = cents(text).unwrap_or(Cents(i64::MAX));
                if !(Cents::dollars(least)..=Cents::dollars(most)).contains(&value) {
                    let limits = (least as f64, most as f64);
                    self.out_of_range(column, value.0 as f64 / 100.0, limits, "US dollars", likely);
                    return None;
                }
                Some(value)
            }
        };
        match column.column().need {
            Need::Required => self.require(column, value),
            Need::Optional => value,
        }
    }

    /// One of a list of words.
    pub fn word<T>(&mut self, column: C, from_word: fn(&str) -> Option<T>) -> Option<T> {
        let text = self.cell(column)?;
        let value = from_word(&one_line(text));
        if value.is_none() {
            self.unknown_word(column);
        }
        value
    }

    /// Reports a word that the column does not have.
    pub fn unknown_word(&mut self, column: C) {
        let known = column.column().content.allowed();
        let instead = format!("write {known}, or leave the cell blank where it is unknown");
        self.problem(column, Code::WordUnknown, "is not a word for this column", instead);
    }

    /// `yes` or `no`.
    pub fn yes_no(&mut self, column: C) -> Option<bool> {
        self.word(column, |word| match word {
            word if word.eq_ignore_ascii_case("yes") => Some(true),
            word if word.eq_ignore_ascii_case("no") => Some(false),
            _ => None,
        })
    }

    /// A day.
    pub fn date(&mut self, column: C) -> Option<Date> {
        let text = self.cell(column)?;
        let Some(day) = date(text) else {
            let allowed = column.column().content.allowed();
            let instead = match allowed.strip_prefix("day") {
                Some(like) => format!("write the day{like}, or leave the cell blank"),
                None => format!("write {allowed}, or leave the cell blank"),
            };
            self.problem(column, Code::NotADate, "is not a date", instead);
            return None;
        };
        if !DATE_YEARS.contains(&day.year()) {
            let wrong = format!("is outside {} to {}", DATE_YEARS.start(), DATE_YEARS.end());
            self.problem(column, Code::OutOfRange, wrong, "write the year with four digits, first");
            return None;
        }
        Some(day)
    }

    /// When a car can leave: `now` or a day.
    pub fn availability(&mut self, column: C) -> Option<Availability> {
        if self.cell(column)?.eq_ignore_ascii_case("now") {
            return Some(Availability::Now);
        }
        self.date(column).map(Availability::From)
    }

    /// The condition of a group of members.
    pub fn condition(&mut self, column: C) -> Option<MemberCondition> {
        const WHOLE: [(&str, MemberCondition); 4] = [
            ("sound", MemberCondition::Sound),
            ("bent", MemberCondition::Bent),
            ("cracked", MemberCondition::Cracked),
            ("missing", MemberCondition::Missing),
        ];
        let cell = self.cell(column)?;
        if let Some((_, condition)) = WHOLE.iter().find(|(word, _)| word.eq_ignore_ascii_case(cell))
        {
            return Some(*condition);
        }
        let text = one_line(cell).to_lowercase();
        let (word, loss) = text.split_once(' ').unwrap_or((&text, ""));
        let loss = loss.strip_suffix('%').unwrap_or(loss).trim_end();
        match (word, loss) {
            ("corroded", "") => {
                let wrong = "does not say how much is lost";
                let instead = "write the greatest loss of thickness in per cent, like corroded 8";
                self.problem(column, Code::WordUnknown, wrong, instead);
            }
            ("corroded", loss) if is_plain_number(loss) => {
                let loss = loss.parse::<f64>().unwrap_or(f64::INFINITY);
                if (0.0..=100.0).contains(&loss) {
                    return Some(MemberCondition::Corroded(Percent(loss + 0.0)));
                }
                let likely = "write the share of thickness lost";
                self.out_of_range(column, loss, (0.0, 100.0), "%", likely);
            }
            ("corroded", _) => {
                let instead = "write the loss in per cent, like corroded 8";
                self.problem(column, Code::NotANumber, "is not corroded and a number", instead);
            }
            _ => {
                let words = ["sound", "bent", "cracked", "corroded N", "missing"];
                let instead = format!(
                    "write {}, or leave the cell blank where it was not inspected",
                    one_of(&words)
                );
                self.problem(column, Code::WordUnknown, "is not a condition", instead);
            }
        }
        None
    }
}
