//! A sketch map: yards, crossings and the chosen hauls at their true positions.
//!
//! The projection is the plain one for a small area: a degree of longitude is drawn shorter than
//! one of latitude by the cosine of the middle latitude. Over a few hundred miles its distances are
//! right to a few per cent, which the scale bar says.

use super::WIDTH;
use super::lettering::{breadth, fitted};
use super::svg::{
    Anchor, CHOSEN, DASHED, HEAVY, INK, MEDIUM, NONE, PAPER, Rect, SMALL, STEEL, Svg, TEXT, THIN,
};
use super::under::under;
use crate::model::inputs::{CrossingIx, Inputs, YardIx};
use crate::model::place::Position;
use crate::model::plan::Plan;
use crate::report::outline::Outline;

/// Statute miles to a degree of latitude on the sphere that `Position::distance` uses.
const MILES_PER_DEGREE: f64 = 69.093;
/// Height of one map at least and at most.
const HEIGHT: (f64, f64) = (150.0, 228.0);

/// Room around the positions in a frame.
const MARGIN: f64 = 30.0;

/// Cars that travel from one yard to one crossing.
#[derive(Clone, Copy, Debug, PartialEq, Eq)]
pub struct HaulFlow {
    /// Where they stand.
    pub yard: YardIx,
    /// Where they go.
    pub crossing: CrossingIx,
    /// How many.
    pub cars: usize,
}

/// Every haul of the plan, by crossing, then yard.
#[must_use]
pub fn flows(inputs: &Inputs, plan: &Plan) -> Vec<HaulFlow> {
    let mut flows: Vec<HaulFlow> = Vec::new();
    for crossing in &plan.crossings {
        let Some(served) = crossing.served() else { continue };
        let cars = served.decks.iter().flat_map(|deck| &deck.cars);
        let mut yards: Vec<YardIx> = cars.map(|placed| inputs.car(placed.car).yard).collect();
        yards.sort_unstable();
        for yard in yards {
            match flows.last_mut() {
                Some(last) if last.yard == yard && last.crossing == crossing.crossing => {
                    last.cars += 1;
                }
                _ => flows.push(HaulFlow { yard, crossing: crossing.crossing, cars: 1 }),
            }
        }
    }
    flows
}

/// Positions to drawing units.
#[derive(Clone, Copy, Debug)]
pub(super) struct Projection {
    pub west: f64,
    pub north: f64,
    pub per_lon: f64,
    pub per_lat: f64,
    pub at: (f64, f64),
}

impl Projection {
    /// Fits positions into a frame with a margin.
    pub fn fitting(positions: &[Position], frame: Rect, margin: f64) -> Self {
        let ends = |value: fn(&Position) -> f64| {
            positions
                .iter()
                .map(value)
                .fold((f64::INFINITY, f64::NEG_INFINITY), |(a, b), v| (a.min(v), b.max(v)))
        };
        let (west, east) = ends(|p| p.longitude_deg);
        let (south, north) = ends(|p| p.latitude_deg);
        let squeeze = ((south + north) / 2.0).to_radians().cos();
        // One place alone, or all in a line, still gets a map: of a tenth of a degree.
        let wide = ((east - west) * squeeze).max(0.1);
        let high = (north - south).max(0.1);
        let (room_w, room_h) = (frame.w - 2.0 * margin, frame.h - 2.0 * margin);
        let per_lat = (room_w / wide).min(room_h / high);
        let left = frame.x + margin + (room_w - (east - west) * squeeze * per_lat) / 2.0;
        let top = frame.y + margin + (room_h - (north - south) * per_lat) / 2.0;
        Self { west, north, per_lon: per_lat * squeeze, per_lat, at: (left, top) }
    }

    pub fn place(&self, position: Position) -> (f64, f64) {
        (
            self.at.0 + (position.longitude_deg - self.west) * self.per_lon,
            self.at.1 + (self.north - position.latitude_deg) * self.per_lat,
        )
    }

    fn per_mile(&self) -> f64 {
        self.per_lat / MILES_PER_DEGREE
    }
}

/// A frame as high as its positions want.
pub(super) fn frame(positions: &[Position], y: f64, margin: f64) -> Rect {
    let w = WIDTH - 2.0;
    let tall = Rect { x: 1.0, y, w, h: 10_000.0 };
    let projection = Projection::fitting(positions, tall, margin);
    let south = positions.iter().map(|p| p.latitude_deg).fold(f64::INFINITY, f64::min);
    let high = (projection.north - south) * projection.per_lat + 2.0 * margin;
    Rect { x: 1.0, y, w, h: high.clamp(HEIGHT.0, HEIGHT.1) }
}

/// Draws the whole with yards and hauls above, and the crossings enlarged below.
#[must_use]
pub fn draw(inputs: &Inputs, plan: &Plan, key: &str) -> String {
    draw_over(inputs, plan, &Outline::default(), key)
}

/// The same over lines of the county, its roads and rivers.
#[must_use]
pub fn draw_over(inputs: &Inputs, plan: &Plan, outline: &Outline, key: &str) -> String {
    let mut svg = Svg::new(key, "Yards, crossings and hauls", WIDTH);
    let flows = flows(inputs, plan);
    let crossings: Vec<Position> = inputs.crossings.iter().map(|c| c.position).collect();
    let mut everything = crossings.clone();
    everything.extend(inputs.yards.iter().map(|yard| yard.position));
    if crossings.is_empty() {
        return svg.finish(10.0, "No crossings.");
    }
    let whole = frame(&everything, 24.0, MARGIN);
    let projection = Projection::fitting(&everything, whole, MARGIN);
    svg.data("px-per-mile", projection.per_mile());
    svg.bold((1.0, 15.0), Anchor::Start, SMALL, "Yards and hauls");
    svg.rect(whole, PAPER, THIN);
    under(&mut svg, outline, |position| projection.place(position), whole);
    overview(&mut svg, inputs, plan, &flows, projection, whole);

    let near = frame(&crossings, whole.y + whole.h + 34.0, MARGIN);
    let close = Projection::fitting(&crossings, near, MARGIN);
    svg.bold(
        (1.0, near.y - 9.0),
        Anchor::Start,
        SMALL,
        "The crossings, enlarged, with the cars that each gets",
    );
    svg.rect(near, PAPER, THIN);
    under(&mut svg, outline, |position| close.place(position), near);
    let left_out = detail(&mut svg, inputs, plan, &flows, close, near);
    if left_out > 0 {
        let text = format!("{left_out} names left out for want of room; the tables have them all.");
        svg.text((WIDTH - 1.0, near.y - 9.0), Anchor::End, SMALL, &text);
    }
    let words = description(inputs, plan, &flows);
    svg.finish(near.y + near.h + 2.0, &words)
}

fn overview(
    svg: &mut Svg,
    inputs: &Inputs,
    plan: &Plan,
    flows: &[HaulFlow],
    projection: Projection,
    frame: Rect,
) {
    let mut taken = Vec::new();
    hauls(svg, inputs, flows, projection);
    for crossing in &plan.crossings {
        let at = projection.place(inputs.crossing(crossing.crossing).position);
        mark(svg, at, crossing.served().is_some(), 3.5);
        taken.push(around(at, 5.0));
    }
    for (index, yard) in inputs.yards.iter().enumerate() {
        let (x, y) = projection.place(yard.position);
        let cars: usize =
            flows.iter().filter(|flow| flow.yard.0 == index).map(|flow| flow.cars).sum();
        svg.open(&[("class", "yard"), ("data-yard", &yard.name)]);
        let fill = if cars > 0 { STEEL } else { PAPER };
        svg.rect(Rect { x: x - 7.0, y: y - 7.0, w: 14.0, h: 14.0 }, fill, HEAVY);
        svg.close();
        taken.push(around((x, y), 9.0));
        let name = match cars {
            0 => format!("{}: none", yard.name),
            1 => format!("{}: 1 car", yard.name),
            n => format!("{}: {n} cars", yard.name),
        };
        let name = fitted(&name, TEXT, 240.0);
        if let Some(at) = free_place(&taken, (x, y), &name, TEXT, frame, 14.0) {
            svg.label((at.x + 2.0, at.y + at.h - 4.0), Anchor::Start, TEXT, &name);
            taken.push(at);
        }
    }
    scale_bar(svg, projection, frame);
}

fn detail(
    svg: &mut Svg,
    inputs: &Inputs,
    plan: &Plan,
    flows: &[HaulFlow],
    projection: Projection,
    frame: Rect,
) -> usize {
    let places: Vec<(f64, f64)> = plan
        .crossings
        .iter()
        .map(|crossing| projection.place(inputs.crossing(crossing.crossing).position))
        .collect();
    let mut taken: Vec<Rect> = places.iter().map(|&at| around(at, 8.0)).collect();
    taken.push(Rect { x: frame.x, y: frame.y + frame.h - 40.0, w: 190.0, h: 40.0 });
    taken.push(Rect { x: frame.x + frame.w - 44.0, y: frame.y, w: 44.0, h: 50.0 });
    let mut left_out = 0;
    for (crossing, &at) in plan.crossings.iter().zip(&places) {
        let row = inputs.crossing(crossing.crossing);
        svg.open(&[("class", "crossing"), ("data-crossing", &row.id)]);
        mark(svg, at, crossing.served().is_some(), 7.0);
        svg.close();
        let from: Vec<String> = flows
            .iter()
            .filter(|flow| flow.crossing == crossing.crossing)
            .map(|flow| format!("{} {}", flow.cars, inputs.yard(flow.yard).name))
            .collect();
        let why = if from.is_empty() { "not served".to_owned() } else { from.join(" + ") };
        let full = fitted(&format!("{} \u{2013} {why}", row.id), SMALL, 300.0);
        let brief = fitted(&row.id, SMALL, 120.0);
        let found = [full, brief].into_iter().find_map(|text| {
            free_place(&taken, at, &text, SMALL, frame, 12.0).map(|place| (text, place))
        });
        match found {
            Some((text, place)) => {
                lead(svg, at, place);
                svg.label((place.x + 2.0, place.y + place.h - 3.5), Anchor::Start, SMALL, &text);
                taken.push(place);
            }
            None => left_out += 1,
        }
    }
    scale_bar(svg, projection, frame);
    left_out
}

/// Served: a deck on its two abutments, seen from the side; not served: a cross.
fn mark(svg: &mut Svg, (x, y): (f64, f64), served: bool, size: f64) {
    if served {
        let (half, leg) = (size, size * 0.55);
        svg.rect(Rect { x: x - half, y: y - leg, w: 2.0 * half, h: leg }, PAPER, CHOSEN);
        for side in [-1.0, 1.0] {
            let foot = x + side * half * 0.75;
            svg.line((foot, y), (foot, y + leg), CHOSEN);
        }
    } else {
        let s = size * 0.9;
        svg.line((x - s, y - s), (x + s, y + s), MEDIUM.wide(2.0));
        svg.line((x - s, y + s), (x + s, y - s), MEDIUM.wide(2.0));
    }
}

/// A thin line from a mark to a name that found no room beside it.
fn lead(svg: &mut Svg, (x, y): (f64, f64), name: Rect) {
    let near = (x.clamp(name.x, name.x + name.w), y.clamp(name.y, name.y + name.h));
    if (near.0 - x).hypot(near.1 - y) > 24.0 {
        svg.line((x, y), near, THIN.wide(0.6));
    }
}

fn hauls(svg: &mut Svg, inputs: &Inputs, flows: &[HaulFlow], projection: Projection) {
    for flow in flows {
        let from = projection.place(inputs.yard(flow.yard).position);
        let to = projection.place(inputs.crossing(flow.crossing).position);
        let cars = flow.cars.to_string();
        svg.open(&[
            ("class", "haul"),
            ("data-yard", &inputs.yard(flow.yard).name),
            ("data-crossing", &inputs.crossing(flow.crossing).id),
            ("data-cars", &cars),
        ]);
        let stroke = DASHED.wide((0.8 + 0.5 * flow.cars as f64).min(4.0));
        svg.line(from, to, stroke);
        svg.close();
    }
}

fn around((x, y): (f64, f64), half: f64) -> Rect {
    Rect { x: x - half, y: y - half, w: 2.0 * half, h: 2.0 * half }
}

/// A free place for a text near a point: right, left, below, above, then the corners, then further
/// off.
fn free_place(
    taken: &[Rect],
    (x, y): (f64, f64),
    text: &str,
    size: f64,
    frame: Rect,
    off: f64,
) -> Option<Rect> {
    let (w, h) = (breadth(text, size) + 4.0, size + 4.0);
    for off in [off, off * 1.7, off * 3.0, off * 4.5] {
        let places = [
            (x + off, y - h / 2.0),
            (x - off - w, y - h / 2.0),
            (x - w / 2.0, y + off),
            (x - w / 2.0, y - off - h),
            (x + off * 0.7, y + off * 0.7),
            (x + off * 0.7, y - off * 0.7 - h),
            (x - off * 0.7 - w, y + off * 0.7),
            (x - off * 0.7 - w, y - off * 0.7 - h),
        ];
        for (x, y) in places {
            let place = Rect { x, y, w, h };
            let inside = x >= frame.x + 2.0
                && x + w <= frame.x + frame.w - 2.0
                && y >= frame.y + 2.0
                && y + h <= frame.y + frame.h - 2.0;
            if inside && !taken.iter().any(|other| other.overlaps(&place)) {
                return Some(place);
            }
        }
    }
    None
}

/// A bar of a round number of miles, and north.
fn scale_bar(svg: &mut Svg, projection: Projection, frame: Rect) {
    let per_mile = projection.per_mile();
    let miles = [500.0, 200.0, 100.0, 50.0, 20.0, 10.0, 5.0, 2.0, 1.0, 0.5]
        .into_iter()
        .find(|miles| miles * per_mile <= 150.0)
        .unwrap_or(0.5);
    let (x, y) = (frame.x + 14.0, frame.y + frame.h - 14.0);
    let wide = miles * per_mile;
    svg.open(&[("class", "scale"), ("data-miles", &miles.to_string())]);
    svg.rect(Rect { x: x - 8.0, y: y - 24.0, w: wide + 16.0, h: 34.0 }, PAPER, NONE);
    svg.line((x, y), (x + wide, y), HEAVY);
    svg.line((x, y - 5.0), (x, y + 5.0), HEAVY);
    svg.line((x + wide, y - 5.0), (x + wide, y + 5.0), HEAVY);
    svg.text((x + wide / 2.0, y - 8.0), Anchor::Middle, SMALL, &format!("{miles} miles"));
    svg.close();
    let (x, y) = (frame.x + frame.w - 24.0, frame.y + 40.0);
    svg.polygon(&[(x, y - 28.0), (x + 6.0, y - 10.0), (x - 6.0, y - 10.0)], INK, NONE);
    svg.bold((x, y + 5.0), Anchor::Middle, SMALL, "N");
}

fn description(inputs: &Inputs, plan: &Plan, flows: &[HaulFlow]) -> String {
    let mut words: Vec<String> = flows
        .iter()
        .map(|flow| {
            format!(
                "{} from {} to {}.",
                if flow.cars == 1 { "1 car".to_owned() } else { format!("{} cars", flow.cars) },
                inputs.yard(flow.yard).name,
                inputs.crossing(flow.crossing).id
            )
        })
        .collect();
    let unserved: Vec<&str> = plan
        .crossings
        .iter()
        .filter(|crossing| crossing.served().is_none())
        .map(|crossing| inputs.crossing(crossing.crossing).id.as_str())
        .collect();
    if !unserved.is_empty() {
        words.push(format!("Not served: {}.", unserved.join(", ")));
    }
    format!("A sketch at true positions; hauls are straight lines, not roads. {}", words.join(" "))
}

#[cfg(test)]
mod tests {
    use super::*;

    #[test]
    fn the_scale_bar_agrees_with_the_great_circle() {
        let at = |latitude_deg, longitude_deg| Position { latitude_deg, longitude_deg };
        let places = [at(43.5, -41.0), at(44.5, -41.0), at(44.0, -39.5)];
        let frame = Rect { x: 0.0, y: 0.0, w: 700.0, h: 430.0 };
        let projection = Projection::fitting(&places, frame, 40.0);
        for (a, b) in [(0, 1), (0, 2), (1, 2)] {
            let ((x1, y1), (x2, y2)) = (projection.place(places[a]), projection.place(places[b]));
            let drawn = (x2 - x1).hypot(y2 - y1) / projection.per_mile();
            let true_miles = places[a].distance(places[b]).0;
            assert!((drawn / true_miles - 1.0).abs() < 0.01, "{drawn} for {true_miles}");
        }
    }

    #[test]
    fn labels_never_cover_what_is_taken() {
        let frame = Rect { x: 0.0, y: 0.0, w: 300.0, h: 200.0 };
        let mut taken = vec![around((150.0, 100.0), 8.0)];
        let mut placed = 0;
        while let Some(place) = free_place(&taken, (150.0, 100.0), "B-12", 13.0, frame, 12.0) {
            assert!(!taken.iter().any(|other| other.overlaps(&place)));
            taken.push(place);
            placed += 1;
        }
        assert!((4..20).contains(&placed), "{placed}");
    }
}
