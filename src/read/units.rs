//! Units that people write, and their exact factors.

use super::columns::Content;
use crate::words::present_spelling;

/// A unit of a cell or a column.
#[derive(Clone, Copy, Debug, PartialEq, Eq)]
pub(super) enum Unit {
    Feet,
    Inches,
    Meters,
    Centimeters,
    Millimeters,
    Pounds,
    Kips,
    ShortTons,
    Tonnes,
    Kilograms,
    /// Short ton or tonne: a question for a person.
    Tons,
    Ksi,
    Psi,
    Megapascals,
    CubicInches,
    CubicCentimeters,
    Percent,
    Dollars,
}

/// What a unit measures; units of one kind can be turned into each other.
#[derive(Clone, Copy, Debug, PartialEq, Eq)]
enum Kind {
    Length,
    Weight,
    Stress,
    Modulus,
    Share,
    Money,
}

impl Unit {
    /// All of them.
    pub const ALL: [Self; 18] = [
        Self::Feet,
        Self::Inches,
        Self::Meters,
        Self::Centimeters,
        Self::Millimeters,
        Self::Pounds,
        Self::Kips,
        Self::ShortTons,
        Self::Tonnes,
        Self::Kilograms,
        Self::Tons,
        Self::Ksi,
        Self::Psi,
        Self::Megapascals,
        Self::CubicInches,
        Self::CubicCentimeters,
        Self::Percent,
        Self::Dollars,
    ];

    /// The unit of a column's values; none for a column of words or counts.
    pub fn of_column(content: &Content) -> Option<Self> {
        match content {
            Content::Number { unit, .. } => Self::from_word(unit),
            Content::Money { .. } => Some(Self::Dollars),
            _ => None,
        }
    }

    /// The unit that a word or mark stands for. Case, blanks and full stops do not matter.
    pub fn from_word(word: &str) -> Option<Self> {
        let word: String = word
            .to_lowercase()
            .chars()
            .filter(|c| !c.is_whitespace() && !matches!(c, '.' | '-' | '_'))
            .map(|c| if c == '³' { '3' } else { c })
            .collect();
        Some(match present_spelling(&word).as_ref() {
            "ft" | "feet" | "foot" | "'" => Self::Feet,
            "in" | "ins" | "inch" | "inches" | "\"" => Self::Inches,
            "m" | "meter" | "meters" => Self::Meters,
            "cm" | "centimeter" | "centimeters" => Self::Centimeters,
            "mm" | "millimeter" | "millimeters" => Self::Millimeters,
            "lb" | "lbs" | "pound" | "pounds" | "#" => Self::Pounds,
            "kip" | "kips" => Self::Kips,
            "shortton" | "shorttons" | "uston" | "ustons" => Self::ShortTons,
            "tonne" | "tonnes" | "metricton" | "metrictons" => Self::Tonnes,
            "kg" | "kgs" | "kilogram" | "kilograms" => Self::Kilograms,
            // Most who write "21 T" in this trade mean short tons, and the sign is that of the tonne.
            "t" | "ton" | "tons" => Self::Tons,
            "ksi" => Self::Ksi,
            "psi" => Self::Psi,
            "mpa" => Self::Megapascals,
            "in3" | "in^3" | "cuin" | "cubicinches" => Self::CubicInches,
            "cm3" | "cm^3" | "cubiccentimeters" => Self::CubicCentimeters,
            "%" | "pct" | "percent" => Self::Percent,
            "$" | "usd" | "us$" | "dollars" | "usdollars" => Self::Dollars,
            _ => return None,
        })
    }

    /// What the unit measures, and how many of that kind's base units it is. Base units: inch, pound,
    /// ksi, cubic inch. The factors are exact by the international foot and pound of 1959.
    fn factor(self) -> (Kind, f64) {
        const INCH_M: f64 = 0.0254;
        const POUND_KG: f64 = 0.453_592_37;
        // 1 ksi = 1,000 lb x 9.80665 m/s2 over a square inch.
        const KSI_MPA: f64 = 1000.0 * POUND_KG * 9.806_65 / (INCH_M * INCH_M) / 1e6;
        match self {
            Self::Feet => (Kind::Length, 12.0),
            Self::Inches => (Kind::Length, 1.0),
            Self::Meters => (Kind::Length, 1.0 / INCH_M),
            Self::Centimeters => (Kind::Length, 0.01 / INCH_M),
            Self::Millimeters => (Kind::Length, 0.001 / INCH_M),
            Self::Pounds => (Kind::Weight, 1.0),
            Self::Kips => (Kind::Weight, 1000.0),
            Self::ShortTons | Self::Tons => (Kind::Weight, 2000.0),
            Self::Tonnes => (Kind::Weight, 1000.0 / POUND_KG),
            Self::Kilograms => (Kind::Weight, 1.0 / POUND_KG),
            Self::Ksi => (Kind::Stress, 1.0),
            Self::Psi => (Kind::Stress, 0.001),
            Self::Megapascals => (Kind::Stress, 1.0 / KSI_MPA),
            Self::CubicInches => (Kind::Modulus, 1.0),
            Self::CubicCentimeters => (Kind::Modulus, 1.0 / 16.387_064),
            Self::Percent => (Kind::Share, 1.0),
            Self::Dollars => (Kind::Money, 1.0),
        }
    }

    /// Whether values of this unit can be turned into the other one.
    pub fn fits(self, other: Self) -> bool {
        self.factor().0 == other.factor().0
    }

    /// A value of this unit in another one that it fits, free of the last digits' noise.
    pub fn convert(self, value: f64, to: Self) -> f64 {
        if self == to {
            return value;
        }
        let value = value * self.factor().1 / to.factor().1;
        let rounded = (value * 1e9).round() / 1e9;
        if rounded.is_finite() { rounded } else { value }
    }

    /// The unit in words, for messages.
    pub fn words(self) -> &'static str {
        match self {
            Self::Feet => "feet",
            Self::Inches => "inches",
            Self::Meters => "meters",
            Self::Centimeters => "centimeters",
            Self::Millimeters => "millimeters",
            Self::Pounds => "pounds",
            Self::Kips => "kips",
            Self::ShortTons => "short tons",
            Self::Tonnes => "tonnes",
            Self::Kilograms => "kilograms",
            Self::Tons => "tons",
            Self::Ksi => "ksi",
            Self::Psi => "psi",
            Self::Megapascals => "MPa",
            Self::CubicInches => "cubic inches",
            Self::CubicCentimeters => "cubic centimeters",
            Self::Percent => "per cent",
            Self::Dollars => "US dollars",
        }
    }
}

#[cfg(test)]
mod tests {
    use super::*;
    use crate::read::columns::Columns;
    use crate::read::inventory::Inventory;

    #[test]
    fn every_unit_of_a_column_is_known() {
        for column in Inventory::ALL {
            if matches!(column.content, Content::Number { .. } | Content::Money { .. }) {
                assert!(Unit::of_column(&column.content).is_some(), "{}", column.name);
            }
        }
    }

    #[test]
    fn the_words_of_a_unit_are_read_back() {
        for unit in Unit::ALL {
            assert_eq!(Unit::from_word(unit.words()), Some(unit));
        }
    }

    #[test]
    fn factors_are_those_of_the_tables() {
        use Unit::{Feet, Inches, Kilograms, Kips, Meters, Millimeters, Pounds, ShortTons, Tonnes};
        // NIST Special Publication 811, appendix B: 1 ft = 0.3048 m, 1 lb = 0.45359237 kg.
        for (value, from, to, expected) in [
            (0.3048, Meters, Feet, 1.0),
            (25.4, Millimeters, Inches, 1.0),
            (45_359.237, Kilograms, Pounds, 100_000.0),
            (1.0, Tonnes, Pounds, 2_204.622_621_849),
            (21.5, ShortTons, Pounds, 43_000.0),
            (43.2, Kips, Pounds, 43_200.0),
            (1_072.0, Inches, Feet, 89.333_333_333),
        ] {
            assert!((from.convert(value, to) - expected).abs() < 1e-6, "{value} {from:?}");
        }
        // NIST SP 811: 1 ksi = 6.894757 MPa.
        assert!((Unit::Megapascals.convert(6.894_757, Unit::Ksi) - 1.0).abs() < 1e-6);
    }
}
