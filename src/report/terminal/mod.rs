//! Reports as plain text for a terminal or a page of print: ASCII of our own, no color, no line
//! wider than asked.

mod answer;
mod ask;
mod buy;
mod change;
mod check;
mod closing;
mod compare;
mod costs;
mod crossing;
mod decisions;
mod expiring;
mod explain;
mod headline;
mod matching;
mod prices;
mod problems;
mod readback;
mod sheet;
mod spares;
mod sweep;
mod vehicles;
mod want;

pub use ask::ask;
pub use change::change;
pub use check::{check, check_of_some, problems};
pub use compare::compare;
pub use expiring::expiring;
pub use explain::{explain, explain_all};
pub use matching::{Detail, match_checks, match_table};
pub use prices::prices;
pub use problems::list as list_problems;
pub use readback::read_back;
pub use sheet::{no_sheet, sheet};
pub use spares::spares;
pub use sweep::sweep;
pub use vehicles::vehicles;
pub use want::want;

use super::facts::PlanReport;
use super::text::Page;
use crate::model::inputs::CrossingIx;

/// Words that begin or end a line which a terminal may show in color: written with these, and found by
/// them, so that a change of wording keeps its color.
pub mod marks {
    /// Begins the answer.
    pub const TITLE: &str = "PLAN:";
    /// Begins the list of crossings that go without.
    pub const GO_WITHOUT: &str = "Not served:";
    /// Ends the heading of a crossing that goes without.
    pub const NOT_SERVED: &str = "NOT SERVED";
    /// Begins a warning.
    pub const WARNING: &str = "warning:";
    /// Begins what stopped the program.
    pub const ERROR: &str = "error:";
}

/// The narrowest width the reports are made for.
pub const LEAST_WIDTH: usize = 40;

/// The whole plan with all its reasons, in `width` columns ([`LEAST_WIDTH`] at least).
#[must_use]
pub fn plan(report: &PlanReport, width: usize) -> String {
    let mut page = Page::new(width.max(LEAST_WIDTH));
    headline::write(&mut page, report);
    decisions::write(&mut page, report);
    buy::write(&mut page, report);
    crossing::write(&mut page, report);
    closing::refused(&mut page, report);
    closing::totals(&mut page, report);
    closing::not_checked(&mut page, report);
    closing::cautions(&mut page);
    closing::provenance(&mut page, report);
    page.finish()
}

/// The whole answer on one screen; the rest of the plan is told by [`plan()`].
#[must_use]
pub fn answer(report: &PlanReport, width: usize) -> String {
    let mut page = Page::new(width.max(LEAST_WIDTH));
    headline::write(&mut page, report);
    decisions::write(&mut page, report);
    answer::to_buy(&mut page, report);
    answer::not_served(&mut page, report);
    answer::next(&mut page, report);
    page.finish()
}

/// What these crossings get, and why.
#[must_use]
pub fn crossings(report: &PlanReport, which: &[CrossingIx], width: usize) -> String {
    let mut page = Page::new(width.max(LEAST_WIDTH));
    crossing::write_some(&mut page, report, which);
    page.finish()
}

#[cfg(test)]
mod tests {
    use super::*;
    use crate::report::facts::matching::Matching;
    use crate::report::fixture;
    use crate::report::text::display_width;
    use crate::survey::Survey;

    fn rendered(width: usize) -> String {
        let (inputs, made, files) = (fixture::inputs(), fixture::plan(), fixture::files());
        // The fixture's cars keep no rules; that all of them fit is enough for the layout.
        let survey = Survey::with(&inputs, |_, _| Vec::new());
        let matching = Matching::new(&inputs, &survey);
        plan(
            &PlanReport { inputs: &inputs, plan: &made, matching: &matching, files: &files },
            width,
        )
    }

    #[test]
    fn no_line_is_wider_than_asked_and_none_has_a_control_character() {
        for width in (40..=130).step_by(3) {
            for line in (rendered(width) + &answered(width)).lines() {
                assert!(display_width(line) <= width, "{width}: {line}");
                assert!(!line.contains(char::is_control), "{line:?}");
            }
        }
    }

    /// As [`rendered`], on one screen.
    fn answered(width: usize) -> String {
        let (inputs, made, files) = (fixture::inputs(), fixture::plan(), fixture::files());
        let survey = Survey::with(&inputs, |_, _| Vec::new());
        let matching = Matching::new(&inputs, &survey);
        answer(
            &PlanReport { inputs: &inputs, plan: &made, matching: &matching, files: &files },
            width,
        )
    }

    #[test]
    fn the_answer_stands_on_one_screen() {
        let text = answered(100);
        let said = text.split_whitespace().collect::<Vec<_>>().join(" ");
        for words in [
            "serves 2 of 3 crossings for $74,132.00",
            "Drumfell Reclaim, yard Upper Drum: 3 cars",
            "DR-20 x2 TC-01, TC-02 $16,800.00",
            "lot L-7 (SS-1, SS-2, SS-3 left over) TC-02 $21,000.00",
            "TC-03 C01 No car fits.",
            "Order by 2026-12-31 from Drumfell Reclaim",
            "R10 Stringers and cross-members",
            "licensed engineer",
            "--full",
        ] {
            assert!(said.contains(words), "{words:?} is missing in:\n{text}");
        }
        assert!(text.lines().count() < 50, "{text}");
    }

    #[test]
    fn everything_that_matters_is_said() {
        let text = rendered(100);
        let said = text.split_whitespace().collect::<Vec<_>>().join(" ");
        for words in [
            "serves 2 of 3 crossings for $74,132.00",
            "Not served: TC-03",
            "-$1,400.00",
            "at most 1.02 % ($732.00) above the cheapest possible",
            "Drumfell Reclaim, yard Upper Drum: 3 cars",
            "lot L-7 3 $21,000.00",
            "LEFT OVER stock, worth $1,400.00",
            "Order by 2026-12-31",
            "Lowest rating factor: 1.040, R03 Bending, ASR (HS20) (DR-20)",
            "TC-01 (single-unit trucks 10 tons); TC-02 (single-unit trucks 11 tons).",
            "WEIGHT SIGN: single-unit trucks 10 tons.",
            "total 17'-10 1/2\"",
            "required 17'-6\"",
            "R03 Bending, ASR (HS20): 1.040",
            "taken to hold lead (DR-10, DR-20)",
            "Drumfell Reclaim DR-20 in place of Drumfell Reclaim DR-10: $1,234.00 more",
            "C01 No car fits",
            "short by 70.00 ft",
            "R10 Stringers and cross-members",
            "Hydraulics and scour",
            "weigh each car before the pick",
        ] {
            assert!(said.contains(words), "{words:?} is missing in:\n{text}");
        }
    }

    #[test]
    fn the_totals_of_the_items_are_what_must_be_paid_less_the_stock() {
        use crate::quantity::Cents;
        let made = fixture::plan();
        let sum: Cents = crate::report::facts::totals::by_item(&made).iter().map(|t| t.1).sum();
        assert_eq!(sum, made.totals.net);
    }
}
