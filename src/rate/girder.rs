//! The main girder of one car, ready to be rated on any span: everything that does not depend on
//! the crossing.

use serde::Serialize;

use super::local::LocalMembers;
use super::section::Section;
use super::share::{self, AgencyShare, LANES_MOST};
use super::slender::{self, Compression, Slenderness};
use super::steel::Steel;
use super::strength::{Strength, plates_weight, strength, vouched};
use super::unrateable::Unrateable;
use crate::model::car::Car;
use crate::model::rules::Rules;
use crate::quantity::{CubicInches, Feet, Inches, Kips, KipsPerFoot, Ksi, QuarticInches};

/// Lengths are stated to the hundredth of a foot; a bearing nearer to its bolster than that is at it.
const AT_THE_BOLSTER: Feet = Feet(0.01);

/// The main girder of one car with all that its rating on a span needs.
#[derive(Clone, Debug, PartialEq, Serialize)]
pub struct Girder {
    /// Section modulus, stated or from plates.
    pub strength: Strength,
    /// Yield strength.
    pub steel: Steel,
    /// Weight of the car.
    #[serde(rename = "weight_kip")]
    pub weight: Kips,
    /// Length over ends.
    #[serde(rename = "length_ft")]
    pub length: Feet,
    /// Weight over length.
    #[serde(rename = "self_weight_kip_per_ft")]
    pub self_weight: KipsPerFoot,
    /// Width.
    #[serde(rename = "width_ft")]
    pub width: Feet,
    /// Truck centers, where known; always known for a girder that tapers.
    #[serde(rename = "truck_centers_ft")]
    pub truck_centers: Option<Feet>,
    /// Trucks on the car with 1, 2, 3 and 4 trucks side by side on the bridge.
    pub trucks: [f64; LANES_MOST],
    /// The agency's share of a truck on one car.
    pub agency_share: AgencyShare,
    /// Width-to-thickness checks; none where there are no plates.
    pub slenderness: Vec<Slenderness>,
    /// What the flanges reach in compression, as shares of the yield strength.
    pub compression: Compression,
    /// Rise at mid-length over the line through the bolsters, of the bare car.
    #[serde(rename = "camber_in")]
    pub camber: Option<Inches>,
    /// Stringers and cross-members.
    pub local: LocalMembers,
}

impl Girder {
    /// The main girder of a car.
    ///
    /// # Errors
    /// Every piece of data that is missing or cannot be true.
    pub fn of(car: &Car, rules: &Rules) -> Result<Self, Unrateable> {
        let mut reasons = Vec::new();
        let mut note = |reason: String| reasons.push(reason);
        let strength =
            strength(car).and_then(|found| vouched(car, &rules.evidence).map(|()| found));
        let strength = strength.map_err(&mut note).ok();
        let steel = Steel::of(car, rules).map_err(&mut note).ok();
        let mut amount = |name: &str, value: Option<f64>| match value {
            Some(v) if v.is_finite() && v > 0.0 => Some(v),
            Some(v) => {
                note(format!("its {name} is {v}, which must be more than 0"));
                None
            }
            None => {
                note(format!("its {name} is not known"));
                None
            }
        };
        let weight = amount("weight", car.weight.map(|w| w.0)).map(Kips);
        let length = amount("length", car.length.map(|l| l.0)).map(Feet);
        let width = amount("width", car.width.map(|w| w.0)).map(Feet);
        let tapers = matches!(&strength, Some(Strength::Plates { middle, at_trucks, .. })
            if middle != at_trucks);
        if tapers {
            let _ = amount(
                "truck-center distance, needed for a girder that tapers,",
                car.truck_centers.map(|c| c.0),
            );
        }
        if let (Some(Strength::Plates { middle, at_trucks, .. }), Some(weight), Some(length)) =
            (&strength, weight, length)
        {
            let least = plates_weight(middle.area.min(at_trucks.area), length);
            if weight < least {
                note(format!(
                    "its weight of {weight} is less than that of its main girder's own plates, {least}"
                ));
            }
        }
        let (Some(strength), Some(steel), Some(weight), Some(length), Some(width), true) =
            (strength, steel, weight, length, width, reasons.is_empty())
        else {
            return Err(Unrateable { reasons });
        };
        let (slenderness, compression) =
            slender::slenderness(&strength, &steel, car.girder.unbraced_ft, &rules.rating);
        Ok(Self {
            strength,
            steel,
            weight,
            length,
            self_weight: weight / length,
            width,
            truck_centers: car.truck_centers,
            trucks: share::trucks_on_car(width, rules.widest_joint_gap()),
            agency_share: AgencyShare::of(car, rules),
            slenderness,
            compression,
            camber: car.camber,
            local: LocalMembers::of(car, width),
        })
    }

    /// Whether the web's depth at the wheel trucks differs from that at mid-span.
    #[must_use]
    pub fn tapers(&self) -> bool {
        matches!(&self.strength, Strength::Plates { middle, at_trucks, .. } if middle != at_trucks)
    }

    /// Whether the web is deeper at mid-span than at the wheel trucks.
    #[must_use]
    pub(super) fn deepest_in_middle(&self) -> bool {
        matches!(&self.strength, Strength::Plates { middle, at_trucks, .. }
            if middle.depth > at_trucks.depth)
    }

    /// Whether it is proven that of two sections of this girder the one with the deeper web has the
    /// greater section moduli.
    #[must_use]
    pub(super) fn moduli_rise_with_depth(&self) -> bool {
        let Strength::Plates { net, middle, at_trucks, .. } = &self.strength else { return false };
        let shallow = if middle.depth < at_trucks.depth { middle } else { at_trucks };
        net.moduli_rise_from(shallow)
    }

    /// The section at this distance from mid-length; none without plates. Between the two measured
    /// ordinates the web's depth is taken to vary in a straight line, and to stay beyond the wheel
    /// trucks. A fish-belly that keeps its full depth for a while is deeper than that, never
    /// shallower.
    #[must_use]
    pub fn section_at(&self, from_middle: Feet) -> Option<Section> {
        let Strength::Plates { measured, net, middle, at_trucks, .. } = &self.strength else {
            return None;
        };
        if middle == at_trucks {
            return Some(*middle);
        }
        let (deep, shallow) = (measured.web.width_in, measured.web_depth_at_trucks_in?);
        let half = self.truck_centers?.0 / 2.0;
        let part = (from_middle.0.abs() / half).min(1.0);
        Some(net.section(Inches(deep.0 + (shallow.0 - deep.0) * part)))
    }

    /// The section modulus that limits sagging moments at this distance from mid-length: that of the
    /// underside, or that of the top face times the share of the yield strength that the top flange
    /// reaches.
    #[must_use]
    pub fn modulus_at(&self, from_middle: Feet) -> CubicInches {
        let [bottom, top] = self.moduli_at(from_middle);
        bottom.min(top)
    }

    /// The two of them: of the underside, and of the top face times what its flange reaches.
    #[must_use]
    pub(super) fn moduli_at(&self, from_middle: Feet) -> [CubicInches; 2] {
        match (&self.strength, self.section_at(from_middle)) {
            (Strength::Stated { net, .. }, _) => [*net; 2],
            (Strength::Plates { .. }, Some(section)) => {
                [section.bottom, section.top * self.compression.top]
            }
            // A tapering girder always has truck centers; nothing to count on otherwise.
            (Strength::Plates { .. }, None) => [CubicInches(0.0); 2],
        }
    }

    /// The section modulus that limits hogging moments over the bearings of a span: that of the top
    /// face, or that of the underside times the share of the yield strength that the bottom flange
    /// reaches there.
    #[must_use]
    pub fn hogging_modulus(&self, span: Feet, overhang: Feet, elastic: Ksi) -> CubicInches {
        match (&self.strength, self.section_at(span / 2.0)) {
            (Strength::Stated { net, .. }, _) => *net,
            (Strength::Plates { .. }, Some(section)) => {
                let share = self.bottom_flange_share(span, overhang, elastic);
                section.top.min(section.bottom * share)
            }
            (Strength::Plates { .. }, None) => CubicInches(0.0),
        }
    }

    /// Share of the yield strength that the bottom flange reaches over the bearings of a span.
    #[must_use]
    pub fn bottom_flange_share(&self, span: Feet, overhang: Feet, elastic: Ksi) -> f64 {
        let unbraced = self.unbraced_below(span, overhang);
        self.compression.over_bearing(unbraced, self.steel.strength, elastic)
    }

    /// The length over which the bottom flange counts as unbraced: from the end of the car to
    /// mid-span. None where the car bears at its bolsters, which hold it.
    #[must_use]
    pub fn unbraced_below(&self, span: Feet, overhang: Feet) -> Option<Feet> {
        let inside = self.truck_centers.map(|centers| (centers - span) / 2.0);
        let held = inside.is_some_and(|inside| inside.0.abs() <= AT_THE_BOLSTER.0);
        (!held).then(|| overhang + span / 2.0)
    }

    /// How far the car reaches beyond a bearing, its ends trimmed to the longest that the rules
    /// leave.
    #[must_use]
    pub fn overhang(&self, span: Feet, longest: Feet) -> Feet {
        ((self.length - span) / 2.0).min(longest).max(Feet(0.0))
    }

    /// The smallest second moment of area over a span; none without plates.
    #[must_use]
    pub fn least_inertia(&self, span: Feet) -> Option<QuarticInches> {
        let middle = self.section_at(Feet(0.0))?.inertia;
        let end = self.section_at(span / 2.0)?.inertia;
        Some(middle.min(end))
    }
}
