//! Reports as plain text for a terminal or a page of print: ASCII of our own, no colour, no line
//! wider than asked.

mod buy;
mod check;
mod closing;
mod crossing;
mod explain;
mod headline;
mod matching;

pub use check::check;
pub use explain::{explain, explain_all};
pub use matching::{match_checks, match_table};

use super::facts::PlanReport;
use super::text::Page;

/// The narrowest width the reports are made for.
pub const LEAST_WIDTH: usize = 40;

/// The whole plan, in `width` columns ([`LEAST_WIDTH`] at least).
#[must_use]
pub fn plan(report: &PlanReport, width: usize) -> String {
    let mut page = Page::new(width.max(LEAST_WIDTH));
    headline::write(&mut page, report);
    buy::write(&mut page, report);
    crossing::write(&mut page, report);
    closing::refused(&mut page, report);
    closing::totals(&mut page, report);
    closing::not_checked(&mut page, report);
    closing::cautions(&mut page);
    closing::provenance(&mut page, report);
    page.finish()
}

#[cfg(test)]
mod tests {
    use super::*;
    use crate::report::facts::matching::Matching;
    use crate::report::fixture;
    use crate::report::text::display_width;

    #[test]
    fn show() {
        let (inputs, made, files) = (fixture::inputs(), fixture::plan(), fixture::files());
        let matching = Matching::of(&inputs);
        let report =
            PlanReport { inputs: &inputs, plan: &made, matching: &matching, files: &files };
        let w: usize = std::env::var("W").ok().and_then(|w| w.parse().ok()).unwrap_or(80);
        println!("{}", plan(&report, w));
        println!("{}", super::super::json::plan(&report).unwrap());
        println!("{}", super::super::csv::plan(&report).unwrap());
    }
}
