//! The demo data can be read, mess and all.

use std::path::Path;

use spanyard::read::{SourceText, Sources};

use crate::read::county::good;
use crate::testkit::demo::{LISTS, MAPPINGS};

fn file(name: &str) -> SourceText {
    let path = Path::new(env!("CARGO_MANIFEST_DIR")).join("data-demo").join(name);
    SourceText::new(name, std::fs::read(path).unwrap())
}

#[test]
fn the_demo_files_are_read_without_a_problem() {
    let inventories = LISTS.map(file).to_vec();
    let reading = good(&Sources {
        inventories,
        mappings: MAPPINGS.map(file).to_vec(),
        yards: Some(file("yards.csv")),
        lots: Some(file("lots.csv")),
        crossings: Some(file("crossings.csv")),
        rules: Some(file("rules.toml")),
        ..Sources::default()
    });
    // Each row that is taken is a car (or batch): nothing gets lost on the way.
    let rows: usize = reading.files[..3].iter().map(|file| file.rows - file.not_taken.len()).sum();
    assert_eq!(reading.inputs.cars.len(), rows);
    assert_eq!(reading.inputs.crossings.len(), reading.files[7].rows);
}
