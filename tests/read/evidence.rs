//! What the facts of a dealer's list rest on: his cells, the mapping's words, its corrections, its constants.

use spanyard::check::Grade;
use spanyard::model::inventory::Inventory as C;
use spanyard::read::{SourceText, Sources};

use crate::read::county::{good, sources};

/// Lines are counted by hand: `good` of the center sill on 6, the correction on 8, the constants from 9.
const MAPPING: &str = "\
[columns]
\"Center sill\" = \"main_girder\"
\"Side sills\" = \"exterior_girders\"
\"Depth\" = { column = \"exterior_depth_in\", unit = \"in\" }
[words.main_girder]
\"good\" = \"sound\"
[cells]
D2 = { was = \"\", is = \"12\" }
D3 = { was = \"9\", is = \"11\" }
[constants]
dealer = \"Drumfell Reclaim\"
yard = \"Upper Drum\"
bolsters = \"sound\"
";

const LIST: &str = "Car no.,Center sill,Side sills,Depth\nP1,good,sound,\nP2,sound,good,9\n";

#[test]
fn each_fact_has_the_grade_of_whoever_says_it() {
    let reading = good(&Sources {
        inventories: vec![SourceText::new("list.csv", LIST)],
        mappings: vec![SourceText::new("list.mapping.toml", MAPPING)],
        lots: None,
        ..sources()
    });
    let cars = &reading.inputs.cars;
    let said = |car: usize, column: C| {
        let evidence = cars[car].evidence(column);
        (evidence.grade, evidence.place.to_string())
    };
    let at = |place: &str| place.to_owned();
    for (car, column, grade, place) in [
        (0, C::MainGirder, Grade::Interpreted, "list.mapping.toml:6"),
        (0, C::ExteriorGirders, Grade::Stated, "list.csv:2"),
        (0, C::ExteriorDepth, Grade::Assumed, "list.mapping.toml:8"),
        (0, C::Bolsters, Grade::Assumed, "list.mapping.toml:13"),
        (1, C::MainGirder, Grade::Stated, "list.csv:3"),
        (1, C::ExteriorDepth, Grade::Interpreted, "list.mapping.toml:9"),
        (1, C::Bolsters, Grade::Assumed, "list.mapping.toml:13"),
    ] {
        assert_eq!(said(car, column), (grade, at(place)), "{car} {column:?}");
    }
    // `good` is read in the column of center sills alone.
    assert_eq!(cars[1].members.exterior_girders, None);
    // No paper gives a reading back to the dealer as his own words.
    assert_eq!(cars[0].as_told().members.main_girder, None);
    assert_eq!(cars[1].as_told().members.main_girder, cars[1].members.main_girder);
}
