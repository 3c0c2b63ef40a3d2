//! What a deck or a layout costs beside its cars: joints, rails, crane, piers.

use super::ledger::hundredth;
use crate::model::ends::laid;
use crate::model::inputs::{CarIx, CrossingIx, Inputs, Site};
use crate::model::plan::{CostItem, CostLine};
use crate::model::rules::{JointType, RailRules};
use crate::quantity::{Cents, Feet};

/// The amount of one joint along a deck of so much length.
#[must_use]
pub fn joint_cost(joint: &JointType, laid: Feet) -> Cents {
    joint.usd_per_ft * hundredth(laid)
}

/// The amount of the rails on both sides of a deck of so much length.
#[must_use]
pub fn rail_cost(rail: &RailRules, laid: Feet) -> Cents {
    rail.usd_per_ft * (hundredth(laid) * 2.0)
}

/// The length of a deck of these cars: of the longest of them, as it lies there. `None`: there is no
/// car, or a measure of one is not known.
#[must_use]
pub fn laid_length(inputs: &Inputs, cars: &[CarIx], site: Site) -> Option<Feet> {
    let (rules, crossing) = (&inputs.rules.screen, inputs.crossing(site.crossing));
    let lengths = cars.iter().map(|car| laid(rules, crossing, site, inputs.car(*car)));
    let lengths: Option<Vec<Feet>> = lengths.collect();
    lengths?.into_iter().reduce(Feet::max)
}

/// What runs along a deck of these cars: a joint between each two neighbors, rails on both sides, all as
/// long as the longest of the cars lies there. `None`: that is not known.
#[must_use]
pub fn along_deck(
    inputs: &Inputs,
    cars: &[CarIx],
    joint: Option<&JointType>,
    site: Site,
) -> Option<Vec<CostLine>> {
    let laid = hundredth(laid_length(inputs, cars, site)?);
    let joint = joint.map(|joint| CostLine {
        item: CostItem::Joint,
        subject: joint.name.clone(),
        basis: format!("{} ft x {}", laid.0, joint.usd_per_ft),
        amount: joint_cost(joint, laid),
    });
    let joints = std::iter::repeat_n(joint, cars.len().saturating_sub(1)).flatten();
    let rail = &inputs.rules.rail;
    let rails = CostLine {
        item: CostItem::Rail,
        subject: format!("{}, span {}", inputs.crossing(site.crossing).id, site.span + 1),
        basis: format!("2 sides x {} ft x {}", laid.0, rail.usd_per_ft),
        amount: rail_cost(rail, laid),
    };
    Some(costing(joints.chain([rails]).collect()))
}

/// What a layout costs whatever its cars: bringing the crane once, the piers, and what the crossing costs
/// beside the bridge.
#[must_use]
pub fn layout_fixed(inputs: &Inputs, crossing: CrossingIx, layout: usize) -> Vec<CostLine> {
    let crossing = inputs.crossing(crossing);
    let mobilization = inputs.rules.crane.mobilization_usd;
    let mut lines = vec![CostLine {
        item: CostItem::Crane,
        subject: crossing.id.clone(),
        basis: format!("1 crossing x {mobilization}"),
        amount: mobilization,
    }];
    if let Some(layout) = crossing.layouts.get(layout) {
        lines.push(CostLine {
            item: CostItem::Piers,
            subject: crossing.id.clone(),
            basis: piers_words(layout.piers(), layout.piers_cost),
            amount: layout.piers_cost,
        });
    }
    let rail = &inputs.rules.rail;
    lines.push(CostLine {
        item: CostItem::ApproachRail,
        subject: crossing.id.clone(),
        basis: format!("4 corners x {} ft x {}", rail.approach_ft.0, rail.approach_usd_per_ft),
        amount: rail.approach_usd_per_ft * (rail.approach_ft * 4.0),
    });
    if let Some(other) = crossing.other {
        lines.push(CostLine {
            item: CostItem::Other,
            subject: crossing.id.clone(),
            basis: format!("{}, as stated", crossing.other_for.as_deref().unwrap_or("other works")),
            amount: other,
        });
    }
    costing(lines)
}

/// `2 piers x $15,000.00`, or the sum where it does not divide evenly.
fn piers_words(piers: usize, cost: Cents) -> String {
    let noun = if piers == 1 { "pier" } else { "piers" };
    match i64::try_from(piers) {
        Ok(count) if count > 0 && cost.0 % count == 0 => {
            format!("{piers} {noun} x {}", Cents(cost.0 / count))
        }
        _ => format!("{piers} {noun}, {cost} together"),
    }
}

/// The lines that cost something.
fn costing(mut lines: Vec<CostLine>) -> Vec<CostLine> {
    lines.retain(|line| line.amount != Cents::ZERO);
    lines
}

#[cfg(test)]
mod tests {
    use super::*;

    #[test]
    fn piers_in_words() {
        for (piers, cents, words) in [
            (1, 1_500_000, "1 pier x $15,000.00"),
            (2, 3_000_000, "2 piers x $15,000.00"),
            (3, 1_000_000, "3 piers, $10,000.00 together"),
        ] {
            assert_eq!(piers_words(piers, Cents(cents)), words);
        }
    }
}
