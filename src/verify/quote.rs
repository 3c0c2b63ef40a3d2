//! The hauler's quote for a car, found a second time.

use crate::model::haul_quote::HaulQuote;
use crate::model::inputs::{CarIx, Inputs, Site};

/// The quote for a car: its own before that of its yard, of those that still hold.
pub(super) fn quote(inputs: &Inputs, ix: CarIx, site: Site) -> Option<&HaulQuote> {
    let car = inputs.car(ix);
    let yard = inputs.yard(car.yard);
    let mut found: Option<&HaulQuote> = None;
    for quote in inputs.haul_quotes.to(&inputs.crossing(site.crossing).id) {
        let here = quote.dealer == yard.dealer && quote.yard == yard.name;
        let holds = quote.expires.is_none_or(|last| inputs.order_date <= last);
        let own = quote.car.as_ref().is_some_and(|id| *id == car.id || id == inputs.first_id(ix));
        let better = own || (quote.car.is_none() && found.is_none());
        if here && holds && better {
            found = Some(quote);
        }
    }
    found
}
