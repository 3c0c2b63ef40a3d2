//! The plan view: the deck from above, span by span, cars in order, joints, bearings and piers.

use super::dimension::{self, Named, Scale};
use super::lettering::fitted;
use super::svg::{
    Anchor, CENTER, CHOSEN, DASHED, HEAVY, Hatch, NONE, PALE, PAPER, Rect, SMALL, Svg, TEXT, THIN,
};
use super::{WIDTH, car_list};
use crate::model::ends::{ends, pier_bearings};
use crate::model::inputs::Inputs;
use crate::model::plan::{Deck, Served};
use crate::quantity::{Feet, Inches, feet_inches};

/// Where the uppermost edge of the deck lies.
const TOP: f64 = 66.0;

/// Draws the bridge from above to scale, looking along the road to the right; car 1 lies at the
/// left hand, which is at the top.
#[must_use]
pub fn draw(inputs: &Inputs, served: &Served, key: &str) -> String {
    let starts = starts(inputs, served);
    let spans: Vec<(Feet, Feet)> =
        starts.iter().zip(&served.decks).map(|(from, deck)| (*from, *from + deck.span)).collect();
    let total = spans.last().map(|span| span.1).unwrap_or_default();
    let (first, last) = (reach(inputs, served.decks.first()), reach(inputs, served.decks.last()));
    let scale = Scale::fitting(total + first + last, 26.0, WIDTH - 26.0, 14.0);
    let scale = Scale { origin: scale.at(first), ..scale };
    let widest = served.decks.iter().map(|deck| deck.total_width).fold(Feet(0.0), Feet::max);
    let bottom = TOP + scale.length(widest);

    let crossing = served.decks.first().map(|deck| inputs.crossing(deck.site.crossing).id.as_str());
    let mut svg = Svg::new(key, &format!("Plan view of {}", crossing.unwrap_or_default()), WIDTH);
    svg.data("px-per-ft", scale.per_foot);
    svg.text(
        (26.0, 18.0),
        Anchor::Start,
        SMALL,
        "looking along the road \u{2192} (dash-dot: bolsters; dashed: cut away)",
    );

    let mut outlines = Vec::new();
    for (number, (deck, &whole)) in (1..).zip(served.decks.iter().zip(&spans)) {
        outlines.extend(span(&mut svg, inputs, deck, scale, whole.0));
        let words = if served.decks.len() > 1 { format!("span {number}") } else { "span".into() };
        dimension::level(
            &mut svg,
            scale,
            bottom + 34.0,
            whole,
            Named { what: "span", words: &words },
        );
    }
    for whole in outlines {
        svg.rect(whole, "none", DASHED);
    }
    supports(&mut svg, &spans, scale, bottom);
    if served.decks.len() > 1 {
        let all = Named { what: "bridge", words: "all spans" };
        dimension::level(&mut svg, scale, bottom + 60.0, (Feet(0.0), total), all);
    }
    let end = bottom + if served.decks.len() > 1 { 74.0 } else { 48.0 };
    dimension::bar(&mut svg, scale, end + 6.0, Feet(10.0));
    svg.finish(end + 14.0, &description(inputs, served))
}

/// Where each span begins: beyond a pier as far as its two bearings stand apart.
fn starts(inputs: &Inputs, served: &Served) -> Vec<Feet> {
    let mut from = Feet(0.0);
    let start = |deck: &Deck| {
        let here = from;
        let crossing = inputs.crossing(deck.site.crossing);
        from += deck.span + pier_bearings(&inputs.rules.screen, crossing);
        here
    };
    served.decks.iter().map(start).collect()
}

/// The longest overhang of a deck's cars.
fn reach(inputs: &Inputs, deck: Option<&Deck>) -> Feet {
    let Some(deck) = deck else { return Feet(0.0) };
    let lengths = deck.cars.iter().filter_map(|placed| inputs.car(placed.car).length);
    lengths.map(|length| (length - deck.span) / 2.0).fold(Feet(0.0), Feet::max)
}

fn span(svg: &mut Svg, inputs: &Inputs, deck: &Deck, scale: Scale, from: Feet) -> Vec<Rect> {
    let mut outlines = Vec::new();
    let gap = deck.joint.as_ref().map_or(Inches(0.0), |joint| joint.gap);
    let mut y = TOP;
    for (number, placed) in (1..).zip(&deck.cars) {
        let car = inputs.car(placed.car);
        let (length, width) = (car.length.unwrap_or_default(), car.width.unwrap_or_default());
        let high = scale.length(width);
        let left = from + (deck.span - length) / 2.0;
        let whole = Rect { x: scale.at(left), y, w: scale.length(length), h: high };
        // Over a pier the neighbor begins, and long ends are cut: what goes is dashed.
        let crossing = inputs.crossing(deck.site.crossing);
        let ends = ends(&inputs.rules.screen, crossing, deck.site, length, car.truck_centers);
        let [left_kept, right_kept] = ends.map(|end| end.overhang.min(end.most.max(Feet(0.0))));
        let (kept_left, kept_right) = (from - left_kept, from + deck.span + right_kept);
        if kept_left > left || kept_right < left + length {
            outlines.push(whole);
        }
        let x = scale.at(kept_left);
        svg.rect(Rect { x, y, w: scale.at(kept_right) - x, h: high }, PALE, HEAVY);
        let middle = scale.at(from + deck.span / 2.0);
        let center = y + high / 2.0;
        let name = fitted(&car.id, TEXT, scale.length(deck.span) - 40.0);
        let wide = super::lettering::breadth(&name, TEXT);
        svg.numbered((middle - wide / 2.0 - 4.0, center), number);
        svg.bold((middle - wide / 2.0 + 12.0, center + 5.0), Anchor::Start, TEXT, &name);
        for side in [-1.0, 1.0] {
            let off = car.truck_centers.unwrap_or_default() / 2.0 * side;
            let at = from + deck.span / 2.0 + off;
            if at >= kept_left && at <= kept_right {
                svg.line((scale.at(at), y + 3.0), (scale.at(at), y + high - 3.0), CENTER);
            }
        }
        y += high;
        if number < deck.cars.len() {
            let open = scale.inches(gap);
            let fill = svg.hatch(Hatch::Crossed);
            let (x, w) = (scale.at(from), scale.length(deck.span));
            svg.rect(Rect { x, y: y - 2.0, w, h: open.max(1.0) + 4.0 }, &fill, CHOSEN.wide(1.0));
            y += open;
        }
    }
    outlines
}

/// Bearing lines and piers.
fn supports(svg: &mut Svg, spans: &[(Feet, Feet)], scale: Scale, bottom: f64) {
    for &(from, to) in spans {
        for edge in [from, to] {
            let x = scale.at(edge);
            svg.line((x, TOP - 14.0), (x, bottom + 14.0), THIN.wide(2.0));
        }
    }
    let outer = [spans.first().map(|span| span.0), spans.last().map(|span| span.1)];
    for edge in outer.into_iter().flatten() {
        svg.text((scale.at(edge), TOP - 20.0), Anchor::Middle, SMALL, "bearing");
    }
    for (number, pair) in (1..).zip(spans.windows(2)) {
        let (left, right) = (scale.at(pair[0].1), scale.at(pair[1].0));
        let x = (left + right) / 2.0;
        let pier =
            Rect { x: left - 8.0, y: TOP - 16.0, w: right - left + 16.0, h: bottom - TOP + 32.0 };
        svg.rect(pier, "none", HEAVY);
        let name = format!("pier {number}");
        let wide = super::lettering::breadth(&name, SMALL);
        let ground = Rect { x: x - wide / 2.0, y: TOP - 36.0, w: wide, h: 16.0 };
        svg.rect(ground, PAPER, NONE);
        svg.text((x, TOP - 22.0), Anchor::Middle, SMALL, &name);
    }
}

fn description(inputs: &Inputs, served: &Served) -> String {
    let mut words = Vec::new();
    for (number, deck) in (1..).zip(&served.decks) {
        words.push(format!(
            "Span {number}, {}, from left to right across: {}.",
            feet_inches(deck.span),
            car_list(inputs, deck)
        ));
    }
    words.push("Dash-dot lines are bolsters; thick lines are bearings.".to_owned());
    words.join(" ")
}
