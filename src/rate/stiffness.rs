//! What a main girder brings to a row of cars that deflect together.

use super::strength::{Strength, strength};
use crate::model::car::Car;
use crate::quantity::{CubicInches, QuarticInches};

/// How stiff a main girder is, as far as it is known.
#[derive(Clone, Copy, Debug, PartialEq)]
pub struct Stiffness {
    /// Second moment of area at mid-span; none where no plates are measured.
    pub inertia: Option<QuarticInches>,
    /// Section modulus at mid-span.
    pub modulus: CubicInches,
}

impl Stiffness {
    /// Of the plates measured, or of the modulus stated, losses off; none where the girder's strength
    /// is not known.
    #[must_use]
    pub fn of(car: &Car) -> Option<Self> {
        Some(match strength(car).ok()? {
            Strength::Plates { middle, .. } => {
                Self { inertia: Some(middle.inertia), modulus: middle.modulus() }
            }
            Strength::Stated { net, .. } => Self { inertia: None, modulus: net },
        })
    }
}
