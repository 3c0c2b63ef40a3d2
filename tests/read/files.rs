//! Files as they come: encodings, line ends, quotes, headers, and the true place of every cell.

use spanyard::check::Code;
use spanyard::read::{FileKind, Problem, SourceText, Sources};

use crate::read::county::{CROSSINGS, good, messages, of_inventory, sources};

const HEAD: &str = "car,dealer,yard,length_ft,notes";

fn of_bytes(bytes: &[u8]) -> Vec<String> {
    let inventories = vec![SourceText::new("cars.csv", bytes)];
    messages(&Sources { inventories, ..sources() })
}

#[test]
fn what_is_not_text_says_where() {
    for (bytes, expected) in [
        (
            &b"car,dealer,yard\nA,Drumfell Recl\x84im,Upper Drum\n"[..],
            "cars.csv:2:16: D01 the byte 84 here is not text in UTF-8; save the file as text in UTF-8, a sheet as CSV",
        ),
        (
            b"\xFF\xFEc\0a\0r\0\0",
            "cars.csv:1:4: D01 this is not text in UTF-16LE; save the file as text again",
        ),
        (
            b"car,dealer,yard\nA\x1b[31m,,\n",
            "cars.csv:2:2: D01 the control character U+001B is not text; delete it, or save the file as text again",
        ),
        (
            b"",
            "cars.csv:1:1: D02 the file is empty; write a header row with the columns of docs/formats.md, and a row for each item",
        ),
    ] {
        assert_eq!(of_bytes(bytes), [expected]);
    }
}

#[test]
fn headers_say_what_is_missing_unknown_or_twice() {
    for (header, expected) in [
        ("car,dealer", &["cars.csv:1:1: D02 yard: is not in the header row; add the column"][..]),
        (
            "car,dealer,yard,lenght_ft,color",
            &[
                "cars.csv:1:17: D03 `lenght_ft` is not a column of such a file; write `length_ft` if that is meant, else `x_lenght_ft` to carry it unread",
                "cars.csv:1:27: D03 `color` is not a column of such a file; write a name of docs/formats.md, or `x_color` to carry it unread",
            ],
        ),
        (
            "car,dealer,yard,Car",
            &[
                "cars.csv:1:17: D03 `car` stands twice in the header row; keep one of the two, or write `x_car` to carry this one unread",
            ],
        ),
        (
            "name,color",
            &[
                "cars.csv:1:1: D02 the first row has none of the columns of such a file; write the header row of docs/formats.md first, without a title above it",
            ],
        ),
    ] {
        assert_eq!(of_inventory(header), expected, "{header}");
    }
}

#[test]
fn a_missing_column_does_not_hide_the_other_faults_nor_repeat_itself() {
    let found = of_inventory("car,dealer,length_ft\nA,Drumfell Reclaim,sixty\nB,,60\n");
    let expected = [
        "cars.csv:1:1: D02 yard: is not in the header row; add the column",
        "cars.csv:2:20: D04 length_ft: `sixty` is not a plain number; write digits and a decimal point, in feet, or leave the cell blank where it is unknown",
        "cars.csv:3:3: D10 dealer: the cell is blank; write a name",
    ];
    assert_eq!(found, expected);
}

#[test]
fn the_place_is_the_cells_first_character_whatever_stands_before_it() {
    let row = |cells: &str| format!("{HEAD}\n{cells}\n");
    for (text, place) in [
        (row("A,Drumfell Reclaim,Upper Drum,x1,"), "2:31"),
        (row("A,Drumfell Reclaim,Upper Drum,\"x1\","), "2:31"),
        // Blanks around it are none of its text.
        (row("A,Drumfell Reclaim,Upper Drum, x1,"), "2:32"),
        (row("\"A\",\"Drumfell Reclaim\",Upper Drum,x1,"), "2:35"),
        // Characters count, not bytes.
        (row("Ä–é,Drumfell Reclaim,Upper Drum,x1,"), "2:33"),
        // The mark at the beginning of a file is no character of its first line.
        (format!("\u{feff}{}", row("A,Drumfell Reclaim,Upper Drum,x1,")), "2:31"),
        (row("A,Drumfell Reclaim,Upper Drum,x1,").replace('\n', "\r\n"), "2:31"),
        (row("A,Drumfell Reclaim,Upper Drum,x1,").replace('\n', "\r"), "2:31"),
        // Blank lines and blank rows before it.
        (row("\n\r\n,,,,\nA,Drumfell Reclaim,Upper Drum,x1,"), "5:31"),
        // A cell of two lines before it, in its row and above.
        (row("\"A\n1\",Drumfell Reclaim,Upper Drum,x1,"), "3:32"),
        (
            row("A,Drumfell Reclaim,Upper Drum,60,\"a\r\nb\"\nB,Drumfell Reclaim,Upper Drum,x1,"),
            "4:31",
        ),
        // A quote within quotes.
        (row("\"A\"\"\",Drumfell Reclaim,Upper Drum,x1,"), "2:35"),
    ] {
        let found = of_inventory(&text);
        let expected = format!("cars.csv:{place}: D04 length_ft: `x1`");
        assert!(found.len() == 1 && found[0].starts_with(&expected), "{text:?}: {found:?}");
    }
}

#[test]
fn rows_with_cells_too_many_or_too_few_and_broken_quotes() {
    const CLOSE: &str = "close each quoted cell with one quote, and write a quote within it twice";
    const CELLS: &str = "give the row as many cells as the header, and quote cells with commas";
    let row = |cells: &str| format!("{HEAD}\n{cells}\n");
    let good = "B,Drumfell Reclaim,Upper Drum,60,";
    for (text, expected) in [
        (
            row("A,Drumfell Reclaim,Upper Drum,60,one,two"),
            format!("2:38: D11 the row has 6 cells and the header has 5; {CELLS}"),
        ),
        (
            row("A,Drumfell Reclaim,Upper Drum"),
            format!("2:30: D11 the row has 3 cells and the header has 5; {CELLS}"),
        ),
        (
            row("A,Drumfell Reclaim,Upper Drum,60,\"one\nB,x,y,z,"),
            format!("2:34: D11 the quote that opens this cell is never closed; {CLOSE}"),
        ),
        (
            row("A,Drumfell Reclaim,Upper Drum,60,\"one\" two"),
            format!("2:34: D11 there is text behind the closing quote of this cell; {CLOSE}"),
        ),
        // Two stray quotes would swallow the rows between them without a sound.
        (
            row(&format!("A,Drumfell Reclaim,Upper Drum,60,\"one\n{good}\n{good}5\"")),
            format!(
                "2:34: D11 the quoted text of this cell holds what looks like whole rows; {CLOSE}"
            ),
        ),
    ] {
        assert_eq!(of_inventory(&text), [format!("cars.csv:{expected}")], "{text:?}");
    }
}

#[test]
fn cells_under_a_blank_header_must_be_blank() {
    let text =
        "car,dealer,yard,\nA,Drumfell Reclaim,Upper Drum,\nB,Drumfell Reclaim,Upper Drum,7\n";
    let expected = "cars.csv:3:31: D03 `7` stands in a column without a name; name the column, with `x_` before a name of your own, or clear it";
    assert_eq!(of_inventory(text), [expected]);
    let text = "car,dealer,yard,\nA,Drumfell Reclaim,Upper Drum,\n";
    let inventories = vec![SourceText::new("cars.csv", text)];
    assert_eq!(good(&Sources { inventories, ..sources() }).inputs.cars.len(), 1);
}

#[test]
fn a_bad_file_is_not_held_against_the_others() {
    let mut files = sources();
    files.yards = Some(SourceText::new("yards.csv", b"\xFF".to_vec()));
    files.lots = Some(SourceText::new("lots.csv", "nothing\n"));
    files.rules = Some(SourceText::new("rules.toml", "this is no rule"));
    let codes: Vec<_> = messages(&files)
        .iter()
        .map(|m| m.split(' ').take(2).collect::<Vec<_>>().join(" "))
        .collect();
    assert_eq!(codes, ["yards.csv:1:1: D01", "lots.csv:1:1: D02", "rules.toml:1:6: D13"]);
}

/// What is told of the county's files when this one could not be opened.
fn without(kind: FileKind, name: &str, change: impl FnOnce(&mut Sources)) -> Vec<String> {
    let absent = Problem::of_file(Code::FileUnreadable, name.into(), "does not exist", "look");
    let mut files = Sources { unopened: vec![(kind, absent)], ..sources() };
    change(&mut files);
    let found = messages(&files);
    assert_eq!(found[0], format!("{name}: D01 does not exist; look"));
    found[1..].to_vec()
}

#[test]
fn a_file_that_cannot_be_opened_hides_no_problem_and_makes_none() {
    let crossing = "crossings.csv:2:51: D07 needed_by: `soon` is not a date; write the day, like 2026-05-31, or leave the cell blank";
    let spoilt = |files: &mut Sources| {
        let text =
            CROSSINGS.replace("2026-11-30", "soon").replace("HS20; Type 3,timber", "own,own");
        files.crossings = Some(SourceText::new("crossings.csv", text));
    };
    // The rules may have a vehicle and a deck system by the name of `own`.
    let found = without(FileKind::Rules, "rules.toml", spoilt);
    assert_eq!(found, [crossing]);
    for (kind, name) in
        [(FileKind::Yards, "yards.csv"), (FileKind::Lots, "lots.csv"), (FileKind::Crossings, "x")]
    {
        let found = without(kind, name, |files| match kind {
            FileKind::Yards => files.yards = None,
            FileKind::Lots => files.lots = None,
            _ => files.crossings = None,
        });
        assert_eq!(found, [""; 0], "{name}");
    }
    // A mapping that is for an inventory that could not be opened, and the other way round.
    let mapping = SourceText::new("list.mapping.toml", "[constants]\nyard = \"Upper Drum\"\n");
    let found =
        without(FileKind::Inventory, "in/list.xlsx", |files| files.mappings = vec![mapping]);
    assert_eq!(found, [""; 0]);
    let found = without(FileKind::Mapping, "list.mapping.toml", |files| {
        files.inventories.push(SourceText::new("list.csv", "Car no.;Length\nS-1;long\n"));
    });
    assert_eq!(found, [""; 0]);
}
