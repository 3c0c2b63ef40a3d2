//! Measured values and limits: a number with its unit, or a word.

use std::fmt;

use jiff::civil::Date;
use serde::de::Deserializer;
use serde::ser::{SerializeMap, Serializer};
use serde::{Deserialize, Serialize};

use crate::quantity::{
    Cents, CubicInches, Feet, Inches, KipFeet, Kips, KipsPerFoot, Ksi, Miles, Percent,
    QuarticInches, Ratio, Tons,
};

/// A measured value or a limit, with its unit.
#[derive(Clone, Debug, PartialEq)]
pub enum Value {
    /// Not given in the data.
    Unknown,
    /// Words, such as a kind of car or a condition.
    Text(String),
    /// A count of things.
    Count(i64),
    /// A day.
    Date(Date),
    /// A number of days.
    Days(i64),
    /// A length in feet.
    Feet(Feet),
    /// A length in inches.
    Inches(Inches),
    /// A distance in miles.
    Miles(Miles),
    /// A force or weight in kips.
    Kips(Kips),
    /// A moment.
    KipFeet(KipFeet),
    /// A stress.
    Ksi(Ksi),
    /// A section modulus.
    CubicInches(CubicInches),
    /// A second moment of area.
    QuarticInches(QuarticInches),
    /// A weight per length.
    KipsPerFoot(KipsPerFoot),
    /// A vehicle weight in short tons.
    Tons(Tons),
    /// A share in per cent.
    Percent(Percent),
    /// A pure number, such as a rating factor.
    Ratio(Ratio),
    /// Money.
    Money(Cents),
}

impl Value {
    /// The bare number in the value's own unit; none for words, days of the calendar and unknowns.
    #[must_use]
    pub fn number(&self) -> Option<f64> {
        Some(match self {
            Self::Unknown | Self::Text(_) | Self::Date(_) => return None,
            Self::Count(n) | Self::Days(n) => *n as f64,
            Self::Feet(q) => q.0,
            Self::Inches(q) => q.0,
            Self::Miles(q) => q.0,
            Self::Kips(q) => q.0,
            Self::KipFeet(q) => q.0,
            Self::Ksi(q) => q.0,
            Self::CubicInches(q) => q.0,
            Self::QuarticInches(q) => q.0,
            Self::KipsPerFoot(q) => q.0,
            Self::Tons(q) => q.0,
            Self::Percent(q) => q.0,
            Self::Ratio(q) => q.0,
            Self::Money(q) => q.0 as f64,
        })
    }

    /// The same quantity of another number; counts and money to the nearest whole, what has no number
    /// as it is.
    #[must_use]
    pub fn with_number(&self, number: f64) -> Self {
        match self {
            Self::Unknown | Self::Text(_) | Self::Date(_) => self.clone(),
            Self::Count(_) => Self::Count(number.round() as i64),
            Self::Days(_) => Self::Days(number.round() as i64),
            Self::Feet(_) => Self::Feet(Feet(number)),
            Self::Inches(_) => Self::Inches(Inches(number)),
            Self::Miles(_) => Self::Miles(Miles(number)),
            Self::Kips(_) => Self::Kips(Kips(number)),
            Self::KipFeet(_) => Self::KipFeet(KipFeet(number)),
            Self::Ksi(_) => Self::Ksi(Ksi(number)),
            Self::CubicInches(_) => Self::CubicInches(CubicInches(number)),
            Self::QuarticInches(_) => Self::QuarticInches(QuarticInches(number)),
            Self::KipsPerFoot(_) => Self::KipsPerFoot(KipsPerFoot(number)),
            Self::Tons(_) => Self::Tons(Tons(number)),
            Self::Percent(_) => Self::Percent(Percent(number)),
            Self::Ratio(_) => Self::Ratio(Ratio(number)),
            Self::Money(_) => Self::Money(Cents(number.round() as i64)),
        }
    }

    /// The difference of two values of one unit; dates give days; none where units differ.
    #[must_use]
    pub fn minus(&self, other: &Self) -> Option<Self> {
        Some(match (self, other) {
            (Self::Count(a), Self::Count(b)) => Self::Count(a - b),
            (Self::Days(a), Self::Days(b)) => Self::Days(a - b),
            (Self::Date(a), Self::Date(b)) => Self::Days(i64::from((*a - *b).get_days())),
            (Self::Feet(a), Self::Feet(b)) => Self::Feet(*a - *b),
            (Self::Inches(a), Self::Inches(b)) => Self::Inches(*a - *b),
            (Self::Miles(a), Self::Miles(b)) => Self::Miles(*a - *b),
            (Self::Kips(a), Self::Kips(b)) => Self::Kips(*a - *b),
            (Self::KipFeet(a), Self::KipFeet(b)) => Self::KipFeet(*a - *b),
            (Self::Ksi(a), Self::Ksi(b)) => Self::Ksi(*a - *b),
            (Self::CubicInches(a), Self::CubicInches(b)) => Self::CubicInches(*a - *b),
            (Self::QuarticInches(a), Self::QuarticInches(b)) => Self::QuarticInches(*a - *b),
            (Self::KipsPerFoot(a), Self::KipsPerFoot(b)) => Self::KipsPerFoot(*a - *b),
            (Self::Tons(a), Self::Tons(b)) => Self::Tons(*a - *b),
            (Self::Percent(a), Self::Percent(b)) => Self::Percent(*a - *b),
            (Self::Ratio(a), Self::Ratio(b)) => Self::Ratio(*a - *b),
            (Self::Money(a), Self::Money(b)) => Self::Money(*a - *b),
            _ => return None,
        })
    }

    /// The value without its sign.
    #[must_use]
    pub fn magnitude(&self) -> Self {
        match self {
            Self::Unknown | Self::Text(_) | Self::Date(_) => self.clone(),
            Self::Count(n) => Self::Count(n.abs()),
            Self::Days(n) => Self::Days(n.abs()),
            Self::Feet(q) => Self::Feet(q.abs()),
            Self::Inches(q) => Self::Inches(q.abs()),
            Self::Miles(q) => Self::Miles(q.abs()),
            Self::Kips(q) => Self::Kips(q.abs()),
            Self::KipFeet(q) => Self::KipFeet(q.abs()),
            Self::Ksi(q) => Self::Ksi(q.abs()),
            Self::CubicInches(q) => Self::CubicInches(q.abs()),
            Self::QuarticInches(q) => Self::QuarticInches(q.abs()),
            Self::KipsPerFoot(q) => Self::KipsPerFoot(q.abs()),
            Self::Tons(q) => Self::Tons(q.abs()),
            Self::Percent(q) => Self::Percent(q.abs()),
            Self::Ratio(q) => Self::Ratio(q.abs()),
            Self::Money(q) => Self::Money(Cents(q.0.abs())),
        }
    }

    /// The key under which JSON carries this value: the unit is part of the key.
    #[must_use]
    pub fn json_key(&self) -> &'static str {
        match self {
            Self::Unknown => "unknown",
            Self::Text(_) => "text",
            Self::Count(_) => "count",
            Self::Date(_) => "date",
            Self::Days(_) => "days",
            Self::Feet(_) => "ft",
            Self::Inches(_) => "in",
            Self::Miles(_) => "mi",
            Self::Kips(_) => "kip",
            Self::KipFeet(_) => "kip_ft",
            Self::Ksi(_) => "ksi",
            Self::CubicInches(_) => "in3",
            Self::QuarticInches(_) => "in4",
            Self::KipsPerFoot(_) => "kip_per_ft",
            Self::Tons(_) => "short_tons",
            Self::Percent(_) => "percent",
            Self::Ratio(_) => "ratio",
            Self::Money(_) => "usd_cents",
        }
    }
}

impl fmt::Display for Value {
    fn fmt(&self, f: &mut fmt::Formatter<'_>) -> fmt::Result {
        match self {
            Self::Unknown => f.write_str("unknown"),
            Self::Text(text) => f.write_str(text),
            Self::Count(n) => write!(f, "{n}"),
            Self::Date(date) => write!(f, "{date}"),
            Self::Days(n) => write!(f, "{n} days"),
            Self::Feet(q) => q.fmt(f),
            Self::Inches(q) => q.fmt(f),
            Self::Miles(q) => q.fmt(f),
            Self::Kips(q) => q.fmt(f),
            Self::KipFeet(q) => q.fmt(f),
            Self::Ksi(q) => q.fmt(f),
            Self::CubicInches(q) => q.fmt(f),
            Self::QuarticInches(q) => q.fmt(f),
            Self::KipsPerFoot(q) => q.fmt(f),
            Self::Tons(q) => q.fmt(f),
            Self::Percent(q) => q.fmt(f),
            Self::Ratio(q) => q.fmt(f),
            Self::Money(q) => q.fmt(f),
        }
    }
}

impl Serialize for Value {
    /// One-entry map from unit to number: `{"ft": 66.0}`; an unknown is `{"unknown": null}`.
    fn serialize<S: Serializer>(&self, serializer: S) -> Result<S::Ok, S::Error> {
        let mut map = serializer.serialize_map(Some(1))?;
        let key = self.json_key();
        match self {
            Self::Unknown => map.serialize_entry(key, &None::<()>)?,
            Self::Text(text) => map.serialize_entry(key, text)?,
            Self::Date(date) => map.serialize_entry(key, &date.to_string())?,
            Self::Count(n) | Self::Days(n) => map.serialize_entry(key, n)?,
            Self::Money(cents) => map.serialize_entry(key, &cents.0)?,
            other => map.serialize_entry(key, &other.number())?,
        }
        map.end()
    }
}

impl<'de> Deserialize<'de> for Value {
    /// Reads what [`Value`] writes.
    fn deserialize<D: Deserializer<'de>>(deserializer: D) -> Result<Self, D::Error> {
        /// The same as an enum with its units as names.
        #[derive(Deserialize)]
        #[serde(rename_all = "snake_case")]
        enum Written {
            Unknown(()),
            Text(String),
            Count(i64),
            Date(Date),
            Days(i64),
            Ft(Feet),
            In(Inches),
            Mi(Miles),
            Kip(Kips),
            KipFt(KipFeet),
            Ksi(Ksi),
            In3(CubicInches),
            ShortTons(Tons),
            Percent(Percent),
            Ratio(Ratio),
            UsdCents(Cents),
        }
        Ok(match Written::deserialize(deserializer)? {
            Written::Unknown(_) => Self::Unknown,
            Written::Text(text) => Self::Text(text),
            Written::Count(n) => Self::Count(n),
            Written::Date(day) => Self::Date(day),
            Written::Days(n) => Self::Days(n),
            Written::Ft(q) => Self::Feet(q),
            Written::In(q) => Self::Inches(q),
            Written::Mi(q) => Self::Miles(q),
            Written::Kip(q) => Self::Kips(q),
            Written::KipFt(q) => Self::KipFeet(q),
            Written::Ksi(q) => Self::Ksi(q),
            Written::In3(q) => Self::CubicInches(q),
            Written::ShortTons(q) => Self::Tons(q),
            Written::Percent(q) => Self::Percent(q),
            Written::Ratio(q) => Self::Ratio(q),
            Written::UsdCents(q) => Self::Money(q),
        })
    }
}

/// What a check requires of the measured value.
#[derive(Clone, Debug, PartialEq, Serialize, Deserialize)]
#[serde(rename_all = "snake_case")]
pub enum Limit {
    /// Nothing is required; the value is reported.
    None,
    /// At least this.
    AtLeast(Value),
    /// At most this.
    AtMost(Value),
    /// Between the two, both included.
    Between(Value, Value),
    /// One of these words.
    OneOf(Vec<String>),
    /// The requirement in words.
    Words(String),
}

impl Limit {
    /// A requirement in words.
    #[must_use]
    pub fn words(text: impl Into<String>) -> Self {
        Self::Words(text.into())
    }

    /// The limiting number; for a range its lower end; none for words.
    #[must_use]
    pub fn number(&self) -> Option<f64> {
        match self {
            Self::AtLeast(v) | Self::AtMost(v) | Self::Between(v, _) => v.number(),
            Self::None | Self::OneOf(_) | Self::Words(_) => None,
        }
    }
}

impl fmt::Display for Limit {
    fn fmt(&self, f: &mut fmt::Formatter<'_>) -> fmt::Result {
        match self {
            Self::None => Ok(()),
            Self::AtLeast(v @ Value::Date(_)) => write!(f, "on or after {v}"),
            Self::AtMost(v @ Value::Date(_)) => write!(f, "on or before {v}"),
            Self::AtLeast(v) => write!(f, "at least {v}"),
            Self::AtMost(v) => write!(f, "at most {v}"),
            Self::Between(a, b) => write!(f, "from {a} to {b}"),
            Self::OneOf(words) => match words.as_slice() {
                [one] => f.write_str(one),
                _ => write!(f, "one of {}", words.join(", ")),
            },
            Self::Words(text) => f.write_str(text),
        }
    }
}

#[cfg(test)]
mod tests {
    use super::*;

    #[test]
    fn every_value_is_read_back_as_it_was_written() {
        let day = jiff::civil::date(2026, 6, 1);
        for (value, text) in [
            (Value::Unknown, r#"{"unknown":null}"#),
            (Value::Text("bent".to_owned()), r#"{"text":"bent"}"#),
            (Value::Count(3), r#"{"count":3}"#),
            (Value::Date(day), r#"{"date":"2026-06-01"}"#),
            (Value::Days(-4), r#"{"days":-4}"#),
            (Value::Feet(Feet(66.0)), r#"{"ft":66.0}"#),
            (Value::Inches(Inches(0.5)), r#"{"in":0.5}"#),
            (Value::Miles(Miles(12.25)), r#"{"mi":12.25}"#),
            (Value::Kips(Kips(46.8)), r#"{"kip":46.8}"#),
            (Value::KipFeet(KipFeet(400.0)), r#"{"kip_ft":400.0}"#),
            (Value::Ksi(Ksi(36.0)), r#"{"ksi":36.0}"#),
            (Value::CubicInches(CubicInches(900.0)), r#"{"in3":900.0}"#),
            (Value::Tons(Tons(17.0)), r#"{"short_tons":17.0}"#),
            (Value::Percent(Percent(2.0)), r#"{"percent":2.0}"#),
            (Value::Ratio(Ratio(1.04)), r#"{"ratio":1.04}"#),
            (Value::Money(Cents(-105)), r#"{"usd_cents":-105}"#),
        ] {
            assert_eq!(serde_json::to_string(&value).unwrap(), text);
            assert_eq!(serde_json::from_str::<Value>(text).unwrap(), value);
        }
        for limit in [
            Limit::None,
            Limit::Between(Value::Feet(Feet(1.0)), Value::Feet(Feet(2.0))),
            Limit::OneOf(vec!["flat".to_owned()]),
        ] {
            let text = serde_json::to_string(&limit).unwrap();
            assert_eq!(serde_json::from_str::<Limit>(&text).unwrap(), limit, "{text}");
        }
    }
}
