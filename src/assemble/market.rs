//! From inputs and survey to the numbers that the choice sees.

use crate::choose::{Demand, LayoutDemand, Market, Offer, SpanDemand};
use crate::group::{Sections, candidate, deck_rule};
use crate::model::inputs::{CrossingIx, Inputs, LotIx, Site};
use crate::model::plan::sum;
use crate::price;
use crate::quantity::Cents;
use crate::survey::Survey;

/// The market of these inputs: offers by car index, lots and crossings by theirs, yards by theirs
/// and after them one for own stock.
#[must_use]
pub fn market(inputs: &Inputs, survey: &Survey, budget: Option<Cents>) -> Market {
    let sections = Sections::of(inputs);
    // Nobody has to inspect what the agency owns, so its cars stand in a yard of their own without
    // the cost of a trip.
    let own_yard = inputs.yards.len();
    let offers = inputs.cars.iter().map(|car| Offer {
        quantity: car.quantity,
        yard: if car.owned { own_yard } else { car.yard.0 },
        lot: car.lot.map(|lot| lot.0),
        price: match car.price {
            Some(price) if car.lot.is_none() && !car.owned => price,
            // A car to be bought without a price never passes the screening, so its zero here is
            // never paid.
            _ => Cents::ZERO,
        },
        stock_value: car.lot.map(|lot| price::stock_value(inputs, lot)).unwrap_or_default(),
        quotes: Vec::new(),
    });
    let trips = inputs.yards.iter().map(|yard| yard.trip).chain([Cents::ZERO]);
    let lots = (0..inputs.lots.len()).map(|lot| inputs.lot(LotIx(lot)).price);
    let crossings = inputs.crossing_indices().map(|ix| demand(inputs, survey, &sections, ix));
    Market {
        offers: offers.collect(),
        trips: trips.collect(),
        levels: Vec::new(),
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
