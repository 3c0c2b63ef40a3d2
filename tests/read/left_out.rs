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
