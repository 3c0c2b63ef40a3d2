//! Rows read in parts, by any number of threads.

use std::fmt::Write as _;

use super::*;
use crate::read::Inventory;
use crate::read::columns::{self, Columns as _, Content};
use crate::read::problem::FINDINGS_MOST;

const YARDS: &str = "dealer,yard,latitude_deg,longitude_deg,loading_usd,trip_usd\n\
                     Drumfell Reclaim,Upper Drum,44,-40,600,900\n";

fn run(inventories: &[SourceText], mappings: &[SourceText]) -> Sources {
    Sources {
        inventories: inventories.to_vec(),
        mappings: mappings.to_vec(),
        yards: Some(SourceText::new("yards.csv", YARDS)),
        ..Sources::default()
    }
}

fn at_pace(sources: &Sources, pace: Pace) -> Checked {
    gather_at(pace, sources, jiff::civil::date(2026, 6, 1), Missing::IsAProblem)
}

/// What comes of the files with parts of every size, and at most so many findings.
fn at_every_pace(sources: &Sources, findings: usize) -> Checked {
    let whole = at_pace(sources, Pace { findings, ..Pace::whole() });
    for (size, threads) in [(1, 2), (7, 3), (64, 1), (1000, 2)] {
        let found = at_pace(sources, Pace { findings, bytes: 20 * size, rows: size, threads });
        let case = format!("{size} rows to a part, {threads} threads");
        for (at, problem) in whole.problems.iter().enumerate() {
            assert_eq!(found.problems.0.get(at), Some(problem), "{case}");
        }
        assert_eq!(found.problems.len(), whole.problems.len(), "{case}");
        assert_eq!(found.warnings, whole.warnings, "{case}");
        assert_eq!(found.files, whole.files, "{case}");
        let cars = |checked: &Checked| format!("{:?}", checked.inputs);
        assert_eq!(cars(&found), cars(&whole), "{case}");
    }
    whole
}

/// Rows of our own columns with faults and doubts of many kinds, and IDs that come again.
fn tidy(rows: usize, faulty: bool) -> SourceText {
    let mut text = String::from("car,dealer,yard,length_ft,main_girder,web_loss_pct,notes\r\n");
    for row in 0..rows {
        let id = if faulty && row % 31 == 30 { row - 17 } else { row };
        let length = if faulty && row % 7 == 0 { "60'" } else { "29" };
        let yard = if faulty && row % 11 == 0 { "Uper Drum" } else { "Upper Drum" };
        let note = if row % 5 == 0 { "\"two\n\nlines, \"\"so\"\"\"" } else { "5\" bolt" };
        let rest = if faulty && row % 13 == 0 { ",more" } else { "" };
        let _ = write!(text, "{id},Drumfell Reclaim,{yard},{length},sound,,{note}{rest}\r\n");
    }
    SourceText::new("tidy.csv", text)
}

/// A dealer's list with the like, with rows that are none of cars.
fn list(rows: usize, faulty: bool) -> SourceText {
    let mut text = String::from("Our cars;;;\nCar no.;Length;Width;Remarks\n;ft;ft;\n");
    for row in 0..rows {
        let id = if faulty && row % 29 == 28 { row - 13 } else { row };
        let width = ["9'2–9'4", "9'-1\"", "9", "nine"][if faulty { row % 4 } else { row % 3 }];
        let _ = writeln!(text, "S-{id};29;\"{}\";\"a\nb\"", width.replace('"', "\"\""));
        if row % 10 == 0 {
            let _ = write!(text, "Total;;;\n\nS-9x{row};;;\n");
        }
    }
    SourceText::new("list.csv", text)
}

fn mapping() -> SourceText {
    let text = "[constants]\ndealer = \"Drumfell Reclaim\"\nyard = \"Upper Drum\"\n";
    SourceText::new("list.mapping.toml", text)
}

proptest::proptest! {
    /// Names come into the order in which the standard library has them, by owner and name.
    #[test]
    fn names_come_into_their_order(mut names in proptest::collection::vec(("[aA\u{0}é]{0,2}", "[a0\u{0}é]{0,12}"), 0..60)) {
        let mut expected = names.clone();
        expected.sort();
        let order = order(names.iter().map(|(owner, name)| (owner.as_str(), name.as_str())));
        arrange(&mut names, order);
        proptest::prop_assert_eq!(names, expected);
    }
}

#[test]
fn parts_and_threads_make_no_difference() {
    for faulty in [false, true] {
        let inventories = [tidy(230, faulty), list(170, faulty)];
        let whole = at_every_pace(&run(&inventories, &[mapping()]), FINDINGS_MOST);
        let told = whole.problems.to_string();
        let wrong = ["lists already at tidy.csv:", "lists already at list.csv:", "Uper Drum"];
        assert!(wrong.iter().all(|wrong| told.contains(wrong) == faulty), "{told}");
        assert_eq!(whole.inputs.is_some(), !faulty);
    }
}

#[test]
fn the_end_of_what_is_read_of_a_hopeless_file_makes_no_difference() {
    let numbers = |column: &&columns::Column| matches!(column.content, Content::Number { .. });
    let names: Vec<_> = Inventory::ALL.iter().filter(numbers).map(|c| c.name).collect();
    let row = format!("A,Drumfell Reclaim,Upper Drum{}\n", ",x".repeat(names.len()));
    let tidy = format!("car,dealer,yard,{}\n", names.join(",")) + &row.repeat(200);
    let list = tidy.replacen("car,", "Car no.,", 1).replace("\nA,", "\nTotal\nA,");
    for text in [tidy, list] {
        let files = run(&[SourceText::new("cars.csv", text)], &[]);
        let whole = at_every_pace(&files, 3_000);
        assert!(whole.problems.iter().any(|problem| problem.wrong.contains("too many faults")));
    }
}
