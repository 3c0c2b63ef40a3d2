//! What holds for every file: no panic, nothing lost, no dependence on order, messages in order.

use std::fmt::Write as _;

use proptest::prelude::*;
use spanyard::model::inputs::Inputs;
use spanyard::model::place::RowPlace;
use spanyard::model::rules::DEFAULT_RULES;
use spanyard::read::{Problems, SourceText, Sources, check, read};

use crate::read::county::{CARS, CROSSINGS, LOTS, TODAY, YARDS, good, sources};

const RULES: &str = "[rating]\ntruck_share = 0.8\ntruck_share_source = 'load test'\n\
    [[vehicle]]\nname = 'school bus'\naxles_kip = [8, 19.5]\nspacings_ft = [23]\nsource = 'maker'\n";

/// The inputs as text, without the places of rows.
fn without_places(mut inputs: Inputs) -> String {
    let nowhere = || RowPlace { file: "".into(), line: 0 };
    inputs.cars.iter_mut().for_each(|car| car.place = nowhere());
    inputs.yards.iter_mut().for_each(|yard| yard.place = nowhere());
    inputs.lots.iter_mut().for_each(|lot| lot.place = nowhere());
    inputs.crossings.iter_mut().for_each(|crossing| crossing.place = nowhere());
    format!("{inputs:?}")
}

/// What every list of problems keeps.
fn in_order_and_on_one_line(files: &Sources, problems: &Problems) {
    let all = files.inventories.iter().chain(&files.yards).chain(&files.lots);
    let order: Vec<_> = all.chain(&files.crossings).chain(&files.rules).map(|f| &f.name).collect();
    let key = |file| order.iter().position(|name| *name == file);
    let keys: Vec<_> =
        problems.iter().map(|problem| (key(&problem.file), problem.line, problem.column)).collect();
    assert!(keys.is_sorted(), "{problems}");
    for problem in problems {
        assert!(!problem.wrong.is_empty() && !problem.instead.is_empty(), "{problem:?}");
        assert!(!problem.to_string().contains(|c: char| c.is_control()), "{problem:?}");
    }
}

/// Reads and checks files of any content.
fn read_anything(files: &Sources) {
    match read(files, TODAY) {
        Err(problems) => {
            assert!(!problems.is_empty());
            in_order_and_on_one_line(files, &problems);
        }
        Ok(reading) => {
            let inventories = &reading.files[..files.inventories.len()];
            let rows: usize = inventories.iter().map(|file| file.rows).sum();
            let not_taken: usize = inventories.iter().map(|file| file.not_taken.len()).sum();
            let cars = reading.inputs.cars.len();
            assert_eq!(cars + not_taken, rows, "every row is a car, or said not to be one");
            for file in inventories.iter().filter(|file| file.rows > 0 && file.has_no_cars()) {
                let no_car = format!("{}: D21 no car was read from it", file.name);
                let told = reading.warnings.iter().map(ToString::to_string);
                assert!(told.filter(|text| text.contains(&no_car)).count() == 1, "{no_car}");
            }
        }
    }
    in_order_and_on_one_line(files, &check(files, TODAY).problems);
}

/// Files of which one, by number, has this content.
fn with(which: usize, bytes: Vec<u8>) -> Sources {
    let mut files = Sources { rules: Some(SourceText::new("rules.toml", RULES)), ..sources() };
    match which {
        0 => files.inventories = vec![SourceText::new("cars.csv", bytes)],
        1 => files.yards = Some(SourceText::new("yards.csv", bytes)),
        2 => files.lots = Some(SourceText::new("lots.csv", bytes)),
        3 => files.crossings = Some(SourceText::new("crossings.csv", bytes)),
        _ => files.rules = Some(SourceText::new("rules.toml", bytes)),
    }
    files
}

const SOUND: [&str; 5] = [CARS, YARDS, LOTS, CROSSINGS, RULES];

/// A sound file with a few bytes changed, put in or taken out.
fn spoilt(which: usize, edits: &[(usize, u8, u8)]) -> Vec<u8> {
    const LIKELY: &[u8] = b",\"\n\r;+-.'%0 9xe\xC3\x00[]=#{}";
    let mut bytes = SOUND[which].as_bytes().to_vec();
    for &(place, kind, byte) in edits {
        let place = place % (bytes.len() + 1);
        let byte = LIKELY.get(usize::from(byte)).copied().unwrap_or(byte);
        match kind {
            0 if place < bytes.len() => bytes[place] = byte,
            1 if place < bytes.len() => {
                bytes.remove(place);
            }
            _ => bytes.insert(place, byte),
        }
    }
    bytes
}

proptest! {
    #[test]
    fn any_bytes_are_read_without_a_panic(
        which in 0_usize..5,
        bytes in prop::collection::vec(any::<u8>(), 0..300),
    ) {
        read_anything(&with(which, bytes));
    }

    #[test]
    fn any_text_under_a_sound_header_is_read_without_a_panic(
        which in 0_usize..4,
        text in "[-a-z0-9é,;+.'\"%\u{a0}\u{202e} \r\n\t]{0,200}",
    ) {
        let header = SOUND[which].lines().next().unwrap_or_default();
        read_anything(&with(which, format!("{header}\n{text}").into_bytes()));
    }

    #[test]
    fn spoilt_files_are_read_without_a_panic(
        which in 0_usize..5,
        edits in prop::collection::vec((any::<usize>(), 0_u8..3, any::<u8>()), 1..6),
    ) {
        read_anything(&with(which, spoilt(which, &edits)));
    }

    #[test]
    fn the_order_of_rows_and_files_changes_nothing(
        cars in Just((0..12).collect::<Vec<usize>>()).prop_shuffle(),
        cut in 0_usize..=12,
        reverse in any::<bool>(),
    ) {
        let inventory = |numbers: &[usize]| {
            let mut text = CARS.lines().next().unwrap_or_default().replace(",notes", "");
            for &number in numbers {
                let (dealer, yard, lot) = match number % 3 {
                    0 => ("Drumfell Reclaim", "Upper Drum", ""),
                    1 => ("Sallowby Steel and Rail", "Sallowby Spur", "L-2"),
                    _ => ("Sallowby Steel and Rail", "Sallowby Spur", "L-1"),
                };
                let row = format!("\nC-{number},{dealer},{yard},{lot},{},flat,GS,60,46.25,9,", number + 1);
                text += &row;
                let _ = write!(text, "{}.5,1971,,,,,,,,,", number % 5);
            }
            text
        };
        let lines = |text: &str| {
            let (header, rows) = text.split_once('\n').unwrap_or_default();
            let mut rows: Vec<_> = rows.lines().collect();
            if reverse {
                rows.reverse();
            }
            format!("{header}\n{}\n", rows.join("\n"))
        };
        let straight = Sources {
            inventories: vec![SourceText::new("all.csv", inventory(&(0..12).collect::<Vec<_>>()))],
            ..sources()
        };
        let (one, two) = cars.split_at(cut);
        let shuffled = Sources {
            inventories: vec![
                SourceText::new("one.csv", inventory(one)),
                SourceText::new("two.csv", inventory(two)),
            ],
            mappings: Vec::new(),
            yards: Some(SourceText::new("y.csv", lines(YARDS))),
            lots: Some(SourceText::new("l.csv", lines(LOTS))),
            crossings: Some(SourceText::new("c.csv", lines(CROSSINGS))),
            rules: None,
            ..Sources::default()
        };
        let expected = without_places(good(&straight).inputs);
        prop_assert_eq!(without_places(good(&shuffled).inputs), expected);
    }
}

/// What stands behind a line break in the header is a row that looks like a second header: it is none of
/// cars, and neither are the rows below.
#[test]
fn a_header_broken_in_two_loses_no_row_unsaid() {
    let header = CARS.lines().next().unwrap_or_default();
    for (place, _) in header.match_indices([',', '_']) {
        let mut bytes = CARS.as_bytes().to_vec();
        bytes.insert(place + 1, b'\n');
        read_anything(&with(0, bytes));
    }
}

#[test]
fn deep_nesting_in_the_rules_is_refused_and_does_not_overflow() {
    for text in ["[", "{a=", "a."] {
        let text = format!("a = {}", text.repeat(100_000));
        read_anything(&with(4, text.into_bytes()));
    }
    read_anything(&with(4, format!("{}b = 1", "a.".repeat(100_000)).into_bytes()));
    read_anything(&with(4, DEFAULT_RULES.replace('=', "= [").into_bytes()));
}
