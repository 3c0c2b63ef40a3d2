//! On how many printed pages the sheet of a crossing stands.

use super::CheckRow;
use super::crossing::Crossing;
use super::leaf::{breaks, lines};

/// Width of half the sheet, in points, and that of a drawing in its own units.
const HALF: (f64, f64) = (246.0, crate::report::drawing::WIDTH);

/// The tallest drawing of a sheet with one span, and with several, in points; `print.css` holds them
/// to it.
const TALLEST: (f64, f64) = (130.0, 118.0);

/// Characters on a line of a column, and its height in points: in small print, and in larger.
const SMALL: (usize, f64) = (60, 7.7);
const ROOMY: (usize, f64) = (50, 9.0);

impl Crossing {
    /// Finds where the sheet begins a page anew, and how many it takes: one, but for long names and
    /// many cars.
    pub fn break_pages(&mut self) {
        let (top, tables) = (self.top(), self.tables());
        // In larger print where that keeps the sheet on one page.
        self.roomy = breaks(&[top, tables, self.remarks(ROOMY)]).0 == 1;
        let remarks = self.remarks(if self.roomy { ROOMY } else { SMALL });
        let (pages, begin) = breaks(&[top, tables, remarks]);
        self.pages = pages;
        self.tables_apart = begin.get(1).copied().unwrap_or_default();
        self.cautions_apart = begin.get(2).copied().unwrap_or_default();
    }

    /// Head, facts and drawings.
    fn top(&self) -> f64 {
        let facts = self.facts.iter().map(|(name, value)| lines(&format!("{name}: {value}"), 40));
        let facts: Vec<usize> = facts.collect();
        let facts: usize = facts.chunks(3).filter_map(|row| row.iter().max()).sum();
        let sign = if self.posting.is_empty() { 0.0 } else { 24.0 };
        let tallest = if self.several_spans { TALLEST.1 } else { TALLEST.0 };
        let drawings: f64 = self
            .drawings
            .chunks(2)
            .map(|pair| pair.iter().map(|d| 18.0 + drawn(&d.svg).min(tallest)).fold(0.0, f64::max))
            .sum();
        let title = lines(&format!("{} {}", self.id, self.road), 50) as f64 * 19.0;
        let other = match self.other_bridge.as_str() {
            "" => 0.0,
            words => 4.0 + lines(words, 110) as f64 * 9.6,
        };
        16.0 + other
            + title
            + sign * lines(&self.posting, 85) as f64
            + facts as f64 * 10.2
            + drawings
    }

    /// Cars, ratings and the checks with the least to spare.
    fn tables(&self) -> f64 {
        let cars = self.placed.iter().map(|row| lines(&row.car, 12).max(lines(&row.from, 30)));
        let cars = cars.sum::<usize>() as f64;
        let checks = self.tight.iter().map(row).sum::<usize>() as f64;
        80.0 + (cars + checks) * 10.6
    }

    /// What to confirm, cautions, what was not checked, and the lines below.
    fn remarks(&self, (per_line, high): (usize, f64)) -> f64 {
        let lists = [&self.confirm, &self.cautions, &self.unchecked];
        // A heading takes about two lines.
        let one = |list: &Vec<String>| {
            if list.is_empty() {
                0
            } else {
                2 + list.iter().map(|row| lines(row, per_line)).sum::<usize>()
            }
        };
        let all: usize = lists.into_iter().map(one).sum();
        let below = lines(&self.alternative, 120) as f64 * 9.0 + 12.0;
        (all as f64 / 3.0).ceil() * high + high + below
    }
}

/// Lines of a check in its table.
fn row(check: &CheckRow) -> usize {
    let title = lines(&format!("{} {}", check.code, check.title), 38);
    title.max(lines(&check.subjects, 36)).max(lines(&check.limit, 28))
}

/// Points of a drawing as high as its width is half the sheet.
fn drawn(svg: &str) -> f64 {
    let height = svg.split("viewBox=\"0 0 ").nth(1).and_then(|rest| {
        let mut numbers = rest.split(['"', ' ']);
        numbers.nth(1)?.parse::<f64>().ok()
    });
    height.unwrap_or(HALF.1) * HALF.0 / HALF.1
}
