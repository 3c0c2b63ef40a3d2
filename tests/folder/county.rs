//! Crossings as a county's office keeps them: a title, its own words, units in the header.

use super::{empty, run};

const BRIDGES: &str = "Tessarow County bridges;;;;;;;;;;;\n\
    Bridge ID;Road name;Span (ft);Clear width (ft);Design vehicle;Deck system;most_abreast;priority;\
    Lat;Lon;needed_by;crane_limit_lb\n\
    B-1;Mill Lane;44';16;Type 3;timber;2;1;44.0;-40.0;2026-12-01;n/a\n\
    B-2;Hill Lane;12 m;16;Type 3;timber;2;1;44.0;-40.0;;60000\n";

fn check(name: &str, text: &str) -> (i32, String, String) {
    let folder = empty(name);
    std::fs::write(folder.join("bridges.csv"), text).unwrap();
    run(&folder, &["check", "bridges.csv"])
}

#[test]
fn a_file_of_crossings_is_known_by_its_header() {
    let (code, said, wrong) = check("known", BRIDGES);
    assert_eq!((code, wrong.as_str()), (0, ""), "{said}");
    let said = said.split_whitespace().collect::<Vec<_>>().join(" ");
    assert!(said.contains("bridges.csv crossings 3"), "{said}");
    assert!(said.contains("1 row not taken (above the header: 1)"), "{said}");
}

#[test]
fn what_could_be_two_things_is_a_question() {
    for (before, after, expected) in [
        ("Span (ft)", "Span", "D15 span_ft: `16` has no unit"),
        (";2026-12-01;", ";n/a;", "D06 needed_by: `n/a` says unknown, and a blank cell would not"),
        ("Road name", "Rod nam", "D02 road: is in no column of the file; add a column `road`"),
    ] {
        let text = BRIDGES.replace("44';16", "16;16").replace(before, after);
        let (code, said, _) = check("asked", &text);
        assert_eq!(code, 2, "{said}");
        assert!(said.contains(expected), "{said}");
    }
}
