//! Long inventories for measurements.

use std::fmt::Write as _;

use spanyard::read::{Inventory, SourceText, Sources, columns::Columns};

use crate::county::sources;

/// An inventory with every column filled in; `spoil` before a number of each row makes a problem.
pub fn tidy(rows: usize, spoil: &str) -> Sources {
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

/// A dealer's own list, with feet and inches, units behind numbers, and quotes within quotes.
pub fn dealers(rows: usize) -> Sources {
    let mut text = String::from(
        "Car no.;Series;Length;Trk. ctrs;Width;Camber;Built;Section modulus (in3);Weight w/o trucks;Center sill;Price;Remarks\n",
    );
    for row in 0..rows {
        let _ = writeln!(
            text,
            "C-{row};GS-{};\"60'-0\"\"\";\"46'-3\"\"\";\"9'-1 1/2\"\"\";\"1½\"\"\";1971;480;42,000 lb;sound;$9,500;stands on track 3",
            row % 40
        );
    }
    let mapping = "decimal = \"point\"\n[constants]\ndealer = \"Drumfell Reclaim\"\nyard = \"Upper Drum\"\n[columns]\n\"Trk. ctrs\" = \"truck_centres_ft\"\n";
    Sources {
        inventories: vec![SourceText::new("list.csv", text)],
        mappings: vec![SourceText::new("list.mapping.toml", mapping)],
        ..sources()
    }
}
