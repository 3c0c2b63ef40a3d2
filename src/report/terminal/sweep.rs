//! What money buys, as a table.

use itertools::Itertools;

use super::LEAST_WIDTH;
use crate::quantity::Cents;
use crate::report::facts::sweep::Point;
use crate::report::text::{Align, Page, Table};

/// One row for each budget.
#[must_use]
pub fn sweep(points: &[Point], width: usize) -> String {
    let mut page = Page::new(width.max(LEAST_WIDTH));
    page.para(0, "WHAT MONEY BUYS");
    page.blank();
    if page.width() < narrowest(points) {
        stacked(&mut page, points);
        against(&mut page, points);
        return page.finish();
    }
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
    against(&mut page, points);
    page.finish()
}

/// What the flat cars of each budget save against other bridges.
fn against(page: &mut Page, points: &[Point]) {
    if points.iter().all(|point| point.against_words().is_none()) {
        return;
    }
    page.blank();
    page.para(2, "Against other bridges, where they are stated:");
    for point in points {
        let words = point.against_words().unwrap_or_else(|| "no flat cars there".to_owned());
        page.hanging(2, &format!("{:.0}  ", point.budget), &words);
    }
}

/// The least width at which every figure of the table keeps its line, with a little room for the last
/// column.
fn narrowest(points: &[Point]) -> usize {
    let ranks = points.first().map_or(0, |point| point.service.len());
    let money = |of: fn(&Point) -> Cents| {
        points.iter().map(|point| format!("{:.0}", of(point)).len()).max().unwrap_or(0)
    };
    let figures =
        money(|point| point.budget) + money(|point| point.outlay) + money(|point| point.net);
    let crossings = points.iter().map(Point::crossings).max().unwrap_or(0).to_string().len();
    let served = (2 * crossings + " of ".len()).max("Served".len());
    let rank = (2 * crossings + " of ".len()).max("Priority 1".len());
    // Two columns between neighbors, and as much before the first.
    figures + served + ranks * rank + "Proven".len() + LAST + 2 * (6 + ranks)
}

/// Room for the crossings that go without.
const LAST: usize = 10;

/// Below this width a table of five columns would break money.
const MONEY_ALONE: usize = 56;

/// The same for narrow terminals: a table of the money, and below it a line for each budget.
fn stacked(page: &mut Page, points: &[Point]) {
    // Where even that is too wide, the money alone; the rest stands in the lines below.
    let money_alone = page.width() < MONEY_ALONE;
    let mut aligned = vec![Align::Right, Align::Right, Align::Right];
    let mut header = vec!["Budget", "To pay", "Net"];
    if !money_alone {
        aligned.extend([Align::Right, Align::Left]);
        header.extend(["Served", "Proven"]);
    }
    let proven = |point: &Point| if point.proven { "yes" } else { "NO" };
    let mut table = Table::new(&aligned).header(&header);
    for point in points {
        let mut row = vec![
            format!("{:.0}", point.budget),
            format!("{:.0}", point.outlay),
            format!("{:.0}", point.net),
        ];
        if !money_alone {
            row.push(format!("{} of {}", point.served(), point.crossings()));
            row.push(proven(point).to_owned());
        }
        table.row_of(row);
    }
    let indent = if page.width() < 60 { 0 } else { 2 };
    page.table(indent, &table);
    page.blank();
    for point in points {
        let ranks = point.service.iter();
        let ranks = ranks.map(|(rank, served, all)| format!("priority {rank}: {served} of {all}"));
        let without = match point.unserved.as_slice() {
            [] => String::new(),
            ids => format!("; go without: {}", ids.join(" ")),
        };
        let whole = if money_alone {
            format!(
                "serves {} of {}, proven: {}; ",
                point.served(),
                point.crossings(),
                proven(point)
            )
        } else {
            String::new()
        };
        let label = format!("{:.0}  ", point.budget);
        page.hanging(indent, &label, &format!("{whole}{}{without}", ranks.format(", ")));
    }
}

#[cfg(test)]
mod tests {
    use super::*;

    #[test]
    fn money_never_breaks_at_any_width() {
        let point = |dollars: i64| Point {
            budget: Cents::dollars(dollars),
            service: vec![(1, 1, 1), (2, 3, 6), (3, 0, 5)],
            unserved: ["B-11", "B-12", "B-16", "B-19", "B-21", "B-24"].map(str::to_owned).into(),
            outlay: Cents::dollars(dollars - 1_000),
            net: Cents::dollars(dollars - 2_000),
            saves: None,
            left_to_other: Vec::new(),
            proven: true,
        };
        let points = [point(100_000), point(650_000), point(1_250_000)];
        for width in 40..=140 {
            let text = sweep(&points, width);
            let words: Vec<&str> = text.split_whitespace().collect();
            for point in &points {
                for amount in [point.budget, point.outlay, point.net] {
                    let amount = format!("{amount:.0}");
                    assert!(words.contains(&amount.as_str()), "{width}: {amount} breaks:\n{text}");
                }
            }
            assert!(text.lines().all(|line| line.chars().count() <= width), "{width}:\n{text}");
            assert!(!text.contains("Priori\n"), "{width}:\n{text}");
        }
    }
}
