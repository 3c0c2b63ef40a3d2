//! Cars that fit no crossing, with the span that each comes nearest to.

use super::PlanReport;
use super::matching::different_spans;
use crate::check::Barred;
use crate::model::inputs::{CarIx, Site};
use crate::quantity::Feet;

/// A car that fits no crossing, and the span with the fewest bars, of several the first.
#[derive(Clone, Copy, Debug, PartialEq)]
pub struct Misfit {
    /// The car.
    pub car: CarIx,
    /// The span it comes nearest to.
    pub site: Site,
    /// Its length.
    pub span: Feet,
    /// What bars the car there.
    pub barred: Barred,
}

/// Every car that fits no crossing, in order.
#[must_use]
pub fn misfits(report: &PlanReport<'_>) -> Vec<Misfit> {
    let inputs = report.inputs;
    let crossings = inputs.crossing_indices();
    let sites: Vec<Vec<(Site, Feet)>> =
        crossings.map(|crossing| different_spans(inputs, crossing)).collect();
    inputs
        .car_indices()
        .filter_map(|car| {
            let mut nearest: Option<Misfit> = None;
            for (fit, sites) in report.matching.car(car).zip(&sites) {
                for (span, &(site, length)) in fit.spans.iter().zip(sites) {
                    if nearest.is_none_or(|other| span.barred.count() < other.barred.count()) {
                        nearest = Some(Misfit { car, site, span: length, barred: span.barred });
                    }
                }
            }
            nearest.filter(|misfit| !misfit.barred.is_empty())
        })
        .collect()
}
