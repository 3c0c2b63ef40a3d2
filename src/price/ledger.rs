//! Where charges are written: as lines for people, or as a bare sum for the search.
//!
//! Pricing code runs once for either, so the sum that the choice minimizes is the sum of the lines
//! that the plan prints.

use super::overhead::with_overhead;
use crate::model::plan::{CostItem, CostLine};
use crate::model::rules::OverheadRules;
use crate::quantity::{Cents, Feet};

/// Takes charges.
pub trait Ledger {
    /// Writes one charge. A charge of nothing is left out. The words are made only if they are kept.
    fn charge(&mut self, item: CostItem, amount: Cents, basis: impl FnOnce() -> String);
}

/// Keeps every charge as a line on one subject.
pub struct Lines {
    subject: String,
    lines: Vec<CostLine>,
}

impl Lines {
    /// No lines yet, all to come on this subject.
    pub fn on(subject: String) -> Self {
        Self { subject, lines: Vec::new() }
    }

    /// The lines, in the order of the charges.
    pub fn into_lines(self) -> Vec<CostLine> {
        self.lines
    }
}

impl Ledger for Lines {
    fn charge(&mut self, item: CostItem, amount: Cents, basis: impl FnOnce() -> String) {
        if amount != Cents::ZERO {
            self.lines.push(CostLine {
                item,
                subject: self.subject.clone(),
                basis: basis(),
                amount,
            });
        }
    }
}

/// Keeps the sum alone, with contingency and engineering on what is work.
pub struct Total<'a> {
    /// The sum.
    pub sum: Cents,
    rules: &'a OverheadRules,
}

impl<'a> Total<'a> {
    /// Nothing yet.
    pub fn by(rules: &'a OverheadRules) -> Self {
        Self { sum: Cents::ZERO, rules }
    }
}

impl Ledger for Total<'_> {
    fn charge(&mut self, item: CostItem, amount: Cents, _: impl FnOnce() -> String) {
        self.sum += if item.is_work() { with_overhead(self.rules, amount) } else { amount };
    }
}

/// A quantity rounded to a tenth of its unit before it is priced, halves away from zero. As with
/// money, a hair puts back the decimal halves that binary misses.
#[must_use]
pub fn tenth(quantity: f64) -> f64 {
    (quantity * 10.0 + 1e-7_f64.copysign(quantity)).round() / 10.0
}

/// A length rounded to a hundredth of a foot before it is priced, halves up: as lengths are stated.
#[must_use]
pub fn hundredth(length: Feet) -> Feet {
    Feet((length.0 * 100.0 + 1e-7).round() / 100.0)
}

#[cfg(test)]
mod tests {
    use super::*;
    use crate::quantity::Percent;

    #[test]
    fn a_tenth_rounds_halves_up() {
        for (exact, rounded) in
            [(212.349, 212.3), (212.35, 212.4), (0.04, 0.0), (587.4, 587.4), (8.85 * 51.0, 451.4)]
        {
            assert_eq!(tenth(exact), rounded);
        }
    }

    #[test]
    fn both_ledgers_add_up_alike_and_a_charge_of_nothing_leaves_no_line() {
        let write = |ledger: &mut dyn FnMut(CostItem, Cents)| {
            ledger(CostItem::Haul, Cents(1_250));
            ledger(CostItem::Permit, Cents(0));
            ledger(CostItem::Pick, Cents(775));
        };
        let rules = OverheadRules {
            sales_tax_pct: Percent(7.0),
            contingency_pct: Percent(10.0),
            engineering_pct: Percent(12.0),
        };
        let (mut lines, mut total) = (Lines::on("car".to_owned()), Total::by(&rules));
        write(&mut |item, amount| lines.charge(item, amount, || "basis".to_owned()));
        write(&mut |item, amount| total.charge(item, amount, String::new));
        let lines = lines.into_lines();
        assert_eq!(lines.len(), 2);
        assert_eq!(crate::model::plan::sum(&lines), Cents(2_025));
        // 12.50 + 1.25 + 1.50, and 7.75 + 0.78 + 0.93.
        assert_eq!(total.sum, Cents(2_471));
        assert_eq!(super::super::sum_with_overhead(&rules, &lines), total.sum);
    }
}
