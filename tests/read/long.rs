//! Long inventories for measurements.

use std::fmt::Write as _;

use spanyard::read::{SourceText, Sources};

use super::county::sources;

/// Cells of a row by column; `{row}` and the like are filled in.
const CELLS: [(&str, &str); 51] = [
    ("car", "C-{row}"),
    ("dealer", "Drumfell Reclaim"),
    ("yard", "Upper Drum"),
    ("lot", ""),
    ("quantity", "1"),
    ("kind", "flat"),
    ("section", "GS-{section}"),
    ("length_ft", "60"),
    ("truck_centers_ft", "46.25"),
    ("width_ft", "9.1"),
    ("camber_in", "{camber}.25"),
    ("year_built", "1971"),
    ("yield_ksi", "36"),
    ("yield_source", "mill certificate"),
    ("modulus_in3", "480"),
    ("modulus_source", "drawing"),
    ("webs", "2"),
    ("web_depth_in", "28.5"),
    ("web_thickness_in", "{spoil}0.5"),
    ("web_depth_at_trucks_in", "24"),
    ("top_flange_width_in", "24"),
    ("top_flange_thickness_in", "0.75"),
    ("bottom_flange_width_in", "24"),
    ("bottom_flange_thickness_in", "0.75"),
    ("top_cover_width_in", "10"),
    ("top_cover_thickness_in", "0.375"),
    ("bottom_cover_width_in", "10"),
    ("bottom_cover_thickness_in", "0.375"),
    ("web_loss_pct", "0"),
    ("top_loss_pct", "0"),
    ("bottom_loss_pct", "0"),
    ("unbraced_ft", "8"),
    ("exterior_depth_in", "14"),
    ("stringer_modulus_in3", "12.5"),
    ("stringer_spacing_ft", "2"),
    ("cross_member_modulus_in3", "80"),
    ("cross_member_spacing_ft", "5"),
    ("weight_lb", "42000"),
    ("deck", "timber"),
    ("deck_condition", "worn"),
    ("coating", "worn"),
    ("lead", "lead"),
    ("main_girder", "corroded 2"),
    ("exterior_girders", "sound"),
    ("bolsters", "sound"),
    ("cross_members", "sound"),
    ("stringers", "sound"),
    ("wrecked", "no"),
    ("price_usd", "9500.50"),
    ("quote_expires", "2026-08-31"),
    ("notes", "\"stands on track 3, behind the shed\""),
];

/// An inventory with nearly every column filled in; `spoil` before a number of each row makes a
/// problem.
pub fn tidy(rows: usize, spoil: &str) -> Sources {
    let line = |part: fn(&(&'static str, &'static str)) -> &'static str| {
        CELLS.iter().map(part).collect::<Vec<_>>().join(",")
    };
    let mut text = line(|cell| cell.0);
    let row_of = line(|cell| cell.1).replace("{spoil}", spoil);
    for row in 0..rows {
        let cells = row_of
            .replace("{row}", &row.to_string())
            .replace("{section}", &(row % 40).to_string())
            .replace("{camber}", &(row % 5).to_string());
        let _ = write!(text, "\n{cells}");
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
            "C-{row};GS-{section};\"{length}'-{inches}\"\"\";\"46'-{inches}\"\"\";\"9'-1 1/2\"\"\";\"1½\"\"\";{year};480;42,{weight} lb;sound;$9,{weight};stands on track 3",
            section = row % 40,
            length = 56 + row % 34,
            inches = row % 11,
            year = 1960 + row % 23,
            weight = 100 + row % 873,
        );
    }
    let mapping = "decimal = \"point\"\n[constants]\ndealer = \"Drumfell Reclaim\"\nyard = \"Upper Drum\"\n[columns]\n\"Trk. ctrs\" = \"truck_centers_ft\"\n";
    Sources {
        inventories: vec![SourceText::new("list.csv", text)],
        mappings: vec![SourceText::new("list.mapping.toml", mapping)],
        ..sources()
    }
}
