//! Dealers' lists as they come: one case for each kind of mess.

use spanyard::model::car::{Car, MemberCondition};
use spanyard::quantity::{Cents, Percent};
use spanyard::read::{Reading, SourceText, Sources, draft_mapping, read};

use crate::read::county::{TODAY, good, sources};

/// The county's files with one dealer's list and its mapping.
fn list(name: &str, bytes: impl Into<Vec<u8>>, mapping: &str) -> Sources {
    Sources {
        inventories: vec![SourceText::new(name, bytes)],
        mappings: match mapping {
            "" => Vec::new(),
            text => vec![SourceText::new("list.mapping.toml", text)],
        },
        lots: None,
        ..sources()
    }
}

const SPUR: &str = "[constants]\ndealer = \"Sallowby Steel and Rail\"\nyard = \"Sallowby Spur\"\n";

fn car<'r>(reading: &'r Reading, id: &str) -> &'r Car {
    reading.inputs.cars.iter().find(|car| car.id == id).unwrap_or_else(|| panic!("no car {id}"))
}

fn warnings(reading: &Reading) -> Vec<String> {
    reading.warnings.iter().map(ToString::to_string).collect()
}

fn problems(sources: &Sources) -> Vec<String> {
    match read(sources, TODAY) {
        Err(problems) => problems.iter().map(ToString::to_string).collect(),
        Ok(_) => panic!("no problem was found"),
    }
}

/// Length in feet of the only car.
fn length(files: &Sources) -> Option<f64> {
    let reading = good(files);
    assert_eq!(reading.inputs.cars.len(), 1);
    reading.inputs.cars[0].length.map(|length| length.0)
}

#[test]
fn every_encoding_and_separator_gives_the_same_car() {
    let text = "Car no.,Length (ft),Remarks\nS–1,60,né\n";
    let utf16 = |mark: [u8; 2], order: fn(u16) -> [u8; 2]| {
        let units: Vec<u8> = text.encode_utf16().flat_map(order).collect();
        [&mark[..], &units].concat()
    };
    let windows = [&b"Car no.,Length (ft),Remarks\nS\x961,60,n\xE9\n"[..]].concat();
    let cases: Vec<(&str, Vec<u8>, &str)> = vec![
        ("UTF-8", text.into(), ""),
        ("UTF-8 with a mark", [&b"\xEF\xBB\xBF"[..], text.as_bytes()].concat(), ""),
        ("UTF-16, little end first", utf16([0xFF, 0xFE], u16::to_le_bytes), ""),
        ("UTF-16, big end first", utf16([0xFE, 0xFF], u16::to_be_bytes), ""),
        ("Windows-1252", windows, "encoding = \"windows-1252\"\n"),
        ("CRLF", text.replace('\n', "\r\n").into(), ""),
        ("semicolons", text.replace(',', ";").into(), ""),
        ("tabs", text.replace(',', "\t").into(), ""),
        ("semicolons, stated", text.replace(',', ";").into(), "delimiter = \"semicolon\"\n"),
    ];
    for (case, bytes, head) in cases {
        let reading = good(&list("list.csv", bytes, &format!("{head}{SPUR}")));
        let car = car(&reading, "S–1");
        assert_eq!(car.length.map(|length| length.0), Some(60.0), "{case}");
        assert_eq!(car.notes.as_deref(), Some("né"), "{case}");
        assert_eq!(warnings(&reading), [""; 0], "{case}");
    }
}

#[test]
fn names_under_and_above_merged_titles() {
    // Merged cells have their text in the first of them, and the others are blank.
    for (text, above) in [
        // More names stand in the upper row.
        (
            "Car no.,Series,Dimensions,,Price,Remarks\n,,Length,Width,,\n,,ft,ft,,\nS-1,CB-60,60,9,9500,red\n",
            0,
        ),
        // More names stand in the lower row.
        (
            "Our cars,,,,,\nCar no.,,Dimensions,,Prices,\n,Series,Length,Width,Price,Remarks\n,,ft,ft,,\nS-1,CB-60,60,9,9500,red\n",
            2,
        ),
    ] {
        let reading = good(&list("list.csv", text, SPUR));
        let one = car(&reading, "S-1");
        assert_eq!((one.length.map(|it| it.0), one.width.map(|it| it.0)), (Some(60.0), Some(9.0)));
        assert_eq!((one.section.as_deref(), one.price), (Some("CB-60"), Some(Cents(950_000))));
        assert_eq!(one.notes.as_deref(), Some("red"));
        assert_eq!(warnings(&reading), [""; 0]);
        let file = &reading.files[0];
        assert_eq!((file.rows, file.not_taken.len()), (above + 2, above + 1), "{text}");
    }
    // A name that nobody knows is not taken from a title above, and its cells do not get lost.
    let text = "Our cars,,\nCar no.,Length (ft),\nS-1,60,x\n".replace("Our cars,,", ",,Our cars");
    let place = problems(&list("list.csv", text, SPUR));
    assert!(place[0].starts_with("list.csv:3:8: D11 `x` stands beyond the header"), "{place:?}");
}

#[test]
fn unsure_encodings_and_separators_are_problems() {
    for (bytes, expected) in [
        (
            &b"Car no.,Remarks\nS\x961,x\n"[..],
            "list.csv:2:2: D01 the byte 96 here is not text in UTF-8; save the file in UTF-8, or state the encoding in the mapping, as in encoding = \"windows-1252\"",
        ),
        (
            b"Car no.,Qty,Lot;Series;Built\n1,2,3;4;5\n",
            "list.csv: D21 can be read with comma or semicolon between the cells; state `delimiter` in a mapping",
        ),
    ] {
        assert_eq!(problems(&list("list.csv", bytes, SPUR)), [expected]);
    }
}

#[test]
fn titles_units_totals_and_blank_rows() {
    let text = "Our cars in June,,,,\n,,,,\nCar no.,Length,Width,Weight w/o trucks,Price\n,m,ft,(kip),US$\n\
                S-1,18.288,9'-1\",42,9500\n,,,,\nLong cars,,,,\n89ers,,,,\nS-2,27.2 m,9,43.5,\nCar no.,Length,Width,Weight w/o trucks,Price\n\
                Total,,,85.5,9500\n";
    let reading = good(&list("list.csv", text, SPUR));
    let one = car(&reading, "S-1");
    assert_eq!(one.length.map(|length| length.0), Some(60.0));
    assert!((one.width.unwrap().0 - 109.0 / 12.0).abs() < 1e-8);
    assert_eq!(one.weight.map(|weight| weight.0), Some(42.0));
    assert_eq!(one.price, Some(Cents(950_000)));
    // 27.2 m over 0.3048 m to the foot.
    assert!((car(&reading, "S-2").length.unwrap().0 - 89.238_845).abs() < 1e-6);
    let file = &reading.files[0];
    let not_taken: Vec<_> =
        file.not_taken.iter().map(|row| (row.line, row.reason.as_str())).collect();
    assert_eq!(
        not_taken,
        [
            (1, "above the header"),
            (4, "row of units"),
            (7, "heading or remark"),
            (10, "header repeated"),
            (11, "total"),
        ]
    );
    // `89ers` may be an ID: it is read as a car of which nothing is known, and said so.
    assert_eq!(file.rows, reading.inputs.cars.len() + not_taken.len());
    assert_eq!(
        warnings(&reading),
        [
            "list.csv:8:1: D20 car: `89ers` stands alone in its row, a car of which nothing is known or a heading; clear the row if it is a heading"
        ]
    );
}

#[test]
fn units_come_from_cell_mapping_header_or_are_asked_for() {
    for (header, cell, mapping, expected) in [
        ("Length (ft)", "60", "", 60.0),
        ("Length (m)", "18.288", "", 60.0),
        ("Len", "720", "[columns]\nLen = { column = \"length_ft\", unit = \"in\" }\n", 60.0),
        ("L o/a", "60", "[columns]\n\"l O/A\" = \"length_ft\"\n", 60.0),
        ("Length", "60'-0\"", "", 60.0),
    ] {
        let files = list(
            "list.csv",
            format!("Car no.,{header},Qty\nS-1,\"{}\",1\n", cell.replace('"', "\"\"")),
            &format!("{SPUR}{mapping}"),
        );
        assert_eq!(length(&files), Some(expected), "{header}");
    }
    for (header, cell, mapping, expected) in [
        (
            "Length",
            "60",
            "",
            "list.csv:2:5: D15 length_ft: `60` has no unit, feet or another; state the unit in the mapping, the header or behind the number",
        ),
        (
            "Length (m)",
            "60",
            "[columns]\n\"Length (m)\" = { column = \"length_ft\", unit = \"ft\" }\n",
            "list.csv:1:9: D15 `Length (m)` says meters and another place says feet; ask the dealer, and correct the header, the row of units or the mapping",
        ),
        (
            "Weight w/o trucks",
            "21 tons",
            "",
            "list.csv:2:5: D15 weight_lb: `21 tons` is in tons, which may be short tons (2,000 lb) or tonnes (2,204.6 lb); write short ton or tonne",
        ),
        (
            "Length (ft)",
            "1072",
            "",
            "list.csv:2:5: D05 length_ft: `1072` is outside 20 to 120 ft; correct it, or the unit; is it in inches or centimeters?",
        ),
        (
            "Width (ft)",
            "2.7",
            "",
            "list.csv:2:5: D05 width_ft: `2.7` is outside 5 to 14 ft; correct it, or the unit; is it in meters?",
        ),
    ] {
        let files = list(
            "list.csv",
            format!("Car no.,{header},Qty\nS-1,{cell},1\n"),
            &format!("{SPUR}{mapping}"),
        );
        assert_eq!(problems(&files), [expected], "{header}");
    }
}

#[test]
fn words_of_condition_are_taken_as_bad_left_unknown_or_as_the_mapping_says() {
    let text = "Car no.,Center sill,Stringers,Bolsters,Wrecked\n\
                S-1,no defects,bent x-member,lt. surface rust,N\n\
                S-2,corroded 8%,fair,missing,maybe\n";
    let mapping = format!("{SPUR}[words.main_girder]\n\"No defects.\" = \"sound\"\n");
    let reading = good(&list("list.csv", text, &mapping));
    let one = car(&reading, "S-1");
    assert_eq!(one.members.main_girder, Some(MemberCondition::Sound));
    assert_eq!(one.members.stringers, Some(MemberCondition::Bent));
    assert_eq!((one.members.bolsters, one.wrecked), (None, Some(false)));
    let two = car(&reading, "S-2");
    assert_eq!(two.members.main_girder, Some(MemberCondition::Corroded(Percent(8.0))));
    assert_eq!(two.members.bolsters, Some(MemberCondition::Missing));
    assert_eq!((two.members.stringers, two.wrecked), (None, None));
    assert_eq!(
        warnings(&reading),
        [
            "list.csv:2:16: D17 stringers: `bent x-member` is taken as bent; if it means something else, add it to [words.stringers] of the mapping",
            "list.csv:2:30: D17 bolsters: `lt. surface rust` is not a word of ours and is left unknown; look at the car, and add the word to [words.bolsters] of the mapping",
            "list.csv:3:17: D17 stringers: `fair` is not a word of ours and is left unknown; look at the car, and add the word to [words.stringers] of the mapping",
            "list.csv:3:30: D17 wrecked: `maybe` is not a word of ours and is left unknown; look at the car, and add the word to [words.wrecked] of the mapping",
        ]
    );
}

#[test]
fn ranges_are_taken_by_their_unfavorable_end_or_not_at_all() {
    let text = "Car no.,Width,Price,Section modulus (in3)\nS-1,9'2–9'4,\"$9,500–$9,900\",480-500\n";
    let reading = good(&list("list.csv", text, SPUR));
    let one = car(&reading, "S-1");
    assert_eq!((one.width, one.price), (None, Some(Cents(990_000))));
    assert_eq!(one.girder.stated_modulus.map(|modulus| modulus.0), Some(480.0));
    assert!(warnings(&reading).iter().all(|warning| warning.contains(": D16 ")));
    assert_eq!(reading.warnings.len(), 3);
}

#[test]
fn columns_that_nobody_knows_are_told_and_carried() {
    let text = "Car no.,Lenght (ft),Track,Remarks\nS-1,60,3,old\nS-2,,4,\n";
    let reading = good(&list("list.csv", text, SPUR));
    assert_eq!(car(&reading, "S-1").notes.as_deref(), Some("old; Lenght (ft): 60; Track: 3"));
    assert_eq!(car(&reading, "S-2").notes.as_deref(), Some("Track: 4"));
    // What is like a word of ours is suggested, and never applied.
    assert_eq!(car(&reading, "S-1").length, None);
    assert_eq!(
        warnings(&reading),
        [
            "list.csv:1:9: D18 `Lenght (ft)` is no column of ours and is carried with the notes; map it to length_ft in the mapping if that is meant, else to `note` or `ignore`",
            "list.csv:1:21: D18 `Track` is no column of ours and is carried with the notes; map it in the mapping, to `note` or `ignore` if need be",
        ]
    );
}

#[test]
fn what_a_mapping_lacks_or_has_too_much_is_told() {
    for (mapping, expected) in [
        (
            "",
            &[
                "list.csv:1:1: D02 dealer: is in no column of the file; map a column to `dealer`, or state it under [constants] of the mapping",
                "list.csv:1:1: D02 yard: is in no column of the file; map a column to `yard`, or state it under [constants] of the mapping",
            ][..],
        ),
        (
            "[constants]\ndealer = \"Sallowby Steel and Rail\"\nyard = \"Sallowby Spur\"\n[columns]\n\"Lengths\" = \"length_ft\"\n",
            &[
                "list.mapping.toml:5:1: D14 `Lengths` is not a header of list.csv; write \"Length\" if that is meant, or remove the key",
            ],
        ),
        (
            "inventory = \"other.csv\"\n",
            &[
                "list.csv:1:1: D02 dealer: is in no column of the file; map a column to `dealer`, or state it under [constants] of the mapping",
                "list.csv:1:1: D02 yard: is in no column of the file; map a column to `yard`, or state it under [constants] of the mapping",
                "list.mapping.toml: D14 is for none of the inventories; name it NAME.mapping.toml after the inventory NAME.csv or NAME.xlsx, or write `inventory = \"NAME.csv\"` in it",
            ],
        ),
    ] {
        let files = list("list.csv", "Car no.,Length\nS-1,60 ft\n", mapping);
        let mut found = problems(&files);
        found.sort();
        assert_eq!(found, expected, "{mapping}");
    }
}

#[test]
fn two_columns_that_can_be_one_are_a_question() {
    let found =
        problems(&list("list.csv", "Car no.,Length (ft),Length overall (ft)\nS-1,60,62\n", SPUR));
    assert_eq!(
        found,
        [
            "list.csv:1:21: D21 `Length overall (ft)` can be length_ft, and so can the header `Length (ft)`; say in the mapping which is which, with `ignore` or `note` for the other"
        ]
    );
}

#[test]
fn dates_need_their_order() {
    let text = "Car no.,Valid until,Avail.\nS-1,8/15/2026,30 Sep 2026\n";
    let ordered = format!("dates = \"month/day/year\"\n{SPUR}");
    let reading = good(&list("list.csv", text, &ordered));
    assert_eq!(car(&reading, "S-1").quote_expires, Some(jiff::civil::date(2026, 8, 15)));
    // A day above 12 settles it for its column, and is told; the order of another column may differ.
    let reading = good(&list("list.csv", text, SPUR));
    assert_eq!(car(&reading, "S-1").quote_expires, Some(jiff::civil::date(2026, 8, 15)));
    assert_eq!(
        warnings(&reading),
        [
            "list.csv:2:5: D20 quote_expires: `8/15/2026` can be read one way only, so the column is read as month/day/year; say `dates = \"month/day/year\"` in the mapping to confirm it"
        ]
    );
    let text = text.replace("8/15/2026", "8/5/2026");
    let found = problems(&list("list.csv", text, SPUR));
    assert_eq!(
        found,
        [
            "list.csv:2:5: D07 quote_expires: `8/5/2026` is a date in which month and day can be swapped; state `dates = \"month/day/year\"` or `\"day/month/year\"` in the mapping"
        ]
    );
}

#[test]
fn a_quoted_line_break_stays_in_its_cell_and_the_next_place_is_true() {
    let text = "Car no.;Remarks;Length (ft)\r\nS-1;\"two\r\nlines\";60\r\nS-2;x;sixty\r\n";
    let found = problems(&list("list.csv", text, SPUR));
    assert_eq!(
        found,
        [
            "list.csv:4:7: D04 length_ft: `sixty` is not a number with a unit; write a number in feet, or clear the cell where it is unknown"
        ]
    );
}

#[test]
fn a_draft_reads_the_file_that_it_was_made_for() {
    let text = "Our list;;\r\nCar no.;Length (m);Lenght;Track\r\nS-1;18.288;x;3\r\n";
    let source = SourceText::new("in/list.csv", text);
    let draft = draft_mapping(&source).unwrap();
    assert_eq!(
        draft,
        "# A first mapping, drafted by spanyard. Check every line of it.\n\
         inventory = \"list.csv\"\n\
         delimiter = \"semicolon\"\n\
         header_row = 2\n\n\
         [columns]\n\
         \"Car no.\" = \"car\"\n\
         \"Length (m)\" = { column = \"length_ft\", unit = \"meters\" }\n\
         \"Lenght\" = \"note\"\n\
         \"Track\" = \"note\"\n\n\
         # --- Open questions ---\n\
         # `spanyard answer LIST` asks them one by one; or write the lines that hold, without the #.\n\n\
         # [constants]\n\n\
         # The list does not say its dealer. What is it for all its cars?\n\
         #   Answers: the dealer's name as in the yards file.\n\
         #   Until then the list cannot be read.\n\
         # dealer = \"...\"\n\n\
         # The list does not say its yard. What is it for all its cars?\n\
         #   Answers: the yard's name as in the yards file.\n\
         #   Until then the list cannot be read.\n\
         # yard = \"...\"\n\n\
         # --- End of the open questions ---\n"
    );
    let edited = draft
        .replace("# [constants]", "[constants]")
        .replace("# dealer = \"...\"", "dealer = \"Sallowby Steel and Rail\"")
        .replace("# yard = \"...\"", "yard = \"Sallowby Spur\"");
    assert_eq!(length(&list("list.csv", text, &edited)), Some(60.0));
}

#[test]
fn a_wrong_constant_is_told_once_at_its_place_in_the_mapping() {
    let text = "Car no.,Length (ft),Price\nS-1,60,9500\nS-2,61,9600\nS-3,62,9700\n";
    let mapping = "[constants]\ndealer = \"Sallowby Steel and Rail\"\nyard = \"Salowby Spur\"\nwidth_ft = 89\n\
                   kind = \"flatcar\"\nweight_lb = \"21 tons\"\n";
    let expected = [
        "list.mapping.toml:3:8: D09 yard: `Salowby Spur` is not a yard of Sallowby Steel and Rail in the yards file; write Sallowby Spur if that is meant, or add the yard",
        "list.mapping.toml:4:12: D05 width_ft: `89` is outside 5 to 14 ft; correct it; is it the length, or in inches?",
        "list.mapping.toml:5:8: D06 kind: `flatcar` is not a word for this column; write flat, bulkhead flat, gondola, boxcar or car hauler, or leave the cell blank where it is unknown",
        "list.mapping.toml:6:13: D04 weight_lb: `21 tons` has a unit or words behind the number; write digits and a decimal point, in pounds",
    ];
    assert_eq!(problems(&list("list.csv", text, mapping)), expected);
    // What depends on the row as well is told at the row.
    let long = format!("{SPUR}truck_centers_ft = 61\n");
    let contradiction = "D12 truck_centers_ft: is not less than the length over ends, ";
    assert_eq!(
        problems(&list("list.csv", text, &long)),
        [
            format!(
                "list.csv:2:1: {contradiction}60 ft; measure both again; are the two in each other's column?"
            ),
            format!("list.csv:3:1: {contradiction}61 ft; measure both again"),
        ]
    );
    // A doubt is told once too.
    let short = text
        .replace("Length (ft)", "Lot")
        .replace(",60,", ",,")
        .replace(",61,", ",,")
        .replace(",62,", ",,");
    let reading = good(&list("list.csv", short, &format!("{SPUR}length_ft = 27.2\n")));
    assert_eq!(
        warnings(&reading),
        [
            "list.mapping.toml:4:13: D20 length_ft: `27.2` is short for a car, which has 30 ft at least; measure it again; is it in meters? Then it is 89.2 ft"
        ]
    );
}

#[test]
fn a_wrong_meaning_of_a_word_is_told_once_at_its_place_in_the_mapping() {
    let text = "Car no.,Main girder,Bolsters,Deck,Deck condition,Avail\n\
                S-1,fine,fine,plank,good,soon\nS-2,fine,rusty,plank,good,soon\nS-3,fine,corroded x9,plank,good,soon\n";
    let mapping = format!(
        "{SPUR}[words.main_girder]\nfine = \"no defects\"\n[words.bolsters]\nfine = \"corroded x8\"\nrusty = \"\"\n\
         [words.deck]\nplank = \"wood\"\n[words.deck_condition]\ngood = \"sound\"\n[words.available]\nsoon = \"in June\"\n"
    );
    let condition = "write sound, bent, cracked, corroded N or missing, or write \"\" where it was not inspected";
    let expected = [
        format!("list.mapping.toml:5:8: D06 main_girder: `no defects` is not a condition; {condition}"),
        "list.mapping.toml:7:8: D04 bolsters: `corroded x8` is not corroded and a number; write the loss in per cent, like corroded 8".to_owned(),
        "list.mapping.toml:10:9: D06 deck: `wood` is not a word for this column; write none, timber or steel plate, or write \"\" where it is unknown".to_owned(),
        "list.mapping.toml:14:8: D07 available: `in June` is not a date; write now, or a day like 2026-05-31, or write \"\"".to_owned(),
        // The dealer's own words are told where they stand.
        "list.csv:4:10: D04 bolsters: `corroded x9` is not corroded and a number; write the loss in per cent, like corroded 8".to_owned(),
    ];
    assert_eq!(problems(&list("list.csv", text, &mapping)), expected);
    let twice = format!("{SPUR}[words.main_girder]\nfine = \"sound\"\n\"Fine.\" = \"bent\"\n");
    assert_eq!(
        problems(&list("list.csv", text, &twice)),
        [
            "list.mapping.toml:5:1: D14 fine: stands twice, but for case, blanks and punctuation; keep one of the two"
        ]
    );
}

#[test]
fn what_is_wrong_in_a_mapping_is_told_first_and_once_for_all_its_inventories() {
    let text = "Car no.,Length (ft)\nS-1,sixty\n";
    let mapping = format!("inventory = \"*.csv\"\n{SPUR}width_ft = 89\n");
    let mut files = list("a.csv", text, &mapping);
    files.inventories.push(SourceText::new("b.csv", text.replace("S-1", "S-2")));
    let found = problems(&files);
    let places: Vec<_> = found.iter().map(|problem| problem.split(" D0").next()).collect();
    assert_eq!(places, [Some("list.mapping.toml:5:12:"), Some("a.csv:2:5:"), Some("b.csv:2:5:")]);
}
