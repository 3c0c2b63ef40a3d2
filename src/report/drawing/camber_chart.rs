//! The cars on offer by camber, section by section, with the windows of the chosen decks.

use std::collections::BTreeMap;

use super::WIDTH;
use super::lettering::{breadth, fitted};
use super::svg::{Anchor, CHOSEN, MEDIUM, NONE, PALE, Rect, SMALL, STEEL, Svg, TEXT, THIN};
use crate::model::inputs::Inputs;
use crate::model::plan::{CarCount, Plan};
use crate::quantity::Inches;

/// Cambers are counted by the eighth of an inch, about what a line and a rule can tell apart.
const BINS_PER_INCH: f64 = 8.0;
const LEFT: f64 = 130.0;
const RIGHT: f64 = WIDTH - 24.0;
const BARS: f64 = 64.0;
const LANE: f64 = 22.0;

/// One section of which a deck is chosen.
#[derive(Debug, Default)]
struct Row {
    /// Cars by eighth of an inch: on offer, bought.
    bins: BTreeMap<i64, (u32, u32)>,
    /// Chosen decks: crossing, least and greatest camber.
    windows: Vec<(String, Inches, Inches)>,
}

impl Row {
    fn offered(&self) -> u32 {
        self.bins.values().map(|bin| bin.0).sum()
    }

    fn bought(&self) -> u32 {
        self.bins.values().map(|bin| bin.1).sum()
    }
}

fn bin(camber: Inches) -> i64 {
    (camber.0 * BINS_PER_INCH).round() as i64
}

/// Draws one row for each section of which a deck is chosen: upright bars count the cars on offer
/// at each camber, dark what of them is bought; brackets below span each chosen deck's cambers.
#[must_use]
pub fn draw(inputs: &Inputs, plan: &Plan, key: &str) -> String {
    let rows = rows(inputs, plan);
    let bins = rows.values().flat_map(|row| row.bins.keys().copied());
    let (low, high) = bins.fold((0, 1), |(low, high), bin| (low.min(bin), high.max(bin)));
    let per_bin = (RIGHT - LEFT) / (high - low + 1) as f64;
    let at = |camber: f64| LEFT + (camber * BINS_PER_INCH - low as f64 + 0.5) * per_bin;

    let mut svg = Svg::new(key, "Camber of the cars on offer and of the chosen decks", WIDTH);
    svg.data("px-per-in", per_bin * BINS_PER_INCH);
    let mut y = legend(&mut svg);
    let mut words = Vec::new();
    for (section, row) in &rows {
        y = draw_row(&mut svg, section, row, y, per_bin, &at, (low, high));
        words.push(format!(
            "Section {section}: {} on offer, {} bought; decks {}.",
            row.offered(),
            row.bought(),
            row.windows
                .iter()
                .map(|(crossing, low, high)| format!("{crossing} from {low} to {high}"))
                .collect::<Vec<_>>()
                .join(", ")
        ));
    }
    let tolerance = inputs.rules.group.camber_tolerance_in;
    svg.finish(
        y,
        &format!(
            "Cars counted by camber to the eighth of an inch. {} Within a deck cambers may differ by {tolerance}.",
            words.join(" ")
        ),
    )
}

fn rows(inputs: &Inputs, plan: &Plan) -> BTreeMap<String, Row> {
    let mut rows: BTreeMap<String, Row> = BTreeMap::new();
    for served in plan.crossings.iter().filter_map(|crossing| crossing.served()) {
        for deck in &served.decks {
            let cars = || deck.cars.iter().map(|placed| inputs.car(placed.car));
            let cambers = || cars().filter_map(|car| car.camber);
            let Some(section) = cars().find_map(|car| car.section.clone()) else { continue };
            let low = cambers().fold(Inches(f64::INFINITY), Inches::min);
            let high = cambers().fold(Inches(f64::NEG_INFINITY), Inches::max);
            if low <= high {
                let id = inputs.crossing(deck.site.crossing).id.clone();
                rows.entry(section).or_default().windows.push((id, low, high));
            }
        }
    }
    for car in &inputs.cars {
        let (Some(section), Some(camber)) = (&car.section, car.camber) else { continue };
        if let Some(row) = rows.get_mut(section) {
            row.bins.entry(bin(camber)).or_default().0 += car.quantity;
        }
    }
    for CarCount { car, count } in bought(plan) {
        let car = inputs.car(car);
        let (Some(section), Some(camber)) = (&car.section, car.camber) else { continue };
        if let Some(row) = rows.get_mut(section) {
            row.bins.entry(bin(camber)).or_default().1 += count;
        }
    }
    for row in rows.values_mut() {
        row.windows.sort_by(|a, b| a.1.total_cmp(&b.1).then_with(|| a.0.cmp(&b.0)));
    }
    rows
}

/// Every car bought, singly or with a lot, or used from own stock.
fn bought(plan: &Plan) -> impl Iterator<Item = CarCount> + '_ {
    plan.purchases.iter().flat_map(|yard| {
        let lots = yard.lots.iter().flat_map(|lot| lot.placed.iter().chain(&lot.left_over));
        yard.singles.iter().chain(&yard.spares).chain(&yard.own).chain(lots).copied()
    })
}

/// The rows that some car with both stands for; used by the page to leave an empty chart out.
#[must_use]
pub fn is_empty(inputs: &Inputs, plan: &Plan) -> bool {
    rows(inputs, plan).is_empty()
}

fn legend(svg: &mut Svg) -> f64 {
    let mut x = LEFT;
    for (fill, words) in [(PALE, "on offer"), (STEEL, "bought")] {
        svg.rect(Rect { x, y: 4.0, w: 14.0, h: 14.0 }, fill, MEDIUM);
        svg.text((x + 20.0, 16.0), Anchor::Start, SMALL, words);
        x += 34.0 + breadth(words, SMALL);
    }
    bracket(svg, x, x + 26.0, 12.0);
    svg.text((x + 34.0, 16.0), Anchor::Start, SMALL, "chosen deck, least to greatest camber");
    32.0
}

fn draw_row(
    svg: &mut Svg,
    section: &str,
    row: &Row,
    top: f64,
    per_bin: f64,
    at: &dyn Fn(f64) -> f64,
    (low, high): (i64, i64),
) -> f64 {
    let tallest = row.bins.values().map(|bin| bin.0).max().unwrap_or(1).max(1);
    let unit = (BARS / f64::from(tallest)).min(13.0);
    // Room for the three lines of words at the left, at least.
    let base = top + (unit * f64::from(tallest) + 20.0).max(50.0);
    svg.bold((4.0, base - 34.0), Anchor::Start, TEXT, &fitted(section, TEXT, LEFT - 16.0));
    let counts = format!("{} on offer", row.offered());
    svg.text((4.0, base - 16.0), Anchor::Start, SMALL, &counts);
    svg.text((4.0, base + 1.0), Anchor::Start, SMALL, &format!("{} bought", row.bought()));
    for (&bin, &(offered, bought)) in &row.bins {
        let middle = at(bin as f64 / BINS_PER_INCH);
        let wide = (per_bin * 0.8).min(18.0);
        let mut bar = |count: u32, fill: &str, stroke| {
            let h = f64::from(count) * unit;
            svg.rect(Rect { x: middle - wide / 2.0, y: base - h, w: wide, h }, fill, stroke);
        };
        bar(offered, PALE, MEDIUM.wide(0.9));
        bar(bought, STEEL, NONE);
        svg.text(
            (middle, base - f64::from(offered) * unit - 4.0),
            Anchor::Middle,
            SMALL,
            &offered.to_string(),
        );
    }
    svg.line((LEFT, base), (RIGHT, base), MEDIUM);
    let steps = (high - low) as f64 / BINS_PER_INCH;
    let every = if steps <= 3.0 { 0.25 } else { 0.5 };
    let mut tick = (low as f64 / BINS_PER_INCH / every).ceil() * every;
    while tick * BINS_PER_INCH <= high as f64 {
        svg.line((at(tick), base), (at(tick), base + 5.0), THIN);
        if (tick / every).round() as i64 % 2 == 0 {
            svg.text((at(tick), base + 19.0), Anchor::Middle, SMALL, &format!("{tick} in"));
        }
        tick += every;
    }
    windows(svg, row, base + 30.0, at) + 10.0
}

/// The brackets, in as many lanes as keep their names apart; returns where they end.
fn windows(svg: &mut Svg, row: &Row, top: f64, at: &dyn Fn(f64) -> f64) -> f64 {
    let mut lanes: Vec<f64> = Vec::new();
    for (crossing, low, high) in &row.windows {
        let (x1, x2) = (at(low.0) - 5.0, at(high.0) + 5.0);
        let name = fitted(crossing, SMALL, 150.0);
        // The name stands right of the bracket, or left of it at the right edge.
        let wide = breadth(&name, SMALL) + 8.0;
        let left_of = x2 + wide > RIGHT + 20.0;
        let (from, to) = if left_of { (x1 - wide, x2) } else { (x1, x2 + wide) };
        let lane = lanes.iter().position(|&used| used <= from).unwrap_or(lanes.len());
        if lane == lanes.len() {
            lanes.push(0.0);
        }
        lanes[lane] = to + 6.0;
        let y = top + lane as f64 * LANE;
        svg.open(&[
            ("class", "window"),
            ("data-crossing", crossing),
            ("data-low-in", &low.0.to_string()),
            ("data-high-in", &high.0.to_string()),
        ]);
        bracket(svg, x1, x2, y);
        let (x, anchor) = if left_of { (x1 - 5.0, Anchor::End) } else { (x2 + 5.0, Anchor::Start) };
        svg.label((x, y + 4.5), anchor, SMALL, &name);
        svg.close();
    }
    top + lanes.len() as f64 * LANE
}

fn bracket(svg: &mut Svg, x1: f64, x2: f64, y: f64) {
    svg.line((x1, y), (x2, y), CHOSEN.wide(3.0));
    for x in [x1, x2] {
        svg.line((x, y - 6.0), (x, y + 6.0), CHOSEN);
    }
}
