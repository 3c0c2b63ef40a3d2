//! Sound files, and what they become.

use jiff::civil::date;
use spanyard::model::car::{Availability, CarKind, MemberCondition};
use spanyard::model::inputs::{CarIx, LotIx, YardIx};
use spanyard::model::rules::{DEFAULT_RULES, Rules};
use spanyard::quantity::{Cents, Feet, Inches, Percent};
use spanyard::read;

use crate::read::county::{TODAY, good, sources};

#[test]
fn cells_become_typed_values_and_blanks_stay_unknown() {
    let reading = good(&sources());
    let inputs = reading.inputs;
    let ids: Vec<_> = inputs.cars.iter().map(|car| car.id.as_str()).collect();
    assert_eq!(ids, ["D-10", "D-9", "S-2"]);

    let blank = inputs.car(CarIx(0));
    assert_eq!((blank.quantity, blank.lot), (1, None));
    assert!(blank.kind.is_none() && blank.length.is_none() && blank.wrecked.is_none());

    let car = inputs.car(CarIx(1));
    assert_eq!(car.kind, Some(CarKind::Flat));
    assert_eq!((car.length, car.camber), (Some(Feet(89.33)), Some(Inches(-0.25))));
    assert_eq!(car.price, Some(Cents(950_050)));
    assert_eq!(car.members.main_girder, Some(MemberCondition::Corroded(Percent(8.0))));
    assert_eq!(car.wrecked, Some(false));
    assert_eq!(car.available, Some(Availability::From(date(2026, 7, 15))));
    assert_eq!(car.notes.as_deref(), Some("two lines, one remark"));
    assert_eq!(car.place.to_string(), "cars.csv:3");
    // The row after a cell of two lines stands one line further down.
    assert_eq!(blank.place.to_string(), "cars.csv:5");

    let of_lot = inputs.car(CarIx(2));
    assert_eq!((of_lot.lot, of_lot.quantity), (Some(LotIx(0)), 2));
    assert_eq!(inputs.lot(LotIx(0)).cars, [CarIx(2)]);
    assert_eq!(inputs.lot(LotIx(1)).price, None);
    assert_eq!(of_lot.yard, YardIx(2));
    assert_eq!(inputs.yard(YardIx(0)).trip, Cents(90_050));
    assert_eq!(inputs.order_date, TODAY);
}

#[test]
fn crossings_have_their_layouts_and_names_as_defined() {
    let inputs = good(&sources()).inputs;
    let [one, two] = &inputs.crossings[..] else { panic!("two crossings") };
    assert_eq!((one.id.as_str(), two.id.as_str()), ("T-01", "T-02"));
    let layouts: Vec<_> = one.layouts.iter().map(|layout| layout.describe()).collect();
    assert_eq!(layouts, ["90 ft", "45 + 45 ft, 1 pier", "30 + 30 + 30 ft, 2 piers"]);
    assert_eq!(one.layouts[2].piers_cost, Cents::dollars(36_000));
    assert_eq!(
        (one.vehicles.as_slice(), one.deck_system.as_str()),
        (&["EV2".to_owned()][..], "concrete")
    );
    assert_eq!(one.haul_length_limit, None);
    assert_eq!(two.vehicles, ["HS20", "Type 3"]);
    assert_eq!(two.needed_by, Some(date(2026, 11, 30)));
}

#[test]
fn rows_are_counted_file_by_file_and_an_empty_lot_is_warned_of() {
    let reading = good(&sources());
    let rows: Vec<_> = reading.files.iter().map(|file| (&*file.name, file.rows)).collect();
    let expected = [("cars.csv", 3), ("yards.csv", 3), ("lots.csv", 2), ("crossings.csv", 2)];
    assert_eq!(rows, expected);
    let warnings: Vec<_> = reading.warnings.iter().map(ToString::to_string).collect();
    assert_eq!(
        warnings,
        ["lots.csv:3:1: D09 lot: `L-2` is a lot of Sallowby Steel and Rail without a car in the \
          inventories; add its cars, or remove the row"]
    );
}

#[test]
fn the_built_in_rules_are_read_as_they_are_printed() {
    let expected: Rules = toml::from_str(&DEFAULT_RULES).unwrap();
    assert_eq!(read::rules(None).unwrap(), expected);
    let printed = read::SourceText::new("rules.toml", DEFAULT_RULES.as_str());
    assert_eq!(read::rules(Some(&printed)).unwrap(), expected);
}
