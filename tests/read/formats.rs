//! docs/formats.md says what the code reads.

use spanyard::read::columns::{Column, Columns, markdown};
use spanyard::read::{CrossingColumn, Inventory, LotColumn, YardColumn};

const DOCS: &str = include_str!("../../docs/formats.md");

/// The tables of the documentation are those of the code, byte for byte. After changing a column,
/// put the table that this test prints into docs/formats.md.
#[test]
fn every_column_is_documented_as_the_code_has_it() {
    let tables: [(&str, &[Column]); 4] = [
        ("Inventories", Inventory::ALL),
        ("Yards", YardColumn::ALL),
        ("Lots", LotColumn::ALL),
        ("Crossings", CrossingColumn::ALL),
    ];
    for (title, columns) in tables {
        let section = DOCS.split("\n## ").find(|section| section.starts_with(title));
        let section = section.unwrap_or_else(|| panic!("docs/formats.md has no section {title}"));
        let table = markdown(columns);
        assert!(section.contains(&table), "docs/formats.md, section {title}, needs\n{table}");
    }
}
