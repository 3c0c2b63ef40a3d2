//! Quantities with their unit in the type, in the customary units of the trade.
//!
//! A length in feet cannot be added to one in inches by mistake, and a moment divided by a section
//! modulus comes out as a stress with the factor of 12 applied once, here. Money is integer cents.
//!
//! ```
//! use spanyard::quantity::{CubicInches, Feet, Inches, KipFeet, Kips, Ksi};
//!
//! let moment: KipFeet = Kips(32.0) * Feet(12.5);
//! assert_eq!(moment, KipFeet(400.0));
//! let stress: Ksi = moment / CubicInches(480.0);
//! assert_eq!(stress, Ksi(10.0));
//! assert_eq!(Inches::from(Feet(1.5)), Inches(18.0));
//! ```

use std::fmt;
use std::iter::Sum;
use std::ops::{Add, AddAssign, Div, Mul, Neg, Sub, SubAssign};

use serde::{Deserialize, Serialize};

/// Defines one physical quantity: a transparent `f64` with its unit, ordinary arithmetic within the
/// unit, and a `Display` that always prints the unit.
macro_rules! quantity {
    ($(#[$doc:meta])* $name:ident, $unit:literal, $decimals:literal) => {
        $(#[$doc])*
        #[derive(Clone, Copy, Debug, Default, PartialEq, PartialOrd, Serialize, Deserialize)]
        #[serde(transparent)]
        pub struct $name(pub f64);

        impl $name {
            /// The unit as printed behind the number.
            pub const UNIT: &'static str = $unit;

            /// The bare number, in this type's unit.
            #[must_use]
            pub fn value(self) -> f64 {
                self.0
            }

            /// The larger of the two.
            #[must_use]
            pub fn max(self, other: Self) -> Self {
                Self(self.0.max(other.0))
            }

            /// The smaller of the two.
            #[must_use]
            pub fn min(self, other: Self) -> Self {
                Self(self.0.min(other.0))
            }

            /// The magnitude.
            #[must_use]
            pub fn abs(self) -> Self {
                Self(self.0.abs())
            }

            /// A total order (`NaN` sorts last); quantities from validated input are never `NaN`.
            #[must_use]
            pub fn total_cmp(&self, other: &Self) -> std::cmp::Ordering {
                self.0.total_cmp(&other.0)
            }
        }

        impl fmt::Display for $name {
            /// The number and its unit; a precision (`{:.1}`) overrides the quantity's usual one.
            fn fmt(&self, f: &mut fmt::Formatter<'_>) -> fmt::Result {
                let decimals = f.precision().unwrap_or($decimals);
                let number = fixed(self.0, decimals);
                if $unit.is_empty() {
                    pad(f, &number)
                } else {
                    pad(f, &format!("{number} {}", $unit))
                }
            }
        }

        impl Add for $name {
            type Output = Self;
            fn add(self, other: Self) -> Self {
                Self(self.0 + other.0)
            }
        }
        impl Sub for $name {
            type Output = Self;
            fn sub(self, other: Self) -> Self {
                Self(self.0 - other.0)
            }
        }
        impl Neg for $name {
            type Output = Self;
            fn neg(self) -> Self {
                Self(-self.0)
            }
        }
        impl AddAssign for $name {
            fn add_assign(&mut self, other: Self) {
                self.0 += other.0;
            }
        }
        impl SubAssign for $name {
            fn sub_assign(&mut self, other: Self) {
                self.0 -= other.0;
            }
        }
        impl Mul<f64> for $name {
            type Output = Self;
            fn mul(self, factor: f64) -> Self {
                Self(self.0 * factor)
            }
        }
        impl Mul<$name> for f64 {
            type Output = $name;
            fn mul(self, quantity: $name) -> $name {
                $name(self * quantity.0)
            }
        }
        impl Div<f64> for $name {
            type Output = Self;
            fn div(self, divisor: f64) -> Self {
                Self(self.0 / divisor)
            }
        }
        impl Div for $name {
            type Output = f64;
            fn div(self, other: Self) -> f64 {
                self.0 / other.0
            }
        }
        impl Sum for $name {
            fn sum<I: Iterator<Item = Self>>(items: I) -> Self {
                Self(items.map(|q| q.0).sum())
            }
        }
        impl<'a> Sum<&'a $name> for $name {
            fn sum<I: Iterator<Item = &'a $name>>(items: I) -> Self {
                Self(items.map(|q| q.0).sum())
            }
        }
    };
}

/// Defines `$a * $b = $c` (both ways round), `$c / $a = $b` and `$c / $b = $a`, with `$c` in its own
/// unit being `$factor` times the product of the two bare numbers.
macro_rules! product {
    ($a:ident * $b:ident = $c:ident, $factor:expr) => {
        impl Mul<$b> for $a {
            type Output = $c;
            fn mul(self, other: $b) -> $c {
                $c(self.0 * other.0 * $factor)
            }
        }
        impl Mul<$a> for $b {
            type Output = $c;
            fn mul(self, other: $a) -> $c {
                $c(self.0 * other.0 * $factor)
            }
        }
        impl Div<$a> for $c {
            type Output = $b;
            fn div(self, other: $a) -> $b {
                $b(self.0 / (other.0 * $factor))
            }
        }
        impl Div<$b> for $c {
            type Output = $a;
            fn div(self, other: $b) -> $a {
                $a(self.0 / (other.0 * $factor))
            }
        }
    };
}

/// Writes text with the formatter's width and alignment but not its precision, which here means
/// decimals and would make `Formatter::pad` cut the text short.
fn pad(f: &mut fmt::Formatter<'_>, text: &str) -> fmt::Result {
    let Some(width) = f.width() else { return f.write_str(text) };
    match f.align() {
        Some(fmt::Alignment::Right) => write!(f, "{text:>width$}"),
        Some(fmt::Alignment::Center) => write!(f, "{text:^width$}"),
        _ => write!(f, "{text:<width$}"),
    }
}

/// Prints a number with a fixed count of decimals, never as `-0.0`.
fn fixed(value: f64, decimals: usize) -> String {
    let text = format!("{value:.decimals$}");
    if text.starts_with('-') && text[1..].chars().all(|c| c == '0' || c == '.') {
        text[1..].to_owned()
    } else {
        text
    }
}

quantity!(
    /// A length in feet: spans, truck centers, widths.
    Feet, "ft", 2
);
quantity!(
    /// A length in inches: camber, plates, girder depths, gaps.
    Inches, "in", 2
);
quantity!(
    /// A road distance in statute miles.
    Miles, "mi", 1
);
quantity!(
    /// An area in square feet: decks.
    SquareFeet, "sq ft", 1
);
quantity!(
    /// An area in square inches: plates, shear areas.
    SquareInches, "in2", 2
);
quantity!(
    /// A section modulus in cubic inches.
    CubicInches, "in3", 1
);
quantity!(
    /// A second moment of area in inches to the fourth.
    QuarticInches, "in4", 1
);
quantity!(
    /// A force in kips (1 kip is 1,000 lb).
    Kips, "kip", 1
);
quantity!(
    /// A line load in kips per foot.
    KipsPerFoot, "kip/ft", 3
);
quantity!(
    /// A bending moment in kip-feet.
    KipFeet, "kip-ft", 1
);
quantity!(
    /// A stress in kips per square inch.
    Ksi, "ksi", 2
);
quantity!(
    /// A surface load in pounds per square foot: decks, wearing surfaces.
    Psf, "psf", 1
);
quantity!(
    /// A gross vehicle weight in short tons (2,000 lb), the unit of posting signs.
    Tons, "tons", 1
);
quantity!(
    /// A weight in pounds, as stencils and permits have it.
    Pounds, "lb", 0
);
quantity!(
    /// A share in per cent.
    Percent, "%", 1
);
quantity!(
    /// A pure number: rating factors, impact, load factors.
    Ratio, "", 3
);

product!(Kips * Feet = KipFeet, 1.0);
product!(KipsPerFoot * Feet = Kips, 1.0);
product!(Ksi * CubicInches = KipFeet, 1.0 / 12.0);
product!(Ksi * SquareInches = Kips, 1.0);
product!(SquareInches * Inches = CubicInches, 1.0);
product!(CubicInches * Inches = QuarticInches, 1.0);
product!(Psf * Feet = KipsPerFoot, 1.0 / 1000.0);

impl Mul for Feet {
    type Output = SquareFeet;
    fn mul(self, other: Self) -> SquareFeet {
        SquareFeet(self.0 * other.0)
    }
}

impl Mul for Inches {
    type Output = SquareInches;
    fn mul(self, other: Self) -> SquareInches {
        SquareInches(self.0 * other.0)
    }
}

impl From<Inches> for Feet {
    fn from(length: Inches) -> Self {
        Self(length.0 / 12.0)
    }
}

impl From<Feet> for Inches {
    fn from(length: Feet) -> Self {
        Self(length.0 * 12.0)
    }
}

impl From<Kips> for Tons {
    fn from(weight: Kips) -> Self {
        Self(weight.0 / 2.0)
    }
}

impl From<Tons> for Kips {
    fn from(weight: Tons) -> Self {
        Self(weight.0 * 2.0)
    }
}

impl Kips {
    /// A weight given in pounds.
    #[must_use]
    pub fn from_pounds(pounds: f64) -> Self {
        Self(pounds / 1000.0)
    }

    /// This weight in pounds.
    #[must_use]
    pub fn pounds(self) -> f64 {
        self.0 * 1000.0
    }
}

impl From<Pounds> for Kips {
    fn from(weight: Pounds) -> Self {
        Self::from_pounds(weight.0)
    }
}

impl Percent {
    /// The share as a fraction of one.
    #[must_use]
    pub fn fraction(self) -> f64 {
        self.0 / 100.0
    }
}

/// Money in integer US cents. Sums of money are exact; a rate times a quantity is rounded once, to
/// the nearest cent with halves away from zero, by [`Cents::times`].
#[derive(
    Clone, Copy, Debug, Default, PartialEq, Eq, PartialOrd, Ord, Hash, Serialize, Deserialize,
)]
#[serde(transparent)]
pub struct Cents(pub i64);

impl Cents {
    /// No money.
    pub const ZERO: Self = Self(0);

    /// More than any sum of a purchase, ten million million dollars. Every amount that is read is far
    /// below it; sums stop at the ends of their numbers and never wrap, and a plan with a sum beyond
    /// this is rejected.
    pub const MOST: Self = Self::dollars(10_000_000_000_000);

    /// Whether the amount is one that a purchase may have, owed or to be had back.
    #[must_use]
    pub fn is_sane(self) -> bool {
        (-Self::MOST..=Self::MOST).contains(&self)
    }

    /// Whole dollars.
    #[must_use]
    pub const fn dollars(dollars: i64) -> Self {
        Self(dollars * 100)
    }

    /// A dollar amount rounded to the nearest cent.
    ///
    /// ```
    /// use spanyard::quantity::Cents;
    /// // 3.1 x 2.55 is 7.905 on paper, and a little less in binary.
    /// assert_eq!(Cents::from_dollars(3.1 * 2.55), Cents(791));
    /// ```
    #[must_use]
    pub fn from_dollars(dollars: f64) -> Self {
        Self(nearest(dollars * 100.0))
    }

    /// This rate times a quantity in the rate's unit, rounded to the nearest cent.
    ///
    /// ```
    /// use spanyard::quantity::Cents;
    /// assert_eq!(Cents(455).times(212.5), Cents(96_688)); // 96,687.5 cents
    /// ```
    #[must_use]
    pub fn times(self, quantity: f64) -> Self {
        Self(nearest(self.0 as f64 * quantity))
    }

    /// The amount in dollars, for ratios and solver coefficients only, never for sums.
    #[must_use]
    pub fn as_dollars(self) -> f64 {
        self.0 as f64 / 100.0
    }
}

impl fmt::Display for Cents {
    /// `$1,234.50`, negative amounts as `-$1,234.50`. With `{:.0}` whole dollars (`$1,235`).
    fn fmt(&self, f: &mut fmt::Formatter<'_>) -> fmt::Result {
        let whole = f.precision() == Some(0);
        let magnitude = self.0.unsigned_abs();
        let (dollars, cents) =
            if whole { ((magnitude + 50) / 100, 0) } else { (magnitude / 100, magnitude % 100) };
        let sign = if self.0 < 0 && (dollars, cents) != (0, 0) { "-" } else { "" };
        let grouped = group_thousands(dollars);
        if whole {
            pad(f, &format!("{sign}${grouped}"))
        } else {
            pad(f, &format!("{sign}${grouped}.{cents:02}"))
        }
    }
}

/// Amounts that files write in dollars.
pub mod dollars {
    use serde::{Deserialize, Deserializer, Serializer};

    use super::Cents;

    /// Writes cents as dollars.
    ///
    /// # Errors
    /// Those of the serializer.
    pub fn serialize<S: Serializer>(cents: &Cents, serializer: S) -> Result<S::Ok, S::Error> {
        serializer.serialize_f64(cents.as_dollars())
    }

    /// Reads dollars as cents.
    ///
    /// # Errors
    /// Those of the deserializer.
    pub fn deserialize<'de, D: Deserializer<'de>>(deserializer: D) -> Result<Cents, D::Error> {
        f64::deserialize(deserializer).map(Cents::from_dollars)
    }
}

/// Defines a price per unit: times a quantity of that unit it is money, rounded to the cent once.
/// It may have more decimals than cents, and prints all of them: `$6.50/mi`, `$0.125/ft`.
macro_rules! rate {
    ($(#[$doc:meta])* $name:ident per $unit:ident, $per:literal) => {
        $(#[$doc])*
        #[derive(Clone, Copy, Debug, Default, PartialEq, PartialOrd, Serialize, Deserialize)]
        #[serde(transparent)]
        pub struct $name(pub f64);

        impl Mul<$unit> for $name {
            type Output = Cents;
            fn mul(self, quantity: $unit) -> Cents {
                Cents::from_dollars(self.0 * quantity.0)
            }
        }

        impl fmt::Display for $name {
            fn fmt(&self, f: &mut fmt::Formatter<'_>) -> fmt::Result {
                let cents = Cents::from_dollars(self.0);
                if (cents.as_dollars() - self.0).abs() < 1e-12 {
                    write!(f, "{cents}{}", $per)
                } else {
                    write!(f, "${}{}", self.0, $per)
                }
            }
        }
    };
}

rate!(
    /// Dollars per foot of length.
    UsdPerFoot per Feet, "/ft"
);
rate!(
    /// Dollars per road mile.
    UsdPerMile per Miles, "/mi"
);
rate!(
    /// Dollars per pound.
    UsdPerPound per Pounds, "/lb"
);
rate!(
    /// Dollars per square foot.
    UsdPerSquareFoot per SquareFeet, "/sq ft"
);

/// The nearest integer, halves away from zero. Decimal rates and quantities have halves that binary
/// misses by a hair; a millionth of a cent puts them back, so that paper and program agree.
fn nearest(cents: f64) -> i64 {
    (cents + 1e-6_f64.copysign(cents)).round() as i64
}

/// `1234567` as `1,234,567`.
#[must_use]
pub fn group_thousands(number: u64) -> String {
    let digits = number.to_string();
    let mut out = String::with_capacity(digits.len() + digits.len() / 3);
    for (place, digit) in digits.chars().enumerate() {
        if place > 0 && (digits.len() - place).is_multiple_of(3) {
            out.push(',');
        }
        out.push(digit);
    }
    out
}

impl Add for Cents {
    type Output = Self;
    fn add(self, other: Self) -> Self {
        Self(self.0.saturating_add(other.0))
    }
}
impl Sub for Cents {
    type Output = Self;
    fn sub(self, other: Self) -> Self {
        Self(self.0.saturating_sub(other.0))
    }
}
impl Neg for Cents {
    type Output = Self;
    fn neg(self) -> Self {
        Self(self.0.saturating_neg())
    }
}
impl AddAssign for Cents {
    fn add_assign(&mut self, other: Self) {
        *self = *self + other;
    }
}
impl SubAssign for Cents {
    fn sub_assign(&mut self, other: Self) {
        *self = *self - other;
    }
}
impl Mul<i64> for Cents {
    type Output = Self;
    fn mul(self, count: i64) -> Self {
        Self(self.0.saturating_mul(count))
    }
}
impl Sum for Cents {
    fn sum<I: Iterator<Item = Self>>(items: I) -> Self {
        items.fold(Self::ZERO, |sum, more| sum + more)
    }
}
impl<'a> Sum<&'a Cents> for Cents {
    fn sum<I: Iterator<Item = &'a Cents>>(items: I) -> Self {
        items.copied().sum()
    }
}

/// A length as the trade writes it, to the nearest sixteenth of an inch: `66'-0"`, `8'-10 1/2"`.
///
/// ```
/// use spanyard::quantity::{Feet, feet_inches};
/// assert_eq!(feet_inches(Feet(8.875)), "8'-10 1/2\"");
/// assert_eq!(feet_inches(Feet(66.0)), "66'-0\"");
/// ```
#[must_use]
pub fn feet_inches(length: Feet) -> String {
    let sixteenths = (length.0 * 192.0).round() as i64;
    let sign = if sixteenths < 0 { "-" } else { "" };
    let sixteenths = sixteenths.abs();
    let (feet, rest) = (sixteenths / 192, sixteenths % 192);
    let (inches, mut part) = (rest / 16, rest % 16);
    let mut base = 16;
    while part > 0 && part % 2 == 0 {
        part /= 2;
        base /= 2;
    }
    if part == 0 {
        format!("{sign}{feet}'-{inches}\"")
    } else {
        format!("{sign}{feet}'-{inches} {part}/{base}\"")
    }
}

/// A share in hundredths of a per cent, whole, so that it is exact.
#[derive(Clone, Copy, Debug, Default, PartialEq, Eq, PartialOrd, Ord, Serialize, Deserialize)]
#[serde(transparent)]
pub struct BasisPoints(pub u32);

impl fmt::Display for BasisPoints {
    fn fmt(&self, f: &mut fmt::Formatter<'_>) -> fmt::Result {
        write!(f, "{} %", f64::from(self.0) / 100.0)
    }
}

#[cfg(test)]
mod tests {
    use super::*;

    #[test]
    fn money_prints_grouped_and_never_as_minus_zero() {
        for (cents, exact, whole) in [
            (0, "$0.00", "$0"),
            (5, "$0.05", "$0"),
            (-5, "-$0.05", "$0"),
            (123_456_789, "$1,234,567.89", "$1,234,568"),
            (-100_050, "-$1,000.50", "-$1,001"),
        ] {
            assert_eq!(format!("{}", Cents(cents)), exact);
            assert_eq!(format!("{:.0}", Cents(cents)), whole);
        }
    }

    #[test]
    fn sums_stop_at_the_ends_and_never_wrap() {
        let (most, least) = (Cents(i64::MAX), Cents(i64::MIN));
        assert_eq!(most + Cents(1), most);
        assert_eq!(least - Cents(1), least);
        assert_eq!(-least, most);
        assert_eq!(most * 2, most);
        assert_eq!([most, most].iter().sum::<Cents>(), most);
        assert_eq!(Cents::from_dollars(1e308), most);
        assert!(!most.is_sane() && !least.is_sane() && Cents::MOST.is_sane());
    }

    #[test]
    fn halves_of_a_cent_round_as_on_paper() {
        for (rate, quantity, cents) in [
            (2.25, 172.7, 38_858), // 388.575
            (2.55, 3.1, 791),      // 7.905
            (1.15, 1.1, 127),      // 1.265
            (-2.55, 3.1, -791),
            (6.5, 172.7, 112_255), // 1,122.55: nothing to round
            (0.333, 1.0, 33),
        ] {
            assert_eq!(Cents::from_dollars(rate * quantity), Cents(cents), "{rate} x {quantity}");
        }
        assert_eq!(Cents(225).times(172.7), Cents(38_858));
    }

    #[test]
    fn rates_print_as_they_are_and_round_once() {
        for (rate, words) in [
            (6.5, "$6.50/mi"),
            (0.0, "$0.00/mi"),
            (1250.0, "$1,250.00/mi"),
            (0.125, "$0.125/mi"),
            (2.25, "$2.25/mi"),
        ] {
            assert_eq!(UsdPerMile(rate).to_string(), words);
        }
        assert_eq!(UsdPerMile(2.25) * Miles(172.7), Cents(38_858)); // 388.575
        assert_eq!(UsdPerFoot(0.125) * Feet(10.0), Cents(125));
        assert_eq!(UsdPerSquareFoot(14.0) * SquareFeet(451.4), Cents(631_960));
    }

    #[test]
    fn quantities_print_with_their_unit() {
        assert_eq!(Feet(66.0).to_string(), "66.00 ft");
        assert_eq!(format!("{:.1}", KipFeet(806.54)), "806.5 kip-ft");
        assert_eq!(Ratio(1.2345).to_string(), "1.234");
        assert_eq!(Inches(-0.0001).to_string(), "0.00 in");
        assert_eq!(format!("{:>10}", Feet(1.0)), "   1.00 ft");
    }

    #[test]
    fn products_and_quotients_agree() {
        let stress = Ksi(20.0);
        let modulus = CubicInches(600.0);
        assert_eq!(stress * modulus, KipFeet(1000.0));
        assert_eq!(KipFeet(1000.0) / modulus, stress);
        assert_eq!(Psf(50.0) * Feet(9.0), KipsPerFoot(0.45));
    }

    #[test]
    fn lengths_in_feet_and_inches() {
        for (feet, text) in [
            (0.0, "0'-0\""),
            (9.999, "10'-0\""),
            (8.5, "8'-6\""),
            (8.46875, "8'-5 5/8\""),
            (-0.5, "-0'-6\""),
        ] {
            assert_eq!(feet_inches(Feet(feet)), text);
        }
    }
}
