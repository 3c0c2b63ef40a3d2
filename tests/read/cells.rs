//! One cell at a time: what each kind of column takes and what it says of the rest.

use spanyard::model::car::{CarKind, MemberCondition};
use spanyard::quantity::{Cents, Feet, Inches, Percent};
use spanyard::read::{Reading, SourceText, Sources};

use crate::read::county::{good, messages, sources};

/// An inventory of one car with one further column, whose cell begins in character 31 of line 2.
fn one_cell(column: &str, cell: &str) -> Sources {
    let text = format!("car,dealer,yard,{column}\nA,Drumfell Reclaim,Upper Drum,{cell}\n");
    Sources { inventories: vec![SourceText::new("cars.csv", text)], ..sources() }
}

fn read_cell(column: &str, cell: &str) -> Reading {
    good(&one_cell(column, cell))
}

#[test]
fn a_cell_that_cannot_be_taken_says_why_and_what_to_write() {
    for (column, cell, expected) in [
        // Numbers.
        (
            "length_ft",
            "60ft",
            "D04 length_ft: `60ft` has a unit or words behind the number; write digits and a decimal point, in feet",
        ),
        (
            "length_ft",
            "89'-4",
            "D04 length_ft: `89'-4` is feet and inches, not a plain number; write digits and a decimal point, in feet: 89.3333",
        ),
        (
            "camber_in",
            "1 1/2",
            "D04 camber_in: `1 1/2` has a fraction, which is not a plain number; write digits and a decimal point, in inches",
        ),
        (
            "weight_lb",
            "\"42,000\"",
            "D04 weight_lb: `42,000` has a comma in the number; write digits and a decimal point, in pounds, without thousands separators",
        ),
        (
            "weight_lb",
            "4.2e4",
            "D04 weight_lb: `4.2e4` has an exponent, which is not a plain number; write digits and a decimal point, in pounds",
        ),
        (
            "weight_lb",
            "N/A",
            "D04 weight_lb: `N/A` is not a number; leave the cell blank where the value is unknown",
        ),
        (
            "weight_lb",
            "NaN",
            "D04 weight_lb: `NaN` is not a number; leave the cell blank where the value is unknown",
        ),
        (
            "weight_lb",
            "inf",
            "D04 weight_lb: `inf` is not a plain number; write digits and a decimal point, in pounds, or leave the cell blank where it is unknown",
        ),
        (
            "weight_lb",
            "-",
            "D04 weight_lb: `-` is not a number; leave the cell blank where the value is unknown",
        ),
        (
            "weight_lb",
            "4.2.0",
            "D04 weight_lb: `4.2.0` is not a plain number; write digits and a decimal point, in pounds, or leave the cell blank where it is unknown",
        ),
        (
            "weight_lb",
            "42 000",
            "D04 weight_lb: `42 000` is not a plain number; write digits and a decimal point, in pounds, or leave the cell blank where it is unknown",
        ),
        (
            "weight_lb",
            "+-1",
            "D04 weight_lb: `+-1` is not a plain number; write digits and a decimal point, in pounds, or leave the cell blank where it is unknown",
        ),
        (
            "web_loss_pct",
            "8%",
            "D04 web_loss_pct: `8%` has a unit or words behind the number; write digits and a decimal point, in per cent",
        ),
        // Limits of the trade.
        (
            "length_ft",
            "720",
            "D05 length_ft: `720` is outside 20 to 120 ft; correct it, or the unit; is it in inches or centimeters?",
        ),
        (
            "yield_ksi",
            "36000",
            "D05 yield_ksi: `36000` is outside 20 to 100 ksi; correct it, or the unit; is it in psi?",
        ),
        (
            "weight_lb",
            "21",
            "D05 weight_lb: `21` is outside 5,000 to 150,000 lb; correct it, or the unit; is it in kips or short tons or tonnes?",
        ),
        (
            "camber_in",
            "-6.01",
            "D05 camber_in: `-6.01` is outside -6 to 12 in; correct it, or the unit; is it in millimeters or centimeters?",
        ),
        (
            "unbraced_ft",
            "-0.5",
            "D05 unbraced_ft: `-0.5` is outside 0 to 120 ft; write decimal feet, perhaps it was typed in inches",
        ),
        // Whole numbers and years.
        (
            "quantity",
            "0",
            "D05 quantity: `0` is outside 1 to 1,000; write how many identical cars the row offers",
        ),
        ("quantity", "2.0", "D04 quantity: `2.0` is not a whole number; write digits only"),
        (
            "quantity",
            "99999999999999999999",
            "D05 quantity: `99999999999999999999` is outside 1 to 1,000; write how many identical cars the row offers",
        ),
        (
            "year_built",
            "71",
            "D05 year_built: `71` is outside 1850 to 2026; write the year of building with four digits",
        ),
        (
            "year_built",
            "2027",
            "D05 year_built: `2027` is outside 1850 to 2026; write the year of building with four digits",
        ),
        (
            "year_built",
            "unknown",
            "D04 year_built: `unknown` is not a whole number; leave the cell blank where the value is unknown",
        ),
        // Money.
        (
            "price_usd",
            "$9500",
            "D04 price_usd: `$9500` has a currency sign in the number; write digits and a decimal point, in US dollars",
        ),
        (
            "price_usd",
            "9500.505",
            "D04 price_usd: `9500.505` has more than two decimals; write dollars and cents",
        ),
        (
            "price_usd",
            "9.5",
            "D05 price_usd: `9.5` is outside 100 to 1,000,000 US dollars; correct it, or the unit; is it in thousands?",
        ),
        (
            "price_usd",
            "-9500",
            "D05 price_usd: `-9500` is outside 100 to 1,000,000 US dollars; write whole dollars for one car, perhaps it was typed in thousands",
        ),
        (
            "price_usd",
            "99999999999999999999",
            "D05 price_usd: `99999999999999999999` is outside 100 to 1,000,000 US dollars; write whole dollars for one car, perhaps it was typed in thousands",
        ),
        // Words.
        (
            "kind",
            "flatcar",
            "D06 kind: `flatcar` is not a word for this column; write flat, bulkhead flat, gondola, boxcar or car hauler, or leave the cell blank where it is unknown",
        ),
        (
            "wrecked",
            "maybe",
            "D06 wrecked: `maybe` is not a word for this column; write yes or no, or leave the cell blank where it is unknown",
        ),
        (
            "lead",
            "yes",
            "D06 lead: `yes` is not a word for this column; write lead-free or lead, or leave the cell blank where it is unknown",
        ),
        (
            "main_girder",
            "ok",
            "D06 main_girder: `ok` is not a condition; write sound, bent, cracked, corroded N or missing, or leave the cell blank where it was not inspected",
        ),
        (
            "main_girder",
            "sound 0",
            "D06 main_girder: `sound 0` is not a condition; write sound, bent, cracked, corroded N or missing, or leave the cell blank where it was not inspected",
        ),
        (
            "bolsters",
            "corroded",
            "D06 bolsters: `corroded` does not say how much is lost; write the greatest loss of thickness in per cent, like corroded 8",
        ),
        (
            "bolsters",
            "corroded badly",
            "D04 bolsters: `corroded badly` is not corroded and a number; write the loss in per cent, like corroded 8",
        ),
        (
            "bolsters",
            "corroded 101",
            "D05 bolsters: `corroded 101` is outside 0 to 100 per cent; write the share of thickness lost",
        ),
        // Names: a word for unknown is none, or two unknown sections would count as one.
        (
            "section",
            "?",
            "D06 section: `?` is not a name; leave the cell blank where the name is unknown",
        ),
        (
            "section",
            "Various",
            "D06 section: `Various` is not a name; leave the cell blank where the name is unknown",
        ),
        (
            "modulus_source",
            "n/a",
            "D06 modulus_source: `n/a` is not a name; leave the cell blank where the name is unknown",
        ),
        // Dates.
        (
            "quote_expires",
            "31.8.2026",
            "D07 quote_expires: `31.8.2026` is not a date; write the day, like 2026-05-31, or leave the cell blank",
        ),
        (
            "quote_expires",
            "2026-02-30",
            "D07 quote_expires: `2026-02-30` is not a date; write the day, like 2026-05-31, or leave the cell blank",
        ),
        (
            "quote_expires",
            "2026-8-31",
            "D07 quote_expires: `2026-8-31` is not a date; write the day, like 2026-05-31, or leave the cell blank",
        ),
        (
            "quote_expires",
            "0026-08-31",
            "D05 quote_expires: `0026-08-31` is outside 2000 to 2100; write the year with four digits, first",
        ),
        (
            "available",
            "soon",
            "D07 available: `soon` is not a date; write now, or a day like 2026-05-31, or leave the cell blank",
        ),
    ] {
        let found = messages(&one_cell(column, cell));
        assert_eq!(found, [format!("cars.csv:2:31: {expected}")], "{column} {cell}");
    }
}

#[test]
fn limits_are_included() {
    for (column, least, most) in [
        ("length_ft", "20", "120"),
        ("truck_centers_ft", "10", "110.0"),
        ("width_ft", "5", "14"),
        ("camber_in", "-6", "12"),
        ("year_built", "1850", "2026"),
        ("yield_ksi", "20", "100"),
        ("weight_lb", "5000", "150000"),
        ("price_usd", "100", "1000000.00"),
        ("quantity", "1", "1000"),
    ] {
        for cell in [least, most] {
            assert_eq!(read_cell(column, cell).inputs.cars.len(), 1, "{column} {cell}");
        }
    }
}

#[test]
fn numbers_are_taken_exactly_as_written() {
    for (cell, expected) in [
        ("1.25", 1.25),
        ("+1.25", 1.25),
        ("-0", 0.0),
        (".5", 0.5),
        ("2.", 2.0),
        (" 0.1\u{a0}", 0.1),
    ] {
        let car = read_cell("camber_in", cell).inputs.cars.remove(0);
        assert_eq!(car.camber, Some(Inches(expected)), "{cell}");
        assert!(car.camber.is_some_and(|camber| camber.0.is_sign_positive()), "{cell} is no -0");
    }
}

#[test]
fn money_is_taken_to_the_cent() {
    for (cell, cents) in
        [("9500", 950_000), ("9500.5", 950_050), ("9500.05", 950_005), ("9500.", 950_000)]
    {
        assert_eq!(read_cell("price_usd", cell).inputs.cars[0].price, Some(Cents(cents)), "{cell}");
    }
}

#[test]
fn words_are_taken_in_either_case_and_with_any_blanks() {
    let kind = |cell| read_cell("kind", cell).inputs.cars[0].kind;
    assert_eq!(kind("Bulkhead  FLAT"), Some(CarKind::BulkheadFlat));
    let condition = |cell| read_cell("stringers", cell).inputs.cars[0].members.stringers;
    for cell in ["corroded 12.5", "Corroded 12.5%", "corroded  12.5 %"] {
        assert_eq!(condition(cell), Some(MemberCondition::Corroded(Percent(12.5))), "{cell}");
    }
    assert_eq!(condition("MISSING"), Some(MemberCondition::Missing));
    assert_eq!(condition(" "), None);
}

#[test]
fn header_names_are_taken_in_either_case_and_any_order() {
    let text = "x_track, LENGTH_FT ,Yard,DEALER,car\n3,60,Upper  Drum,Drumfell Reclaim,A\n";
    let files = Sources { inventories: vec![SourceText::new("cars.csv", text)], ..sources() };
    let car = good(&files).inputs.cars.remove(0);
    assert_eq!((car.id.as_str(), car.length), ("A", Some(Feet(60.0))));
}
