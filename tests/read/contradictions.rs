//! Cells of one row that cannot be right together, and groups of cells that need each other.

use spanyard::model::car::MemberCondition;
use spanyard::model::crossing::Keep;
use spanyard::quantity::{Inches, Percent};
use spanyard::read::{Reading, SourceText, Sources};

use crate::read::county::{CROSSINGS, good, messages, sources};

/// An inventory of one car that has these columns besides its names.
fn car(cells: &[(&str, &str)]) -> Sources {
    let (mut head, mut row) =
        ("car,dealer,yard".to_owned(), "A,Drumfell Reclaim,Upper Drum".to_owned());
    for (column, cell) in cells {
        head = head + "," + column;
        row = row + "," + cell;
    }
    let text = format!("{head}\n{row}\n");
    Sources { inventories: vec![SourceText::new("cars.csv", text)], ..sources() }
}

/// A sound box girder.
const PLATES: [(&str, &str); 8] = [
    ("webs", "2"),
    ("web_depth_in", "28.5"),
    ("web_thickness_in", "0.5"),
    ("top_flange_width_in", "24"),
    ("top_flange_thickness_in", "0.75"),
    ("bottom_flange_width_in", "24"),
    ("bottom_flange_thickness_in", "0.75"),
    ("main_girder", "sound"),
];

/// The box girder with some cells changed or added.
fn plates(changes: &[(&'static str, &'static str)]) -> Sources {
    let mut cells = PLATES.to_vec();
    for &(column, cell) in changes {
        match cells.iter_mut().find(|(known, _)| *known == column) {
            Some(known) => known.1 = cell,
            None => cells.push((column, cell)),
        }
    }
    car(&cells)
}

/// The messages without their places.
fn said(sources: &Sources) -> Vec<String> {
    let without_place = |message: &String| message.split_once(' ').unwrap().1.to_owned();
    messages(sources).iter().map(without_place).collect()
}

#[test]
fn cells_that_cannot_both_be_right() {
    for (cells, expected) in [
        (
            &[("length_ft", "60"), ("truck_centers_ft", "60.5")][..],
            "D12 truck_centers_ft: `60.5` is not less than the length over ends, 60 ft; measure both again; are the two in each other's column?",
        ),
        (
            &[("length_ft", "60"), ("unbraced_ft", "61")],
            "D12 unbraced_ft: `61` is more than the length over ends, 60 ft; measure both again",
        ),
        (
            &[("deck_condition", "worn")],
            "D12 deck_condition: `worn` is the condition of a deck, and the cell deck is blank; write the kind of deck, or leave this cell blank",
        ),
        (
            &[("deck", "none"), ("deck_condition", "worn")],
            "D12 deck_condition: `worn` is the condition of a deck, and the cell deck says none; correct one of the two, or leave this cell blank",
        ),
        (
            &[("web_loss_pct", "5")],
            "D12 web_loss_pct: `5` counts only with the main girder's plates, which are blank; write the plates, webs to bottom_flange_thickness_in, or clear this cell",
        ),
    ] {
        assert_eq!(said(&car(cells)), [expected]);
    }
}

#[test]
fn a_car_of_a_lot_is_bought_and_not_owned() {
    let text = "car,dealer,yard,lot,owned\n\
                S-1,Sallowby Steel and Rail,Sallowby Spur,L-1,yes\n\
                S-2,Sallowby Steel and Rail,Sallowby Spur,L-1,no\n\
                S-3,Sallowby Steel and Rail,Sallowby Spur,,YES\n";
    let sources = Sources { inventories: vec![SourceText::new("cars.csv", text)], ..sources() };
    let expected = "D12 owned: `yes` cannot be for a car of a lot, which is bought whole; clear one of \
                    the two cells";
    assert_eq!(said(&sources), [expected]);
}

#[test]
fn plates_come_all_together_and_fit_each_other() {
    for (changes, expected) in [
        (
            &[("web_thickness_in", ""), ("webs", "")][..],
            &[
                "D10 webs: is blank, and other plates of the main girder are given; measure all plates, or clear them all",
                "D10 web_thickness_in: is blank, and other plates of the main girder are given; measure all plates, or clear them all",
            ][..],
        ),
        (
            &[("web_depth_at_trucks_in", "30")],
            &[
                "D12 web_depth_at_trucks_in: `30` is deeper than at mid-span, 28.5 in; measure both again; main girders grow shallower toward the wheel trucks",
            ],
        ),
        (
            &[("webs", "4"), ("web_thickness_in", "4"), ("top_flange_width_in", "15.9")],
            &[
                "D12 top_flange_width_in: `15.9` is narrower than the webs together, 16 in; measure the flange and the webs again",
            ],
        ),
        (
            &[("top_cover_width_in", "10"), ("top_cover_thickness_in", "")],
            &[
                "D10 top_cover_thickness_in: is blank, and top_cover_width_in is given; measure both, or clear both",
            ],
        ),
        (
            &[("bottom_cover_thickness_in", "0.5"), ("bottom_cover_width_in", "")],
            &[
                "D10 bottom_cover_width_in: is blank, and bottom_cover_thickness_in is given; measure both, or clear both",
            ],
        ),
        (
            &[("web_loss_pct", "5")],
            &[
                "D12 web_loss_pct: `5` is more than main_girder says, which is sound; write the greatest loss in main_girder",
            ],
        ),
        (
            &[("main_girder", "corroded 5"), ("web_loss_pct", "5"), ("bottom_loss_pct", "5.5")],
            &[
                "D12 bottom_loss_pct: `5.5` is more than main_girder says, which is corroded 5.0 %; write the greatest loss in main_girder",
            ],
        ),
    ] {
        assert_eq!(said(&plates(changes)), expected);
    }
}

#[test]
fn a_blank_cell_of_an_absent_column_is_told_at_the_row() {
    let found = messages(&car(&PLATES[..6]));
    assert_eq!(
        found,
        [
            "cars.csv:2:1: D10 bottom_flange_thickness_in: is blank, and other plates of the main girder are given; measure all plates, or clear them all"
        ]
    );
}

fn losses(reading: &Reading) -> Option<[Percent; 3]> {
    let plates = reading.inputs.cars[0].girder.plates?;
    Some([plates.web_loss_pct, plates.top_loss_pct, plates.bottom_loss_pct])
}

#[test]
fn blank_losses_are_as_the_main_girder_says_and_never_guessed() {
    let share = |web, top, bottom| Some([Percent(web), Percent(top), Percent(bottom)]);
    for (changes, expected) in [
        (&[][..], share(0.0, 0.0, 0.0)),
        (&[("main_girder", "corroded 8")], share(8.0, 8.0, 8.0)),
        (&[("main_girder", "corroded 8"), ("top_loss_pct", "3")], share(8.0, 3.0, 8.0)),
        // Without the girder's condition a blank loss is unknown, so the plates cannot be used.
        (&[("main_girder", "")], None),
        (&[("main_girder", "bent"), ("top_loss_pct", "3")], None),
        (
            &[
                ("main_girder", ""),
                ("web_loss_pct", "1"),
                ("top_loss_pct", "2"),
                ("bottom_loss_pct", "3"),
            ],
            share(1.0, 2.0, 3.0),
        ),
    ] {
        let reading = good(&plates(changes));
        assert_eq!(losses(&reading), expected, "{changes:?}");
        let warnings: Vec<_> = reading.warnings.iter().filter(|w| &*w.file == "cars.csv").collect();
        assert_eq!(warnings.len(), usize::from(expected.is_none()), "{changes:?}");
    }
}

#[test]
fn all_that_is_measured_of_a_girder_is_taken() {
    let reading = good(&plates(&[
        ("web_depth_at_trucks_in", "28.5"),
        ("top_cover_width_in", "10"),
        ("top_cover_thickness_in", "0.375"),
        ("modulus_in3", "500"),
        ("unbraced_ft", "8"),
        ("main_girder", "corroded 2"),
    ]));
    let car = &reading.inputs.cars[0];
    let plates = car.girder.plates.unwrap();
    assert_eq!((plates.webs, plates.web.width_in), (2, Inches(28.5)));
    assert_eq!(plates.web_depth_at_trucks_in, Some(Inches(28.5)));
    assert_eq!(plates.top_cover.map(|cover| cover.thickness_in), Some(Inches(0.375)));
    assert_eq!(plates.bottom_cover, None);
    assert_eq!(car.members.main_girder, Some(MemberCondition::Corroded(Percent(2.0))));
}

#[test]
fn the_price_of_a_car_of_a_lot_is_warned_of() {
    let cars = "car,dealer,yard,lot,price_usd\nA,Sallowby Steel and Rail,Sallowby Spur,L-1,9000\n";
    let inventories = vec![SourceText::new("cars.csv", cars)];
    let reading = good(&Sources { inventories, ..sources() });
    assert_eq!(
        reading.warnings[0].to_string(),
        "cars.csv:2:45: D12 price_usd: `9000` is not used, because the car is sold only with lot L-1; leave the cell blank to quiet this"
    );
}

/// The messages about the county's crossings with one piece of text changed.
fn crossing(from: &str, to: &str) -> Vec<String> {
    assert!(CROSSINGS.contains(from), "{from}");
    let crossings = Some(SourceText::new("crossings.csv", CROSSINGS.replace(from, to)));
    messages(&Sources { crossings, ..sources() })
}

#[test]
fn crossings_that_make_no_sense() {
    for (from, to, expected) in [
        (
            "Lane,62,,",
            "Lane,,,",
            "2:16: D10 span_ft: is blank, and so is pier_layouts_ft; write the span, or a layout with piers",
        ),
        (
            "18000",
            "",
            "3:36: D10 pier_usd: is blank, and pier_layouts_ft has piers; write the cost of one pier",
        ),
        (
            "45+45;",
            "45+;",
            "3:20: D04 pier_layouts_ft: `45+; 30+30+30` has a span missing in the layout 45+; write spans in ft joined by +, layouts separated by ; such as 45+45; 30+30+30",
        ),
        (
            "45+45;",
            "45 ft+45;",
            "3:20: D04 pier_layouts_ft: `45 ft+45; 30+30+30` has 45 ft for a span, which is not a plain number; write spans in ft joined by +, layouts separated by ; such as 45+45; 30+30+30",
        ),
        (
            "45+45;",
            "4+45;",
            "3:20: D05 pier_layouts_ft: `4+45; 30+30+30` has a span of 4 ft, outside 5 to 120 ft; write each span in decimal feet",
        ),
        (
            "45+45;",
            "45;",
            "3:20: D12 pier_layouts_ft: `45; 30+30+30` has the layout 45, which has no pier; write a single span in span_ft, and here two or more joined by +",
        ),
        (
            "45+45;",
            "30+30+30;",
            "3:20: D08 pier_layouts_ft: `30+30+30; 30+30+30` has the layout 30+30+30 twice; write each layout once",
        ),
        (
            "ev2",
            "EV2; ev2",
            "3:45: D08 vehicles: `EV2; ev2` has the vehicle EV2 twice; write each vehicle once",
        ),
        ("ev2", ";", "3:45: D10 vehicles: `;` names no vehicle; write at least one vehicle"),
        ("ev2", "", "3:45: D10 vehicles: the cell is blank; write names separated by ;"),
        (
            "ev2",
            "\"EV2, EV3\"",
            "3:45: D09 vehicles: `EV2, EV3` has the vehicle EV2, EV3, which neither the built-in table nor the rules have; separate the names with semicolons",
        ),
        (
            "44.0,-40.0",
            "0,0",
            "3:66: D05 latitude_deg: `0` and the longitude are both 0, which is no place of a yard or a crossing; write where it is",
        ),
        (
            "44.0,-40.0",
            "144.0,-40.0",
            "3:66: D05 latitude_deg: `144.0` is outside -90 to 90 deg; write decimal degrees, north positive, perhaps it is the longitude",
        ),
        (
            ",2,,44.0",
            ",0,,44.0",
            "3:63: D05 priority: `0` is outside 1 to 9; write 1 for what is served first, up to 9",
        ),
    ] {
        assert_eq!(crossing(from, to), [format!("crossings.csv:{expected}")], "{to}");
    }
}

#[test]
fn layouts_that_do_not_reach_across_are_warned_of() {
    let crossings = CROSSINGS.replace("45+45;", "45+54;").replace("30+30+30", "25+25+25");
    let crossings = crossings.replace("Lane,62,,", "Lane,62,,5000");
    let crossings = Some(SourceText::new("crossings.csv", crossings));
    let reading = good(&Sources { crossings, ..sources() });
    let warnings: Vec<_> = reading.warnings.iter().map(ToString::to_string).collect();
    assert_eq!(
        warnings[1..],
        [
            "crossings.csv:2:20: D12 pier_usd: `5000` is not used, because there is no layout with piers; write pier_layouts_ft, or leave the cell blank to quiet this",
            "crossings.csv:3:20: D12 pier_layouts_ft: `45+54; 25+25+25` has the layout 25+25+25, 75 ft in all, and span_ft is 90; look again; the spans of a layout bridge the same opening",
        ]
    );
}

#[test]
fn a_crossing_without_a_truck_of_the_road_is_warned_of() {
    for (vehicles, words) in
        [("HS20; HL-93", Some("names design loads alone")), ("HS20; Type 3", None), ("EV2", None)]
    {
        let crossings = CROSSINGS.replace("HS20; Type 3", vehicles);
        let crossings = Some(SourceText::new("crossings.csv", crossings));
        let reading = good(&Sources { crossings, ..sources() });
        let warnings = reading.warnings.iter().map(ToString::to_string);
        let found: Vec<_> = warnings.filter(|text| text.contains("D20 vehicles")).collect();
        assert_eq!(found.len(), usize::from(words.is_some()), "{vehicles}: {found:?}");
        assert!(words.is_none_or(|words| found[0].contains(words)), "{found:?}");
    }
}

#[test]
fn a_fund_is_one_of_the_rules() {
    let fund = |cell: &str, rules: &str| {
        let mut rows = CROSSINGS.lines().map(|line| format!("{line},")).collect::<Vec<_>>();
        rows[0] += "fund";
        rows[1] += cell;
        let crossings = Some(SourceText::new("crossings.csv", rows.join("\n")));
        Sources { crossings, rules: Some(SourceText::new("rules.toml", rules)), ..sources() }
    };
    let rules = "[[fund]]\nname = \"school\"\nusd = 5\n[[fund]]\nname = \"mill\"\nusd = 6\n";
    assert_eq!(good(&fund("Mill", rules)).inputs.crossings[1].fund.as_deref(), Some("mill"));
    assert_eq!(good(&fund("", rules)).inputs.crossings[1].fund, None);
    let none = "add a [[fund]] to the rules, or leave the cell blank";
    assert_eq!(
        said(&fund("mill", "")),
        [format!("D09 fund: `mill` is not a fund of the rules; {none}")]
    );
    let some = "write school or mill, or add a [[fund]] to the rules";
    assert_eq!(
        said(&fund("bus", rules)),
        [format!("D09 fund: `bus` is not a fund of the rules; {some}")]
    );
    assert_eq!(
        said(&fund("", "[[fund]]\nname = \"a\"\nusd = 1\n[[fund]]\nname = \"A\"\nusd = 1\n")),
        ["D08 fund.name: is A, the name of an earlier [[fund]]; give each its own name"]
    );
}

#[test]
fn wishes_to_keep_together_are_known_words_each_once() {
    let keep = |cell: &str| {
        let mut rows = CROSSINGS.lines().map(|line| format!("{line},")).collect::<Vec<_>>();
        rows[0] += "keep";
        rows[1] += cell;
        let text = rows.join("\n");
        Sources { crossings: Some(SourceText::new("crossings.csv", text)), ..sources() }
    };
    let words = "write one yard or one section; several separated by ;";
    assert_eq!(good(&keep("one yard;")).inputs.crossings[1].keep, [Keep::OneYard]);
    assert_eq!(
        said(&keep("same yard")),
        [format!("D06 keep: `same yard` has same yard, which is no word for this column; {words}")]
    );
    assert_eq!(
        said(&keep("one yard; One Yard")),
        [format!("D08 keep: `one yard; One Yard` has one yard twice; {words}")]
    );
}
