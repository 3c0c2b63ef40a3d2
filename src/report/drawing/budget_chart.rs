//! What money buys: crossings served at each budget of a range, as stacked bars.
//!
//! A bar for each budget that was asked, and none between: no plan was made there.

use super::WIDTH;
use super::lettering::breadth;
use super::svg::{Anchor, HEAVY, Hatch, MEDIUM, PALE, PAPER, Rect, SMALL, STEEL, Svg, TEXT, THIN};
use crate::report::facts::sweep::Point;

/// Height of the field in which the bars stand.
const FIELD: f64 = 260.0;
/// Left edge of the field; the numbers of crossings stand left of it.
const LEFT: f64 = 56.0;
/// Right edge.
const RIGHT: f64 = WIDTH - 12.0;

/// What stands above the chart, and is its name.
const TITLE: &str = "Crossings served at each budget";

/// Bars so wide have their number of crossings above them.
const VALUE: f64 = 16.0;

/// Draws one bar for each budget, its parts the priorities, the first at the bottom, and marks `this`
/// as the plan that the paper is about.
#[must_use]
pub fn draw(points: &[Point], this: Option<usize>, key: &str) -> String {
    let mut svg = Svg::new(key, TITLE, WIDTH);
    svg.bold((LEFT, 16.0), Anchor::Start, TEXT, TITLE);
    let most = points.iter().map(Point::crossings).max().unwrap_or(0).max(1);
    let scale = FIELD / most as f64;
    svg.data("px-per-crossing", scale);
    let ranks: Vec<u8> = points
        .first()
        .map_or_else(Vec::new, |point| point.service.iter().map(|(rank, ..)| *rank).collect());
    // Above the field: the number on the highest bar, and the mark of this plan.
    let top = legend(&mut svg, &ranks) + 44.0;
    let base = top + FIELD;
    grid(&mut svg, most, scale, (top, base));
    let pitch = (RIGHT - LEFT) / points.len().max(1) as f64;
    // As many budgets are lettered as have room.
    let widest = points.iter().map(|p| breadth(&label(p), SMALL)).fold(0.0, f64::max) + 8.0;
    let every = (widest / pitch).ceil().max(1.0) as usize;
    for (number, point) in points.iter().enumerate() {
        let x = LEFT + pitch * number as f64;
        svg.open(&[
            ("data-budget-cents", &point.budget.0.to_string()),
            ("data-served", &point.served().to_string()),
        ]);
        bar(&mut svg, point, Rect { x: x + pitch * 0.12, y: base, w: pitch * 0.76, h: scale });
        let head = base - scale * point.served() as f64;
        if !point.proven {
            let y = head - if pitch >= VALUE { 20.0 } else { 5.0 };
            svg.bold((x + pitch / 2.0, y), Anchor::Middle, SMALL, "?");
        }
        if this == Some(number) {
            marked(&mut svg, Rect { x, y: head, w: pitch, h: base - head });
        }
        svg.close();
        if pitch >= VALUE {
            let served = point.served().to_string();
            svg.text((x + pitch / 2.0, head - 5.0), Anchor::Middle, SMALL, &served);
        }
        if number % every == 0 {
            svg.text((x + pitch / 2.0, base + 18.0), Anchor::Middle, SMALL, &label(point));
        }
    }
    svg.bold(((LEFT + RIGHT) / 2.0, base + 37.0), Anchor::Middle, SMALL, "budget, US dollars");
    svg.bold((LEFT - 8.0, top - 10.0), Anchor::End, SMALL, "served");
    let text = "A bar for each budget asked about; between them no plan was made.";
    svg.text((LEFT, base + 56.0), Anchor::Start, SMALL, text);
    if points.iter().any(|point| !point.proven) {
        let text = "? not proven: a plan that serves more may exist.";
        svg.text((LEFT, base + 73.0), Anchor::Start, SMALL, text);
    }
    svg.finish(base + 80.0, &described(points))
}

/// The bar of the plan that the paper is about: framed, and named.
fn marked(svg: &mut Svg, bar: Rect) {
    svg.rect(Rect { y: bar.y - 20.0, h: bar.h + 20.0, ..bar }, "none", HEAVY);
    let (name, middle) = ("this plan", bar.x + bar.w / 2.0);
    let wide = breadth(name, SMALL) / 2.0;
    let at = middle.clamp(LEFT + wide, RIGHT - wide);
    svg.bold((at, bar.y - 25.0), Anchor::Middle, SMALL, name);
}

fn label(point: &Point) -> String {
    format!("{:.0}", point.budget)
}

/// The parts of one bar, from the base of `unit` up; its height is that of one crossing.
fn bar(svg: &mut Svg, point: &Point, unit: Rect) {
    let mut y = unit.y;
    for (at, (_, served, _)) in point.service.iter().enumerate() {
        let h = unit.h * *served as f64;
        y -= h;
        let fill = fill(svg, at);
        svg.rect(Rect { y, h, ..unit }, &fill, MEDIUM.wide(0.8));
    }
}

/// The fill of a priority, by its place; told apart by pattern, not by color.
fn fill(svg: &mut Svg, at: usize) -> String {
    match at % 7 {
        0 => STEEL.to_owned(),
        1 => svg.hatch(Hatch::Rising),
        2 => PALE.to_owned(),
        3 => svg.hatch(Hatch::Crossed),
        4 => svg.hatch(Hatch::Dots),
        5 => svg.hatch(Hatch::Upright),
        _ => PAPER.to_owned(),
    }
}

/// The key to the priorities, in as many lines as it takes; returns its lower edge.
fn legend(svg: &mut Svg, ranks: &[u8]) -> f64 {
    let (mut x, mut y) = (LEFT, 28.0);
    for (at, rank) in ranks.iter().enumerate() {
        let name = format!("priority {rank}");
        let wide = 26.0 + breadth(&name, SMALL) + 18.0;
        if x + wide > RIGHT {
            (x, y) = (LEFT, y + 22.0);
        }
        let fill = fill(svg, at);
        svg.rect(Rect { x, y, w: 20.0, h: 13.0 }, &fill, MEDIUM.wide(0.8));
        svg.text((x + 26.0, y + 11.5), Anchor::Start, SMALL, &name);
        x += wide;
    }
    y + 18.0
}

/// Level lines at whole numbers of crossings.
fn grid(svg: &mut Svg, most: usize, scale: f64, (top, base): (f64, f64)) {
    let step = most.div_ceil(6);
    for count in (0..=most).step_by(step) {
        let y = base - scale * count as f64;
        svg.line((LEFT, y), (RIGHT, y), THIN.wide(0.5));
        svg.text((LEFT - 8.0, y + 5.0), Anchor::End, TEXT, &count.to_string());
    }
    svg.line((LEFT, top), (LEFT, base), THIN);
}

/// The chart in words.
fn described(points: &[Point]) -> String {
    let of_point = |point: &Point| {
        let ranks: Vec<String> = point
            .service
            .iter()
            .map(|(rank, served, all)| format!("priority {rank} {served} of {all}"))
            .collect();
        format!(
            "{:.0}: {} of {} ({}), to pay {:.0}{}.",
            point.budget,
            point.served(),
            point.crossings(),
            ranks.join(", "),
            point.outlay,
            if point.proven { "" } else { ", not proven" }
        )
    };
    let all: Vec<String> = points.iter().map(of_point).collect();
    format!("Stacked bars of crossings served. {}", all.join(" "))
}

#[cfg(test)]
mod tests {
    use super::*;
    use crate::quantity::Cents;

    fn point(dollars: i64, first: usize, second: usize, proven: bool) -> Point {
        Point {
            budget: Cents::dollars(dollars),
            service: vec![(1, first, 2), (3, second, 4)],
            unserved: Vec::new(),
            outlay: Cents::dollars(dollars - 1),
            net: Cents::dollars(dollars - 1),
            saves: None,
            left_to_other: Vec::new(),
            proven,
        }
    }

    #[test]
    fn bars_are_as_high_as_the_crossings_served() {
        let points = [point(100_000, 1, 0, true), point(200_000, 2, 3, false)];
        let text = draw(&points, Some(1), "what-money-buys");
        let xml = roxmltree::Document::parse(&text).unwrap();
        let scale: f64 =
            xml.root_element().attribute("data-px-per-crossing").unwrap().parse().unwrap();
        let bars: Vec<_> =
            xml.descendants().filter(|node| node.has_attribute("data-budget-cents")).collect();
        assert_eq!(bars.len(), points.len());
        for (bar, point) in bars.iter().zip(&points) {
            // The frame around the marked bar has no fill.
            let parts = bar.children().filter(|node| node.has_tag_name("rect"));
            let heights = parts.filter(|node| node.attribute("fill") != Some("none"));
            let height: f64 =
                heights.map(|node| node.attribute("height").unwrap().parse::<f64>().unwrap()).sum();
            assert!((height / scale - point.served() as f64).abs() < 0.01, "{height}");
            let doubt = bar.children().any(|node| node.text() == Some("?"));
            assert_eq!(doubt, !point.proven);
        }
    }

    #[test]
    fn many_budgets_leave_room_for_their_lettering() {
        let points: Vec<Point> = (0..500).map(|n| point(n * 1_000, 1, 1, true)).collect();
        let text = draw(&points, None, "many");
        let lettered = text.matches("<text").count();
        assert!(lettered < 40, "{lettered}");
    }

    #[test]
    fn no_budgets_make_an_empty_chart() {
        assert!(roxmltree::Document::parse(&draw(&[], None, "none")).is_ok());
    }
}
