//! The elevation: cars on their bearings, span by span, with bolsters, overhangs, cuts and camber.

use super::WIDTH;
use super::dimension::{self, Named, Scale};
use super::lettering::{num, wrapped};
use super::profile::Curve;
use super::shape::{Depth, Shape, shapes};
use super::svg::{
    Anchor, CENTER, CHOSEN, DASHED, HEAVY, Hatch, MEDIUM, PALE, Rect, SMALL, STEEL, Svg, THIN,
};
use crate::check::TOLERANCE;
use crate::model::ends::{End, cut_words, ends, pier_bearings};
use crate::model::inputs::Inputs;
use crate::model::plan::Served;
use crate::quantity::{Feet, Inches, feet_inches};
use crate::report::text::inches_read;

/// Camber is drawn about so high.
const CAMBER_ROOM: f64 = 24.0;
/// Room for one shape of car.
const BAND: f64 = 212.0;
/// Where the bearings of the first shape lie below the top of its band.
const BEARING: f64 = 108.0;

/// One span with its shapes and where it begins.
struct Span {
    from: Feet,
    length: Feet,
    shapes: Vec<Shape>,
    last: bool,
    /// Whether it stands on a pier at its left and at its right, and how far an end may reach there.
    ends: [End; 2],
    /// How far behind its bolster an end is cut.
    behind_bolster: Feet,
}

impl Span {
    /// The ends of a shape on it, as they come and as they may be.
    fn ends_of(&self, shape: &Shape) -> [End; 2] {
        let behind = shape.inset(self.length) + self.behind_bolster;
        self.ends.map(|end| End {
            overhang: shape.overhang(self.length),
            most: end.most.min(behind),
            ..end
        })
    }
}

/// Draws the bridge from the side, true to scale both ways save the camber, whose factor is stated.
/// Cars of one deck that differ in length or truck centers stand one below the other.
#[must_use]
pub fn draw(inputs: &Inputs, served: &Served, key: &str) -> String {
    let spans = spans(inputs, served);
    let first = overhang(spans.first());
    let total = spans.last().map(|span| span.from + span.length).unwrap_or_default();
    let scale = Scale::fitting(total + first + overhang(spans.last()), 34.0, WIDTH - 34.0, 14.0);
    let scale = Scale { origin: scale.at(first), ..scale };
    let factor = camber_factor(&spans, scale);

    let crossing = served.decks.first().map(|deck| inputs.crossing(deck.site.crossing).id.as_str());
    let crossing = crossing.unwrap_or_default();
    let mut svg = Svg::new(key, &format!("Elevation of {crossing}"), WIDTH);
    svg.data("px-per-ft", scale.per_foot);
    svg.data("camber-factor", factor);

    let bands = spans.iter().map(|span| span.shapes.len()).max().unwrap_or(1).max(1);
    let mut y = 0.0;
    for band in 0..bands {
        let bearing = y + BEARING;
        ground(&mut svg, &spans, scale, bearing);
        for span in &spans {
            if let Some(shape) = span.shapes.get(band) {
                car(&mut svg, span, shape, scale, bearing, factor);
            }
        }
        y += BAND;
    }
    // The piers' names stand below the spans.
    y += if spans.len() > 1 { 18.0 } else { 6.0 };
    for note in notes(&spans, factor) {
        for line in wrapped(&note, SMALL, WIDTH - 20.0) {
            svg.text((WIDTH / 2.0, y), Anchor::Middle, SMALL, &line);
            y += 19.0;
        }
    }
    dimension::bar(&mut svg, scale, y + 4.0, Feet(10.0));
    y += 12.0;
    let words = description(&spans, factor);
    svg.finish(y, &words)
}

fn spans(inputs: &Inputs, served: &Served) -> Vec<Span> {
    let mut from = Feet(0.0);
    let count = served.decks.len();
    (1..)
        .zip(&served.decks)
        .map(|(number, deck)| {
            let crossing = inputs.crossing(deck.site.crossing);
            let rules = &inputs.rules.screen;
            let span = Span {
                from,
                length: deck.span,
                shapes: shapes(inputs, deck),
                last: number == count,
                ends: ends(rules, crossing, deck.site, Feet(0.0), None),
                behind_bolster: rules.end_behind_bolster_ft,
            };
            from += deck.span + pier_bearings(rules, crossing);
            span
        })
        .collect()
}

/// The longest overhang of a span's shapes, never negative.
fn overhang(span: Option<&Span>) -> Feet {
    let longest = |span: &Span| {
        span.shapes.iter().map(|shape| shape.overhang(span.length)).fold(Feet(0.0), Feet::max)
    };
    span.map(longest).unwrap_or_default()
}

/// A round factor by which the greatest camber nearly fills its room.
fn camber_factor(spans: &[Span], scale: Scale) -> f64 {
    let shapes = spans.iter().flat_map(|span| &span.shapes);
    let greatest = shapes
        .map(|shape| shape.camber_high.abs().max(shape.camber_low.abs()))
        .fold(Inches(0.0), Inches::max);
    let drawn = scale.inches(greatest);
    let factors = [50.0, 40.0, 30.0, 25.0, 20.0, 15.0, 10.0, 5.0, 2.0];
    factors.into_iter().find(|factor| drawn * factor <= CAMBER_ROOM).unwrap_or(1.0)
}

/// Abutments, piers and water.
fn ground(svg: &mut Svg, spans: &[Span], scale: Scale, bearing: f64) {
    let (Some(first), Some(last)) = (spans.first(), spans.last()) else { return };
    let earth = svg.hatch(Hatch::Falling);
    let seat = bearing + 7.0;
    let low = bearing + 44.0;
    let (left, right) = (scale.at(first.from), scale.at(last.from + last.length));
    // A seat under each end bearing, and the ground well below the cars' ends.
    for (wall, inner, outer) in [(left, 9.0, 0.0), (right, -9.0, WIDTH)] {
        let bank = seat + 24.0;
        let back = wall - inner;
        svg.polygon(
            &[
                (outer, bank),
                (back, bank),
                (back, seat),
                (wall + inner, seat),
                (wall + inner, low),
                (outer, low),
            ],
            &earth,
            MEDIUM,
        );
    }
    for (number, pair) in (1..).zip(spans.windows(2)) {
        // From the bearing of one span to that of the next, and a little beyond both.
        let (from, to) = (scale.at(pair[0].from + pair[0].length), scale.at(pair[1].from));
        let x = (from + to) / 2.0;
        let rect = Rect { x: from - 9.0, y: seat, w: to - from + 18.0, h: low - seat + 6.0 };
        svg.rect(rect, PALE, HEAVY);
        svg.text((x, low + 56.0), Anchor::Middle, SMALL, &format!("pier {number}"));
    }
    // A little water, so that nobody takes the drawing for a shed.
    let mut waves = String::new();
    let mut x = left + 24.0;
    while x + 20.0 < right - 20.0 {
        waves.push_str(&format!("M{} {}l5 -3l5 3l5 -3", num(x), num(low - 4.0)));
        x += 46.0;
    }
    svg.path(&waves, "none", THIN);
}

fn car(svg: &mut Svg, span: &Span, shape: &Shape, scale: Scale, bearing: f64, factor: f64) {
    let middle = span.from + span.length / 2.0;
    let half = shape.length / 2.0;
    let kept = |end: End| span.length / 2.0 + end.overhang.min(end.most.max(Feet(0.0)));
    let [kept_left, kept_right] = span.ends_of(shape).map(kept);
    let depth = shape.depth.map_or(10.0, |depth| scale.inches(depth)).max(6.0);
    let belly = scale.inches(shape.belly);
    let drawn = Curve { middle, bearing, depth, belly, scale, factor, span: span.length, shape };

    if kept_left.0 < half.0 - TOLERANCE || kept_right.0 < half.0 - TOLERANCE {
        svg.path(&drawn.outline(-half, half, true), "none", DASHED);
    }
    // A depth that was not measured on this car is dashed.
    let own = shape.depth_of == Depth::Measured;
    let edge = if own { HEAVY } else { DASHED };
    let inches = shape.depth.map(|depth| depth.0.to_string()).unwrap_or_default();
    let at_bolsters = shape.depth.map(|depth| (depth - shape.belly).0.to_string());
    svg.open(&[
        ("class", "girder"),
        ("data-depth-in", &inches),
        ("data-depth-at-bolsters-in", &at_bolsters.unwrap_or_default()),
    ]);
    svg.path(&drawn.outline(-kept_left, kept_right, true), PALE, edge);
    if own {
        svg.path(&drawn.outline(-kept_left, kept_right, false), "none", HEAVY.wide(2.6));
    }
    svg.close();

    // Bolsters and their centerlines.
    for side in [-1.0, 1.0] {
        let off = shape.centers / 2.0 * side;
        if off.0 < -kept_left.0 - TOLERANCE || off.0 > kept_right.0 + TOLERANCE {
            continue;
        }
        let x = scale.at(middle + off);
        let (y, high) = (drawn.rise(off), drawn.up(off));
        svg.rect(Rect { x: x - 4.0, y: y - high, w: 8.0, h: high }, STEEL, MEDIUM);
        svg.line((x, y - high - 12.0), (x, bearing + 30.0), CENTER);
    }
    // Bearings.
    for x in [scale.at(span.from), scale.at(span.from + span.length)] {
        let top = bearing;
        svg.polygon(&[(x - 7.0, top + 7.0), (x, top), (x + 7.0, top + 7.0)], STEEL, MEDIUM);
    }
    // Camber, from the line through the bolsters to the girder's bottom; to its top where it has a belly.
    let edge = |off: Feet| {
        if drawn.belly > 0.0 { drawn.rise(off) - drawn.up(off) } else { drawn.rise(off) }
    };
    let (chord, crown) = (edge(shape.centers / 2.0), edge(Feet(0.0)));
    let x = scale.at(middle);
    svg.line(
        (scale.at(middle - shape.centers / 2.0), chord),
        (scale.at(middle + shape.centers / 2.0), chord),
        THIN,
    );
    svg.line((x, chord), (x, crown), CHOSEN);
    let camber = if shape.camber_low == shape.camber_high {
        inches_read(shape.camber_high)
    } else {
        let low = inches_read(shape.camber_low);
        format!("{} to {}", low.trim_end_matches(" in"), inches_read(shape.camber_high))
    };
    svg.open(&[("class", "camber"), ("data-in", &shape.camber_high.0.to_string())]);
    svg.label((x, bearing + 20.0), Anchor::Middle, SMALL, &format!("camber {camber}"));
    svg.close();

    let alone = span.from.0 == 0.0 && span.last;
    dimensions(svg, span, shape, scale, bearing, alone);
}

fn dimensions(svg: &mut Svg, span: &Span, shape: &Shape, scale: Scale, bearing: f64, alone: bool) {
    let named = |what, words| Named { what, words };
    let middle = span.from + span.length / 2.0;
    let around = |length: Feet| (middle - length / 2.0, middle + length / 2.0);
    let title = capital(&shape.cars());
    svg.bold((scale.at(middle), bearing - 96.0), Anchor::Middle, SMALL, &title);
    if alone {
        let y = bearing - 74.0;
        dimension::level(svg, scale, y, around(shape.length), named("length", "length"));
        let centers = named("truck-centers", "truck centers");
        dimension::level(svg, scale, bearing - 50.0, around(shape.centers), centers);
    } else {
        // The lines of neighboring spans would run into each other.
        let said = [("length", shape.length, 79.0), ("truck centers", shape.centers, 62.0)];
        for (words, length, up) in said {
            let what = words.replace(' ', "-");
            let number = length.0.to_string();
            svg.open(&[("class", "note"), ("data-what", &what), ("data-ft", &number)]);
            let text = format!("{words} {}", feet_inches(length));
            svg.text((scale.at(middle), bearing - up), Anchor::Middle, SMALL, &text);
            svg.close();
        }
    }
    let whole = (span.from, span.from + span.length);
    dimension::level(svg, scale, bearing + 64.0, whole, named("span", "span"));
    // Overhangs, as they are when the car lies there; a cut end is said with its length.
    let over = shape.overhang(span.length);
    if over.0 > 0.05 {
        let [left, right] = span.ends_of(shape);
        let overhang = feet_inches(over);
        let text = match (left.is_cut() || right.is_cut(), alone) {
            (false, _) => format!("overhang {overhang}"),
            (true, true) => format!("overhang {overhang}, cut back to {}", feet_inches(left.most)),
            (true, false) => {
                let [left, right] = [left, right].map(|end| feet_inches(end.left()));
                format!("overhang {overhang}, cut to {left} | {right}")
            }
        };
        svg.open(&[("class", "note"), ("data-what", "overhang"), ("data-ft", &over.0.to_string())]);
        svg.label((scale.at(middle), bearing + 84.0), Anchor::Middle, SMALL, &text);
        svg.close();
    }
}

fn notes(spans: &[Span], factor: f64) -> Vec<String> {
    let mut notes = vec![format!(
        "To scale, camber {factor} times as high; ends drawn level. Dash-dot: bolsters. Triangles: bearings."
    )];
    let any = |depth: Depth| spans.iter().flat_map(|s| &s.shapes).any(|s| s.depth_of == depth);
    if spans.iter().flat_map(|span| &span.shapes).any(|shape| shape.belly.0 > 0.0) {
        notes.push(
            "Fish-belly: the girder is deeper at mid-length than at its bolsters.".to_owned(),
        );
    }
    if any(Depth::OfSection) {
        notes.push(
            "Dashed girder: depth of another car of its section, not measured on this one."
                .to_owned(),
        );
    }
    if any(Depth::NotMeasured) {
        notes.push(
            "Dashed girder: depth not measured; the exterior girder's stands in, so do not scale it."
                .to_owned(),
        );
    }
    if spans.len() > 1 {
        notes.push(
            "Dashed ends are cut away: over a pier each is cut short of the next span's car."
                .to_owned(),
        );
    }
    notes
}

fn description(spans: &[Span], factor: f64) -> String {
    let mut words = Vec::new();
    for (number, span) in (1..).zip(spans) {
        words.push(format!("Span {number}, {}.", feet_inches(span.length)));
        for shape in &span.shapes {
            let over = shape.overhang(span.length);
            let cut = cut_words(span.ends_of(shape), feet_inches);
            let cut = cut.map(|cut| format!(", {cut}")).unwrap_or_default();
            words.push(format!(
                "{}: length {}, truck centers {}, bearings {} inside the bolsters, overhang {} at each end{cut}, camber up to {}.",
                capital(&shape.cars()),
                feet_inches(shape.length),
                feet_inches(shape.centers),
                feet_inches(shape.inset(span.length)),
                feet_inches(over),
                inches_read(shape.camber_high)
            ));
        }
    }
    words.push(format!("Camber is drawn {factor} times as high as it is."));
    words.join(" ")
}

fn capital(text: &str) -> String {
    let mut chars = text.chars();
    chars.next().map(|c| c.to_uppercase().collect::<String>() + chars.as_str()).unwrap_or_default()
}
