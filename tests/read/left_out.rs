//! Rows that cannot be read: left out, told and counted, and the job goes on.

use spanyard::read::{Checked, SourceText, Sources, examine};

use crate::read::county::{TODAY, sources};

fn of(files: &[(&str, &str)]) -> Checked {
    let inventories = files.iter().map(|(name, text)| SourceText::new(name, *text)).collect();
    examine(&Sources { inventories, lots: None, leave_out: true, ..sources() }, TODAY)
}

fn ids(checked: &Checked) -> Vec<&str> {
    let inputs = checked.inputs.as_ref().unwrap_or_else(|| panic!("{}", checked.problems));
    inputs.cars.iter().map(|car| car.id.as_str()).collect()
}

const HEAD: &str = "car,dealer,yard,length_ft,width_ft\n";

/// Rows of the first dealer of the county.
fn rows(rows: &[&str]) -> String {
    let row = |row: &&str| row.replacen(',', ",Drumfell Reclaim,Upper Drum,", 1) + "\n";
    HEAD.to_owned() + &rows.iter().map(row).collect::<String>()
}

#[test]
fn a_row_with_bad_cells_is_left_out_told_and_counted() {
    let text = rows(&["D-1,60,9", "D-2,sixty,ninety", "D-3,60,9", "D-4,60"]);
    let checked = of(&[("cars.csv", &text)]);
    assert_eq!(ids(&checked), ["D-1", "D-3"]);
    let file = &checked.files[0];
    assert_eq!((file.rows, file.left_out), (4, 2));
    let not_taken: Vec<_> =
        file.not_taken.iter().map(|row| (row.line, row.reason.as_str())).collect();
    assert_eq!(not_taken, [(3, "left out for length_ft, width_ft"), (5, "left out for D11")]);
    let told: Vec<String> = checked.warnings.iter().map(ToString::to_string).collect();
    assert_eq!(told.len(), 3, "{told:?}");
    assert!(told[0].starts_with("cars.csv:3:33: D04 length_ft: `sixty` is not a plain number;"));
    assert!(told.iter().all(|told| told.ends_with(" (the row is left out)")), "{told:?}");
    let part = &checked.inputs.as_ref().unwrap().part;
    assert_eq!(
        part[..],
        ["without 2 rows of cars.csv that cannot be read (`spanyard check` tells them)".to_owned()]
    );
}

#[test]
fn without_that_wish_one_bad_cell_refuses_all_as_before() {
    let text = rows(&["D-1,60,9", "D-2,sixty,9"]);
    let inventories = vec![SourceText::new("cars.csv", text)];
    let checked = examine(&Sources { inventories, lots: None, ..sources() }, TODAY);
    assert_eq!(checked.inputs.map(|inputs| inputs.cars.len()), None);
    assert_eq!((checked.problems.len(), checked.files[0].left_out), (1, 0));
}

#[test]
fn of_two_rows_with_one_id_neither_is_taken() {
    let one = rows(&["D-1,60,9", "D-2,60,9", "d-1,62,9"]);
    let checked = of(&[("cars.csv", &one)]);
    assert_eq!(ids(&checked), ["D-2"]);
    assert_eq!(checked.files[0].left_out, 2);
    // The same over two files.
    let (one, other) = (rows(&["D-1,60,9", "D-2,60,9"]), rows(&["D-3,60,9", "D-1,60,9"]));
    let checked = of(&[("a.csv", &one), ("b.csv", &other)]);
    assert_eq!(ids(&checked), ["D-2", "D-3"]);
    assert_eq!((checked.files[0].left_out, checked.files[1].left_out), (1, 1));
}

#[test]
fn a_file_of_which_nothing_can_be_read_and_a_bad_header_are_problems() {
    for text in [rows(&["D-1,sixty,9", "D-2,x,9"]), "car,dealer,length_ft\nD-1,x,60\n".to_owned()] {
        let checked = of(&[("cars.csv", &text)]);
        assert!(checked.inputs.is_none(), "{text}");
        assert_eq!(checked.files[0].left_out, 0);
    }
}

#[test]
fn a_bad_row_of_crossings_refuses_all() {
    let crossings = sources().crossings.unwrap();
    let text = String::from_utf8(crossings.bytes.clone()).unwrap().replace(",62,", ",sixty,");
    let crossings = Some(SourceText::new("crossings.csv", text));
    let checked = examine(&Sources { crossings, leave_out: true, ..sources() }, TODAY);
    assert!(checked.inputs.is_none());
}

/// A lot is sold whole: a row of it that is left out, or of which nobody can tell which of two it is,
/// counts with it, so that it is not bought unseen.
#[test]
fn rows_left_out_are_counted_with_their_lots() {
    let lots = "dealer,yard,lot,price_usd\nDrumfell Reclaim,Upper Drum,L-1,20000\n\
                Drumfell Reclaim,Upper Drum,L-2,20000\nDrumfell Reclaim,Upper Drum,L-3,20000\n";
    let row = |text: &str| format!("{},Drumfell Reclaim,Upper Drum,{}\n", &text[..3], &text[4..]);
    let text = ["D-1,60,L-1", "D-2,sixty,L-1", "D-3,60,L-2", "D-3,61,L-2", "D-4,60,L-3"];
    let text = format!("car,dealer,yard,length_ft,lot\n{}", text.map(row).concat());
    let checked = examine(
        &Sources {
            inventories: vec![SourceText::new("cars.csv", text)],
            lots: Some(SourceText::new("lots.csv", lots)),
            leave_out: true,
            ..sources()
        },
        TODAY,
    );
    let inputs = checked.inputs.unwrap_or_else(|| panic!("{}", checked.problems));
    let unread: Vec<_> = inputs
        .lots
        .iter()
        .map(|lot| (lot.name.as_str(), lot.unread_rows, lot.cars.len()))
        .collect();
    assert_eq!(unread, [("L-1", 1, 1), ("L-2", 2, 0), ("L-3", 0, 1)]);
}
