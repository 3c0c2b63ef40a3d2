//! Cars that a list shows as withdrawn, and columns that it hides: told, and not taken unasked.

use rust_xlsxwriter::{Format, Workbook};
use spanyard::read::{Reading, SourceText, Sources};

use crate::read::county::{good, messages, sources};
use crate::read::hostile::packed;

fn list(name: &str, bytes: impl Into<Vec<u8>>, mapping: &str) -> Sources {
    let text =
        format!("{mapping}\n[constants]\ndealer = \"Drumfell Reclaim\"\nyard = \"Upper Drum\"\n");
    Sources {
        inventories: vec![SourceText::new(name, bytes)],
        mappings: vec![SourceText::new("list.mapping.toml", text)],
        lots: None,
        ..sources()
    }
}

fn cars(reading: &Reading) -> Vec<(&str, Option<&str>)> {
    let cars = reading.inputs.cars.iter();
    cars.map(|car| (car.id.as_str(), car.notes.as_deref())).collect()
}

fn not_taken(reading: &Reading) -> Vec<(u64, &str)> {
    reading.files[0].not_taken.iter().map(|row| (row.line, row.reason.as_str())).collect()
}

fn warnings(reading: &Reading) -> Vec<String> {
    reading.warnings.iter().map(ToString::to_string).collect()
}

const HEADED: &str = "Car no.,Length (ft),Price\nP1,60,9000\nSOLD,,\nP3,60,9000\n60 ft cars,,\nP4,60,9000\n\
                      On hold until Friday,,\nP5,60,9000\nAvailable now,,\nP6,60,9000\nCall Pat for more,,\n";

#[test]
fn cars_under_a_heading_of_a_sale_carry_it_as_bad_news() {
    let reading = good(&list("list.csv", HEADED, ""));
    assert_eq!(
        cars(&reading),
        [
            ("P1", None),
            ("P3", Some("under the heading \"SOLD\"")),
            ("P4", Some("under the heading \"SOLD\"; under the heading \"60 ft cars\"")),
            (
                "P5",
                Some(
                    "under the heading \"On hold until Friday\"; under the heading \"60 ft cars\""
                )
            ),
            ("P6", None),
        ]
    );
    let headings = not_taken(&reading);
    assert_eq!(headings.iter().map(|row| row.0).collect::<Vec<_>>(), [3, 5, 7, 9, 11]);
    assert_eq!(reading.files[0].rows, 10);
}

#[test]
fn a_heading_that_nobody_can_tell_is_asked_about() {
    let text = "Car no.,Length (ft)\nP1,60\nShipped,\nP2,60\n";
    assert_eq!(
        messages(&list("list.csv", text, "")),
        [
            "list.csv:4:1: D23 stands under the heading `Shipped`, which nobody has explained; say under [headings] of the mapping what it means: \"for sale\", \"not for sale\", \"section\" or \"ignore\""
        ]
    );
    for (meaning, taken, notes) in [
        ("for sale", 2, None),
        ("ignore", 2, None),
        ("section", 2, None),
        ("not for sale", 1, None),
    ] {
        let mapping = format!("[headings]\nShipped = \"{meaning}\"");
        let reading = good(&list("list.csv", text, &mapping));
        assert_eq!(reading.inputs.cars.len(), taken, "{meaning}");
        assert!(reading.inputs.cars.iter().all(|car| car.notes.as_deref() == notes));
        let section = reading.inputs.cars.last().and_then(|car| car.section.as_deref());
        assert_eq!(section.is_some(), meaning == "section");
    }
}

#[test]
fn a_title_or_sheet_that_says_sold_holds_for_all() {
    let text = "Cars sold in May,\nCar no.,Length (ft)\nP1,60\n";
    let reading = good(&list("list.csv", text, ""));
    assert_eq!(cars(&reading), [("P1", Some("under the heading \"Cars sold in May\""))]);
    // A sentence on terms is none.
    let text = text.replace("in May", "only with a deposit of ten per cent");
    assert_eq!(cars(&good(&list("list.csv", text, ""))), [("P1", None)]);
}

#[test]
fn another_table_below_is_told_and_not_read() {
    let text = "Car no.,Length (ft),Qty,Built\nP1,60,1,1970\nCar no.,Width (ft),Price\nP2,9,9000\n";
    let reading = good(&list("list.csv", text, ""));
    assert_eq!(cars(&reading), [("P1", None)]);
    let reason = "of another table, whose header is row 3";
    assert_eq!(not_taken(&reading), [(3, reason), (4, reason)]);
    assert_eq!(
        warnings(&reading),
        [
            "list.csv:3:1: D21 is the header of another table, whose rows are not read; save that table as a list of its own if it holds cars"
        ]
    );
}

/// A workbook with a hidden row, a row struck through, a price struck through, and a hidden column.
fn workbook() -> Vec<u8> {
    let mut book = Workbook::new();
    let sheet = book.add_worksheet();
    let struck = Format::new().set_font_strikethrough();
    for (column, name) in ["Car no.", "Length (ft)", "Price", "Dealer cost"].iter().enumerate() {
        sheet.write(0, column as u16, *name).unwrap();
    }
    for row in 1..=4 {
        sheet.write(row, 0, format!("P{row}")).unwrap();
        sheet.write(row, 1, 60).unwrap();
        sheet.write(row, 2, 9000).unwrap();
        sheet.write(row, 3, 7000).unwrap();
    }
    sheet.set_row_hidden(2).unwrap();
    for column in 0..3 {
        sheet.set_cell_format(3, column, &struck).unwrap();
    }
    sheet.set_cell_format(4, 2, &struck).unwrap();
    sheet.set_column_hidden(3).unwrap();
    book.save_to_buffer().unwrap()
}

#[test]
fn of_two_tables_the_larger_below_is_a_question() {
    let text = "Car no.,Length (ft)\nP1,60\nCar no.,Width (ft),Price\nP2,9,9000\n";
    let wrong = "list.csv: D21 has two rows that may be the header of the cars, 1 and 3; name one with `header_row` in a mapping, and save the other table apart";
    assert_eq!(messages(&list("list.csv", text, "")), [wrong]);
    assert_eq!(cars(&good(&list("list.csv", text, "header_row = 3"))), [("P2", None)]);
}

#[test]
fn hidden_and_struck_rows_and_hidden_columns_of_a_workbook() {
    let reading = good(&list("list.xlsx", workbook(), ""));
    assert_eq!(cars(&reading), [("P1", None), ("P4", None)]);
    assert_eq!(reading.inputs.cars[1].price, None);
    assert_eq!(not_taken(&reading), [(3, "hidden"), (4, "struck through")]);
    assert_eq!(
        warnings(&reading),
        [
            "list.xlsx:Sheet1!D1: D23 `Dealer cost` is a hidden column, neither read nor published; map it in the mapping if it is to be read",
            "list.xlsx:Sheet1!A3: D23 is hidden and was not read; ask the dealer; `hidden_rows = \"read\"` in the mapping reads them",
            "list.xlsx:Sheet1!A4: D23 is struck through and was not read; ask the dealer; `struck_rows = \"read\"` in the mapping reads them",
            "list.xlsx:Sheet1!C5: D23 price_usd: `9000` is struck through and is left unknown; ask the dealer, and write what holds",
        ]
    );
    let mapping =
        "hidden_rows = \"read\"\nstruck_rows = \"read\"\n[columns]\n\"Dealer cost\" = \"note\"\n";
    let reading = good(&list("list.xlsx", workbook(), mapping));
    assert_eq!(reading.inputs.cars.len(), 4);
    assert_eq!(cars(&reading)[0], ("P1", Some("Dealer cost: 7000")));
}

#[test]
fn the_same_in_an_open_document() {
    let cell = |text: &str, style: &str| {
        format!(
            "<table:table-cell table:style-name=\"{style}\" office:value-type=\"string\"><text:p>{text}</text:p></table:table-cell>"
        )
    };
    let row = |about: &str, cells: [&str; 3], style: &str| {
        let cells: String = cells.iter().map(|text| cell(text, style)).collect();
        format!("<table:table-row {about}>{cells}</table:table-row>")
    };
    let rows = [
        row("", ["Car no.", "Length (ft)", "Cost"], "plain"),
        row("", ["P1", "60", "7000"], "plain"),
        row("table:visibility=\"filter\"", ["P2", "60", "7000"], "plain"),
        row("", ["P3", "60", "7000"], "out"),
    ];
    let content = format!(
        "<?xml version=\"1.0\"?><office:document-content xmlns:office=\"urn:oasis:names:tc:opendocument:xmlns:office:1.0\" \
         xmlns:table=\"urn:oasis:names:tc:opendocument:xmlns:table:1.0\" xmlns:text=\"urn:oasis:names:tc:opendocument:xmlns:text:1.0\" \
         xmlns:style=\"urn:oasis:names:tc:opendocument:xmlns:style:1.0\"><office:automatic-styles>\
         <style:style style:name=\"out\" style:family=\"table-cell\"><style:text-properties style:text-line-through-style=\"solid\"/></style:style>\
         </office:automatic-styles><office:body><office:spreadsheet><table:table table:name=\"List\">\
         <table:table-column table:number-columns-repeated=\"2\"/><table:table-column table:visibility=\"collapse\"/>{}</table:table>\
         </office:spreadsheet></office:body></office:document-content>",
        rows.concat()
    );
    let manifest = b"<?xml version=\"1.0\"?><manifest:manifest xmlns:manifest=\"urn:oasis:names:tc:opendocument:xmlns:manifest:1.0\"/>";
    let book = packed(&[
        ("mimetype", b"application/vnd.oasis.opendocument.spreadsheet"),
        ("META-INF/manifest.xml", manifest),
        ("content.xml", content.as_bytes()),
    ]);
    let reading = good(&list("list.ods", book, ""));
    assert_eq!(cars(&reading), [("P1", None)]);
    assert_eq!(not_taken(&reading), [(3, "hidden"), (4, "struck through")]);
    assert_eq!(warnings(&reading).len(), 3);
}

#[test]
fn ids_of_several_cars_and_tons_are_questions() {
    let text = "Car no.,Qty,Weight w/o trucks\n1005-1009,,42000 lb\n1010-1012,3,42000 lb\nP9,,21 T\n1.23E+05,,42000 lb\n";
    let found = messages(&list("list.csv", text, ""));
    assert_eq!(
        found,
        [
            "list.csv:2:1: D20 car: `1005-1009` looks like the IDs of 5 cars, and the row is of 1; write a row for each car, or how many they are in `quantity`",
            "list.csv:4:5: D15 weight_lb: `21 T` is in tons, which may be short tons (2,000 lb) or tonnes (2,204.6 lb); write short ton or tonne",
            "list.csv:5:1: D20 car: `1.23E+05` is a number with an exponent, which a spreadsheet may have made of an ID; compare with the car, and write the ID as it is stenciled",
        ]
    );
}

#[test]
fn the_mapping_corrects_single_cells() {
    let text = "Car no.,Price,Remarks\n1005-1009,\"9,500 or so\",x\nP2,8000,y\n";
    let cells = "[cells]\nB2 = { was = \"9,500 or so\", is = \"9500\" }\nA2 = { was = \"1005-1009\", is = \"1005-1009\" }\n";
    let reading = good(&list("list.csv", text, cells));
    let car = &reading.inputs.cars[0];
    assert_eq!((car.id.as_str(), car.price.map(|price| price.0)), ("1005-1009", Some(950_000)));
    // One that was written for another list is a problem, and so is one without what it stands for.
    let text = text.replace("9,500 or so", "9,700");
    assert_eq!(
        messages(&list("list.csv", text, cells)),
        [
            "list.mapping.toml:2:1: D14 `B2` is `9,700` in the list, and the mapping has `9,500 or so`; look at the list, and correct the key or remove it"
        ]
    );
    let found =
        messages(&list("list.csv", "Car no.,Price\nP1,1\n", "[cells]\nB2 = \"9\"\n7B = {}\n"));
    assert!(found[0].contains("D14 B2: does not say what the cell was"), "{found:?}");
    assert!(found[1].contains("D14 7B: is not a cell"), "{found:?}");
}

#[test]
fn the_mapping_leaves_single_rows_out() {
    let text = "Car no.,Price\nP1,9500\nP2,8000\nP2,8100\n";
    let rows = "[rows]\n3 = { car = \"P2\", out = \"sold by telephone\" }\n";
    let reading = good(&list("list.csv", text, rows));
    assert_eq!(cars(&reading), [("P1", None), ("P2", None)]);
    assert_eq!(not_taken(&reading), [(3, "left out by the mapping: sold by telephone")]);
    // One that was written for another list is a problem, and no row is left out for it.
    let other = text.replacen("P2", "P7", 1);
    assert_eq!(
        messages(&list("list.csv", other, rows)),
        [
            "list.mapping.toml:2:1: D14 `3` is not the row of `P2` in the list; look at the list, and correct the row or remove it"
        ]
    );
    let found =
        messages(&list("list.csv", text, "[rows]\nx = { car = \"P2\", out = \"\" }\n3 = \"P2\"\n"));
    assert!(found.iter().any(|told| told.contains("D14 x: is not a row")), "{found:?}");
    assert!(found.iter().any(|told| told.contains("why it is left out")), "{found:?}");
}

#[test]
fn prose_of_prices_and_quantities_is_read_with_a_warning() {
    let text = "Car no.,Qty,Price\nP1,6 avail,\"9,500 OBO\"\nP2,,$9.5k\nP3,,9500 ea\nP4,4,4 @ 9500\nP5,,SOLD\nP6,,hold\n";
    let reading = good(&list("list.csv", text, ""));
    let found: Vec<_> = reading
        .inputs
        .cars
        .iter()
        .map(|car| (car.quantity, car.price.map(|it| it.0 / 100), car.notes.as_deref()))
        .collect();
    assert_eq!(
        found,
        [
            (6, Some(9500), None),
            (1, Some(9500), None),
            (1, Some(9500), None),
            (4, Some(9500), None),
            (1, None, Some("Price: SOLD")),
            (1, None, Some("Price: hold")),
        ]
    );
    let told = warnings(&reading);
    assert_eq!(told.len(), 6, "{told:?}");
    assert!(told[0].contains("`6 avail` is read as 6;"), "{told:?}");
    assert!(told[1].contains("`9,500 OBO` is read as 9,500 US dollars;"), "{told:?}");
    assert!(
        told[3].contains("`4 @ 9500` is read as 9,500 US dollars for each of 4 cars;"),
        "{told:?}"
    );
    assert!(told[4].contains("`SOLD` says that the car is not on offer"), "{told:?}");
}

#[test]
fn two_digit_years_are_read_where_the_order_is_stated() {
    let text = "Car no.,Valid until\nP1,8/15/26\n";
    let reading = good(&list("list.csv", text, "dates = \"month/day/year\""));
    assert_eq!(reading.inputs.cars[0].quote_expires, Some(jiff::civil::date(2026, 8, 15)));
    assert!(messages(&list("list.csv", text, ""))[0].contains("D07 quote_expires: `8/15/26`"));
}

#[test]
fn usual_headers_are_known_and_light_weight_is_asked_about() {
    let text =
        "Car,Type,Yr blt,Main sill,Floor beams,Light weight\nP1,Flat,1972,sound,bent,62000\n";
    let reading = good(&list("list.csv", text, ""));
    let car = &reading.inputs.cars[0];
    assert_eq!((car.year_built, car.weight.is_some()), (Some(1972), false));
    use spanyard::model::car::MemberCondition::{Bent, Sound};
    assert_eq!((car.members.main_girder, car.members.cross_members), (Some(Sound), Some(Bent)));
    assert!(car.kind.is_some());
    assert!(warnings(&reading)[0].contains("ask whether it is with or without the wheel trucks"));
}

#[test]
fn of_two_headers_with_one_name_the_mapping_says_which() {
    let text = "Car,Condition,Condition\nP1,sound,bent\n";
    let both = "[columns]\nCondition = \"main_girder\"\n";
    assert_eq!(
        messages(&list("list.csv", text, both)),
        [
            "list.csv:1:15: D21 `Condition` can be main_girder, and so can the header `Condition`; say in the mapping which is which: \"Condition#1\" is the first and \"Condition#2\" the second"
        ]
    );
    let each =
        "[columns]\n\"Condition#1\" = \"main_girder\"\n\"Condition#2\" = \"exterior_girders\"\n";
    let reading = good(&list("list.csv", text, each));
    let car = &reading.inputs.cars[0];
    use spanyard::model::car::MemberCondition::{Bent, Sound};
    assert_eq!((car.members.main_girder, car.members.exterior_girders), (Some(Sound), Some(Bent)));
}
