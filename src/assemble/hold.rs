//! Cars fixed to a crossing by decision: its layouts, once for each way to divide these cars over
//! the spans, so that the choice need not know what a decision is.

use std::collections::BTreeSet;

use itertools::Itertools;

use crate::choose::{LayoutDemand, SpanDemand};
use crate::model::inputs::{CarIx, CrossingIx, Inputs};

/// The layouts of a crossing in which the cars fixed to it lie; as they are where none is.
pub fn hold(
    inputs: &Inputs,
    crossing: CrossingIx,
    layouts: Vec<LayoutDemand>,
) -> Vec<LayoutDemand> {
    let cars: Vec<CarIx> = inputs.fixed_to(crossing).collect();
    if cars.is_empty() {
        return layouts;
    }
    let mut held = Vec::new();
    for layout in layouts {
        for ways in divided(&cars, &layout) {
            let mut variant = layout.clone();
            for (car, span) in cars.iter().zip(ways) {
                variant.spans[span].holds.push(car.0);
            }
            held.push(variant);
        }
    }
    held
}

/// The spans that each car may lie on, one car after the other: every combination, equal ones once.
fn divided(cars: &[CarIx], layout: &LayoutDemand) -> Vec<Vec<usize>> {
    let may = |car: &CarIx| -> Vec<usize> {
        let has = |(span, demand): (usize, &SpanDemand)| {
            demand.candidates.iter().any(|c| c.offer == car.0).then_some(span)
        };
        layout.spans.iter().enumerate().filter_map(has).collect()
    };
    let mut seen = BTreeSet::new();
    let ways = cars.iter().map(may).multi_cartesian_product();
    ways.filter(|way| {
        let mut alike: Vec<_> = cars.iter().copied().zip(way.iter().copied()).collect();
        alike.sort_unstable();
        seen.insert(alike)
    })
    .collect()
}
