//! The dead load on one car, line by line, per foot of span.

use serde::Serialize;

use super::girder::Girder;
use super::unrateable::Unrateable;
use crate::model::crossing::Crossing;
use crate::model::rules::Rules;
use crate::quantity::{Feet, KipsPerFoot, Psf};

/// What a crossing lays on each of its cars, whatever the car.
#[derive(Clone, Debug, PartialEq, Serialize)]
pub struct DeckLoad {
    /// Name of the deck system.
    pub deck: String,
    /// Deck system without wearing surface.
    #[serde(rename = "dead_psf")]
    pub dead: Psf,
    /// Wearing surface.
    #[serde(rename = "wearing_psf")]
    pub wearing: Psf,
    /// Overlay that may be laid later.
    #[serde(rename = "overlay_psf")]
    pub overlay: Psf,
    /// The widest gap of all joint types: a car carries half a gap on either side.
    #[serde(rename = "widest_gap_ft")]
    pub widest_gap: Feet,
    /// The heaviest of all joint types: a car carries half a joint on either side.
    #[serde(rename = "joint_kip_per_ft")]
    pub joint: KipsPerFoot,
    /// One rail.
    #[serde(rename = "rail_kip_per_ft")]
    pub rail: KipsPerFoot,
    /// A car at least this wide may stand alone and then carries both rails.
    #[serde(rename = "alone_from_width_ft")]
    pub alone_from_width: Feet,
}

impl DeckLoad {
    /// The loads of a crossing.
    ///
    /// # Errors
    /// The crossing's deck system is not in the rules, or a load is negative.
    pub fn of(crossing: &Crossing, rules: &Rules) -> Result<Self, Unrateable> {
        let name = &crossing.deck_system;
        let system = rules
            .deck_system(name)
            .ok_or_else(|| format!("the rules have no deck system named `{name}`"))?;
        let joint = rules
            .joint
            .iter()
            .map(|joint| joint.weight_kip_per_ft)
            .fold(KipsPerFoot(0.0), KipsPerFoot::max);
        let rail = rules.rail.weight_kip_per_ft;
        let overlay = rules.rating.future_overlay_psf;
        for load in [system.dead_psf.0, system.wearing_psf.0, rail.0, overlay.0] {
            if !(load.is_finite() && load >= 0.0) {
                return Err(format!("a dead load of {load} in the rules is none").into());
            }
        }
        let alone_from_width = if crossing.most_abreast <= 1 {
            Feet(0.0)
        } else {
            rules.width_required(crossing.clear_width)
        };
        Ok(Self {
            deck: name.clone(),
            dead: system.dead_psf,
            wearing: system.wearing_psf,
            overlay,
            widest_gap: rules.widest_joint_gap(),
            joint,
            rail,
            alone_from_width,
        })
    }

    /// Whether a car of this width may make the whole deck, without neighbors and joints.
    #[must_use]
    pub fn may_stand_alone(&self, width: Feet) -> bool {
        width.0 >= self.alone_from_width.0 - crate::check::TOLERANCE
    }
}

/// The dead load on one car. Which place in the deck the car will take is not known yet, so it
/// carries the most that any place brings: a whole joint with its gap (between two neighbors) and a
/// whole rail (at the edge), both rails if it may stand alone.
#[derive(Clone, Copy, Debug, PartialEq, Serialize)]
pub struct DeadLoad {
    /// The car as offered, its weight over its length; what is stripped off stays on the safe side.
    #[serde(rename = "car_kip_per_ft")]
    pub car: KipsPerFoot,
    /// Width of deck that the car carries: its own and one gap.
    #[serde(rename = "deck_width_ft")]
    pub deck_width: Feet,
    /// Deck system without wearing surface.
    #[serde(rename = "deck_kip_per_ft")]
    pub deck: KipsPerFoot,
    /// One joint.
    #[serde(rename = "joint_kip_per_ft")]
    pub joint: KipsPerFoot,
    /// Number of rails.
    pub rails: u8,
    /// Rails.
    #[serde(rename = "rail_kip_per_ft")]
    pub rail: KipsPerFoot,
    /// Wearing surface.
    #[serde(rename = "wearing_kip_per_ft")]
    pub wearing: KipsPerFoot,
    /// Overlay that may be laid later.
    #[serde(rename = "overlay_kip_per_ft")]
    pub overlay: KipsPerFoot,
}

impl DeadLoad {
    /// The dead load of a car under a crossing's deck.
    #[must_use]
    pub fn of(girder: &Girder, load: &DeckLoad) -> Self {
        let deck_width = girder.width + load.widest_gap;
        let rails = if load.may_stand_alone(girder.width) { 2 } else { 1 };
        Self {
            car: girder.self_weight,
            deck_width,
            deck: load.dead * deck_width,
            joint: load.joint,
            rails,
            rail: load.rail * f64::from(rails),
            wearing: load.wearing * deck_width,
            overlay: load.overlay * deck_width,
        }
    }

    /// Everything but the wearing surface (DC).
    #[must_use]
    pub fn components(&self) -> KipsPerFoot {
        self.car + self.deck + self.joint + self.rail
    }

    /// The wearing surface with the overlay (DW).
    #[must_use]
    pub fn surfacing(&self) -> KipsPerFoot {
        self.wearing + self.overlay
    }

    /// What is laid on the bare car.
    #[must_use]
    pub fn added(&self) -> KipsPerFoot {
        self.components() + self.surfacing() - self.car
    }
}
