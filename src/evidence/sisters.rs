//! What the measured cars of a section say of those that were not measured.

use super::C;
use crate::check::Grade;
use crate::model::car::Car;
use crate::model::evidence::Evidence;
use crate::model::inputs::Inputs;
use std::collections::BTreeMap;

/// A figure that sisters have in common: the column, its value as a number, and whether the greater
/// of two is the worse.
type Figure = (C, fn(&Car) -> Option<f64>, bool);

const FIGURES: [Figure; 4] = [
    (C::StringerModulus, |car| car.secondary.stringer_modulus.map(|x| x.0), false),
    (C::StringerSpacing, |car| car.secondary.stringer_spacing.map(|x| x.0), true),
    (C::CrossMemberModulus, |car| car.secondary.cross_member_modulus.map(|x| x.0), false),
    (C::CrossMemberSpacing, |car| car.secondary.cross_member_spacing.map(|x| x.0), true),
];

/// Notes which cars two dealers list, and gives every car whose stringers or cross-members nobody measured the worst figures of its sisters,
/// the cars of its section, as far as some of those are measured. To measure one can then only make
/// the others safer. What was given before and is not measured since is given anew.
pub fn settle(inputs: &mut Inputs) {
    inputs.decided.twins = super::twins::twins(inputs);
    for car in &mut inputs.cars {
        for (column, ..) in FIGURES {
            if is_given(car, column) {
                let nothing = Car::unknown("", "", car.yard, car.place.clone());
                column.copy(car, &nothing);
            }
        }
    }
    for (column, figure, more_is_worse) in FIGURES {
        let mut worst: BTreeMap<String, usize> = BTreeMap::new();
        for (at, car) in inputs.cars.iter().enumerate() {
            let (Some(section), Some(here)) = (&car.section, figure(car)) else { continue };
            let there = worst.get(section).and_then(|&other| figure(&inputs.cars[other]));
            if there.is_none_or(|there| if more_is_worse { here > there } else { here < there }) {
                worst.insert(section.clone(), at);
            }
        }
        for at in 0..inputs.cars.len() {
            let car = &inputs.cars[at];
            let sister = car.section.as_ref().and_then(|section| worst.get(section));
            let Some(&sister) = sister.filter(|_| figure(car).is_none()) else { continue };
            let from = inputs.cars[sister].clone();
            let by = Some(format!("as the worst of its section, {}", from.name()));
            let place = from.evidence(column).place;
            let car = &mut inputs.cars[at];
            column.copy(car, &from);
            car.evidence.set(column, Evidence { grade: Grade::Assumed, by, place });
        }
    }
}

/// Whether a figure was given by a sister. A mapping's constant has nobody who says so.
fn is_given(car: &Car, column: C) -> bool {
    let evidence = car.evidence.of(column);
    evidence.is_some_and(|found| found.grade == Grade::Assumed && found.by.is_some())
}
