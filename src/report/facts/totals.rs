//! The plan's money summed by what it pays for, and how far it may be from the cheapest.

use crate::model::plan::{CostItem, CostLine, Plan, sum};
use crate::quantity::Cents;

/// Every cost line of the plan: crossings', yards' and left-over cars'.
pub fn all_lines(plan: &Plan) -> impl Iterator<Item = &CostLine> {
    let crossings = plan.crossings.iter().filter_map(|c| c.served()).flat_map(|s| &s.lines);
    let yards = plan.purchases.iter().flat_map(|p| {
        let lots = p.lots.iter().flat_map(|lot| &lot.left_over_lines);
        p.lines.iter().chain(&p.spare_lines).chain(lots)
    });
    crossings.chain(yards)
}

/// The plan's total per item, in the order of the items, without those that do not occur.
#[must_use]
pub fn by_item(plan: &Plan) -> Vec<(CostItem, Cents)> {
    CostItem::ALL
        .iter()
        .filter_map(|&item| {
            let lines: Vec<CostLine> =
                all_lines(plan).filter(|line| line.item == item).cloned().collect();
            (!lines.is_empty()).then(|| (item, sum(&lines)))
        })
        .collect()
}

/// How far the plan's net cost may lie above the cheapest possible.
#[derive(Clone, Copy, Debug, PartialEq)]
pub struct Gap {
    /// Net cost less the proven bound, never negative.
    pub amount: Cents,
    /// As a share of the bound, in per cent.
    pub percent: f64,
}

/// The plan's gap; none where the search ended before it had a bound that says anything: that a
/// plan costs something is known without one.
#[must_use]
pub fn gap(plan: &Plan) -> Option<Gap> {
    if plan.proof.bound <= Cents::ZERO {
        return None;
    }
    let amount = Cents((plan.totals.net.0 - plan.proof.bound.0).max(0));
    Some(Gap { amount, percent: amount.as_dollars() / plan.proof.bound.as_dollars() * 100.0 })
}

impl Gap {
    /// `at most 1.30 % ($4,200.00) above the cheapest possible`; the share is rounded up, so that
    /// the sentence stays true.
    #[must_use]
    pub fn words(&self) -> String {
        // Adding zero turns a negative zero into zero.
        let up = (self.percent * 100.0 - 1e-6).ceil() / 100.0 + 0.0;
        format!("at most {up:.2} % ({}) above the cheapest possible", self.amount)
    }
}

#[cfg(test)]
mod tests {
    use super::*;

    #[test]
    fn the_share_is_never_rounded_down() {
        for (amount, percent, words) in [
            (0, 0.0, "at most 0.00 % ($0.00) above the cheapest possible"),
            (101, 0.101, "at most 0.11 % ($1.01) above the cheapest possible"),
        ] {
            assert_eq!(Gap { amount: Cents(amount), percent }.words(), words);
        }
    }

    #[test]
    fn a_search_without_a_bound_has_no_gap() {
        let mut plan = crate::report::fixture::plan();
        for (bound, amount) in [
            (-1_125_899_906_842_624, None),
            (0, None),
            (7_200_000, Some(73_200)),
            (9_999_999, Some(0)),
        ] {
            plan.proof.bound = Cents(bound);
            assert_eq!(gap(&plan).map(|gap| gap.amount.0), amount, "{bound}");
        }
    }
}
