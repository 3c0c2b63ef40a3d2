//! What each vehicle does to one simple span, worked out once and shared by all cars.

use serde::Serialize;

use super::envelope::{self, MomentPeak, ShearPeak};
use super::uniform;
use super::unrateable::Unrateable;
use super::vehicles::{LaneLoad, LaneUse, Vehicle};
use crate::model::rules::{RatingRules, Rules};
use crate::quantity::{Feet, KipFeet, Kips, KipsPerFoot, Ratio};

/// Sections per half span at which a girder that tapers is rated, besides the section of the
/// greatest moment. Near the least of them the sections between are rated too.
pub const STATIONS: usize = 20;

/// The station at this index: the sections divide the half span evenly, the last is at mid-span.
#[must_use]
pub fn station(span: Feet, index: usize) -> Feet {
    span / 2.0 * ((index + 1) as f64 / STATIONS as f64)
}

/// Which load makes the greatest effect.
#[derive(Clone, Copy, Debug, PartialEq, Eq, Serialize)]
#[serde(rename_all = "snake_case")]
pub enum Governs {
    /// The axle train alone.
    Truck,
    /// The lane load alone.
    Lane,
    /// Both together.
    TruckAndLane,
}

impl Governs {
    /// In words.
    #[must_use]
    pub fn words(self) -> &'static str {
        match self {
            Self::Truck => "axles alone",
            Self::Lane => "lane load alone",
            Self::TruckAndLane => "axles with lane load",
        }
    }
}

/// The greatest live-load moment of one lane.
#[derive(Clone, Copy, Debug, PartialEq, Serialize)]
pub struct LiveMoment {
    /// What makes it.
    pub governs: Governs,
    /// Index of the axle train.
    pub train: usize,
    /// The train's part, without impact, and where it lies.
    pub truck: MomentPeak,
    /// The lane load's part at the same section, without impact; of the lane load alone where that
    /// governs, at mid-span.
    #[serde(rename = "lane_kip_ft")]
    pub lane: KipFeet,
    /// Distance of the section from the bearing.
    #[serde(rename = "section_ft")]
    pub section: Feet,
    /// All that counts, with impact.
    #[serde(rename = "total_kip_ft")]
    pub total: KipFeet,
}

/// The greatest live-load shear of one lane, beside the bearing.
#[derive(Clone, Copy, Debug, PartialEq, Serialize)]
pub struct LiveShear {
    /// What makes it.
    pub governs: Governs,
    /// Index of the axle train.
    pub train: usize,
    /// The train's part, without impact.
    pub truck: ShearPeak,
    /// The lane load's part, without impact.
    #[serde(rename = "lane_kip")]
    pub lane: Kips,
    /// All that counts, with impact.
    #[serde(rename = "total_kip")]
    pub total: Kips,
}

/// One vehicle's effects in one form of rating, whose impact they hold.
#[derive(Clone, Debug, PartialEq, Serialize)]
pub struct Live {
    /// Impact, as a share of the load that takes it.
    pub impact: Ratio,
    /// Greatest moment anywhere.
    pub moment: LiveMoment,
    /// Greatest shear, which is also the greatest reaction.
    pub shear: LiveShear,
    /// Greatest moments with impact at the [`station`]s.
    #[serde(rename = "stations_kip_ft")]
    pub stations: [KipFeet; STATIONS],
    /// Greatest reaction at a bearing, with impact.
    #[serde(rename = "reaction_kip")]
    pub reaction: Kips,
    /// Impact on the end of the car beyond the bearing, where the loaded length is short.
    pub impact_beyond: Ratio,
    /// Greatest moment over a bearing with impact, with the longest end that the rules leave.
    #[serde(rename = "longest_hogging_kip_ft")]
    pub hogging: KipFeet,
}

/// One vehicle on one span.
#[derive(Clone, Debug, PartialEq, Serialize)]
pub struct VehicleEffects {
    /// The vehicle.
    pub vehicle: Vehicle,
    /// For the allowable-stress form.
    pub allowable: Live,
    /// For the load-and-resistance form.
    pub factored: Live,
    /// Deflection at mid-span times `E I`, with the larger of the two impacts.
    #[serde(rename = "deflection_kip_ft3")]
    pub deflection: f64,
}

/// All vehicles of a crossing on one span.
#[derive(Clone, Debug, PartialEq, Serialize)]
pub struct Effects {
    /// The span.
    #[serde(rename = "span_ft")]
    pub span: Feet,
    /// The longest end of a car beyond a bearing, which traffic may stand on.
    #[serde(rename = "overhang_ft")]
    pub overhang: Feet,
    /// One entry per vehicle, in the order of the crossing.
    pub vehicles: Vec<VehicleEffects>,
}

/// The cap on the impact of the allowable-stress form, reached at short loaded lengths.
pub const IMPACT_CAP: f64 = 0.30;

/// Impact of the allowable-stress form, `50 / (L + 125)` and at most 0.30 (AASHTO Standard
/// Specifications 3.8.2, from memory).
#[must_use]
pub fn impact_allowable(span: Feet) -> Ratio {
    Ratio((50.0 / (span.0 + 125.0)).min(IMPACT_CAP))
}

impl Effects {
    /// The effects of these vehicles on a simple span with ends of up to `overhang` beyond it.
    ///
    /// # Errors
    /// No vehicle, a vehicle that is not known or not possible, or a span that is not positive.
    pub fn for_span(
        span: Feet,
        overhang: Feet,
        vehicles: &[String],
        rules: &Rules,
    ) -> Result<Self, Unrateable> {
        if vehicles.is_empty() {
            return Err("the crossing names no vehicle".to_owned().into());
        }
        let mut reasons = Vec::new();
        let mut effects = Vec::new();
        for name in vehicles {
            match Vehicle::find(name, rules) {
                Ok(vehicle) => match VehicleEffects::of(vehicle, span, overhang, &rules.rating) {
                    Some(found) => effects.push(found),
                    None => reasons.push(format!(
                        "a span of {} ft with ends of up to {} ft beyond it is none",
                        span.0, overhang.0
                    )),
                },
                Err(error) => reasons.push(error.to_string()),
            }
        }
        reasons.dedup();
        if reasons.is_empty() {
            Ok(Self { span, overhang, vehicles: effects })
        } else {
            Err(Unrateable { reasons })
        }
    }
}

impl VehicleEffects {
    /// The effects of one vehicle on a simple span with ends of up to `overhang` beyond it; none for a
    /// span that is not positive.
    #[must_use]
    pub fn of(vehicle: Vehicle, span: Feet, overhang: Feet, rules: &RatingRules) -> Option<Self> {
        let impact = Ratio(rules.resistance_factors.impact);
        let factored = Live::of(&vehicle, span, overhang, impact, impact)?;
        let (impact, beyond) = (impact_allowable(span), Ratio(IMPACT_CAP));
        let allowable = Live::of(&vehicle, span, overhang, impact, beyond)?;
        let impact = allowable.impact.max(factored.impact);
        let deflection = deflection(&vehicle, span, impact)?;
        Some(Self { vehicle, allowable, factored, deflection })
    }
}

impl Live {
    /// The effects with this impact on the span and this impact beyond the bearings.
    #[must_use]
    pub fn of(
        vehicle: &Vehicle,
        span: Feet,
        overhang: Feet,
        impact: Ratio,
        impact_beyond: Ratio,
    ) -> Option<Self> {
        let with_impact = 1.0 + impact.0;
        let moment = greatest_moment(vehicle, span, with_impact)?;
        let shear = greatest_shear(vehicle, span, overhang, with_impact)?;
        let reaction = greatest_reaction(vehicle, span, overhang, with_impact)?;
        let hogging = hogging(vehicle, overhang, 1.0 + impact_beyond.0);
        let mut stations = [KipFeet(0.0); STATIONS];
        for (index, most) in stations.iter_mut().enumerate() {
            *most = moment_at(vehicle, span, station(span, index), with_impact)?;
        }
        Some(Self { impact, moment, shear, stations, reaction, impact_beyond, hogging })
    }
}

/// Moment of a lane load at a section: the uniform load over the whole span and the concentrated
/// load at the section.
fn lane_moment(lane: &LaneLoad, span: Feet, section: Feet) -> KipFeet {
    let uniform = uniform::moment_at(lane.uniform, span, section);
    uniform + lane.for_moment * section * ((span - section) / span)
}

/// Shear of a lane load inside the bearing: over the whole span, `w L / 2`, and over the end beyond
/// it, `w a2 / (2 L)`; the concentrated load at the bearing.
pub(super) fn lane_shear(lane: &LaneLoad, span: Feet, overhang: Feet) -> Kips {
    let beyond = lane.uniform * overhang * (overhang / span / 2.0);
    uniform::end_shear(lane.uniform, span) + beyond + lane.for_shear
}

fn greatest_moment(vehicle: &Vehicle, span: Feet, with_impact: f64) -> Option<LiveMoment> {
    let beside = vehicle.lane.filter(|lane| lane.lane_use == LaneUse::WithTruck);
    let uniform = beside.map_or(KipsPerFoot(0.0), |lane| lane.uniform);
    let mut best: Option<LiveMoment> = None;
    for (index, train) in vehicle.trains.iter().enumerate() {
        let truck = envelope::max_moment_with(train, with_impact, uniform, span)?;
        let lane = beside.map_or(KipFeet(0.0), |lane| lane_moment(&lane, span, truck.section));
        let total = truck.moment * with_impact + lane;
        if best.is_none_or(|most| total > most.total) {
            let governs = if beside.is_some() { Governs::TruckAndLane } else { Governs::Truck };
            best = Some(LiveMoment {
                governs,
                train: index,
                truck,
                lane,
                section: truck.section,
                total,
            });
        }
    }
    let best = best?;
    if let Some(instead) = vehicle.lane.filter(|lane| lane.lane_use == LaneUse::InsteadOfTruck) {
        let middle = span / 2.0;
        let lane = lane_moment(&instead, span, middle);
        let total = lane * with_impact;
        if total > best.total {
            return Some(LiveMoment {
                governs: Governs::Lane,
                lane,
                section: middle,
                total,
                ..best
            });
        }
    }
    Some(best)
}

/// The greatest live-load moment with impact over a bearing, with `overhang` of deck beyond it.
#[must_use]
pub fn hogging(vehicle: &Vehicle, overhang: Feet, with_impact: f64) -> KipFeet {
    let of = |train| envelope::hogging(train, overhang).moment;
    let truck = vehicle.trains.iter().map(of).fold(KipFeet(0.0), KipFeet::max) * with_impact;
    let Some(lane) = vehicle.lane else { return truck };
    let moment = lane.uniform * overhang * (overhang / 2.0) + lane.for_moment * overhang;
    match lane.lane_use {
        LaneUse::WithTruck => truck + moment,
        LaneUse::InsteadOfTruck => truck.max(moment * with_impact),
    }
}

/// The greatest reaction at a bearing with impact, with `overhang` of deck beyond it.
fn greatest_reaction(
    vehicle: &Vehicle,
    span: Feet,
    overhang: Feet,
    with_impact: f64,
) -> Option<Kips> {
    let mut truck = Kips(0.0);
    for train in &vehicle.trains {
        truck = truck.max(envelope::reaction(train, span, overhang)?.shear);
    }
    let truck = truck * with_impact;
    let Some(lane) = vehicle.lane else { return Some(truck) };
    let length = span + overhang;
    let reaction = lane.uniform * length * (length / span / 2.0) + lane.for_shear * (length / span);
    Some(match lane.lane_use {
        LaneUse::WithTruck => truck + reaction,
        LaneUse::InsteadOfTruck => truck.max(reaction * with_impact),
    })
}

fn greatest_shear(
    vehicle: &Vehicle,
    span: Feet,
    overhang: Feet,
    with_impact: f64,
) -> Option<LiveShear> {
    let beside = vehicle.lane.filter(|lane| lane.lane_use == LaneUse::WithTruck);
    let lane = beside.map_or(Kips(0.0), |lane| lane_shear(&lane, span, overhang));
    let mut best: Option<LiveShear> = None;
    for (index, train) in vehicle.trains.iter().enumerate() {
        let truck = envelope::end_shear(train, span, overhang)?;
        let total = truck.shear * with_impact + lane;
        if best.is_none_or(|most| total > most.total) {
            let governs = if beside.is_some() { Governs::TruckAndLane } else { Governs::Truck };
            best = Some(LiveShear { governs, train: index, truck, lane, total });
        }
    }
    let best = best?;
    if let Some(instead) = vehicle.lane.filter(|lane| lane.lane_use == LaneUse::InsteadOfTruck) {
        let lane = lane_shear(&instead, span, overhang);
        let total = lane * with_impact;
        if total > best.total {
            return Some(LiveShear { governs: Governs::Lane, lane, total, ..best });
        }
    }
    Some(best)
}

/// The greatest live-load moment with impact at one section.
#[must_use]
pub fn moment_at(
    vehicle: &Vehicle,
    span: Feet,
    section: Feet,
    with_impact: f64,
) -> Option<KipFeet> {
    let mut truck = KipFeet(0.0);
    for train in &vehicle.trains {
        truck = truck.max(envelope::moment_at(train, span, section)?);
    }
    let truck = truck * with_impact;
    Some(match vehicle.lane {
        None => truck,
        Some(lane) => {
            let moment = lane_moment(&lane, span, section);
            match lane.lane_use {
                LaneUse::WithTruck => truck + moment,
                LaneUse::InsteadOfTruck => truck.max(moment * with_impact),
            }
        }
    })
}

/// Deflection at mid-span of a lane load, times `E I`, in kip-ft3.
pub(super) fn lane_deflection(lane: &LaneLoad, span: Feet) -> f64 {
    5.0 * lane.uniform.0 * span.0.powi(4) / 384.0 + lane.for_moment.0 * span.0.powi(3) / 48.0
}

/// Deflection at mid-span times `E I`, in kip-ft3. For a lane load that acts with the truck the
/// larger of the truck alone and a quarter of the truck with the lane load (AASHTO LRFD 3.6.1.3.2,
/// from memory); for one that acts instead, the larger of the two.
fn deflection(vehicle: &Vehicle, span: Feet, impact: Ratio) -> Option<f64> {
    let with_impact = 1.0 + impact.0;
    let mut truck: f64 = 0.0;
    for train in &vehicle.trains {
        truck = truck.max(envelope::max_midspan_deflection(train, span)?.stiffness_times);
    }
    let truck = truck * with_impact;
    let Some(lane) = vehicle.lane else { return Some(truck) };
    let lane_deflection = lane_deflection(&lane, span);
    Some(match lane.lane_use {
        LaneUse::InsteadOfTruck => truck.max(lane_deflection * with_impact),
        LaneUse::WithTruck => truck.max(truck / 4.0 + lane_deflection),
    })
}

#[cfg(test)]
mod tests;
