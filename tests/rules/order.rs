//! Every rule is asked every time, in the order of the registry.

use spanyard::check::registry::Stage;
use spanyard::check::{Code, Outcome, registry::REGISTRY};
use spanyard::model::car::{Car, MainGirder, SecondaryMembers};
use spanyard::screen::screen;

use crate::testkit::fixture::{CAR, SITE, all_members, inputs};

/// S03 is asked of three groups, S04 of two, every other code once.
fn expected() -> Vec<Code> {
    REGISTRY
        .iter()
        .filter(|kind| kind.stage == Stage::Screen)
        .flat_map(|kind| {
            let times = match kind.id {
                "S03" => 3,
                "S04" => 2,
                // Asked only of cars of which somebody decided something: tests/week.
                "S21" | "S25" | "S26" | "S30" | "S31" => 0,
                _ => 1,
            };
            std::iter::repeat_n(kind.code, times)
        })
        .collect()
}

/// A car of which only its name and yard are known.
fn blank(car: &Car) -> Car {
    Car {
        kind: None,
        section: None,
        length: None,
        truck_centers: None,
        width: None,
        camber: None,
        year_built: None,
        steel_yield: None,
        yield_source: None,
        girder: MainGirder::default(),
        exterior_depth: None,
        secondary: SecondaryMembers::default(),
        weight: None,
        deck: None,
        deck_condition: None,
        coating: None,
        lead: None,
        members: all_members(None),
        wrecked: None,
        owned: false,
        price: None,
        quote_expires: None,
        available: None,
        notes: None,
        ..car.clone()
    }
}

#[test]
fn the_sound_car_passes_every_question() {
    let checks = screen(&inputs(), CAR, SITE);
    assert_eq!(checks.iter().map(|check| check.code).collect::<Vec<_>>(), expected());
    for check in &checks {
        assert!(!check.outcome.bars(), "{}", check.sentence());
    }
}

#[test]
fn a_blank_row_is_unknown_everywhere_and_never_good() {
    let mut inputs = inputs();
    inputs.cars[0] = blank(&inputs.cars[0]);
    inputs.crossings[0].deck_system = "car deck".to_owned();
    let checks = screen(&inputs, CAR, SITE);
    assert_eq!(checks.iter().map(|check| check.code).collect::<Vec<_>>(), expected());
    for check in &checks {
        // Coating and lead are priced as the worst instead of barring.
        let outcome = match check.code {
            Code::Coating | Code::Lead => Outcome::Caution,
            // A camber that is not measured is barred once, by S19.
            Code::Sag => Outcome::NotChecked,
            // Planned with, and to confirm before anything is paid.
            Code::Underframe | Code::ShapeAndHistory | Code::HaulHeight => Outcome::Caution,
            _ => Outcome::Unknown,
        };
        assert_eq!(check.outcome, outcome, "{}", check.sentence());
    }
}

#[test]
fn a_car_with_many_faults_is_told_them_all() {
    let mut inputs = inputs();
    let car = &mut inputs.cars[0];
    car.wrecked = Some(true);
    car.price = None;
    car.truck_centers = car.truck_centers.map(|centers| centers / 2.0);
    car.weight = car.weight.map(|weight| weight * 3.0);
    let barred: Vec<&str> = screen(&inputs, CAR, SITE)
        .iter()
        .filter(|check| check.outcome.bars())
        .map(|check| check.code.id())
        .collect();
    assert_eq!(barred, ["S02", "S05", "S12", "S13", "S16"]);
}
