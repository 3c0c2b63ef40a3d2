//! Money in integer cents, and prices per unit.

use std::fmt;
use std::iter::Sum;
use std::ops::{Add, AddAssign, Mul, Neg, Sub, SubAssign};

use serde::{Deserialize, Serialize};

use super::{Feet, Miles, Pounds, SquareFeet, pad};

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
}
