//! A row with every column filled in, each with a value of its own: nothing is dropped or exchanged.

use jiff::civil::date;
use spanyard::model::car::{
    Availability, CarDeck, CarKind, Coating, DeckCondition, Fabrication, GirderPlates, LeadStatus,
    MainGirder, MemberCondition, Members, Plate, SecondaryMembers, Underframe,
};
use spanyard::model::crossing::Keep;
use spanyard::model::season::{Season, Seasons};
use spanyard::quantity::{Cents, CubicInches, Feet, Inches, Kips, Ksi, Percent, Tons};
use spanyard::read::columns::{Column, Columns};
use spanyard::read::{CrossingColumn, Inventory, SourceText, Sources};

use crate::read::county::{good, sources};

/// A file of one row with every column, in the order of the documentation.
fn file(columns: &[Column], cells: &[(&str, &str)]) -> SourceText {
    let mut head = Vec::new();
    let mut row = Vec::new();
    for column in columns {
        let cell = cells.iter().find(|(name, _)| *name == column.name);
        head.push(column.name);
        row.push(cell.unwrap_or_else(|| panic!("no cell for {}", column.name)).1);
    }
    SourceText::new("full.csv", format!("{}\n{}\n", head.join(","), row.join(",")))
}

#[test]
fn every_cell_of_an_inventory_finds_its_place() {
    let cells = [
        ("car", "S-2"),
        ("dealer", "Sallowby Steel and Rail"),
        ("yard", "Sallowby Spur"),
        ("lot", "L-1"),
        ("owned", "no"),
        ("quantity", "3"),
        ("kind", "gondola"),
        ("section", "CB-60"),
        ("apart", "cracked series"),
        ("length_ft", "60.5"),
        ("truck_centers_ft", "46.25"),
        ("width_ft", "9.2"),
        ("width_over_all_ft", "9.6"),
        ("depth_over_all_in", "47.5"),
        ("ride_height_in", "31.25"),
        ("sweep_in", "0.25"),
        ("twist_in", "0.75"),
        ("underframe", "sliding"),
        ("fabrication", "riveted"),
        ("repaired", "yes"),
        ("cover_length_ft", "44.5"),
        ("toughness", "Charpy report 5"),
        ("camber_in", "1.75"),
        ("year_built", "1971"),
        ("yield_ksi", "37"),
        ("yield_source", "mill certificate"),
        ("modulus_in3", "481"),
        ("modulus_source", "drawing 7"),
        ("webs", "2"),
        ("web_depth_in", "28.5"),
        ("web_thickness_in", "0.51"),
        ("web_depth_at_trucks_in", "21.5"),
        ("top_flange_width_in", "24.1"),
        ("top_flange_thickness_in", "0.71"),
        ("bottom_flange_width_in", "24.2"),
        ("bottom_flange_thickness_in", "0.72"),
        ("top_cover_width_in", "10.1"),
        ("top_cover_thickness_in", "0.41"),
        ("bottom_cover_width_in", "10.2"),
        ("bottom_cover_thickness_in", "0.42"),
        ("web_loss_pct", "1"),
        ("top_loss_pct", "2"),
        ("bottom_loss_pct", "3"),
        ("unbraced_ft", "8.5"),
        ("exterior_depth_in", "14.5"),
        ("stringer_modulus_in3", "12.5"),
        ("stringer_spacing_ft", "2.5"),
        ("cross_member_modulus_in3", "81"),
        ("cross_member_spacing_ft", "5.5"),
        ("weight_lb", "42100"),
        ("deck", "steel plate"),
        ("deck_condition", "worn"),
        ("coating", "failed"),
        ("lead", "lead-free"),
        ("main_girder", "corroded 4"),
        ("exterior_girders", "bent"),
        ("bolsters", "cracked"),
        ("cross_members", "missing"),
        ("stringers", "sound"),
        ("wrecked", "yes"),
        ("price_usd", "9500.25"),
        ("quote_expires", "2026-08-31"),
        ("available", "2026-09-15"),
        ("notes", "stands on track 3"),
    ];
    let inventories = vec![file(Inventory::ALL, &cells)];
    let reading = good(&Sources { inventories, ..sources() });
    let car = &reading.inputs.cars[0];
    assert_eq!((car.id.as_str(), car.dealer.as_str()), ("S-2", "Sallowby Steel and Rail"));
    assert_eq!(reading.inputs.yard(car.yard).name, "Sallowby Spur");
    assert_eq!(car.lot.map(|lot| reading.inputs.lot(lot).name.as_str()), Some("L-1"));
    assert_eq!((car.quantity, car.kind), (3, Some(CarKind::Gondola)));
    assert_eq!(car.section.as_deref(), Some("CB-60"));
    assert_eq!((car.length, car.truck_centers), (Some(Feet(60.5)), Some(Feet(46.25))));
    assert_eq!((car.width, car.camber), (Some(Feet(9.2)), Some(Inches(1.75))));
    assert_eq!((car.width_over_all, car.depth_over_all), (Some(Feet(9.6)), Some(Inches(47.5))));
    assert_eq!((car.ride_height, car.sweep), (Some(Inches(31.25)), Some(Inches(0.25))));
    assert_eq!((car.twist, car.underframe), (Some(Inches(0.75)), Some(Underframe::Sliding)));
    assert_eq!((car.fabrication, car.repaired), (Some(Fabrication::Riveted), Some(true)));
    assert_eq!(car.cover_length, Some(Feet(44.5)));
    assert_eq!(car.toughness.as_deref(), Some("Charpy report 5"));
    assert_eq!((car.year_built, car.steel_yield), (Some(1971), Some(Ksi(37.0))));
    assert_eq!(car.yield_source.as_deref(), Some("mill certificate"));
    let plate =
        |width, thickness| Plate { width_in: Inches(width), thickness_in: Inches(thickness) };
    let plates = GirderPlates {
        webs: 2,
        web: plate(28.5, 0.51),
        web_depth_at_trucks_in: Some(Inches(21.5)),
        top_flange: plate(24.1, 0.71),
        bottom_flange: plate(24.2, 0.72),
        top_cover: Some(plate(10.1, 0.41)),
        bottom_cover: Some(plate(10.2, 0.42)),
        web_loss_pct: Percent(1.0),
        top_loss_pct: Percent(2.0),
        bottom_loss_pct: Percent(3.0),
    };
    let girder = MainGirder {
        stated_modulus: Some(CubicInches(481.0)),
        modulus_source: Some("drawing 7".to_owned()),
        plates: Some(plates),
        unbraced_ft: Some(Feet(8.5)),
    };
    assert_eq!(car.girder, girder);
    assert_eq!(car.exterior_depth, Some(Inches(14.5)));
    let secondary = SecondaryMembers {
        stringer_modulus: Some(CubicInches(12.5)),
        stringer_spacing: Some(Feet(2.5)),
        cross_member_modulus: Some(CubicInches(81.0)),
        cross_member_spacing: Some(Feet(5.5)),
    };
    assert_eq!(car.secondary, secondary);
    assert_eq!(car.weight, Some(Kips(42.1)));
    assert_eq!(
        (car.deck, car.deck_condition),
        (Some(CarDeck::SteelPlate), Some(DeckCondition::Worn))
    );
    assert_eq!(car.apart.as_deref(), Some("cracked series"));
    assert_eq!((car.coating, car.lead), (Some(Coating::Failed), Some(LeadStatus::Free)));
    let members = Members {
        main_girder: Some(MemberCondition::Corroded(Percent(4.0))),
        exterior_girders: Some(MemberCondition::Bent),
        bolsters: Some(MemberCondition::Cracked),
        cross_members: Some(MemberCondition::Missing),
        stringers: Some(MemberCondition::Sound),
    };
    assert_eq!(car.members, members);
    assert_eq!((car.wrecked, car.price), (Some(true), Some(Cents(950_025))));
    assert_eq!(car.quote_expires, Some(date(2026, 8, 31)));
    assert_eq!(car.available, Some(Availability::From(date(2026, 9, 15))));
    assert_eq!(car.notes.as_deref(), Some("stands on track 3"));
}

#[test]
fn every_cell_of_a_crossing_finds_its_place() {
    let cells = [
        ("crossing", "T-07"),
        ("road", "Quarry Road"),
        ("span_ft", "66.5"),
        ("pier_layouts_ft", "30+36.5"),
        ("pier_usd", "18000.50"),
        ("other_usd", "42500.75"),
        ("other_for", "abutments"),
        ("other_bridge_usd", "88000.5"),
        ("other_bridge", "culvert"),
        ("other_bridge_years", "60"),
        ("pier_bearings_ft", "2.5"),
        ("clear_width_ft", "16.5"),
        ("vehicles", "NRL; HS20"),
        ("deck", "timber"),
        ("most_abreast", "3"),
        ("haul_length_limit_ft", "95.5"),
        ("haul_weight_limit_lb", "80100"),
        ("haul_width_limit_ft", "13.5"),
        ("haul_height_limit_ft", "14.25"),
        ("crane_limit_lb", "90200"),
        ("priority", "4"),
        ("needed_by", "2026-11-30"),
        ("no_haul", "03-01 to 04-30; 2027-01-04 to 2027-01-08"),
        ("no_stream_work", "none"),
        ("fund", "school ROUTES"),
        ("keep", "One Section; one yard"),
        ("latitude_deg", "44.125"),
        ("longitude_deg", "-40.25"),
        ("least_posting_tons", "12.5"),
    ];
    let crossings = Some(file(CrossingColumn::ALL, &cells));
    let rules = "[[fund]]\nname = \"school routes\"\nusd = 180000.5\n";
    let rules = Some(SourceText::new("rules.toml", rules));
    let mut inputs = good(&Sources { crossings, rules, ..sources() }).inputs;
    assert_eq!(inputs.rules.fund[0].usd, Cents(18_000_050));
    let crossing = inputs.crossings.remove(0);
    assert_eq!(crossing.fund.as_deref(), Some("school routes"));
    assert_eq!((crossing.id.as_str(), crossing.road.as_str()), ("T-07", "Quarry Road"));
    let spans: Vec<_> = crossing.layouts.iter().map(|layout| layout.spans.clone()).collect();
    assert_eq!(spans, [vec![Feet(66.5)], vec![Feet(30.0), Feet(36.5)]]);
    assert_eq!(crossing.layouts[0].piers_cost, Cents(0));
    assert_eq!(crossing.layouts[1].piers_cost, Cents(1_800_050));
    assert_eq!(crossing.pier_bearings, Some(Feet(2.5)));
    assert_eq!(crossing.clear_width, Feet(16.5));
    assert_eq!(crossing.vehicles, ["NRL", "HS20"]);
    assert_eq!((crossing.deck_system.as_str(), crossing.most_abreast), ("timber", 3));
    assert_eq!(crossing.haul_length_limit, Some(Feet(95.5)));
    assert_eq!(crossing.haul_width_limit, Some(Feet(13.5)));
    assert_eq!(crossing.haul_height_limit, Some(Feet(14.25)));
    let once = Season::Once(date(2027, 1, 4), date(2027, 1, 8));
    let seasons = Seasons(vec![Season::EveryYear((3, 1), (4, 30)), once]);
    assert_eq!(crossing.no_haul, Some(seasons));
    assert_eq!(crossing.no_stream_work, Some(Seasons::default()));
    let (haul, crane) = (crossing.haul_weight_limit, crossing.crane_limit);
    assert_eq!((haul, crane), (Some(Kips(80.1)), Some(Kips(90.2))));
    assert_eq!(crossing.keep, [Keep::OneYard, Keep::OneSection]);
    assert_eq!((crossing.priority, crossing.needed_by), (4, Some(date(2026, 11, 30))));
    let place = (crossing.position.latitude_deg, crossing.position.longitude_deg);
    assert_eq!(place, (44.125, -40.25));
    assert_eq!(crossing.least_posting, Some(Tons(12.5)));
    assert_eq!(crossing.other, Some(Cents(4_250_075)));
    assert_eq!(crossing.other_for.as_deref(), Some("abutments"));
    let other = crossing.other_bridge.as_ref().unwrap();
    assert_eq!((other.cost, other.years), (Cents(8_800_050), Some(60)));
    assert_eq!(other.what.as_deref(), Some("culvert"));
}
