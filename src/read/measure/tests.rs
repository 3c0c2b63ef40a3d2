//! Measures as dealers write them.

use super::*;
use Unit::{CubicInches, Dollars, Feet, Inches, Meters, Pounds};

fn read(text: &str, of_column: Option<Unit>, to: Unit) -> Result<f64, Wrong> {
    measure(&plain(text), of_column, to, Decimal::Point)
}

#[test]
fn lengths_as_people_write_them() {
    for (text, feet) in [
        ("89'-4\"", 89.0 + 4.0 / 12.0),
        ("89’ 4”", 89.0 + 4.0 / 12.0),
        ("89′4″", 89.0 + 4.0 / 12.0),
        ("89'-4", 89.0 + 4.0 / 12.0),
        ("89 ft 4 in", 89.0 + 4.0 / 12.0),
        ("66 ft 3 in", 66.25),
        ("66ft 3in", 66.25),
        ("66ft3in", 66.25),
        ("66 feet 3 inches", 66.25),
        ("66 ft 3 1/2 in", 66.0 + 3.5 / 12.0),
        ("66'-3 1/2\"", 66.0 + 3.5 / 12.0),
        ("9 ft 3", 9.25),
        ("89 ft. 4 in.", 89.0 + 4.0 / 12.0),
        ("89\u{a0}ft, 4\u{a0}in", 89.0 + 4.0 / 12.0),
        ("89'-4 1/2\"", 89.0 + 4.5 / 12.0),
        ("89'-4½\"", 89.0 + 4.5 / 12.0),
        ("89 1/2'", 89.5),
        ("89-1/2'", 89.5),
        ("89.33", 89.33),
        ("8'-9.6\"", 8.8),
        ("27.2 m", 27.2 / 0.3048),
        ("1072\"", 1072.0 / 12.0),
        ("9'", 9.0),
        ("3/4 in", 0.0625),
        ("-1 ft", -1.0),
    ] {
        let found = read(text, Some(Feet), Feet).unwrap();
        assert!((found - feet).abs() < 1e-8, "{text}: {found}");
    }
}

#[test]
fn feet_and_inches_as_one_number() {
    // 9 + 2/12, and 60.5 x 12.
    for (text, unit, expected) in [
        ("9'2", "ft", Some(9.1667)),
        ("60’ 6”", "in", Some(726.0)),
        ("9'2-9'4", "ft", None),
        ("9'2", "lb", None),
        ("60", "ft", None),
    ] {
        assert_eq!(in_one_number(text, unit), expected, "{text}");
    }
}

#[test]
fn other_numbers() {
    for (text, of_column, to, expected) in [
        ("43.2 kip", None, Pounds, Ok(43_200.0)),
        ("21.5 short tons", None, Pounds, Ok(43_000.0)),
        ("12,500 lb", None, Pounds, Ok(12_500.0)),
        ("12,500.5 lbs", None, Pounds, Ok(12_500.5)),
        ("21 ton", None, Pounds, Err(Wrong::Tons)),
        ("21 tons", None, Pounds, Err(Wrong::Tons)),
        ("21 tons", Some(Unit::ShortTons), Pounds, Ok(42_000.0)),
        ("21 tons", Some(Unit::Kips), Pounds, Err(Wrong::Tons)),
        ("745 in3", None, CubicInches, Ok(745.0)),
        ("745 cu. in.", None, CubicInches, Ok(745.0)),
        ("745 in^3", None, CubicInches, Ok(745.0)),
        ("1-1/4\"", Some(Inches), Inches, Ok(1.25)),
        ("1 1/2", Some(Inches), Inches, Ok(1.5)),
        ("1-1/2\"", None, Inches, Ok(1.5)),
        ("89", None, Feet, Err(Wrong::NoUnit)),
        ("89 lb", None, Feet, Err(Wrong::UnitDoesNotFit)),
        ("27,2", Some(Meters), Feet, Err(Wrong::Comma)),
        ("1,23,456", Some(Pounds), Pounds, Err(Wrong::Comma)),
        ("8.5' 3\"", None, Feet, Err(Wrong::FeetAndInches)),
        ("8' 13\"", None, Feet, Err(Wrong::FeetAndInchesSwapped)),
        ("13' 13\"", None, Feet, Err(Wrong::FeetAndInches)),
        ("4\" 8'", None, Feet, Err(Wrong::NotANumber)),
        ("60'6\"8", None, Feet, Err(Wrong::BehindInches)),
        ("60 ft 6 in 1/8", None, Feet, Err(Wrong::BehindInches)),
        ("60'6\"x", None, Feet, Err(Wrong::NotANumber)),
        ("about 60", Some(Feet), Feet, Err(Wrong::NotANumber)),
        ("9 2", Some(Feet), Feet, Err(Wrong::TwoNumbers)),
        ("9 2\"", Some(Feet), Feet, Err(Wrong::TwoNumbers)),
        ("60 lb 9", Some(Pounds), Pounds, Err(Wrong::TwoNumbers)),
        ("60 x 9", Some(Feet), Feet, Err(Wrong::NotANumber)),
        ("1e3", Some(Feet), Feet, Err(Wrong::NotANumber)),
        ("", Some(Feet), Feet, Err(Wrong::NotANumber)),
        ("4/3", Some(Feet), Feet, Err(Wrong::NotANumber)),
        ("1.2.3", Some(Feet), Feet, Err(Wrong::NotANumber)),
        ("8400", Some(Dollars), Dollars, Ok(8400.0)),
    ] {
        assert_eq!(read(text, of_column, to), expected, "{text}");
    }
}

#[test]
fn the_decimal_comma() {
    let read = |text, decimal| measure(text, Some(Meters), Meters, decimal);
    assert_eq!(read("27,2", Decimal::Comma), Ok(27.2));
    assert_eq!(read("1.027,2", Decimal::Comma), Ok(1027.2));
    assert_eq!(read("27,2", Decimal::Unsaid), Err(Wrong::Comma));
    assert_eq!(read("27.2", Decimal::Unsaid), Ok(27.2));
    assert_eq!(read("1,200.00", Decimal::Unsaid), Ok(1200.0));
    assert_eq!(read("1.200,50", Decimal::Unsaid), Ok(1200.5));
    assert_eq!(read("1,200", Decimal::Unsaid), Err(Wrong::Comma));
    assert_eq!(read("12,00.5", Decimal::Unsaid), Err(Wrong::Comma));
    assert_eq!(read("1,200.00,5", Decimal::Unsaid), Err(Wrong::Comma));
    assert_eq!(read("27.2", Decimal::Comma), Err(Wrong::Comma));
}

#[test]
fn ranges() {
    for (text, expected) in [
        ("9'2–9'4", Some(("9'2", "9'4"))),
        ("9'2\"-9'4\"", Some(("9'2\"", "9'4\""))),
        ("89 to 90 ft", Some(("89", "90 ft"))),
        ("1.5 - 2", Some(("1.5", "2"))),
        ("60-62", Some(("60", "62"))),
        ("89'-4\"", None),
        ("1-1/2", None),
        ("89 ft 4 in", None),
        ("-1.5", None),
        ("–", None),
    ] {
        assert_eq!(range(&plain(text)), expected, "{text}");
    }
}

proptest::proptest! {
    #[test]
    fn no_text_is_too_strange(text in "\\PC{0,20}", typed in "[0-9'\"./, ½–a-z-]{0,14}") {
        for text in [&text, &typed] {
            let text = plain(text);
            let _ = range(&text);
            for decimal in [Decimal::Point, Decimal::Comma, Decimal::Unsaid] {
                let _ = measure(&text, Some(Feet), Feet, decimal);
            }
        }
    }

    /// Feet and inches written out give the feet back.
    #[test]
    fn feet_and_inches_come_back(feet in 0_u32..150, sixteenths in 0_u32..192) {
        let (inches, part) = (sixteenths / 16, sixteenths % 16);
        let expected = f64::from(feet) + f64::from(sixteenths) / 192.0;
        let found = read(&format!("{feet}'-{inches} {part}/16\""), None, Feet).unwrap();
        proptest::prop_assert!((found - expected).abs() < 1e-8);
    }
}
