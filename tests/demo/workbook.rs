//! The workbook of the demonstration: how it is made, and that it is the one in data-demo.

use std::fs;
use std::path::Path;

use jiff::civil::Date;
use rust_xlsxwriter::{DocProperties, ExcelDateTime, Format, Formula, Workbook};

use crate::testkit::renew;

/// Our column, header of the workbook, unit under it, and what a value is divided by to be in it.
const COLUMNS: [(&str, &str, &str, f64); 28] = [
    ("car", "Car no.", "", 1.0),
    ("notes", "Remarks", "", 1.0),
    ("price_usd", "Asked", "US$", 1.0),
    ("lot", "Lot", "", 1.0),
    ("quantity", "Qty", "", 1.0),
    ("kind", "Type", "", 1.0),
    ("section", "Series", "", 1.0),
    ("year_built", "Built", "", 1.0),
    // 1 ft = 0.3048 m
    ("length_ft", "Length", "m", 1.0 / 0.3048),
    ("truck_centers_ft", "Truck centers", "m", 1.0 / 0.3048),
    ("width_ft", "Width", "ft", 1.0),
    ("weight_lb", "Weight", "kip", 1000.0),
    // 1 in = 25.4 mm
    ("camber_in", "Camber", "mm", 1.0 / 25.4),
    ("exterior_depth_in", "Side sill depth", "in", 1.0),
    ("modulus_in3", "Section modulus", "in³", 1.0),
    ("modulus_source", "Source", "", 1.0),
    ("deck", "Decking", "", 1.0),
    ("deck_condition", "Deck state", "", 1.0),
    ("coating", "Paint", "", 1.0),
    ("lead", "Lead test", "", 1.0),
    ("wrecked", "Wrecked", "", 1.0),
    ("main_girder", "Center sill", "", 1.0),
    ("exterior_girders", "Side sills", "", 1.0),
    ("bolsters", "Bolsters", "", 1.0),
    ("cross_members", "Cross-members", "", 1.0),
    ("stringers", "Stringers", "", 1.0),
    ("available", "Ready", "", 1.0),
    ("quote_expires", "Good until", "", 1.0),
];

/// The cars of the tidy list under a title, a header and a row of units, with a total below.
fn made() -> Result<Vec<u8>, rust_xlsxwriter::XlsxError> {
    let text = fs::read_to_string(
        Path::new(env!("CARGO_MANIFEST_DIR")).join("tests/demo/tidy/orlhaven.csv"),
    )
    .unwrap();
    let mut reader = csv::Reader::from_reader(text.as_bytes());
    let header = reader.headers().unwrap().clone();
    let mut book = Workbook::new();
    // A fixed day, so that the same cars give the same bytes.
    let day = ExcelDateTime::from_ymd(2026, 5, 20)?;
    book.set_properties(&DocProperties::new().set_creation_datetime(&day));
    let sheet = book.add_worksheet().set_name("Cars")?;
    let bold = Format::new().set_bold();
    let dated = Format::new().set_num_format("m/d/yyyy");
    sheet.merge_range(0, 0, 0, 6, "Orlhaven Equipment, cars at the Quay", &bold)?;
    sheet.write(1, 0, "Ask for the quay's opening hours")?;
    for (column, (_, name, unit, _)) in (0..).zip(COLUMNS) {
        sheet.write_with_format(3, column, name, &bold)?;
        sheet.write(4, column, unit)?;
    }
    let mut row = 5;
    let mut prices = 0.0;
    for record in reader.records() {
        let record = record.unwrap();
        for (column, (ours, _, _, factor)) in (0..).zip(COLUMNS) {
            let at = header.iter().position(|name| name == ours).unwrap();
            let cell = &record[at];
            let cell = if (ours, cell) == ("deck", "none") { "bare" } else { cell };
            if let Ok(number) = cell.parse::<f64>() {
                if ours == "price_usd" {
                    prices += number;
                }
                // Ten decimals are more than any rule measures.
                let value = (number / factor * 1e10).round() / 1e10;
                sheet.write(row, column, value)?;
            } else if let Ok(day) = cell.parse::<Date>() {
                let (year, month, day) = (day.year() as u16, day.month() as u8, day.day() as u8);
                sheet.write_with_format(
                    row,
                    column,
                    &ExcelDateTime::from_ymd(year, month, day)?,
                    &dated,
                )?;
            } else if !cell.is_empty() {
                sheet.write(row, column, cell)?;
            }
        }
        row += 1;
    }
    sheet.write(row + 1, 0, "Total asked")?;
    let sum = Formula::new(format!("=SUM(C6:C{row})")).set_result(prices.to_string());
    sheet.write(row + 1, 2, sum)?;
    let terms = book.add_worksheet().set_name("Terms")?;
    terms.write(0, 0, "Loading by our crane only")?;
    book.save_to_buffer()
}

#[test]
fn the_workbook_in_the_folder_is_this_one() {
    renew::same("data-demo/lists/orlhaven.xlsx", &made().unwrap());
}
