//! The terms of a yard for the number of cars bought.

use spanyard::model::yard::PriceLevel;
use spanyard::quantity::BasisPoints;
use spanyard::read::{SourceText, Sources};

use crate::read::county::{good, messages, sources};

/// The county's yards, the first with these terms.
fn yards(terms: &str) -> Sources {
    let text = format!(
        "dealer,yard,latitude_deg,longitude_deg,loading_usd,trip_usd,minimum_order_cars,price_breaks\n\
         Drumfell Reclaim,Upper Drum,44.20,-40.10,650,900.50,{terms}\n\
         Sallowby Steel and Rail,Sallowby Spur,43.90,-39.70,480,1100,,\n\
         Orlhaven Equipment,Orlhaven Quay,44.05,-40.45,700,850,,\n"
    );
    Sources { yards: Some(SourceText::new("yards.csv", text)), ..sources() }
}

#[test]
fn levels_begin_with_the_minimum_order_and_rise() {
    for (terms, levels) in [
        (",", &[(1, 0)][..]),
        ("3,", &[(3, 0)]),
        (",4: 5 %; 8: 7.5%", &[(1, 0), (4, 500), (8, 750)]),
        ("2, 4 :0.25 ;12: 99.99 % ;", &[(2, 0), (4, 25), (12, 9_999)]),
    ] {
        let reading = good(&yards(terms));
        let yard = reading.inputs.yards.iter().find(|yard| yard.name == "Upper Drum").unwrap();
        let expected: Vec<_> = levels
            .iter()
            .map(|&(at_least, off)| PriceLevel { at_least, off: BasisPoints(off) })
            .collect();
        assert_eq!(yard.levels, expected, "{terms}");
        assert_eq!(yard.has_levels(), levels != [(1, 0)]);
    }
}

#[test]
fn terms_that_cannot_be_meant_are_problems() {
    for (terms, expected) in [
        ("0,", "D05 minimum_order_cars: `0` is outside 1 to 1,000"),
        (",four: 5 %", "D04 price_breaks: `four: 5 %` has four: 5 %, which is no number of cars"),
        (",4 5 %", "D04 price_breaks: `4 5 %` has 4 5 %, which is no number of cars"),
        (",4: 5.125 %", "D04 price_breaks: `4: 5.125 %` has 4: 5.125 %, which is no number"),
        (",4: -5 %", "D04 price_breaks: `4: -5 %` has 4: -5 %, which is no number of cars"),
        (",1: 5 %", "D05 price_breaks: `1: 5 %` has 1: 5 %, out of range"),
        (",4: 0 %", "D05 price_breaks: `4: 0 %` has 4: 0 %, out of range"),
        (",4: 100 %", "D05 price_breaks: `4: 100 %` has 4: 100 %, out of range"),
        (",99999999999: 5", "D04 price_breaks: `99999999999: 5` has 99999999999: 5, which is no"),
        ("6,4: 5 %", "D12 price_breaks: `4: 5 %` has 4: 5 % after 0 % off from 6 cars on"),
        (
            ",8: 5 %; 4: 9 %",
            "D12 price_breaks: `8: 5 %; 4: 9 %` has 4: 9 % after 5 % off from 8 cars",
        ),
        (
            ",4: 9 %; 8: 9 %",
            "D12 price_breaks: `4: 9 %; 8: 9 %` has 8: 9 % after 9 % off from 4 cars",
        ),
    ] {
        let found = messages(&yards(terms));
        assert_eq!(found.len(), 1, "{terms}: {found:?}");
        assert!(found[0].contains(expected), "{terms}: {found:?}");
    }
}
