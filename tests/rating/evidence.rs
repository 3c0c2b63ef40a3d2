//! What strength must rest on: each of these cars was once taken as good.

use spanyard::check::{Check, Code, Grade, Outcome};
use spanyard::model::car::{Car, GirderPlates};
use spanyard::model::evidence::Evidence;
use spanyard::model::index::{CarIx, CrossingIx, Site};
use spanyard::model::inventory::Inventory;
use spanyard::quantity::{CubicInches, Feet, Kips, Ksi};
use spanyard::rate::rate_checks;
use spanyard::read::{SourceText, Sources};

use crate::rating::support::{box_girder, car, crossing, plate, rules};

fn checks(car: &Car) -> Vec<Check> {
    rate_checks(car, &crossing(42.0, &["Type 3", "H15"]), Feet(42.0), &rules())
}

fn of(car: &Car, code: Code) -> Check {
    checks(car).into_iter().find(|check| check.code == code).unwrap()
}

/// The same girder measured is barred for the unbraced length of its single web, or for shear.
#[test]
fn a_modulus_that_nobody_answers_for_carries_no_bridge() {
    let stated = |source: Option<&str>| {
        let mut car = car();
        car.girder.plates = None;
        car.girder.stated_modulus = Some(CubicInches(642.4));
        car.girder.modulus_source = source.map(str::to_owned);
        of(&car, Code::Rateable)
    };
    for source in [None, Some("seller says"), Some("the dealer"), Some("told on the phone")] {
        let check = stated(source);
        assert_eq!(check.outcome, Outcome::Unknown, "{source:?}");
        assert!(check.note.contains("name the drawing or the engineer"), "{}", check.note);
    }
    for source in ["series drawing", "A. Example, P.E.", "dealer's drawing"] {
        assert_eq!(stated(Some(source)).outcome, Outcome::Pass, "{source}");
    }
}

/// An agency that takes a bare number all the same is told so at each car, and never that it is good.
#[test]
fn where_the_rules_take_a_bare_modulus_it_is_a_caution() {
    let mut rules = rules();
    rules.evidence.modulus_source_required = false;
    for source in [None, Some("seller says")] {
        let mut car = car();
        car.girder.plates = None;
        car.girder.stated_modulus = Some(CubicInches(642.4));
        car.girder.modulus_source = source.map(str::to_owned);
        let checks = rate_checks(&car, &crossing(42.0, &["Type 3", "H15"]), Feet(42.0), &rules);
        let check = checks.iter().find(|check| check.code == Code::Rateable).unwrap();
        assert_eq!(check.outcome, Outcome::Caution, "{source:?}");
    }
}

/// 36 ksi is the table's for 1971 (AASHTO MBE table 6A.6.2.1-1, from memory).
#[test]
fn more_yield_than_the_years_needs_a_document_that_can_be_true() {
    for (source, year, expected, outcome) in [
        (Some("seller says"), 1971, 36.0, Outcome::Caution),
        (Some("A. Example"), 1971, 36.0, Outcome::Caution),
        (None, 1971, 36.0, Outcome::Caution),
        (Some("mill certificate 7731"), 1971, 80.0, Outcome::Pass),
        (Some("two coupons, test report 12"), 1971, 80.0, Outcome::Pass),
        // No such steel was rolled then, whatever the paper says.
        (Some("mill certificate 7731"), 1928, 30.0, Outcome::Caution),
    ] {
        let mut car = car();
        car.steel_yield = Some(Ksi(80.0));
        car.yield_source = source.map(str::to_owned);
        car.year_built = Some(year);
        let check = of(&car, Code::SteelYield);
        assert_eq!(
            (check.measured.number(), check.outcome),
            (Some(expected), outcome),
            "{source:?}"
        );
    }
}

/// Two webs of 26 x 3/8 in and two flanges of 20 x 1 1/8 in: 64.5 in2, 219.5 lb/ft, 13.2 kip on 60
/// ft.
fn heavy_plates() -> GirderPlates {
    GirderPlates {
        web: plate(26.0, 0.375),
        top_flange: plate(20.0, 1.125),
        bottom_flange: plate(20.0, 1.125),
        ..box_girder()
    }
}

#[test]
fn a_car_weighs_no_less_than_its_plates() {
    for (kips, outcome) in
        [(5.0, Outcome::Unknown), (13.1, Outcome::Unknown), (13.2, Outcome::Pass)]
    {
        let mut car = car();
        car.girder.plates = Some(heavy_plates());
        car.weight = Some(Kips(kips));
        let check = of(&car, Code::Rateable);
        assert_eq!(check.outcome, outcome, "{kips}");
        let said = check.note.contains("less than that of its main girder's own plates, 13.2 kip");
        assert_eq!(said, outcome == Outcome::Unknown, "{}", check.note);
    }
}

/// By hand: I = 2 x 0.375 x 26^3 / 12 + 2 x 22.5 x 13.5625^2 + 2 x 20 x 1.125^3 / 12 = 9,380.5 in4,
/// over 14.125 in 664.1 in3. 0.8 and 1.25 times that are 531.3 and 830.1.
#[test]
fn a_modulus_stated_beside_plates_agrees_with_them() {
    for (stated, outcome) in [
        (531.0, Outcome::Unknown),
        (532.0, Outcome::Pass),
        (830.0, Outcome::Pass),
        (831.0, Outcome::Unknown),
        (2400.0, Outcome::Unknown),
    ] {
        let mut car = car();
        car.girder.plates = Some(heavy_plates());
        car.girder.stated_modulus = Some(CubicInches(stated));
        car.girder.modulus_source = Some("drawing".to_owned());
        assert_eq!(of(&car, Code::Rateable).outcome, outcome, "{stated}");
        // Plates that somebody measured outrank what was only told.
        for plate in Inventory::PLATES {
            let (by, place) = (Some("bridge foreman".to_owned()), car.place.clone());
            car.evidence.set(plate, Evidence { grade: Grade::Inspected, by, place });
        }
        assert_eq!(of(&car, Code::Rateable).outcome, Outcome::Pass, "{stated}");
    }
}

/// What the agency's mapping states is its own assumption: never the dealer's word, and never an
/// inspection.
#[test]
fn a_constant_of_the_mapping_is_an_assumption_until_somebody_looks() {
    let list = "Car No.;Type;Length;Truck ctrs;Width\nP-1;flat;60;46;9\n";
    let mapping = "[constants]\ndealer = \"Drumfell Reclaim\"\nyard = \"Upper Drum\"\n\
                   main_girder = \"sound\"\n[columns]\nLength = { column = \"length_ft\", unit = \"ft\" }\n\
                   \"Truck ctrs\" = { column = \"truck_centers_ft\", unit = \"ft\" }\n\
                   Width = { column = \"width_ft\", unit = \"ft\" }\nType = \"kind\"\n";
    let yards = "dealer,yard,latitude_deg,longitude_deg,loading_usd,trip_usd\n\
                 Drumfell Reclaim,Upper Drum,44,-40,600,900\n";
    let crossings = "crossing,road,span_ft,clear_width_ft,vehicles,deck,most_abreast,\
                     haul_length_limit_ft,haul_width_limit_ft,haul_weight_limit_lb,crane_limit_lb,priority,latitude_deg,\
                     longitude_deg\nX,R,42,16,H15,timber,2,130,14,200000,300000,1,44,-40\n";
    let measured = "[[measured]]\ndealer = \"Drumfell Reclaim\"\ncar = \"P-1\"\nmain_girder = \"sound\"\n\
                    by = \"bridge foreman\"\non = 2026-03-02\n";
    let checked = |decisions: Option<&str>| {
        let sources = Sources {
            inventories: vec![SourceText::new("pell.csv", list)],
            mappings: vec![SourceText::new("pell.mapping.toml", mapping)],
            yards: Some(SourceText::new("yards.csv", yards)),
            crossings: Some(SourceText::new("crossings.csv", crossings)),
            decisions: decisions.map(|text| SourceText::new("decisions.toml", text)),
            ..Sources::default()
        };
        let reading = spanyard::after::decide::read(&sources, jiff::civil::date(2026, 3, 1));
        let inputs = reading.unwrap_or_else(|problems| panic!("{problems}")).inputs;
        let site = Site { crossing: CrossingIx(0), layout: 0, span: 0 };
        let checks = spanyard::survey::checks(&inputs, CarIx(0), site);
        let found = checks.into_iter().find(|check| check.code == Code::PrimaryMembers);
        found.unwrap()
    };
    let assumed = checked(None);
    assert_eq!(assumed.outcome, Outcome::Caution);
    assert_eq!(assumed.note, "main girder assumed by the agency: pell.mapping.toml:4 main_girder");
    let inspected = checked(Some(measured));
    assert_eq!(inspected.outcome, Outcome::Pass);
    let rests_on = inspected.rests_on.unwrap();
    assert_eq!(rests_on.grade, Grade::Inspected);
    assert_eq!(rests_on.place, "decisions.toml:1 main_girder (bridge foreman, 2026-03-02)");
}
