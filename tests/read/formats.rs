//! docs/formats.md says what the code reads.

use spanyard::read::columns::{Column, Columns, markdown};
use spanyard::read::{
    CrossingColumn, HaulColumn, Inventory, LotColumn, SourceText, YardColumn, rules,
};

use crate::read::county::{good, sources};
use crate::testkit::renew;

fn docs() -> String {
    renew::text("docs/formats.md")
}

/// The section of the documentation with this title.
fn section(docs: &str, title: &str) -> String {
    let section = docs.split("\n## ").find(|section| section.starts_with(title));
    section.unwrap_or_else(|| panic!("docs/formats.md has no section {title}")).to_owned()
}

/// The example in a section.
fn example(docs: &str, title: &str) -> String {
    let section = section(docs, title);
    let example = section.split("```").nth(1).unwrap_or_else(|| panic!("no example in {title}"));
    example.split_once('\n').unwrap().1.to_owned()
}

/// The tables of the documentation are those of the code, byte for byte.
#[test]
fn every_column_is_documented_as_the_code_has_it() {
    let tables: [(&str, &[Column]); 5] = [
        ("Inventories", Inventory::ALL),
        ("Yards", YardColumn::ALL),
        ("Lots", LotColumn::ALL),
        ("Crossings", CrossingColumn::ALL),
        ("Haul quotes", HaulColumn::ALL),
    ];
    let mut text = docs();
    for (title, columns) in tables {
        let found = section(&text, title);
        let lines = found.lines().filter(|line| line.starts_with('|'));
        let old = lines.fold(String::new(), |table, line| table + line + "\n");
        text = text.replace(&old, &markdown(columns));
    }
    renew::same("docs/formats.md", text.as_bytes());
}

/// The examples of the documentation are sound files.
#[test]
fn the_examples_of_the_documentation_can_be_read() {
    let docs = docs();
    let mut files = sources();
    files.inventories = vec![SourceText::new("example", example(&docs, "Inventories"))];
    files.crossings = Some(SourceText::new("example", example(&docs, "Crossings")));
    assert_eq!(good(&files).inputs.cars.len(), 2);
    files.inventories.clear();
    files.lots = None;
    files.yards = Some(SourceText::new("example", example(&docs, "Yards")));
    assert_eq!(good(&files).inputs.yards.len(), 1);
    let mut files = sources();
    files.lots = Some(SourceText::new("example", example(&docs, "Lots")));
    assert_eq!(good(&files).inputs.lots.len(), 1);
    files.hauls = Some(SourceText::new("example", example(&docs, "Haul quotes")));
    assert_eq!(good(&files).inputs.haul_quotes.len(), 2);
    let example = SourceText::new("example", example(&docs, "Rules"));
    assert_eq!(rules(Some(&example)).unwrap().vehicle.len(), 1);
}

/// The mapping of the documentation reads a list written for it.
#[test]
fn the_mapping_of_the_documentation_can_be_read() {
    let docs = docs();
    let mut files = sources();
    let list = "Our list\r\nCar no.;L o/a;Track;Center sill;Depth (in);Depth (in)\r\nS-9;18.288;3;scaling;9;8\r\n";
    files.inventories = vec![SourceText::new("spur-june.csv", list)];
    files.mappings = vec![SourceText::new("spur.toml", example(&docs, "Dealers' own lists"))];
    let cars = good(&files).inputs.cars;
    assert_eq!(cars[0].length.map(|length| length.0), Some(60.0));
}
