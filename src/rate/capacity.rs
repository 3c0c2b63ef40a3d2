//! What the main girder can carry in bending and in shear, in both forms.

use crate::model::rules::{Level, RatingRules, ResistanceFactors};
use crate::quantity::{CubicInches, KipFeet, Kips, Ksi, SquareInches};

/// Yield in shear over yield in tension in the load-and-resistance form (AASHTO LRFD 6.10.9.2, from
/// memory).
pub const SHEAR_YIELD: f64 = 0.58;

/// Plate buckling coefficient of a web without stiffeners (AASHTO LRFD 6.10.9.2, from memory).
pub const WEB_BUCKLING: f64 = 5.0;

/// Allowable bending stress over the yield strength.
#[must_use]
pub fn bending_stress_share(level: Level, rules: &RatingRules) -> f64 {
    let factors = &rules.allowable_stress_factors;
    at_level(level, factors.bending_inventory, factors.bending_operating)
}

/// Allowable shear stress over the yield strength.
#[must_use]
pub fn shear_stress_share(level: Level, rules: &RatingRules) -> f64 {
    let factors = &rules.allowable_stress_factors;
    at_level(level, factors.shear_inventory, factors.shear_operating)
}

/// A stress of the allowable-stress form at a level; between the two it is their mean (our own).
fn at_level(level: Level, inventory: f64, operating: f64) -> f64 {
    match level {
        Level::Inventory => inventory,
        Level::Between => f64::midpoint(inventory, operating),
        Level::Operating => operating,
    }
}

/// Condition and system factor together, with their least product.
#[must_use]
pub fn condition_and_system(factors: &ResistanceFactors) -> f64 {
    (factors.condition * factors.system).max(factors.condition_times_system_min)
}

/// The factor on the resistance: phi times condition and system.
#[must_use]
pub fn resistance(factors: &ResistanceFactors) -> f64 {
    condition_and_system(factors) * factors.resistance
}

/// Bending: stress share times yield strength times section modulus.
#[must_use]
pub fn bending(share: f64, steel: Ksi, modulus: CubicInches) -> KipFeet {
    steel * share * modulus
}

/// Shear: stress share times yield strength times web area times the buckling ratio.
#[must_use]
pub fn shear(share: f64, steel: Ksi, webs: SquareInches, buckling: f64) -> Kips {
    steel * (share * buckling) * webs
}

/// The ratio C of the shear at which a web without stiffeners buckles to its yield in shear, for a
/// web's clear depth over its thickness (AASHTO LRFD 6.10.9.3.2, from memory; the Standard
/// Specifications 10.34.4 have the same limits in psi). Not above 1.
#[must_use]
pub fn web_buckling(depth_over_thickness: f64, steel: Ksi, elastic: Ksi) -> f64 {
    let root = (elastic / steel * WEB_BUCKLING).sqrt();
    if depth_over_thickness <= 1.12 * root {
        1.0
    } else if depth_over_thickness <= 1.40 * root {
        1.12 / depth_over_thickness * root
    } else {
        1.57 / (depth_over_thickness * depth_over_thickness) * root * root
    }
}

#[cfg(test)]
mod tests {
    use super::*;
    use crate::model::rules::{DEFAULT_RULES, Rules};

    /// At 36 ksi: sqrt(29000 x 5 / 36) = 63.465; limits 71.08 and 88.85. The Standard Specifications
    /// have 6000 sqrt(5) / sqrt(36000) = 70.7 and 7500 sqrt(5) / sqrt(36000) = 88.4 (from memory).
    #[test]
    fn webs_buckle_beyond_their_limit() {
        let c = |ratio| web_buckling(ratio, Ksi(36.0), Ksi(29_000.0));
        assert_eq!(c(60.0), 1.0);
        assert_eq!(c(71.0), 1.0);
        assert!((c(80.0) - 1.12 * 63.465 / 80.0).abs() < 1e-4);
        assert!((c(100.0) - 1.57 * 4027.78 / 10_000.0).abs() < 1e-4);
        // The branches join without a jump of more than the rounding of their factors.
        assert!((c(88.85) - c(88.86)).abs() < 2e-3);
    }

    /// Poor condition and a welded two-girder system, 0.85 x 0.85, count as 0.85: the hand-checked case
    /// of another program (the tests of `CivilPy`, 2026), 60,000 kip-in times it 51,000.
    #[test]
    fn condition_and_system_have_a_least_product() {
        let rules: Rules = toml::from_str(&DEFAULT_RULES).unwrap();
        let mut factors = rules.rating.resistance_factors;
        (factors.condition, factors.system) = (0.85, 0.85);
        assert_eq!(60_000.0 * resistance(&factors), 51_000.0);
        // Above the floor the product itself counts.
        (factors.condition, factors.system) = (1.0, 0.9);
        assert_eq!(resistance(&factors), 0.9);
    }

    #[test]
    fn capacities_by_hand() {
        // 0.55 x 36 x 640 / 12.
        assert!((bending(0.55, Ksi(36.0), CubicInches(640.0)).0 - 1056.0).abs() < 1e-9);
        // 0.33 x 36 x 28.5.
        assert!((shear(0.33, Ksi(36.0), SquareInches(28.5), 1.0).0 - 338.58).abs() < 1e-9);
    }
}
