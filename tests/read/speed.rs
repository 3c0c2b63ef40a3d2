//! How long a long file takes. Run in release mode: `cargo test --release --test read -- --ignored`.

use std::fmt::Write as _;
use std::time::{Duration, Instant};

use spanyard::read::{Inventory, SourceText, Sources, columns::Columns, read};

use crate::county::{TODAY, good, sources};

/// An inventory with every column filled in.
fn long(rows: usize, spoil: &str) -> Sources {
    let header: Vec<_> = Inventory::ALL.iter().map(|column| column.name).collect();
    let mut text = header.join(",");
    for row in 0..rows {
        let _ = write!(
            text,
            "\nC-{row},Drumfell Reclaim,Upper Drum,,1,flat,GS-{},60,46.25,9.1,{}.25,1971,36,mill \
             certificate,480,drawing,2,28.5,{spoil}0.5,24,24,0.75,24,0.75,10,0.375,10,0.375,0,0,0,8,14,\
             12.5,2,80,5,42000,timber,worn,worn,lead,corroded 2,sound,sound,sound,sound,no,9500.50,\
             2026-08-31,now,\"stands on track 3, behind the shed\"",
            row % 40,
            row % 5
        );
    }
    Sources { inventories: vec![SourceText::new("cars.csv", text)], ..sources() }
}

/// The time that a piece of work keeps a processor busy, so that other work on the machine does not
/// count; where the system does not tell, the time it takes.
fn time<T>(work: impl FnOnce() -> T) -> (T, Duration) {
    let busy = || {
        let text = std::fs::read_to_string("/proc/thread-self/schedstat").ok()?;
        text.split(' ').next()?.parse().ok().map(Duration::from_nanos)
    };
    let (start, before) = (Instant::now(), busy());
    let made = work();
    let taken = start.elapsed();
    (made, busy().zip(before).map_or(taken, |(after, before)| after - before))
}

#[test]
#[ignore = "a measurement, in release mode only"]
fn a_hundred_thousand_rows_take_well_under_a_second() {
    let files = long(100_000, "");
    let (reading, sound) = time(|| good(&files));
    assert_eq!(reading.inputs.cars.len(), 100_000);
    let files = long(100_000, "x");
    let (problems, spoilt) = time(|| read(&files, TODAY).unwrap_err());
    assert_eq!(problems.len(), 100_000);
    let bytes = files.inventories[0].bytes.len();
    eprintln!("100,000 rows, {bytes} bytes: sound {sound:?}, each with a problem {spoilt:?}");
    assert!(sound.as_secs_f64() < 1.0, "{sound:?}");
}

#[test]
#[ignore = "a measurement, in release mode only"]
fn a_hundred_thousand_rows_of_a_dealer_take_two_seconds_at_most() {
    let mut text = String::from(
        "Car no.;Series;Length;Trk. ctrs;Width;Camber;Built;Section modulus (in3);Weight w/o trucks;Center sill;Price;Remarks\n",
    );
    for row in 0..100_000 {
        let _ = writeln!(
            text,
            "C-{row};GS-{};\"60'-0\"\"\";\"46'-3\"\"\";\"9'-1 1/2\"\"\";\"1½\"\"\";1971;480;42,000 lb;sound;$9,500;stands on track 3",
            row % 40
        );
    }
    let mapping = "decimal = \"point\"\n[constants]\ndealer = \"Drumfell Reclaim\"\nyard = \"Upper Drum\"\n[columns]\n\"Trk. ctrs\" = \"truck_centres_ft\"\n";
    let files = Sources {
        inventories: vec![SourceText::new("list.csv", text)],
        mappings: vec![SourceText::new("list.mapping.toml", mapping)],
        ..sources()
    };
    let (reading, taken) = time(|| good(&files));
    assert_eq!(reading.inputs.cars.len(), 100_000);
    eprintln!("100,000 rows of a dealer's list: {taken:?}");
    assert!(taken.as_secs_f64() < 2.0, "{taken:?}");
}
