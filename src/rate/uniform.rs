//! Statics of a uniform load on a simple span with ends beyond its bearings.

use crate::quantity::{Feet, KipFeet, Kips, KipsPerFoot};

/// Moment of a uniform load on a simple span, at a distance from a bearing: `w x (L - x) / 2`.
#[must_use]
pub fn moment_at(load: KipsPerFoot, span: Feet, section: Feet) -> KipFeet {
    load * section * ((span - section) / 2.0)
}

/// Moment over the bearing of a uniform load on the end beyond it: `w a2 / 2`.
#[must_use]
pub fn hogging(load: KipsPerFoot, overhang: Feet) -> KipFeet {
    load * overhang * (overhang / 2.0)
}

/// Shear of a uniform load beside the bearing: `w L / 2`.
#[must_use]
pub fn end_shear(load: KipsPerFoot, span: Feet) -> Kips {
    load * span / 2.0
}

#[cfg(test)]
mod tests {
    use super::*;

    #[test]
    fn moment_and_shear_of_a_uniform_load() {
        let load = KipsPerFoot(1.2);
        assert_eq!(moment_at(load, Feet(60.0), Feet(30.0)), KipFeet(1.2 * 3600.0 / 8.0));
        assert!((moment_at(load, Feet(60.0), Feet(6.0)).0 - 1.2 * 6.0 * 54.0 / 2.0).abs() < 1e-9);
        assert_eq!(end_shear(load, Feet(60.0)), Kips(36.0));
    }
}
