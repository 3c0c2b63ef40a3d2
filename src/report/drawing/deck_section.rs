//! The cross-section of a deck, looking along the road: cars in order, girders, joints, deck, rails.

use super::dimension::{self, Named, Scale};
use super::lettering::{fitted, num, wrapped};
use super::svg::{
    Anchor, CHOSEN, DASHED, HEAVY, Hatch, MEDIUM, NONE, OXIDE, PALE, PAPER, Rect, SMALL, STEEL,
    Svg, TEXT, THIN,
};
use super::{WIDTH, car_list};
use crate::model::car::{Car, GirderPlates};
use crate::model::inputs::Inputs;
use crate::model::plan::Deck;
use crate::quantity::{Feet, Inches, feet_inches};
use crate::report::text::inches_fraction;
use crate::report::text::inches_read;

/// Steps between neighbors are a fraction of an inch: drawn so many times as high as they are.
const STEP_FACTOR: f64 = 12.0;
/// Height of the rail as drawn; no plan knows it.
const RAIL: f64 = 42.0;
/// Thickness of the deck surface as drawn; no plan knows it.
const SURFACE: f64 = 10.0;
/// Where the cars' tops lie.
const TOP: f64 = 118.0;

/// Draws one deck to scale. Widths, gaps and measured girders are to one scale both ways; rail,
/// deck surface and what nobody measured are drawn as signs, dashed where they are members.
#[must_use]
pub fn draw(inputs: &Inputs, deck: &Deck, key: &str) -> String {
    let crossing = inputs.crossing(deck.site.crossing);
    let rail = inputs.rules.rail.width_ft;
    let longest = deck.total_width.max(deck.required_width);
    let scale = Scale::fitting(longest, 30.0, WIDTH - 30.0, 34.0);
    let gap = deck.joint.as_ref().map_or(Inches(0.0), |joint| joint.gap);
    let places = places(inputs, deck, gap);

    let title = format!("Cross-section of {}, span {}", crossing.id, deck.site.span + 1);
    let mut svg = Svg::new(key, &title, WIDTH);
    svg.data("px-per-ft", scale.per_foot);

    // Widths of the roadway, above.
    let edge = deck.total_width - rail;
    let named = |what, words| Named { what, words };
    dimension::level(
        &mut svg,
        scale,
        20.0,
        (rail, rail + crossing.clear_width),
        named("clear-required", "clear width required"),
    );
    dimension::level(&mut svg, scale, 46.0, (rail, edge), named("clear", "clear between rails"));

    let mut deepest: f64 = 40.0;
    for place in &places {
        deepest = deepest.max(car(&mut svg, scale, place, &deck.joint.is_some()));
    }
    surface(&mut svg, inputs, deck, scale, &places);
    rails(&mut svg, deck, scale, rail);
    joints(&mut svg, scale, &places, gap);

    // Cars and their widths, below.
    let mut y = TOP + deepest + 22.0;
    for (number, place) in (1..).zip(&places) {
        let (x, wide) = (scale.at(place.left), scale.length(place.width));
        svg.numbered((x + 14.0, y), number);
        svg.bold(
            (x + 30.0, y + 5.0),
            Anchor::Start,
            TEXT,
            &fitted(&place.car.id, TEXT, wide - 34.0),
        );
    }
    y += 22.0;
    for place in &places {
        if let Some(camber) = place.car.camber {
            let text = format!("camber {}", inches_read(camber));
            let wide = scale.length(place.width);
            svg.text(
                (scale.at(place.left) + 30.0, y),
                Anchor::Start,
                SMALL,
                &fitted(&text, SMALL, wide - 30.0),
            );
        }
    }
    y += 26.0;
    for (index, place) in places.iter().enumerate() {
        let ends = (place.left, place.left + place.width);
        dimension::level(&mut svg, scale, y, ends, named("car", ""));
        if index > 0 {
            let ends = (place.left - gap.into(), place.left);
            dimension::short(&mut svg, scale, y, ends, named("gap", "gap"));
        }
    }
    y += if places.len() > 1 { 50.0 } else { 26.0 };
    let all = (Feet(0.0), deck.total_width);
    dimension::level(&mut svg, scale, y, all, named("total", "total"));
    y += 25.0;
    let required = (Feet(0.0), deck.required_width);
    dimension::level(&mut svg, scale, y, required, named("required", "required with rails"));
    y += 24.0;
    let unmeasured = places.iter().any(|place| place.car.girder.plates.is_none());
    for note in notes(unmeasured, places.len() > 1) {
        for line in wrapped(note, SMALL, WIDTH - 20.0) {
            svg.text((WIDTH / 2.0, y), Anchor::Middle, SMALL, &line);
            y += 19.0;
        }
    }
    dimension::bar(&mut svg, scale, y + 4.0, Feet(5.0));
    svg.finish(y + 12.0, &description(inputs, deck, gap))
}

/// A car with its place across the deck.
struct Place<'a> {
    car: &'a Car,
    left: Feet,
    width: Feet,
}

/// The cars from left to right. The width of a placed car is always known: it was screened.
fn places<'a>(inputs: &'a Inputs, deck: &Deck, gap: Inches) -> Vec<Place<'a>> {
    let mut left = Feet(0.0);
    let mut places = Vec::new();
    for placed in &deck.cars {
        let car = inputs.car(placed.car);
        let width = car.width.unwrap_or_default();
        places.push(Place { car, left, width });
        left = left + width + gap.into();
    }
    places
}

/// One car from its deck down; returns how deep it reaches.
fn car(svg: &mut Svg, scale: Scale, place: &Place<'_>, jointed: &bool) -> f64 {
    let (left, wide) = (scale.at(place.left), scale.length(place.width));
    let exterior = place.car.exterior_depth.map(|depth| scale.inches(depth));
    let side = exterior.unwrap_or(scale.inches(Inches(12.0)));
    let cross = side.min(scale.inches(Inches(9.0)));
    // Cross-member behind everything.
    svg.rect(Rect { x: left, y: TOP, w: wide, h: cross }, PALE, THIN);
    // Exterior girders: channels with their webs outside, as the joint needs them.
    let stroke = if exterior.is_some() { HEAVY } else { DASHED };
    let lip = (scale.per_foot * 0.3).max(5.0);
    for (outer, inner) in [(left + 1.0, left + lip), (left + wide - 1.0, left + wide - lip)] {
        svg.polyline(
            &[(inner, TOP + 1.0), (outer, TOP + 1.0), (outer, TOP + side), (inner, TOP + side)],
            if *jointed { stroke.wide(3.0) } else { stroke },
        );
    }
    stringers(svg, scale, place, cross);
    let middle = left + wide / 2.0;
    let deep = match &place.car.girder.plates {
        Some(plates) => girder(svg, scale, middle, plates),
        None => {
            let deep = side.max(scale.inches(Inches(20.0)));
            let half = scale.inches(Inches(9.0));
            svg.rect(Rect { x: middle - half, y: TOP, w: half * 2.0, h: deep }, PAPER, DASHED);
            svg.bold((middle, TOP + deep / 2.0 + 5.0), Anchor::Middle, SMALL, "?");
            deep
        }
    };
    deep.max(side)
}

/// Stringers between the exterior girders and the main girder: at their measured spacing, or two on
/// each side, dashed.
fn stringers(svg: &mut Svg, scale: Scale, place: &Place<'_>, depth: f64) {
    let spacing = place.car.secondary.stringer_spacing.filter(|spacing| spacing.0 > 0.3);
    let (step, stroke) = match spacing {
        Some(spacing) => (spacing, MEDIUM),
        None => (place.width / 6.0, DASHED),
    };
    let middle = place.left + place.width / 2.0;
    let half = place.width / 2.0;
    let (top, down) = (num(TOP), num(depth * 0.7));
    let mut path = String::new();
    for number in 1..20 {
        let off = step * f64::from(number);
        if off.0 > half.0 - 0.4 {
            break;
        }
        if off.0 < 0.9 {
            continue;
        }
        for x in [scale.at(middle - off), scale.at(middle + off)] {
            path.push_str(&format!("M{} {top}v{down}m-4 0h8", num(x)));
        }
    }
    svg.path(&path, "none", stroke);
}

/// The main girder from its measured plates; returns its depth as drawn.
fn girder(svg: &mut Svg, scale: Scale, middle: f64, plates: &GirderPlates) -> f64 {
    let mut y = TOP;
    let mut plate = |svg: &mut Svg, width: Inches, thickness: Inches| {
        let (w, h) = (scale.inches(width), scale.inches(thickness).max(1.4));
        svg.rect(Rect { x: middle - w / 2.0, y, w, h }, STEEL, NONE);
        y += scale.inches(thickness);
    };
    if let Some(cover) = plates.top_cover {
        plate(svg, cover.width_in, cover.thickness_in);
    }
    plate(svg, plates.top_flange.width_in, plates.top_flange.thickness_in);
    let web_top = y;
    let mut y = web_top + scale.inches(plates.web.width_in);
    let thick = scale.inches(plates.web.thickness_in).max(2.0);
    let narrower = plates.top_flange.width_in.min(plates.bottom_flange.width_in);
    let apart = if plates.webs >= 2 { scale.inches(narrower) * 0.72 } else { 0.0 };
    let mut webs = vec![middle - apart / 2.0];
    if plates.webs >= 2 {
        webs.push(middle + apart / 2.0);
        svg.rect(
            Rect { x: middle - apart / 2.0, y: web_top, w: apart, h: y - web_top },
            PAPER,
            NONE,
        );
    }
    for x in webs {
        svg.rect(Rect { x: x - thick / 2.0, y: web_top, w: thick, h: y - web_top }, STEEL, NONE);
    }
    let mut plate = |svg: &mut Svg, width: Inches, thickness: Inches| {
        let (w, h) = (scale.inches(width), scale.inches(thickness).max(1.4));
        svg.rect(Rect { x: middle - w / 2.0, y, w, h }, STEEL, NONE);
        y += scale.inches(thickness);
    };
    plate(svg, plates.bottom_flange.width_in, plates.bottom_flange.thickness_in);
    if let Some(cover) = plates.bottom_cover {
        plate(svg, cover.width_in, cover.thickness_in);
    }
    y - TOP
}

/// The deck surface over each car; over a joint it is the joint's own.
fn surface(svg: &mut Svg, inputs: &Inputs, deck: &Deck, scale: Scale, places: &[Place<'_>]) {
    let system = &inputs.crossing(deck.site.crossing).deck_system;
    let hatch = svg.hatch(if system.contains("concrete") {
        Hatch::Dots
    } else if system.contains("steel") {
        Hatch::Level
    } else {
        Hatch::Upright
    });
    for place in places {
        let (x, w) = (scale.at(place.left), scale.length(place.width));
        svg.rect(Rect { x, y: TOP - SURFACE, w, h: SURFACE }, &hatch, MEDIUM);
    }
}

fn rails(svg: &mut Svg, deck: &Deck, scale: Scale, rail: Feet) {
    let wide = scale.length(rail);
    let right = scale.at(deck.total_width);
    for x in [scale.at(Feet(0.0)), right - wide] {
        let y = TOP - SURFACE - RAIL;
        svg.rect(Rect { x: x + wide * 0.3, y, w: wide * 0.4, h: RAIL }, PALE, MEDIUM);
        svg.rect(Rect { x, y: y + 4.0, w: wide, h: 12.0 }, STEEL, NONE);
    }
}

/// Joints with their steps: the gap's filling, and above it the two edges at their cambers.
fn joints(svg: &mut Svg, scale: Scale, places: &[Place<'_>], gap: Inches) {
    for pair in places.windows(2) {
        let [a, b] = pair else { continue };
        let (left, right) = (scale.at(a.left + a.width), scale.at(b.left));
        let depths = [a.car.exterior_depth, b.car.exterior_depth];
        let depth = depths.into_iter().flatten().fold(Inches(f64::INFINITY), Inches::min);
        let depth = if depth.0.is_finite() { scale.inches(depth) } else { 12.0 };
        let fill = svg.hatch(Hatch::Crossed);
        let y = TOP - SURFACE;
        svg.rect(Rect { x: left, y, w: right - left, h: depth + SURFACE }, &fill, CHOSEN);
        if gap.0 <= 0.0 {
            svg.line((left, y - 3.0), (left, TOP + depth + 4.0), CHOSEN);
        }
        let (Some(low), Some(high)) = (a.car.camber, b.car.camber) else { continue };
        let step = (high - low).abs();
        let drawn = scale.inches(step * STEP_FACTOR).min(26.0);
        let middle = (left + right) / 2.0;
        let base = TOP - SURFACE - 8.0;
        let (at_left, at_right) =
            if high >= low { (base, base - drawn) } else { (base - drawn, base) };
        svg.line((middle - 30.0, at_left), (middle, at_left), CHOSEN);
        svg.line((middle, at_right), (middle + 30.0, at_right), CHOSEN);
        svg.line((middle, at_left), (middle, at_right), CHOSEN.wide(1.0));
        svg.open(&[("class", "step"), ("data-in", &step.0.to_string()), ("fill", OXIDE)]);
        let text = format!("step {}", inches_fraction(step));
        svg.label((middle, base - drawn - 7.0), Anchor::Middle, SMALL, &text);
        svg.close();
    }
}

fn notes(unmeasured: bool, several: bool) -> Vec<&'static str> {
    let mut notes = vec![if several {
        "Rail, deck surface and dashed stringers are signs. The rest is to scale, camber steps 12 times as high."
    } else {
        "Rail, deck surface and dashed stringers are signs. The rest is to scale."
    }];
    if unmeasured {
        notes.push("A dashed box with ? is a main girder whose plates are not measured.");
    }
    notes
}

fn description(inputs: &Inputs, deck: &Deck, gap: Inches) -> String {
    let crossing = inputs.crossing(deck.site.crossing);
    let joint = match &deck.joint {
        Some(joint) => format!("Joint {}, gap {}.", joint.name, inches_fraction(gap)),
        None => "No joint.".to_owned(),
    };
    format!(
        "Looking along the road, from left to right: {}. {joint} Total width {}, required with rails {}; clear width required {}. Deck: {}.",
        car_list(inputs, deck),
        feet_inches(deck.total_width),
        feet_inches(deck.required_width),
        feet_inches(crossing.clear_width),
        crossing.deck_system
    )
}
