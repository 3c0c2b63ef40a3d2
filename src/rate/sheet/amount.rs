//! A result on the sheet: a number with its unit and the decimals that are printed, or words.

use std::fmt;

use serde::ser::{Serialize, SerializeMap, Serializer};

use crate::quantity::{
    CubicInches, Feet, Inches, KipFeet, Kips, KipsPerFoot, Ksi, Percent, Psf, QuarticInches, Ratio,
    SquareInches, Tons,
};

/// A unit as printed, as a JSON key, and the most decimals that are printed.
#[derive(Clone, Copy, Debug, PartialEq, Eq)]
pub struct Unit {
    /// As printed behind the number.
    pub symbol: &'static str,
    /// As a key of JSON.
    pub key: &'static str,
    /// Most decimals printed; trailing zeros are left out.
    pub decimals: usize,
}

/// A number with its unit, or words.
#[derive(Clone, Debug, PartialEq)]
pub enum Amount {
    /// A number.
    Number(f64, Unit),
    /// Words.
    Words(String),
}

impl Amount {
    /// A pure number.
    #[must_use]
    pub fn ratio(value: f64) -> Self {
        Self::Number(value, Unit { symbol: "", key: "ratio", decimals: 6 })
    }

    /// A width or depth over a thickness.
    #[must_use]
    pub fn slenderness(value: f64) -> Self {
        Self::Number(value, Unit { symbol: "", key: "ratio", decimals: 5 })
    }

    /// A share of the yield strength.
    #[must_use]
    pub fn share_of_yield(value: f64) -> Self {
        Self::Number(value, Unit { symbol: "", key: "ratio", decimals: 6 })
    }

    /// A deflection times `E I`.
    #[must_use]
    pub fn stiffness_times_deflection(value: f64) -> Self {
        Self::Number(value, Unit { symbol: "kip-ft3", key: "kip_ft3", decimals: 1 })
    }

    /// A rating factor.
    #[must_use]
    pub fn factor(value: Ratio) -> Self {
        Self::Number(value.0, Unit { symbol: "", key: "rating_factor", decimals: 3 })
    }

    /// A count.
    #[must_use]
    pub fn count(value: usize) -> Self {
        Self::Number(value as f64, Unit { symbol: "", key: "count", decimals: 0 })
    }

    /// Words.
    #[must_use]
    pub fn words(words: impl Into<String>) -> Self {
        Self::Words(words.into())
    }

    /// The number as printed, without its unit; words as they are.
    #[must_use]
    pub fn bare(&self) -> String {
        match self {
            Self::Number(value, unit) => printed(*value, unit.decimals),
            Self::Words(words) => words.clone(),
        }
    }
}

/// Fixed decimals without trailing zeros, never as `-0`.
pub(super) fn printed(value: f64, decimals: usize) -> String {
    let mut text = format!("{value:.decimals$}");
    if text.contains('.') {
        text.truncate(text.trim_end_matches('0').trim_end_matches('.').len());
    }
    if text == "-0" { "0".to_owned() } else { text }
}

impl fmt::Display for Amount {
    fn fmt(&self, f: &mut fmt::Formatter<'_>) -> fmt::Result {
        match self {
            Self::Number(_, unit) if unit.symbol.is_empty() => f.write_str(&self.bare()),
            Self::Number(_, unit) => write!(f, "{} {}", self.bare(), unit.symbol),
            Self::Words(words) => f.write_str(words),
        }
    }
}

impl Serialize for Amount {
    /// One-entry map from unit to the number in full, or `{"words": …}`.
    fn serialize<S: Serializer>(&self, serializer: S) -> Result<S::Ok, S::Error> {
        let mut map = serializer.serialize_map(Some(1))?;
        match self {
            Self::Number(value, unit) => map.serialize_entry(unit.key, value)?,
            Self::Words(words) => map.serialize_entry("words", words)?,
        }
        map.end()
    }
}

/// Amounts of the quantities: symbol, key and decimals.
macro_rules! amounts {
    ($($quantity:ident, $key:literal, $decimals:literal;)*) => {
        $(impl From<$quantity> for Amount {
            fn from(quantity: $quantity) -> Self {
                let unit =
                    Unit { symbol: $quantity::UNIT, key: $key, decimals: $decimals };
                Self::Number(quantity.0, unit)
            }
        })*
    };
}

amounts! {
    Feet, "ft", 4;
    Inches, "in", 5;
    SquareInches, "in2", 4;
    CubicInches, "in3", 3;
    QuarticInches, "in4", 2;
    Kips, "kip", 3;
    KipsPerFoot, "kip_per_ft", 6;
    KipFeet, "kip_ft", 3;
    Ksi, "ksi", 2;
    Psf, "psf", 2;
    Percent, "percent", 2;
    Tons, "short_tons", 3;
}

#[cfg(test)]
mod tests {
    use super::*;

    #[test]
    fn numbers_are_printed_without_idle_zeros() {
        for (amount, text) in [
            (Amount::from(Feet(45.0)), "45 ft"),
            (Amount::from(Feet(20.166_666)), "20.1667 ft"),
            (Amount::from(KipFeet(-0.000_01)), "0 kip-ft"),
            (Amount::factor(Ratio(1.1)), "1.1"),
            (Amount::from(Kips(100.0)), "100 kip"),
            (Amount::count(200), "200"),
            (Amount::words("lane load"), "lane load"),
        ] {
            assert_eq!(amount.to_string(), text);
        }
    }

    #[test]
    fn json_carries_the_unit_as_the_key() {
        let json = serde_json::to_string(&Amount::from(CubicInches(642.5))).unwrap();
        assert_eq!(json, r#"{"in3":642.5}"#);
    }
}
