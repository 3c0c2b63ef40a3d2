//! The rating factors of both forms, each with every number that goes into it.
//!
//! ```text
//! allowable stress        RF = (C - D) / (L (1 + I))
//! load and resistance     RF = (C - gDC DC - gDW DW) / (gLL (LL + IM))
//! ```
//! Both are one formula here: the allowable-stress form has load factors of 1. `L` is what one car
//! carries: the lane's effect times the car's [`Share`].

use std::ops::{Div, Mul, Sub};

use serde::Serialize;

use super::share::Share;
use super::vehicles::VehicleClass;
use crate::model::rules::{Level, RatingRules};
use crate::quantity::{Feet, Ratio};

/// The level at which a rating holds.
#[derive(Clone, Copy, Debug, PartialEq, Eq, Serialize)]
#[serde(rename_all = "snake_case")]
pub enum RatingLevel {
    /// For unlimited use.
    Inventory,
    /// Halfway between the two, in the allowable-stress form alone.
    Between,
    /// The most that may be allowed, now and then.
    Operating,
    /// For legal, emergency and own vehicles in the load-and-resistance form.
    Legal,
}

impl RatingLevel {
    /// In words.
    #[must_use]
    pub fn word(self) -> &'static str {
        match self {
            Self::Inventory => "inventory",
            Self::Between => "between inventory and operating",
            Self::Operating => "operating",
            Self::Legal => "legal load",
        }
    }
}

/// The level of the allowable stresses that a factor counts on.
pub(super) fn stress_level(level: RatingLevel) -> Level {
    match level {
        RatingLevel::Operating => Level::Operating,
        RatingLevel::Between => Level::Between,
        RatingLevel::Inventory | RatingLevel::Legal => Level::Inventory,
    }
}

/// The level that bars in the allowable-stress form.
pub(super) fn allowable_level(class: VehicleClass, rules: &RatingRules) -> Level {
    match class {
        VehicleClass::Design => rules.allowable_stress_factors.design_level,
        _ => rules.allowable_stress_factors.legal_level,
    }
}

/// The level that bars in the load-and-resistance form.
pub(super) fn factored_level(class: VehicleClass, rules: &RatingRules) -> RatingLevel {
    match class {
        VehicleClass::Design => rating_level(rules.resistance_factors.design_level),
        _ => RatingLevel::Legal,
    }
}

pub(super) fn rating_level(level: Level) -> RatingLevel {
    match level {
        Level::Inventory => RatingLevel::Inventory,
        Level::Between => RatingLevel::Between,
        Level::Operating => RatingLevel::Operating,
    }
}

/// The live-load factor of a level in the load-and-resistance form.
pub(super) fn live_factor(level: RatingLevel, rules: &RatingRules) -> f64 {
    let factors = &rules.resistance_factors;
    match level {
        // No level between is asked of this form; the inventory's factor is the greater.
        RatingLevel::Inventory | RatingLevel::Between => factors.live_design_inventory,
        RatingLevel::Operating => factors.live_design_operating,
        RatingLevel::Legal => factors.live_legal,
    }
}

/// Where along the girder a rating factor holds.
#[derive(Clone, Copy, Debug, PartialEq, Eq, Serialize)]
#[serde(rename_all = "snake_case")]
pub enum Zone {
    /// Between the bearings.
    Span,
    /// Over a bearing, under the load on the end of the car beyond it.
    OverBearing,
}

/// One rating factor with its numbers. `Q` is a moment or a shear.
#[derive(Clone, Copy, Debug, PartialEq, Serialize)]
pub struct Factor<Q> {
    /// At which level.
    pub level: RatingLevel,
    /// Between the bearings or over one.
    pub zone: Zone,
    /// Distance of the section from the bearing.
    #[serde(rename = "section_ft")]
    pub section: Feet,
    /// C: what the section can carry.
    pub capacity: Q,
    /// DC, or D without the wearing surface.
    pub dead: Q,
    /// DW, or the wearing surface of D.
    pub wearing: Q,
    /// Load factor on DC.
    pub dead_factor: Ratio,
    /// Load factor on DW.
    pub wearing_factor: Ratio,
    /// The lane's live load with impact.
    pub live: Q,
    /// Load factor on the live load.
    pub live_factor: Ratio,
    /// The car's share of the lane's live load.
    pub share: Share,
    /// RF.
    pub factor: Ratio,
}

/// The numbers that go into a rating factor.
#[derive(Clone, Copy, Debug)]
pub(super) struct Terms<Q> {
    pub level: RatingLevel,
    pub zone: Zone,
    pub section: Feet,
    pub capacity: Q,
    pub dead: Q,
    pub wearing: Q,
    pub dead_factor: f64,
    pub wearing_factor: f64,
    pub live: Q,
    pub live_factor: f64,
    pub share: Share,
}

impl<Q> Terms<Q>
where
    Q: Copy + Sub<Output = Q> + Mul<f64, Output = Q> + Div<Q, Output = f64>,
{
    /// The rating factor.
    pub(super) fn rate(self) -> Factor<Q> {
        let left =
            self.capacity - self.dead * self.dead_factor - self.wearing * self.wearing_factor;
        let asked = self.live * (self.live_factor * self.share.total.0);
        Factor {
            level: self.level,
            zone: self.zone,
            section: self.section,
            capacity: self.capacity,
            dead: self.dead,
            wearing: self.wearing,
            dead_factor: Ratio(self.dead_factor),
            wearing_factor: Ratio(self.wearing_factor),
            live: self.live,
            live_factor: Ratio(self.live_factor),
            share: self.share,
            factor: Ratio(left / asked),
        }
    }
}

#[cfg(test)]
mod tests {
    use super::*;
    use crate::quantity::{KipFeet, Kips};

    /// One lane's load, whole on the member.
    const WHOLE: Share = Share {
        lanes_loaded: 1,
        trucks: 1.0,
        presence: Ratio(1.0),
        agency: Ratio(1.0),
        total: Ratio(1.0),
    };

    fn rate(capacity: f64, dead: (f64, f64), live: f64, factors: [f64; 3]) -> f64 {
        let terms = Terms {
            level: RatingLevel::Inventory,
            zone: Zone::Span,
            section: Feet(0.0),
            capacity: Kips(capacity),
            dead: Kips(dead.0),
            wearing: Kips(dead.1),
            dead_factor: factors[0],
            wearing_factor: factors[1],
            live: Kips(live),
            live_factor: factors[2],
            share: WHOLE,
        };
        terms.rate().factor.0
    }

    /// A department's rating of a truss joint, `RF = (C - 1.3 D) / (2.17 L)`, without impact: Ohio DOT and
    /// Burgess & Niple, load rating of bridge CUY-10-1613, 2012, HS20, joint 11000; its numbers read in
    /// the tests of the program `CivilPy`, the workbook was not readable. Printed: 5.149 for the diagonal's
    /// rivets and 16.018 for the vertical's plates.
    #[test]
    fn load_factors_of_a_published_rating() {
        // 60 rivets of 1 in, 28.0 x 0.74 = 20.72 ksi in shear.
        let rivets = 60.0 * std::f64::consts::FRAC_PI_4 * 20.72;
        // Two plates 47.971 x 0.625 in, K Lc = 1.2 x 6.372 in, Fy 45 ksi, phi 0.85; radius of gyration
        // t / sqrt(12); Fcr = Fy (1 - Fy (K Lc / r)^2 / (4 pi^2 E)).
        let slender = 1.2 * 6.372 / (0.625 / 12.0_f64.sqrt());
        let euler = std::f64::consts::PI.powi(2) * 29_000.0 / (slender * slender);
        let plates = 0.85 * 2.0 * 47.971 * 0.625 * 45.0 * (1.0 - 45.0 / (4.0 * euler));
        let factors = [1.3, 1.3, 2.17];
        for (capacity, dead, live, printed, off) in
            [(rivets, 313.2, 50.95, 5.149, 0.0006), (plates, 326.9, 49.1, 16.018, 0.002)]
        {
            let found = rate(capacity, (dead, 0.0), live, factors);
            assert!((found - printed).abs() < off, "{found}, printed {printed}");
        }
    }

    /// Another program's hand-checked case (the tests of `CivilPy`, 2026): 60,000 less 1.25 x 18,000 and
    /// 1.50 x 3,000, over 1.75 x 15,000: 33,000 / 26,250, told as 1.26.
    #[test]
    fn design_load_factors_of_another_program() {
        let found = rate(60_000.0, (18_000.0, 3_000.0), 15_000.0, [1.25, 1.5, 1.75]);
        assert!((found - 33.0 / 26.25).abs() < 1e-12 && format!("{found:.2}") == "1.26");
    }

    /// AASHTO Manual for Bridge Evaluation, example A1, interior stringer of a 65-ft span, from memory:
    /// C 2,873 kip-ft, DC 439 + 145.3 kip-ft, HL-93 with impact 1,521.7 kip-ft a lane, 0.626 lanes on
    /// the stringer; RF 1.29 at inventory and 1.67 at operating.
    #[test]
    fn design_load_factors_of_a_worked_example() {
        for (level, live_factor, expected) in
            [(RatingLevel::Inventory, 1.75, 1.29), (RatingLevel::Operating, 1.35, 1.67)]
        {
            let share = Share { trucks: 0.626, total: Ratio(0.626), ..WHOLE };
            let terms = Terms {
                level,
                zone: Zone::Span,
                section: Feet(32.5),
                capacity: KipFeet(2873.0),
                dead: KipFeet(439.0 + 145.3),
                wearing: KipFeet(0.0),
                dead_factor: 1.25,
                wearing_factor: 1.50,
                live: KipFeet(1521.7),
                live_factor,
                share,
            };
            let found = terms.rate().factor.0;
            assert!((found - expected).abs() < 0.005, "{level:?}: {found}");
        }
    }
}
