//! Plans side by side.

use super::LEAST_WIDTH;
use crate::after::compare::Scenario;
use crate::report::facts::compare::lines;
use crate::report::text::{Align, Page, Table};

/// A column for each plan.
#[must_use]
pub fn compare(scenarios: &[Scenario], width: usize) -> String {
    let mut page = Page::new(width.max(LEAST_WIDTH));
    page.para(0, "PLANS SIDE BY SIDE");
    page.blank();
    let mut aligns = vec![Align::Left];
    aligns.extend(scenarios.iter().map(|_| Align::Right));
    let names = scenarios.iter().map(|scenario| scenario.name.as_str());
    let header: Vec<&str> = std::iter::once("").chain(names).collect();
    let mut table = Table::new(&aligns).header(&header);
    for line in lines(scenarios) {
        table.row_of(std::iter::once(line.label).chain(line.cells).collect());
    }
    page.table(2, &table);
    page.finish()
}
