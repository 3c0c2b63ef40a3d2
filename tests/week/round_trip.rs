//! What `spanyard decide` writes is what `--decisions` reads, for every kind of decision.

use std::path::Path;

use spanyard::read::SourceText;

use crate::testkit::{demo, run};

/// One of each kind, with values that need quotes, signs and dates.
const DECISIONS: &[&[&str]] = &[
    &[
        "bought",
        "car=UD-08",
        "price_usd=10400.50",
        "on=2026-06-01",
        "note=he said \"500 off\" # not a comment",
    ],
    &["reserved", "lot=UD-A", "until=2026-07-01", "price_usd=37000"],
    &["reserved", "dealer=Orlhaven Equipment", "car=Q-18", "until=2026-07-01"],
    &["sold", "car=UD-19", "note=C:\\yard\\list.xlsx"],
    &["refused", "car=Q-12", "note=bolster cracked"],
    &["quoted", "car=UD-18", "price_usd=9900", "until=2026-07-15"],
    &["measured", "car=UD-17", "camber_in=-0.25", "main_girder=corroded 8"],
    &["measured", "car=UD-01", "count=1", "as=UD-01-1", "camber_in=0.875"],
    &["fixed", "car=UD-02", "crossing=B-03"],
    &["dropped", "crossing=B-19"],
    &[
        "added",
        "crossing=B-50",
        "road=Lower \"Ox\" Lane",
        "span_ft=40",
        "clear_width_ft=14",
        "vehicles=HS20; Type 3",
        "deck=timber",
        "most_abreast=2",
        "latitude_deg=44.1",
        "longitude_deg=-40.2",
        "priority=2",
    ],
];

/// Adds a decision to the file and returns the sentence that it was confirmed with.
fn decide(words: &[&str], file: &Path) -> String {
    let file = ["--decisions", file.to_str().unwrap()];
    let output = run::demo(&[&["decide"], words, &file].concat());
    let said = String::from_utf8(output.stderr).unwrap();
    assert!(output.status.success(), "{words:?}: {said}");
    let printed = String::from_utf8(output.stdout).unwrap();
    printed.lines().next().unwrap().trim_end_matches('.').to_owned()
}

#[test]
fn every_kind_is_read_as_it_was_decided() {
    let folder = std::env::temp_dir().join(format!("spanyard-decided-{}", std::process::id()));
    std::fs::create_dir_all(&folder).unwrap();
    let file = folder.join("week.toml");
    let mut confirmed = Vec::new();
    let mut before = String::new();
    for words in DECISIONS {
        confirmed.push(decide(words, &file));
        let after = std::fs::read_to_string(&file).unwrap();
        assert!(after.starts_with(&before), "earlier lines are never touched");
        before = after;
    }
    std::fs::remove_dir_all(&folder).unwrap();
    let mut sources = demo::sources();
    sources.decisions = Some(SourceText::new("week.toml", before));
    let reading = spanyard::after::decide::read(&sources, jiff::civil::date(2026, 1, 1)).unwrap();
    let decisions = &reading.inputs.decided.list;
    let read: Vec<String> = decisions.iter().map(|decision| decision.sentence()).collect();
    assert_eq!(read, confirmed);
    for (words, decision) in DECISIONS.iter().zip(decisions) {
        let note = words.iter().find_map(|word| word.strip_prefix("note="));
        assert_eq!(decision.note.as_deref(), note, "{words:?}");
    }
    let car = |id: &str| reading.inputs.cars.iter().find(|car| car.id == id).unwrap();
    assert_eq!(car("UD-17").camber.map(|camber| camber.0), Some(-0.25));
    assert_eq!(car("UD-01-1").camber.map(|camber| camber.0), Some(0.875));
    let added = reading.inputs.crossings.iter().find(|crossing| crossing.id == "B-50").unwrap();
    assert_eq!(added.road, "Lower \"Ox\" Lane");
    assert!(!reading.inputs.crossings.iter().any(|crossing| crossing.id == "B-19"));
}
