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
use crate::quantity::{Feet, Ratio};

/// The level at which a rating holds.
#[derive(Clone, Copy, Debug, PartialEq, Eq, Serialize)]
#[serde(rename_all = "snake_case")]
pub enum RatingLevel {
    /// For unlimited use.
    Inventory,
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
            Self::Operating => "operating",
            Self::Legal => "legal load",
        }
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
    use crate::quantity::KipFeet;

    /// AASHTO Manual for Bridge Evaluation, example A1, interior stringer of a 65-ft span, from memory:
    /// C 2,873 kip-ft, DC 439 + 145.3 kip-ft, HL-93 with impact 1,521.7 kip-ft a lane, 0.626 lanes on
    /// the stringer; RF 1.29 at inventory and 1.67 at operating.
    #[test]
    fn design_load_factors_of_a_worked_example() {
        for (level, live_factor, expected) in
            [(RatingLevel::Inventory, 1.75, 1.29), (RatingLevel::Operating, 1.35, 1.67)]
        {
            let share = Share {
                lanes_loaded: 1,
                trucks: 0.626,
                presence: Ratio(1.0),
                agency: Ratio(1.0),
                total: Ratio(0.626),
            };
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
