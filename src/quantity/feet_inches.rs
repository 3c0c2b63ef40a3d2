//! Lengths as the trade writes them.

use super::Feet;

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

#[cfg(test)]
mod tests {
    use super::*;

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
