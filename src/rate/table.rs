//! All cars against all spans: girders and loads worked out once, each pair answered from them.

use std::collections::BTreeMap;

use super::checks::rate_checks_with;
use super::girder::Girder;
use super::governing::{Governing, Of};
use super::loads::SpanLoads;
use super::local::LocalMember;
use super::unrateable::Unrateable;
use super::vehicles::Vehicle;
use crate::check::{Barred, Check, Code};
use crate::model::inputs::{CarIx, CrossingIx, Inputs, Site};
use crate::quantity::KipFeet;

/// The girders of all cars and the loads of all spans.
///
/// Asked for a pair it gives the same checks as [`rate_checks`](super::rate_checks).
pub struct RatingTable<'a> {
    inputs: &'a Inputs,
    girders: Vec<Result<Girder, Unrateable>>,
    spans: BTreeMap<Site, Result<Span<'a>, Unrateable>>,
    /// Per car the moments of the vehicles on its stringers and cross-members.
    members: Vec<MemberMoments>,
}

/// One span with the places of its vehicles among those of all spans.
struct Span<'a> {
    governing: Governing<'a>,
    vehicles: Vec<usize>,
    legal: Vec<usize>,
}

impl<'a> RatingTable<'a> {
    /// Works out every girder and every span.
    #[must_use]
    pub fn new(inputs: &'a Inputs) -> Self {
        let rules = &inputs.rules;
        let girders: Vec<_> = inputs.cars.iter().map(|car| Girder::of(car, rules)).collect();
        let mut vehicles: Vec<Vehicle> = Vec::new();
        let mut spans = BTreeMap::new();
        for (index, crossing) in inputs.crossings.iter().enumerate() {
            for (layout, of_layout) in crossing.layouts.iter().enumerate() {
                for span in 0..of_layout.spans.len() {
                    let site = Site { crossing: CrossingIx(index), layout, span };
                    let loads = SpanLoads::at(crossing, site, rules);
                    spans.insert(site, loads.map(|loads| Span::of(loads, rules, &mut vehicles)));
                }
            }
        }
        let members = girders
            .iter()
            .map(|girder| match girder {
                Ok(girder) => MemberMoments::of(girder, &vehicles),
                Err(_) => MemberMoments::default(),
            })
            .collect();
        Self { inputs, girders, spans, members }
    }

    /// The girder of a car.
    ///
    /// # Errors
    /// Why it cannot be rated.
    pub fn girder(&self, car: CarIx) -> Result<&Girder, &Unrateable> {
        self.girders[car.0].as_ref()
    }

    /// The loads of a span; none for a site that is not of these inputs.
    #[must_use]
    pub fn loads(&self, site: Site) -> Option<Result<&SpanLoads, &Unrateable>> {
        let span = self.spans.get(&site)?;
        Some(span.as_ref().map(|span| span.governing.loads()))
    }

    /// The checks that bar a car on a span.
    #[must_use]
    pub fn barred(&self, car: CarIx, site: Site) -> Barred {
        let (Ok(girder), Some(Ok(span))) = (self.girder(car), self.spans.get(&site)) else {
            return Barred::for_want_of_data(Code::Rateable);
        };
        let members = &self.members[car.0];
        let many = span.governing.loads().lanes > 1;
        span.governing.barred_with(girder, |member, vehicle| {
            let place = match vehicle {
                Of::Crossing(index) => span.vehicles[index],
                Of::Legal(index) => span.legal[index],
            };
            members.live(girder, member, many, place)
        })
    }

    /// The full checks of a car on a span; none for a site that is not of these inputs.
    #[must_use]
    pub fn checks(&self, car: CarIx, site: Site) -> Vec<Check> {
        match self.loads(site) {
            Some(loads) => rate_checks_with(self.girder(car), loads, &self.inputs.rules),
            None => Vec::new(),
        }
    }
}

impl<'a> Span<'a> {
    /// The span of these loads; vehicles not met before are added to those of all spans.
    fn of(loads: SpanLoads, rules: &'a crate::model::rules::Rules, all: &mut Vec<Vehicle>) -> Self {
        let mut place = |vehicle: &Vehicle| {
            all.iter().position(|known| known.name == vehicle.name).unwrap_or_else(|| {
                all.push(vehicle.clone());
                all.len() - 1
            })
        };
        let vehicles = loads.effects.vehicles.iter().map(|v| place(&v.vehicle)).collect();
        let legal = loads.legal.iter().map(|v| place(&v.vehicle)).collect();
        Self { governing: Governing::of(loads, rules), vehicles, legal }
    }
}

/// The moments of all vehicles on the stringers and cross-members of one car, which no span changes:
/// only whether trucks pass side by side does.
#[derive(Default)]
struct MemberMoments {
    /// With one lane and with several, by member and vehicle.
    live: [Vec<Vec<KipFeet>>; 2],
}

impl MemberMoments {
    fn of(girder: &Girder, vehicles: &[Vehicle]) -> Self {
        let of_lanes = |lanes| {
            let of_member = |member: &LocalMember| {
                vehicles.iter().map(|v| member.live_moment(&v.trains, lanes)).collect()
            };
            girder.local.rated().map(of_member).collect()
        };
        Self { live: [of_lanes(1), of_lanes(2)] }
    }

    fn live(&self, girder: &Girder, member: &LocalMember, many: bool, vehicle: usize) -> KipFeet {
        let place = girder.local.rated().position(|known| known.part == member.part);
        place.map_or(KipFeet(f64::INFINITY), |place| self.live[usize::from(many)][place][vehicle])
    }
}
