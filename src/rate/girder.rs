//! The main girder of one car, ready to be rated on any span: everything that does not depend on
//! the crossing.

use serde::Serialize;

use super::local::LocalMembers;
use super::section::{NetPlates, Section};
use super::share::{self, AgencyShare, LANES_MOST};
use super::slender::{self, Slenderness};
use super::steel::Steel;
use crate::model::car::{Car, GirderPlates, MemberCondition};
use crate::model::rules::Rules;
use crate::quantity::{
    CubicInches, Feet, Inches, Kips, KipsPerFoot, Percent, QuarticInches, Ratio,
};

/// Why there is no rating: every reason, in words that can follow "cannot be rated:".
#[derive(Clone, Debug, PartialEq, Serialize, thiserror::Error)]
#[error("cannot be rated: {}", reasons.join("; "))]
pub struct Unrateable {
    /// The reasons.
    pub reasons: Vec<String>,
}

impl From<String> for Unrateable {
    fn from(reason: String) -> Self {
        Self { reasons: vec![reason] }
    }
}

/// Where the section modulus comes from.
// One value per car, so the unused room of the smaller variant does not matter.
#[allow(clippy::large_enum_variant)]
#[derive(Clone, Debug, PartialEq, Serialize)]
#[serde(rename_all = "snake_case", tag = "basis")]
pub enum Strength {
    /// Stated by somebody, less the corrosion loss of the whole girder.
    Stated {
        /// As stated.
        #[serde(rename = "stated_in3")]
        stated: CubicInches,
        /// Who states it.
        source: Option<String>,
        /// Loss of the main girder as inspected.
        loss_pct: Percent,
        /// What is left.
        #[serde(rename = "net_in3")]
        net: CubicInches,
    },
    /// From measured plates.
    Plates {
        /// As measured.
        measured: GirderPlates,
        /// The plates' losses as used, which may be more than those recorded with the plates.
        losses: Losses,
        /// After the losses.
        net: NetPlates,
        /// The section at mid-span.
        middle: Section,
        /// The section at the wheel trucks; as at mid-span where the girder does not taper.
        at_trucks: Section,
    },
}

/// Losses of thickness that were taken off the plates.
#[derive(Clone, Copy, Debug, PartialEq, Serialize)]
pub struct Losses {
    /// Webs.
    pub web_pct: Percent,
    /// Top flange and its cover.
    pub top_pct: Percent,
    /// Bottom flange and its cover.
    pub bottom_pct: Percent,
    /// Whether the inspection's loss of the whole girder was taken because no plate reached it.
    pub raised_to_inspection: bool,
}

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
    /// Share of the yield strength that the top flange reaches before it buckles sideways.
    pub compression: Ratio,
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
        let strength = strength(car).map_err(&mut note).ok();
        let steel = Steel::of(car, &rules.steel_by_year).map_err(&mut note).ok();
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
            compression: Ratio(compression),
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
        self.modulus(from_middle, self.compression.0)
    }

    /// The section modulus that limits hogging moments: the smaller one. Over the bearing the bottom
    /// flange is held by the bolster, and the end beyond it is short.
    #[must_use]
    pub fn hogging_modulus_at(&self, from_middle: Feet) -> CubicInches {
        self.modulus(from_middle, 1.0)
    }

    /// How far the car reaches beyond a bearing, its ends trimmed to the longest that the rules
    /// leave.
    #[must_use]
    pub fn overhang(&self, span: Feet, longest: Feet) -> Feet {
        ((self.length - span) / 2.0).min(longest).max(Feet(0.0))
    }

    fn modulus(&self, from_middle: Feet, compression: f64) -> CubicInches {
        match (&self.strength, self.section_at(from_middle)) {
            (Strength::Stated { net, .. }, _) => *net,
            (Strength::Plates { .. }, Some(section)) => {
                section.bottom.min(section.top * compression)
            }
            // A tapering girder always has truck centers; nothing to count on otherwise.
            (Strength::Plates { .. }, None) => CubicInches(0.0),
        }
    }

    /// The smallest second moment of area over a span; none without plates.
    #[must_use]
    pub fn least_inertia(&self, span: Feet) -> Option<QuarticInches> {
        let middle = self.section_at(Feet(0.0))?.inertia;
        let end = self.section_at(span / 2.0)?.inertia;
        Some(middle.min(end))
    }
}

/// The section modulus, or why there is none, in words.
pub(super) fn strength(car: &Car) -> Result<Strength, String> {
    if car.girder.plates.is_none() && car.girder.stated_modulus.is_none() {
        return Err("no section modulus and no plates".to_owned());
    }
    let loss = match car.members.main_girder {
        Some(MemberCondition::Sound) => Percent(0.0),
        Some(MemberCondition::Corroded(loss)) => loss,
        Some(damaged) => {
            return Err(format!(
                "the main girder is {}, and no formula here stands for that",
                damaged.words()
            ));
        }
        None => {
            return Err("the main girder was not inspected, so its losses are unknown".to_owned());
        }
    };
    if !(loss.0.is_finite() && (0.0..100.0).contains(&loss.0)) {
        return Err(format!("a corrosion loss of {} % leaves no girder", loss.0));
    }
    match car.girder.plates {
        Some(plates) => plates_strength(plates, loss, car),
        None => stated_strength(car, loss),
    }
}

fn stated_strength(car: &Car, loss: Percent) -> Result<Strength, String> {
    let stated = car.girder.stated_modulus.ok_or("no section modulus and no plates")?;
    if !(stated.0.is_finite() && stated.0 > 0.0) {
        return Err(format!("a section modulus of {} in3 is none", stated.0));
    }
    let net = stated * (1.0 - loss.fraction());
    Ok(Strength::Stated { stated, source: car.girder.modulus_source.clone(), loss_pct: loss, net })
}

fn plates_strength(plates: GirderPlates, loss: Percent, car: &Car) -> Result<Strength, String> {
    let recorded = [plates.web_loss_pct, plates.top_loss_pct, plates.bottom_loss_pct];
    // The inspection gives the greatest loss of the girder. If no plate's own loss reaches it, we
    // do not know which plate it was, and take it for all.
    let reached = recorded.iter().any(|own| *own >= loss);
    let [web_pct, top_pct, bottom_pct] =
        recorded.map(|own| if reached { own } else { own.max(loss) });
    let losses = Losses { web_pct, top_pct, bottom_pct, raised_to_inspection: !reached };
    let thinned = GirderPlates {
        web_loss_pct: web_pct,
        top_loss_pct: top_pct,
        bottom_loss_pct: bottom_pct,
        ..plates
    };
    let net = NetPlates::of(&thinned).map_err(|error| error.to_string())?;
    let car_width = car.width.map(Inches::from);
    for (name, plate) in
        [("top flange", plates.top_flange), ("bottom flange", plates.bottom_flange)]
    {
        if car_width.is_some_and(|width| plate.width_in > width) {
            return Err(format!("the {name} is wider than the car"));
        }
    }
    let middle = net.section(plates.web.width_in);
    let at_trucks = plates.web_depth_at_trucks_in.map_or(middle, |depth| net.section(depth));
    Ok(Strength::Plates { measured: plates, losses, net, middle, at_trucks })
}
