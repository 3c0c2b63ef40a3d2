//! What a span or a layout costs beside its cars: joints, rails, crane, piers.

use crate::model::inputs::{CrossingIx, Inputs, Site};
use crate::model::plan::{CostItem, CostLine};
use crate::model::rules::JointType;
use crate::quantity::{Cents, Feet};

/// The amount of one joint over a span.
#[must_use]
pub fn joint_cost(joint: &JointType, span: Feet) -> Cents {
    joint.usd_per_ft * span
}

/// One joint over the span.
#[must_use]
pub fn joint_at(inputs: &Inputs, joint: &JointType, site: Site) -> CostLine {
    let span = inputs.span(site);
    CostLine {
        item: CostItem::Joint,
        subject: joint.name.clone(),
        basis: format!("{} ft x {}", span.0, joint.usd_per_ft),
        amount: joint_cost(joint, span),
    }
}

/// What a span costs whatever its cars: rails on both sides.
#[must_use]
pub fn span_fixed(inputs: &Inputs, site: Site) -> Vec<CostLine> {
    let (span, rate) = (inputs.span(site), inputs.rules.rail.usd_per_ft);
    let line = CostLine {
        item: CostItem::Rail,
        subject: format!("{}, span {}", inputs.crossing(site.crossing).id, site.span + 1),
        basis: format!("2 sides x {} ft x {rate}", span.0),
        amount: rate * (span * 2.0),
    };
    costing(vec![line])
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
