//! The road from the yard to the crossing: distance, haul, permit, escort.

use super::ledger::{Ledger, rate_words, tenth};
use crate::check::TOLERANCE;
use crate::model::inputs::{Inputs, Site};
use crate::model::place::Position;
use crate::model::plan::CostItem;
use crate::model::rules::HaulRules;
use crate::quantity::{Cents, Feet, Kips, Miles};

/// Road miles between two points: the great circle times the rules' road factor, to a tenth of a
/// mile. An estimate for comparing yards, no substitute for the route survey.
#[must_use]
pub fn road_miles(from: Position, to: Position, rules: &HaulRules) -> Miles {
    Miles(tenth(from.distance(to).0 * rules.road_factor))
}

/// Road miles from a yard to the crossing of a site.
pub fn miles_to(inputs: &Inputs, yard: Position, site: Site) -> Miles {
    road_miles(yard, inputs.crossing(site.crossing).position, &inputs.rules.haul)
}

/// One car on one trailer: haul, then permit and escort where the load asks for them.
pub fn charge(
    ledger: &mut impl Ledger,
    rules: &HaulRules,
    miles: Miles,
    length: Feet,
    weight: Kips,
) {
    let by_distance = Cents::from_dollars(rules.usd_per_mile * miles.0);
    let minimum = Cents::from_dollars(rules.minimum_usd);
    let words = || format!("{miles} x {}/mi", rate_words(rules.usd_per_mile));
    if by_distance >= minimum {
        ledger.charge(CostItem::Haul, by_distance, words);
    } else {
        ledger.charge(CostItem::Haul, minimum, || {
            format!("minimum charge; {} would be {by_distance}", words())
        });
    }

    let too_long = length.0 > rules.permit_over_length_ft.0 + TOLERANCE;
    let too_heavy = weight.0 > rules.permit_over_weight().0 + TOLERANCE;
    if too_long || too_heavy {
        ledger.charge(CostItem::Permit, Cents::from_dollars(rules.permit_usd), || {
            let length = format!("length {length} over {}", rules.permit_over_length_ft);
            let weight = format!("weight {weight} over {}", rules.permit_over_weight());
            match (too_long, too_heavy) {
                (true, true) => format!("1 load: {length}, {weight}"),
                (true, false) => format!("1 load: {length}"),
                _ => format!("1 load: {weight}"),
            }
        });
    }
    if length.0 > rules.escort_over_length_ft.0 + TOLERANCE {
        let amount = Cents::from_dollars(rules.escort_usd_per_mile * miles.0);
        ledger.charge(CostItem::Escort, amount, || {
            format!(
                "{miles} x {}/mi; length {length} over {}",
                rate_words(rules.escort_usd_per_mile),
                rules.escort_over_length_ft
            )
        });
    }
}
