//! From inputs and survey to the numbers that the choice sees.

use crate::choose::{Demand, LayoutDemand, Market, Offer, SpanDemand};
use crate::group::{Sections, candidate, deck_rule};
use crate::model::inputs::{CrossingIx, Inputs, LotIx, Site};
use crate::model::plan::sum;
use crate::price;
use crate::quantity::Cents;
use crate::survey::Survey;

/// The market of these inputs: offers by car index, yards, lots and crossings by theirs.
#[must_use]
pub fn market(inputs: &Inputs, survey: &Survey, budget: Option<Cents>) -> Market {
    let sections = Sections::of(inputs);
    let offers = inputs.cars.iter().map(|car| Offer {
        quantity: car.quantity,
        yard: car.yard.0,
        lot: car.lot.map(|lot| lot.0),
        // A car without a price never passes the screening, so its zero here is never paid.
        price: if car.lot.is_some() { Cents::ZERO } else { car.price.unwrap_or_default() },
        stock_value: car.lot.map(|lot| price::stock_value(inputs, lot)).unwrap_or_default(),
    });
    let trips = inputs.yards.iter().map(|yard| yard.trip);
    let lots = (0..inputs.lots.len()).map(|lot| inputs.lot(LotIx(lot)).price);
    let crossings = inputs.crossing_indices().map(|ix| demand(inputs, survey, &sections, ix));
    Market {
        offers: offers.collect(),
        trips: trips.collect(),
        lots: lots.collect(),
        crossings: crossings.collect(),
        budget,
    }
}

fn demand(inputs: &Inputs, survey: &Survey, sections: &Sections, crossing: CrossingIx) -> Demand {
    let layouts = inputs.crossing(crossing).layouts.iter().enumerate();
    let layouts = layouts.map(|(layout, l)| {
        let spans = (0..l.spans.len()).map(|span| {
            let site = Site { crossing, layout, span };
            SpanDemand {
                fixed: sum(&price::span_fixed(inputs, site)),
                candidates: survey
                    .suitable(site)
                    .filter_map(|car| candidate(inputs, car, site, sections))
                    .collect(),
                rule: deck_rule(inputs, site),
            }
        });
        LayoutDemand {
            fixed: sum(&price::layout_fixed(inputs, crossing, layout)),
            spans: spans.collect(),
        }
    });
    Demand { priority: inputs.crossing(crossing).priority, layouts: layouts.collect() }
}
