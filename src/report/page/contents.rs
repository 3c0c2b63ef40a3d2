//! The contents, with the page on which each part and each sheet begins.
//!
//! A browser numbers pages when it prints and tells nobody, so that parts of known length come first:
//! the board's pages and the engineer's sheets. The appendices follow each other without a page of
//! their own and are found by their letters.

use super::crossing::Crossing;

/// The contents.
pub struct Contents {
    pub entries: Vec<Entry>,
    /// Whether they stand on a page of their own.
    pub apart: bool,
}

/// A line of the contents.
pub struct Entry {
    pub page: String,
    pub title: String,
    pub anchor: String,
}

/// More crossings than this have contents on a page of their own.
pub const TOGETHER: usize = 12;

/// Entries of a page of contents, in three columns.
const ENTRIES: usize = 150;

/// Pages of contents that stand apart.
fn own_pages(entries: usize) -> usize {
    if entries > TOGETHER + FIXED { entries.div_ceil(ENTRIES) } else { 0 }
}

/// Entries that are always there: board, buyer, five appendices.
const FIXED: usize = 7;

/// The contents behind so many pages of the board's part.
pub fn contents(board_pages: usize, crossings: &[Crossing]) -> Contents {
    let entry = |page: Option<usize>, title: String, anchor: &str| Entry {
        page: page.map(|page| page.to_string()).unwrap_or_default(),
        title,
        anchor: anchor.to_owned(),
    };
    let mut entries = vec![entry(Some(1), "Part 1, board".to_owned(), "board")];
    let served: Vec<_> = crossings.iter().filter(|crossing| crossing.served).collect();
    let own = own_pages(served.len() + FIXED);
    let mut page = board_pages + own + 1;
    for crossing in &served {
        let title = format!("Part 2, engineer: {}", crossing.id);
        entries.push(entry(Some(page), title, &crossing.anchor));
        page += crossing.pages;
    }
    entries.push(entry(Some(page), "Part 3, buyer".to_owned(), "shopping"));
    let mut appendix = |title: &str, anchor: &str| {
        entries.push(entry(None, title.to_owned(), anchor));
    };
    if served.len() < crossings.len() {
        appendix("Appendix A, crossings not served", "unserved");
    }
    appendix("Appendix B, cost line by line", "costs");
    appendix("Appendix C, all other checks passed", "passed");
    appendix("Appendix D, cars refused", "refused");
    appendix("Appendix E, methods and sources, what was not checked, review", "methods");
    Contents { entries, apart: own > 0 }
}

/// Points that contents take on the board's first page.
pub fn height(crossings: usize) -> f64 {
    let entries = crossings + FIXED;
    if own_pages(entries) > 0 { 0.0 } else { 22.0 + (entries + 2).div_ceil(3) as f64 * 9.5 }
}
