//! The file of haul quotes, and what may be wrong with it.

use jiff::civil::date;
use spanyard::model::inputs::{CarIx, CrossingIx, Inputs};
use spanyard::quantity::Cents;
use spanyard::read::{SourceText, Sources};

use crate::read::county::{good, messages, sources};

const HEADER: &str =
    "dealer,yard,crossing,car,haul_usd,permit_usd,escort_usd,source,quoted,quote_expires";

fn with(rows: &[&str]) -> Sources {
    let text = format!("{HEADER}\n{}\n", rows.join("\n"));
    Sources { hauls: Some(SourceText::new("hauls.csv", text)), ..sources() }
}

fn found(inputs: &Inputs, car: &str, crossing: &str) -> Option<(Cents, Option<Cents>)> {
    let car = inputs.cars.iter().position(|row| row.id == car).map(CarIx).unwrap();
    let to = inputs.crossings.iter().position(|row| row.id == crossing).map(CrossingIx).unwrap();
    inputs.haul_quote(car, to).map(|quote| (quote.haul, quote.permit))
}

#[test]
fn a_cars_own_quote_goes_before_its_yards_and_an_old_one_is_not_used() {
    let reading = good(&with(&[
        "Drumfell Reclaim,Upper Drum,T-02,,1850,,,by mail,2026-05-12,2026-08-31",
        "Drumfell Reclaim,Upper Drum,T-02,D-9,2600.50,0,0,by mail,2026-05-12,",
        "Drumfell Reclaim,Upper Drum,T-01,,900,,,by mail,2026-03-12,2026-05-31",
    ]));
    let inputs = &reading.inputs;
    assert_eq!(inputs.order_date, date(2026, 6, 1));
    assert_eq!(found(inputs, "D-10", "T-02"), Some((Cents(185_000), None)));
    assert_eq!(found(inputs, "D-9", "T-02"), Some((Cents(260_050), Some(Cents::ZERO))));
    assert_eq!(found(inputs, "D-9", "T-01"), None);
    assert_eq!(found(inputs, "S-2", "T-02"), None);
    let warnings: Vec<String> = reading.warnings.iter().map(ToString::to_string).collect();
    let old = "hauls.csv:4:60: D05 quote_expires: `2026-05-31` is before the day of the order, \
               2026-06-01; ask for a new quote; until then the haul is estimated";
    assert!(warnings.contains(&old.to_owned()), "{warnings:#?}");
}

#[test]
fn what_is_wrong_is_told_with_its_place_and_the_nearest_name() {
    assert_eq!(
        messages(&with(&[
            "Drumfell Reclaim,Uper Drum,T-02,,1850,,,by mail,2026-05-12,",
            "Drumfel Reclaim,Upper Drum,T-02,,1850,,,by mail,2026-05-12,",
            "Drumfell Reclaim,Upper Drum,T-03,,1850,,,by mail,2026-05-12,",
            "Drumfell Reclaim,Upper Drum,T-02,,-5,,,by mail,2026-05-12,",
            "Drumfell Reclaim,Upper Drum,T-02,,1850,,,,2026-05-12,2026-05-01",
        ])),
        [
            "hauls.csv:2:18: D09 yard: `Uper Drum` is not a yard of Drumfell Reclaim in the yards file; write Upper Drum if that is meant, or add the yard",
            "hauls.csv:3:1: D09 dealer: `Drumfel Reclaim` is a dealer without a yard in the yards file; write Drumfell Reclaim if that is meant, or add the dealer's yard",
            "hauls.csv:4:29: D09 crossing: `T-03` is not a crossing of the crossings file; write T-01 if that is meant, or add the crossing",
            "hauls.csv:5:35: D05 haul_usd: `-5` is outside 0 to 500,000 US dollars; write dollars for one load",
            "hauls.csv:6:29: D08 crossing: `T-02` has a quote from this yard already at hauls.csv:5; keep one of the two rows",
            "hauls.csv:6:42: D10 source: the cell is blank; write text",
            "hauls.csv:6:54: D12 quote_expires: `2026-05-01` is before the day of the quote, 2026-05-12; correct one of the two days",
        ]
    );
}

#[test]
fn a_quote_for_a_car_that_is_gone_is_a_warning() {
    let row = "Drumfell Reclaim,Upper Drum,T-02,D-8,1850,,,by mail,2026-05-12,";
    let warnings = good(&with(&[row])).warnings;
    let told = "hauls.csv:2:34: D09 car: `D-8` is not a car of Drumfell Reclaim in the inventories; \
                write D-9 if that is meant, or remove the row";
    assert!(warnings.iter().any(|warning| warning.to_string() == told), "{warnings:#?}");
}

/// As a spreadsheet of a county's office has it, with people's words for the columns.
#[test]
fn a_table_with_usual_words_is_read() {
    let text = "Haul quotes of May\n\nDealer;Yard;Bridge ID;Haul (usd);Quoted by;Date quoted\n\
                Drumfell Reclaim;Upper Drum;T-02;1850;by phone;2026-05-12\n";
    let files = Sources { hauls: Some(SourceText::new("hauls.csv", text)), ..sources() };
    assert_eq!(found(&good(&files).inputs, "D-9", "T-02"), Some((Cents(185_000), None)));
}
