//! Cost per crossing as stacked bars.

use itertools::Itertools;

use super::WIDTH;
use super::lettering::{breadth, fitted};
use super::svg::{Anchor, Hatch, MEDIUM, NONE, PALE, PAPER, Rect, SMALL, STEEL, Svg, THIN};
use crate::model::inputs::Inputs;
use crate::model::plan::{CostItem, CostLine, Plan};
use crate::quantity::Cents;

/// Height of one bar with the room below it.
const ROW: f64 = 25.0;

/// Bars in one chart at most.
const MOST: usize = 30;

/// Lines of one kind, so that a bar has few enough parts to tell apart.
struct Group {
    name: &'static str,
    items: &'static [CostItem],
    fill: Fill,
}

enum Fill {
    Plain(&'static str),
    Pattern(Hatch),
}

const GROUPS: &[Group] = &[
    Group {
        name: "cars",
        items: &[
            CostItem::Car,
            CostItem::PriceBreak,
            CostItem::OwnCar,
            CostItem::LotShare,
            CostItem::SalesTax,
        ],
        fill: Fill::Plain(STEEL),
    },
    Group {
        name: "loading, haul, permits",
        items: &[CostItem::Loading, CostItem::Haul, CostItem::Permit, CostItem::Escort],
        fill: Fill::Pattern(Hatch::Rising),
    },
    Group {
        name: "crane and picks",
        items: &[CostItem::Crane, CostItem::Pick],
        fill: Fill::Plain(PALE),
    },
    Group {
        name: "stripping, cutting, repair",
        items: &[
            CostItem::Gear,
            CostItem::Strip,
            CostItem::Tests,
            CostItem::Trim,
            CostItem::ScrapCredit,
            CostItem::Stiffener,
            CostItem::Repair,
        ],
        fill: Fill::Pattern(Hatch::Crossed),
    },
    Group {
        name: "blasting, paint, lead",
        items: &[CostItem::Coating, CostItem::Lead],
        fill: Fill::Pattern(Hatch::Dots),
    },
    Group {
        name: "bearings, deck, rails",
        items: &[
            CostItem::Bearing,
            CostItem::Deck,
            CostItem::Joint,
            CostItem::Rail,
            CostItem::ApproachRail,
        ],
        fill: Fill::Pattern(Hatch::Upright),
    },
    Group {
        name: "piers, overhead, other works",
        items: &[CostItem::Piers, CostItem::Contingency, CostItem::Engineering, CostItem::Other],
        fill: Fill::Plain(PAPER),
    },
];

/// The amount of one group.
fn amount(lines: &[CostLine], group: &Group) -> Cents {
    lines.iter().filter(|line| group.items.contains(&line.item)).map(|line| line.amount).sum()
}

/// Draws one bar for each crossing that is served, all to one scale of dollars.
#[must_use]
pub fn draw(inputs: &Inputs, plan: &Plan, key: &str) -> String {
    const RIGHT: f64 = WIDTH - 84.0;
    let served: Vec<_> = plan
        .crossings
        .iter()
        .filter_map(|crossing| Some((inputs.crossing(crossing.crossing), crossing.served()?)))
        .sorted_by_key(|(crossing, _)| crossing.priority)
        .collect();
    // A bar must be seen: of more crossings the costliest are drawn.
    let left_out = served.len().saturating_sub(MOST);
    let mut totals = served.iter().map(|(_, served)| served.total()).sorted().rev();
    let least = totals.nth(MOST - 1).unwrap_or_default();
    let served: Vec<_> =
        served.into_iter().filter(|(_, served)| served.total() >= least).take(MOST).collect();
    // Long IDs get the room they need: bars that cannot be told apart tell nothing.
    let widest = served.iter().map(|(crossing, _)| breadth(&crossing.id, super::svg::TEXT));
    let left = (widest.fold(0.0, f64::max) + 16.0).clamp(64.0, 250.0);
    let greatest = served.iter().map(|(_, served)| served.total().0).max().unwrap_or(0).max(1);
    let scale = (RIGHT - left) / Cents(greatest).as_dollars();

    let mut svg = Svg::new(key, "Cost of each crossing by kind", WIDTH);
    svg.data("px-per-usd", scale);
    let present: Vec<&Group> = GROUPS
        .iter()
        .filter(|group| served.iter().any(|(_, s)| amount(&s.lines, group) != Cents::ZERO))
        .collect();
    let mut y = legend(&mut svg, &present);
    let bottom = y + served.len() as f64 * ROW;
    grid(&mut svg, greatest, scale, left, (y, bottom));
    for (crossing, served) in &served {
        let name = fitted(&crossing.id, super::svg::TEXT, left - 14.0);
        svg.bold((left - 8.0, y + 15.0), Anchor::End, super::svg::TEXT, &name);
        let mut x = left;
        for group in &present {
            let cents = amount(&served.lines, group);
            let wide = cents.as_dollars() * scale;
            let fill = fill(&mut svg, group);
            svg.open(&[("data-cents", &cents.0.to_string()), ("data-group", group.name)]);
            svg.rect(Rect { x, y: y + 1.0, w: wide, h: 18.0 }, &fill, MEDIUM.wide(0.8));
            svg.close();
            x += wide;
        }
        let total = format!("{:.0}", served.total());
        // The grid's lines must not cross the figure.
        let ground = Rect { x: x + 4.0, y: y + 3.0, w: breadth(&total, SMALL) + 4.0, h: 15.0 };
        svg.rect(ground, PAPER, NONE);
        svg.text((x + 6.0, y + 15.0), Anchor::Start, SMALL, &total);
        y += ROW;
    }
    if left_out > 0 {
        let text = format!("The {MOST} costliest; {left_out} more crossings stand in the table.");
        svg.text((4.0, y + 40.0), Anchor::Start, SMALL, &text);
    }
    let words: Vec<String> = served
        .iter()
        .map(|(crossing, served)| {
            let parts: Vec<String> = present
                .iter()
                .map(|group| (group.name, amount(&served.lines, group)))
                .filter(|(_, cents)| *cents != Cents::ZERO)
                .map(|(name, cents)| format!("{name} {cents:.0}"))
                .collect();
            format!("{}: {:.0} ({}).", crossing.id, served.total(), parts.join(", "))
        })
        .collect();
    svg.finish(
        y + if left_out > 0 { 48.0 } else { 26.0 },
        &format!("Stacked bars. {} Yard trips are not in them.", words.join(" ")),
    )
}

fn fill(svg: &mut Svg, group: &Group) -> String {
    match group.fill {
        Fill::Plain(color) => color.to_owned(),
        Fill::Pattern(hatch) => svg.hatch(hatch),
    }
}

/// The key to the fills, in as many lines as it takes; returns where the bars may begin.
fn legend(svg: &mut Svg, groups: &[&Group]) -> f64 {
    let (mut x, mut y) = (4.0, 6.0);
    for group in groups {
        let wide = 26.0 + breadth(group.name, SMALL) + 18.0;
        if x + wide > WIDTH {
            (x, y) = (4.0, y + 22.0);
        }
        let fill = fill(svg, group);
        svg.rect(Rect { x, y, w: 20.0, h: 13.0 }, &fill, MEDIUM.wide(0.8));
        svg.text((x + 26.0, y + 11.5), Anchor::Start, SMALL, group.name);
        x += wide;
    }
    y + 30.0
}

/// Upright lines at round amounts, with the amounts below.
fn grid(svg: &mut Svg, greatest: i64, scale: f64, left: f64, (top, bottom): (f64, f64)) {
    let step = round_step(Cents(greatest).as_dollars());
    let mut dollars = 0.0;
    while dollars <= Cents(greatest).as_dollars() {
        let x = left + dollars * scale;
        svg.line((x, top - 4.0), (x, bottom), THIN.wide(0.5));
        let text = format!("{:.0}", Cents::from_dollars(dollars));
        svg.text((x, bottom + 18.0), Anchor::Middle, SMALL, &text);
        dollars += step;
    }
}

/// One, two or five times a power of ten: at most six steps to the whole.
fn round_step(whole: f64) -> f64 {
    let mut power = 1.0;
    loop {
        for factor in [1.0, 2.0, 5.0] {
            if whole / (power * factor) <= 6.0 {
                return power * factor;
            }
        }
        power *= 10.0;
    }
}

#[cfg(test)]
mod tests {
    use super::*;

    #[test]
    fn every_item_of_a_crossing_is_in_one_group() {
        for item in CostItem::ALL {
            let groups = GROUPS.iter().filter(|group| group.items.contains(item)).count();
            let elsewhere =
                matches!(item, CostItem::Trip | CostItem::YardCrane | CostItem::StockValue);
            assert_eq!(groups, usize::from(!elsewhere), "{item}");
        }
    }

    #[test]
    fn steps_are_round() {
        for (whole, step) in [(6.0, 1.0), (7.0, 2.0), (58_000.0, 10_000.0), (61_000.0, 20_000.0)] {
            assert_eq!(round_step(whole), step);
        }
    }
}
