//! What spans, layouts and yards cost whatever the cars.

use spanyard::model::crossing::Layout;
use spanyard::model::inputs::{CarIx, CrossingIx, Inputs, Site, YardIx};
use spanyard::model::plan::{CostItem, CostLine};
use spanyard::price::{along_deck, layout_fixed, yard_once};
use spanyard::quantity::{Cents, Feet, UsdPerFoot};

use crate::testkit::fixture::{CAR, SITE, inputs, sound_car};

fn with_piers() -> Inputs {
    let mut inputs = inputs();
    inputs.crossings[0].layouts.push(Layout {
        spans: vec![Feet(45.0), Feet(50.25), Feet(45.0)],
        piers_cost: Cents::dollars(36_000),
    });
    inputs
}

fn words(lines: &[CostLine]) -> Vec<(CostItem, &str, i64, &str)> {
    lines
        .iter()
        .map(|line| (line.item, line.subject.as_str(), line.amount.0, line.basis.as_str()))
        .collect()
}

/// What runs along a deck of these cars.
fn along(inputs: &Inputs, cars: usize, joint: usize, site: Site) -> Vec<CostLine> {
    let cars: Vec<_> = (0..cars).map(CarIx).collect();
    let joint = (cars.len() > 1).then(|| &inputs.rules.joint[joint]);
    along_deck(inputs, &cars, joint, site).unwrap()
}

#[test]
fn joints_and_rails_by_the_foot_of_what_lies_there() {
    let mut inputs = with_piers();
    inputs.cars.push(sound_car("DR-2"));
    // 64 ft, bolsters 1 ft beyond each bearing, ends cut 1.5 ft behind them: 69 ft.
    // 69 x 38 = 2,622; 2 x 69 x 46 = 6,348.
    let rail = (CostItem::Rail, "T-07, span 1", 634_800, "2 sides x 69 ft x $46.00/ft");
    assert_eq!(words(&along(&inputs, 1, 0, SITE)), [rail]);
    let plate = (CostItem::Joint, "bolted plate", 262_200, "69 ft x $38.00/ft");
    assert_eq!(words(&along(&inputs, 2, 0, SITE)), [plate, rail]);
    // The second car is longer between its trucks: 67.5 + 3 ft, and so is all that runs along both.
    // 70.5 x 96 = 6,768; 2 x 70.5 x 46 = 6,486.
    inputs.cars[1].truck_centers = Some(Feet(67.5));
    assert_eq!(
        words(&along(&inputs, 2, 1, SITE)),
        [
            (CostItem::Joint, "concrete beam", 676_800, "70.5 ft x $96.00/ft"),
            (CostItem::Rail, "T-07, span 1", 648_600, "2 sides x 70.5 ft x $46.00/ft"),
        ]
    );
    // Between two piers the ends have 2 ft less 1 in together: 50.25 + 1.9167 -> 52.17 ft.
    // 52.17 x 96 = 5,008.32; 2 x 52.17 x 46 = 4,799.64.
    let middle = Site { layout: 1, span: 1, ..SITE };
    assert_eq!(
        words(&along(&inputs, 2, 1, middle)),
        [
            (CostItem::Joint, "concrete beam", 500_832, "52.17 ft x $96.00/ft"),
            (CostItem::Rail, "T-07, span 2", 479_964, "2 sides x 52.17 ft x $46.00/ft"),
        ]
    );
    inputs.cars[1].length = None;
    assert_eq!(along_deck(&inputs, &[CAR, CarIx(1)], None, SITE), None);
}

#[test]
fn the_crane_comes_once_and_piers_are_as_stated() {
    let inputs = with_piers();
    let crane = (CostItem::Crane, "T-07", 380_000, "1 crossing x $3,800.00");
    assert_eq!(words(&layout_fixed(&inputs, CrossingIx(0), 0)), [crane]);
    assert_eq!(
        words(&layout_fixed(&inputs, CrossingIx(0), 1)),
        [crane, (CostItem::Piers, "T-07", 3_600_000, "2 piers x $18,000.00")]
    );
}

#[test]
fn other_works_are_as_stated_with_what_they_are_for() {
    let mut inputs = with_piers();
    let crane = (CostItem::Crane, "T-07", 380_000, "1 crossing x $3,800.00");
    inputs.crossings[0].other = Some(Cents(4_250_050));
    let unnamed = (CostItem::Other, "T-07", 4_250_050, "other works, as stated");
    assert_eq!(words(&layout_fixed(&inputs, CrossingIx(0), 0)), [crane, unnamed]);
    inputs.crossings[0].other_for = Some("abutments, approach fill".to_owned());
    let named = (CostItem::Other, "T-07", 4_250_050, "abutments, approach fill, as stated");
    assert_eq!(words(&layout_fixed(&inputs, CrossingIx(0), 0)), [crane, named]);
    // Nothing is a cost that is known.
    inputs.crossings[0].other = Some(Cents::ZERO);
    assert_eq!(words(&layout_fixed(&inputs, CrossingIx(0), 0)), [crane]);
}

#[test]
fn what_costs_nothing_has_no_line() {
    let mut inputs = inputs();
    inputs.rules.crane.mobilization_usd = Cents::ZERO;
    inputs.rules.rail.usd_per_ft = UsdPerFoot(0.0);
    assert!(layout_fixed(&inputs, CrossingIx(0), 0).is_empty());
    assert!(along(&inputs, 1, 0, SITE).is_empty());
}

#[test]
fn one_trip_to_a_yard() {
    assert_eq!(
        words(&yard_once(&inputs(), YardIx(0))),
        [(CostItem::Trip, "Drumfell Reclaim, Upper Drum", 90_000, "1 trip x $900.00")]
    );
}
