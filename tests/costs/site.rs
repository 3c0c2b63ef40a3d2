//! What spans, layouts and yards cost whatever the cars.

use spanyard::model::crossing::Layout;
use spanyard::model::inputs::{CrossingIx, Inputs, Site, YardIx};
use spanyard::model::plan::{CostItem, CostLine};
use spanyard::price::{joint_at, joint_cost, layout_fixed, span_fixed, yard_trip};
use spanyard::quantity::{Cents, Feet, UsdPerFoot};

use crate::testkit::fixture::{SITE, inputs};

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

#[test]
fn joints_by_the_foot_of_span() {
    let inputs = with_piers();
    let [plate, beam] = &inputs.rules.joint[..] else { panic!("two joint types") };
    // 64 x 38 = 2,432; 50.25 x 96 = 4,824.
    let line = joint_at(&inputs, plate, SITE);
    assert_eq!(words(&[line]), [(CostItem::Joint, "bolted plate", 243_200, "64 ft x $38.00/ft")]);
    let middle = Site { layout: 1, span: 1, ..SITE };
    let line = joint_at(&inputs, beam, middle);
    assert_eq!(line.amount, joint_cost(beam, Feet(50.25)));
    assert_eq!(
        words(&[line]),
        [(CostItem::Joint, "concrete beam", 482_400, "50.25 ft x $96.00/ft")]
    );
}

#[test]
fn rails_on_both_sides_of_each_span() {
    let inputs = with_piers();
    // 2 x 64 x 46 = 5,888; 2 x 50.25 x 46 = 4,623.
    assert_eq!(
        words(&span_fixed(&inputs, SITE)),
        [(CostItem::Rail, "T-07, span 1", 588_800, "2 sides x 64 ft x $46.00/ft")]
    );
    assert_eq!(
        words(&span_fixed(&inputs, Site { layout: 1, span: 1, ..SITE })),
        [(CostItem::Rail, "T-07, span 2", 462_300, "2 sides x 50.25 ft x $46.00/ft")]
    );
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
    assert!(span_fixed(&inputs, SITE).is_empty());
}

#[test]
fn one_trip_to_a_yard() {
    assert_eq!(
        words(&[yard_trip(&inputs(), YardIx(0))]),
        [(CostItem::Trip, "Drumfell Reclaim, Upper Drum", 90_000, "1 trip x $900.00")]
    );
}
