//! The camber that is left of a car once its deck lies on it.

use super::dead_load::{DeadLoad, DeckLoad};
use super::girder::Girder;
use crate::model::car::Car;
use crate::model::crossing::Crossing;
use crate::model::rules::Rules;
use crate::quantity::{Feet, Inches};

/// The camber over the span: the profile is taken as a parabola through the bolsters, so that a
/// shorter span between bearings inside them has its share squared.
pub(super) fn camber_over(girder: &Girder, span: Feet) -> Option<Inches> {
    let part = span / girder.truck_centers?;
    Some(girder.camber? * (part * part))
}

/// The camber left over a span under all that is laid on the bare car; below zero it hangs. `None`:
/// camber, plates or another measure that it takes is not known.
#[must_use]
pub fn camber_left(car: &Car, crossing: &Crossing, span: Feet, rules: &Rules) -> Option<Inches> {
    let girder = Girder::of(car, rules).ok()?;
    let dead = DeadLoad::of(&girder, &DeckLoad::of(crossing, rules).ok()?);
    let inertia = girder.least_inertia(span)?;
    // 1,728 cubic inches to the cubic foot.
    let settles = 5.0 * dead.added().0 * span.0.powi(4) * 1728.0
        / (384.0 * rules.rating.elastic_modulus_ksi.0 * inertia.0);
    Some(camber_over(&girder, span)? - Inches(settles))
}
