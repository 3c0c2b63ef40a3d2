//! County, roads and rivers under the map, as far as its frame reaches.

use super::svg::{EDGE, ROAD, Rect, Stroke, Svg, WATER};
use crate::model::place::Position;
use crate::report::outline::{ChainKind, Outline};

/// Positions nearer to the last than this are left out: nobody sees them.
const FINE: f64 = 0.8;

/// Draws what lies under the map, as far as its frame reaches.
pub(super) fn under(
    svg: &mut Svg,
    outline: &Outline,
    place: impl Fn(Position) -> (f64, f64),
    frame: Rect,
) {
    for chain in &outline.chains {
        let stroke = match chain.kind {
            ChainKind::Edge => EDGE,
            ChainKind::Road => ROAD,
            ChainKind::Water => WATER,
        };
        let mut run: Vec<(f64, f64)> = Vec::new();
        let mut last: Option<(f64, f64)> = None;
        let end = chain.positions.len().saturating_sub(1);
        for (number, position) in chain.positions.iter().enumerate() {
            let here = place(*position);
            let Some(from) = last else {
                last = Some(here);
                continue;
            };
            if (here.0 - from.0).hypot(here.1 - from.1) < FINE && number < end {
                continue;
            }
            last = Some(here);
            match clipped(from, here, frame) {
                Some((a, b)) => {
                    if run.last() != Some(&a) {
                        draw_run(svg, &mut run, stroke);
                        run.push(a);
                    }
                    run.push(b);
                }
                None => draw_run(svg, &mut run, stroke),
            }
        }
        draw_run(svg, &mut run, stroke);
    }
}

fn draw_run(svg: &mut Svg, run: &mut Vec<(f64, f64)>, stroke: Stroke) {
    if run.len() > 1 {
        svg.polyline(run, stroke);
    }
    run.clear();
}

/// The part of a line that lies in a frame, after Liang and Barsky (from memory); none: it lies beside.
fn clipped(
    (x1, y1): (f64, f64),
    (x2, y2): (f64, f64),
    frame: Rect,
) -> Option<((f64, f64), (f64, f64))> {
    let (dx, dy) = (x2 - x1, y2 - y1);
    let (mut from, mut to) = (0.0_f64, 1.0_f64);
    let edges = [
        (-dx, x1 - frame.x),
        (dx, frame.x + frame.w - x1),
        (-dy, y1 - frame.y),
        (dy, frame.y + frame.h - y1),
    ];
    for (towards, room) in edges {
        if towards == 0.0 {
            if room < 0.0 {
                return None;
            }
        } else if towards < 0.0 {
            from = from.max(room / towards);
        } else {
            to = to.min(room / towards);
        }
    }
    let at = |part: f64| (x1 + dx * part, y1 + dy * part);
    (from < to).then(|| (at(from), at(to)))
}

#[cfg(test)]
mod tests {
    use super::*;

    #[test]
    fn lines_end_at_the_frame() {
        let frame = Rect { x: 0.0, y: 0.0, w: 100.0, h: 50.0 };
        for (a, b, inside) in [
            ((10.0, 10.0), (90.0, 40.0), Some(((10.0, 10.0), (90.0, 40.0)))),
            ((-50.0, 25.0), (150.0, 25.0), Some(((0.0, 25.0), (100.0, 25.0)))),
            ((50.0, -25.0), (50.0, 25.0), Some(((50.0, 0.0), (50.0, 25.0)))),
            ((-10.0, 10.0), (-10.0, 40.0), None),
            ((-10.0, 60.0), (110.0, 60.0), None),
        ] {
            assert_eq!(clipped(a, b, frame), inside, "{a:?} {b:?}");
        }
    }
}
