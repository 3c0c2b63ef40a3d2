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

mod feet_inches;
mod money;

pub use feet_inches::feet_inches;
pub use money::{
    BasisPoints, Cents, UsdPerFoot, UsdPerMile, UsdPerPound, UsdPerSquareFoot, dollars,
    group_thousands,
};

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

#[cfg(test)]
mod tests {
    use super::*;

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
}
