//! All cars against all spans: girders and loads worked out once, each pair answered from them.

use std::collections::BTreeMap;

use super::barred::{Barred, barred};
use super::checks::rate_checks_with;
use super::girder::{Girder, Unrateable};
use super::loads::SpanLoads;
use crate::check::{Check, Code};
use crate::model::inputs::{CarIx, CrossingIx, Inputs, Site};

/// The girders of all cars and the loads of all spans.
///
/// Asked for a pair it gives the same checks as [`rate_checks`](super::rate_checks).
pub struct RatingTable<'a> {
    inputs: &'a Inputs,
    girders: Vec<Result<Girder, Unrateable>>,
    loads: BTreeMap<Site, Result<SpanLoads, Unrateable>>,
}

impl<'a> RatingTable<'a> {
    /// Works out every girder and every span.
    #[must_use]
    pub fn new(inputs: &'a Inputs) -> Self {
        let girders = inputs.cars.iter().map(|car| Girder::of(car, &inputs.rules)).collect();
        let mut loads = BTreeMap::new();
        for (index, crossing) in inputs.crossings.iter().enumerate() {
            for (layout, spans) in crossing.layouts.iter().enumerate() {
                for (span, &length) in spans.spans.iter().enumerate() {
                    let site = Site { crossing: CrossingIx(index), layout, span };
                    loads.insert(site, SpanLoads::of(crossing, length, &inputs.rules));
                }
            }
        }
        Self { inputs, girders, loads }
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
        self.loads.get(&site).map(Result::as_ref)
    }

    /// The checks that bar a car on a span.
    #[must_use]
    pub fn barred(&self, car: CarIx, site: Site) -> Barred {
        match (self.girder(car), self.loads(site)) {
            (Ok(girder), Some(Ok(loads))) => barred(girder, loads, &self.inputs.rules),
            _ => Barred::by(Code::Rateable),
        }
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
