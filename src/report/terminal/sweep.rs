//! What money buys, as a table.

use itertools::Itertools;

use super::LEAST_WIDTH;
use crate::report::facts::sweep::Point;
use crate::report::text::{Align, Page, Table};

/// One row for each budget.
#[must_use]
pub fn sweep(points: &[Point], width: usize) -> String {
    let mut page = Page::new(width.max(LEAST_WIDTH));
    page.para(0, "WHAT MONEY BUYS");
    page.blank();
    let ranks: Vec<u8> = points
        .first()
        .map_or_else(Vec::new, |point| point.service.iter().map(|(rank, _, _)| *rank).collect());
    let mut aligns = vec![Align::Right, Align::Right];
    aligns.extend(ranks.iter().map(|_| Align::Right));
    aligns.extend([Align::Right, Align::Right, Align::Left, Align::Left]);
    let names: Vec<String> = ranks.iter().map(|rank| format!("Priority {rank}")).collect();
    let mut header = vec!["Budget", "Served"];
    header.extend(names.iter().map(String::as_str));
    header.extend(["To pay", "Net", "Proven", "Go without"]);
    let mut table = Table::new(&aligns).header(&header);
    for point in points {
        let mut row = vec![
            format!("{:.0}", point.budget),
            format!("{} of {}", point.served(), point.crossings()),
        ];
        row.extend(point.service.iter().map(|(_, served, all)| format!("{served} of {all}")));
        row.extend([
            format!("{:.0}", point.outlay),
            format!("{:.0}", point.net),
            if point.proven { "yes" } else { "NO" }.to_owned(),
            point.unserved.iter().join(" "),
        ]);
        table.row_of(row);
    }
    page.table(2, &table);
    page.finish()
}
