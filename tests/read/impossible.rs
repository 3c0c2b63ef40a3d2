//! Measures that cannot be, from the files to the rating: each is a problem in words, and none of
//! them ever becomes a number.

use spanyard::read::{SourceText, Sources};

use crate::read::county::{CROSSINGS, messages, of_inventory, sources};

/// A car with the plates of a box; the changes replace cells by column.
fn inventory(changes: &[(&str, &str)]) -> String {
    let mut cells = vec![
        ("car", "A"),
        ("dealer", "Drumfell Reclaim"),
        ("yard", "Upper Drum"),
        ("main_girder", "corroded 8"),
        ("yield_ksi", "36"),
        ("webs", "2"),
        ("web_depth_in", "28.5"),
        ("web_thickness_in", "0.5"),
        ("top_flange_width_in", "24"),
        ("top_flange_thickness_in", "0.75"),
        ("bottom_flange_width_in", "24"),
        ("bottom_flange_thickness_in", "0.75"),
        ("bottom_loss_pct", "8"),
        ("stringer_spacing_ft", "2"),
    ];
    for &(column, value) in changes {
        let cell = cells.iter_mut().find(|cell| cell.0 == column).unwrap();
        cell.1 = value;
    }
    let (columns, values): (Vec<_>, Vec<_>) = cells.into_iter().unzip();
    format!("{}\n{}\n", columns.join(","), values.join(","))
}

/// The one message begins with this code and column and names the cell's content.
fn refused(found: &[String], code_and_column: &str, cell: &str) {
    let [message] = found else { panic!("{code_and_column} `{cell}`: {found:?}") };
    let said = message.contains(&format!(": {code_and_column}: "));
    assert!(
        said && message.contains(&format!("`{cell}`")),
        "{code_and_column} `{cell}`: {message}"
    );
}

#[test]
fn of_a_car() {
    for (column, cell, code) in [
        ("yield_ksi", "36000", "D05"),
        ("yield_ksi", "0", "D05"),
        ("web_thickness_in", "0", "D05"),
        ("top_flange_thickness_in", "0", "D05"),
        ("bottom_flange_thickness_in", "-0.75", "D05"),
        ("web_depth_in", "0", "D05"),
        ("top_flange_width_in", "0", "D05"),
        ("bottom_loss_pct", "101", "D05"),
        ("bottom_loss_pct", "-1", "D05"),
        ("webs", "0", "D05"),
        ("stringer_spacing_ft", "-2", "D05"),
        ("stringer_spacing_ft", "0", "D05"),
    ] {
        let found = of_inventory(&inventory(&[(column, cell)]));
        refused(&found, &format!("{code} {column}"), cell);
    }
}

#[test]
fn of_a_whole_girder() {
    let found = of_inventory(&inventory(&[("main_girder", "corroded 130")]));
    refused(&found, "D05 main_girder", "corroded 130");
}

#[test]
fn of_a_crossing() {
    for cell in ["0", "-62", "NaN"] {
        let text = CROSSINGS.replace("Lane,62,", &format!("Lane,{cell},"));
        let crossings = Some(SourceText::new("crossings.csv", text));
        let found = messages(&Sources { crossings, ..sources() });
        let code = if cell == "NaN" { "D04" } else { "D05" };
        refused(&found, &format!("{code} span_ft"), cell);
    }
    let text = CROSSINGS.replace("45+45;", "0+90;");
    let crossings = Some(SourceText::new("crossings.csv", text));
    let found = messages(&Sources { crossings, ..sources() });
    refused(&found, "D05 pier_layouts_ft", "0+90; 30+30+30");
}

#[test]
fn of_an_agencys_vehicle() {
    let vehicle = |axles: &str, spacings: &str| {
        let text = format!(
            "[[vehicle]]\nname = 'log truck'\naxles_kip = {axles}\nspacings_ft = {spacings}\n\
             source = 'scale ticket'\n"
        );
        messages(&Sources { rules: Some(SourceText::new("rules.toml", text)), ..sources() })
    };
    for spacings in ["[-14]", "[0]", "[nan]"] {
        refused(&vehicle("[8, 32]", spacings), "D05 vehicle.spacings_ft", spacings);
    }
    for axles in ["[8, -32]", "[0, 32]"] {
        refused(&vehicle(axles, "[14]"), "D05 vehicle.axles_kip", axles);
    }
}
