//! What is added in per cent: sales tax on what dealers are paid, contingency and engineering on the work.
//!
//! Each is rounded to the cent on each line that it is taken of, so that what a car, a load or a joint adds to
//! a plan does not depend on the rest of it.

use crate::model::inputs::{CarIx, CrossingIx, Inputs};
use crate::model::plan::{CostItem, CostLine};
use crate::model::rules::OverheadRules;
use crate::quantity::{Cents, Percent};

/// So many per cent of an amount, to the cent.
fn part(amount: Cents, percent: Percent) -> Cents {
    amount.times(percent.fraction())
}

/// An amount of work with contingency and engineering on it.
#[must_use]
pub fn with_overhead(rules: &OverheadRules, work: Cents) -> Cents {
    work + part(work, rules.contingency_pct) + part(work, rules.engineering_pct)
}

/// The sum of some lines with contingency and engineering on those that are work.
#[must_use]
pub fn sum_with_overhead(rules: &OverheadRules, lines: &[CostLine]) -> Cents {
    let of = |line: &CostLine| {
        if line.item.is_work() { with_overhead(rules, line.amount) } else { line.amount }
    };
    lines.iter().map(of).sum()
}

/// Contingency and engineering on the lines of a crossing.
#[must_use]
pub fn overhead_lines(inputs: &Inputs, crossing: CrossingIx, lines: &[CostLine]) -> Vec<CostLine> {
    let rules = &inputs.rules.overhead;
    let work = || lines.iter().filter(|line| line.item.is_work()).map(|line| line.amount);
    let base: Cents = work().sum();
    let line = |(item, percent): (CostItem, Percent)| CostLine {
        item,
        subject: inputs.crossing(crossing).id.clone(),
        basis: format!("{percent} of {base} of work, each line rounded to the cent"),
        amount: work().map(|amount| part(amount, percent)).sum(),
    };
    let both = [
        (CostItem::Contingency, rules.contingency_pct),
        (CostItem::Engineering, rules.engineering_pct),
    ];
    both.into_iter().map(line).filter(|line| line.amount != Cents::ZERO).collect()
}

/// A price with the sales tax on it.
#[must_use]
pub fn with_tax(price: Cents, tax: Percent) -> Cents {
    price + part(price, tax)
}

/// The greatest price that with the sales tax on it is at most this.
#[must_use]
pub fn before_tax(paid: Cents, tax: Percent) -> Cents {
    let mut price = Cents((paid.0 as f64 / (1.0 + tax.fraction())).round() as i64);
    while with_tax(price, tax) > paid {
        price.0 -= 1;
    }
    while with_tax(price + Cents(1), tax) <= paid {
        price.0 += 1;
    }
    price
}

/// The sales tax on a car bought at a price.
#[must_use]
pub fn tax_line(inputs: &Inputs, car: CarIx, paid: Cents) -> Option<CostLine> {
    let tax = inputs.rules.overhead.sales_tax_pct;
    line(inputs, car, part(paid, tax), || format!("{tax} of {paid}"))
}

/// A line of sales tax; none where there is none.
pub(super) fn line(
    inputs: &Inputs,
    car: CarIx,
    amount: Cents,
    basis: impl FnOnce() -> String,
) -> Option<CostLine> {
    let line = || CostLine {
        item: CostItem::SalesTax,
        subject: inputs.car(car).name(),
        basis: basis(),
        amount,
    };
    (amount != Cents::ZERO).then(line)
}

#[cfg(test)]
mod tests {
    use super::*;

    #[test]
    fn a_price_is_found_again_under_its_tax() {
        for tax in [0.0, 4.25, 7.0, 8.875, 99.0] {
            for price in [0, 1, 7, 99, 10_000, 1_234_567, 999_999_999] {
                let (price, tax) = (Cents(price), Percent(tax));
                let paid = with_tax(price, tax);
                assert_eq!(before_tax(paid, tax), price, "{price} {tax}");
                assert!(with_tax(before_tax(paid - Cents(1), tax), tax) < paid);
            }
        }
        // 7 % of $12,345.67 is 864.1969.
        assert_eq!(with_tax(Cents(1_234_567), Percent(7.0)), Cents(1_320_987));
    }
}
