//! What a number outside the trade's range most likely is, as a question to whoever wrote it.

use super::columns::{Column, Content};
use super::units::Unit;

/// Units that people mean when they write a number without one.
const MEANT: [Unit; 13] = [
    Unit::Feet,
    Unit::Inches,
    Unit::Meters,
    Unit::Millimeters,
    Unit::Centimeters,
    Unit::Pounds,
    Unit::Kips,
    Unit::ShortTons,
    Unit::Tonnes,
    Unit::Kilograms,
    Unit::Psi,
    Unit::Megapascals,
    Unit::CubicCentimeters,
];

/// What to do about a number outside the limits of its column, if a cause is likely: it belongs to
/// another column, or is in another unit.
pub(super) fn advice(column: &Column, number: f64) -> Option<String> {
    let meant = match column.content {
        Content::Number { least, most, .. } => {
            other_units(column, |value| (least..=most).contains(&value), number)
        }
        Content::Money { least, most, .. } => {
            let fits = (least as f64..=most as f64).contains(&(number * 1000.0));
            if fits { vec!["thousands"] } else { Vec::new() }
        }
        _ => Vec::new(),
    };
    let meant = meant.join(" or ");
    match (neighbor(column.name, number), meant.as_str()) {
        (None, "") => None,
        (None, units) => Some(format!("correct it, or the unit; is it in {units}?")),
        (Some(other), "") => Some(format!("correct it; is it {other}?")),
        (Some(other), units) => Some(format!("correct it; is it {other}, or in {units}?")),
    }
}

/// Units in which the number would be within the limits.
fn other_units(column: &Column, fits: impl Fn(f64) -> bool, number: f64) -> Vec<&'static str> {
    let Some(own) = Unit::of_column(&column.content) else { return Vec::new() };
    let units = MEANT.into_iter().filter(|unit| unit.fits(own));
    let mut meant: Vec<_> =
        units.filter(|unit| fits(unit.convert(number, own))).map(Unit::words).collect();
    // A rule with sixteenths is read off as a count of them.
    if own == Unit::Inches && number.fract() == 0.0 && fits(number / 16.0) {
        meant.push("sixteenths");
    }
    meant
}

/// A width in the column of lengths, or the other way round, is a number of its neighbor's.
pub(super) fn neighbor(name: &str, number: f64) -> Option<&'static str> {
    match (name, number) {
        ("width_ft", 20.0..=120.0) => Some("the length"),
        ("length_ft", 5.0..=14.0) => Some("the width"),
        _ => None,
    }
}

#[cfg(test)]
mod tests {
    use super::*;
    use crate::read::Inventory;
    use crate::read::columns::Columns;

    #[test]
    fn the_likely_cause_is_asked_for() {
        for (name, number, expected) in [
            ("length_ft", 1072.0, Some("in inches or centimeters?")),
            ("length_ft", 9.0, Some("the width, or in meters?")),
            ("width_ft", 2.75, Some("in meters?")),
            ("width_ft", 89.0, Some("the length, or in inches?")),
            ("width_ft", 40.0, Some("the length?")),
            ("camber_in", 24.0, Some("in millimeters or centimeters or sixteenths?")),
            ("camber_in", 138.5, Some("in millimeters?")),
            ("weight_lb", 42.0, Some("in kips or short tons or tonnes?")),
            ("yield_ksi", 36_000.0, Some("in psi?")),
            ("yield_ksi", 250.0, Some("in MPa?")),
            ("price_usd", 45.0, Some("in thousands?")),
            ("price_usd", -9500.0, None),
            ("length_ft", -60.0, None),
            ("webs", 7.0, None),
        ] {
            let column = Inventory::ALL.iter().find(|column| column.name == name).unwrap();
            let found = advice(column, number);
            let found = found.as_deref().and_then(|found| found.split("is it ").nth(1));
            assert_eq!(found, expected, "{name} {number}");
        }
    }
}
