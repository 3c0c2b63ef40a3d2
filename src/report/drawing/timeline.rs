//! From the order to the day each bridge is needed: a line for each crossing, to one scale of days.

use jiff::civil::Date;

use super::WIDTH;
use super::lettering::fitted;
use super::svg::{Anchor, CHOSEN, DASHED, HEAVY, INK, MEDIUM, PALE, Rect, SMALL, Svg, THIN};
use crate::report::facts::PlanReport;
use crate::report::facts::board::{critical, dates};

/// Height of one crossing.
const ROW: f64 = 24.0;
/// Left edge of the days.
const LEFT: f64 = 110.0;
/// Right edge.
const RIGHT: f64 = WIDTH - 96.0;

/// Draws a bar from the day that the last car can leave to the day that the bridge can be open, a mark
/// at the end of the first quote, and a mark at the day it is needed.
#[must_use]
pub fn draw(report: &PlanReport<'_>, key: &str) -> String {
    let mut svg = Svg::new(key, "Dates of each crossing", WIDTH);
    let order = report.inputs.order_date;
    let rows: Vec<_> = report
        .plan
        .crossings
        .iter()
        .filter_map(|planned| {
            let days = dates(report.inputs, planned, planned.served()?);
            Some((report.inputs.crossing(planned.crossing).id.clone(), days))
        })
        .collect();
    let days_of = |day: Date| f64::from((day - order).get_days());
    let ends = rows.iter().flat_map(|(_, d)| [d.order_by, d.open, d.needed]).flatten();
    let last = ends.map(days_of).fold(1.0, f64::max);
    let scale = (RIGHT - LEFT) / last;
    svg.data("px-per-day", scale);
    let top = 40.0;
    let bottom = top + rows.len() as f64 * ROW;
    svg.text((LEFT, 14.0), Anchor::Start, SMALL, &format!("orders on {order}"));
    svg.line((LEFT, top - 16.0), (LEFT, bottom), MEDIUM);
    // The first of each month, or of each quarter or year where they would crowd.
    let every = match last {
        days if days <= 420.0 => 1,
        days if days <= 1300.0 => 3,
        _ => 12,
    };
    let mut day = order.first_of_month();
    while days_of(day) <= last {
        if days_of(day) > 0.0 && (i32::from(day.month()) - 1) % every == 0 {
            let x = LEFT + days_of(day) * scale;
            svg.line((x, top - 8.0), (x, bottom), THIN.wide(0.5));
            if every > 1 || scale * 30.0 > 64.0 || i32::from(day.month()) % 3 == 1 {
                let text = format!("{:04}-{:02}", day.year(), day.month());
                svg.text((x, top - 12.0), Anchor::Middle, SMALL, &text);
            }
        }
        let Ok(next) = day.checked_add(jiff::Span::new().months(1)) else { break };
        day = next;
    }
    let least = critical(report).map(|(crossing, _)| crossing);
    for (number, (crossing, days)) in rows.iter().enumerate() {
        let y = top + ROW * number as f64 + ROW / 2.0;
        let at = |day: Date| LEFT + days_of(day) * scale;
        let bold = least.as_deref() == Some(crossing.as_str());
        svg.open(&[("class", "dates"), ("data-crossing", crossing)]);
        let name = fitted(crossing, SMALL, LEFT - 14.0);
        if bold {
            svg.bold((LEFT - 8.0, y + 4.5), Anchor::End, SMALL, &name);
        } else {
            svg.text((LEFT - 8.0, y + 4.5), Anchor::End, SMALL, &name);
        }
        match days.leaves.zip(days.open) {
            Some((leaves, open)) => {
                let (from, to) = (at(leaves), at(open));
                svg.line((LEFT, y), (from, y), DASHED);
                let rect = Rect { x: from, y: y - 6.0, w: (to - from).max(1.0), h: 12.0 };
                svg.rect(rect, PALE, if bold { CHOSEN } else { MEDIUM });
            }
            None => svg.text((LEFT + 6.0, y + 4.5), Anchor::Start, SMALL, "departure not stated"),
        }
        if let Some(day) = days.order_by {
            svg.line((at(day), y - 9.0), (at(day), y + 9.0), HEAVY);
        }
        if let Some(day) = days.needed {
            let x = at(day);
            svg.polygon(&[(x - 6.0, y - 8.0), (x + 6.0, y - 8.0), (x, y + 4.0)], INK, MEDIUM);
        }
        let said = match days.to_spare {
            Some(spare) => format!("{spare} days"),
            None => "no date".to_owned(),
        };
        let place = (RIGHT + 12.0, y + 4.5);
        if bold {
            svg.bold(place, Anchor::Start, SMALL, &said);
        } else {
            svg.text(place, Anchor::Start, SMALL, &said);
        }
        svg.close();
    }
    let words: Vec<String> = rows
        .iter()
        .map(|(crossing, days)| {
            let day = |day: Option<Date>| day.map_or("not stated".to_owned(), |d| d.to_string());
            format!(
                "{crossing}: order by {}, open {}, needed {}.",
                day(days.order_by),
                day(days.open),
                day(days.needed)
            )
        })
        .collect();
    let key = "Bar: haul and build. Upright line: the first quote ends. Triangle: needed. Bold: least time.";
    svg.text((1.0, bottom + 22.0), Anchor::Start, SMALL, key);
    svg.finish(bottom + 30.0, &words.join(" "))
}
