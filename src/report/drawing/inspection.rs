//! An outline of a car, top and underside, to mark damage on by hand.

use super::WIDTH;
use super::svg::{Anchor, CENTER, DASHED, MEDIUM, PAPER, Rect, SMALL, Svg, THIN};
use crate::model::car::Car;
use crate::quantity::Feet;

/// Height of one outline.
const HIGH: f64 = 46.0;

/// Draws the top above and the underside below. Lengths are to scale where they are known.
#[must_use]
pub fn draw(car: &Car, key: &str) -> String {
    let mut svg = Svg::new(key, &format!("Outline of {}", car.id), WIDTH);
    let (left, wide) = (70.0, WIDTH - 80.0);
    let length = car.length.unwrap_or(Feet(60.0)).0.max(1.0);
    let centers = car.truck_centers.map(|centers| centers.0);
    for (number, name) in ["top", "underside"].into_iter().enumerate() {
        let y = 8.0 + number as f64 * (HIGH + 14.0);
        svg.text((left - 8.0, y + HIGH / 2.0 + 4.0), Anchor::End, SMALL, name);
        svg.rect(Rect { x: left, y, w: wide, h: HIGH }, PAPER, MEDIUM);
        if name == "underside" {
            // The main girder runs along the middle.
            let girder = Rect { x: left, y: y + HIGH * 0.38, w: wide, h: HIGH * 0.24 };
            svg.rect(girder, PAPER, DASHED);
        }
        // Ten parts along, so that a place can be named.
        for part in 1..10 {
            let x = left + wide * f64::from(part) / 10.0;
            svg.line((x, y), (x, y + HIGH), THIN.wide(0.4));
        }
        if let Some(centers) = centers {
            for side in [-1.0, 1.0] {
                let x = left + wide * (0.5 + side * centers / 2.0 / length);
                svg.line((x, y - 4.0), (x, y + HIGH + 4.0), CENTER);
            }
        }
    }
    let below = 2.0 * HIGH + 40.0;
    svg.text((left, below), Anchor::Start, SMALL, "stenciled end");
    svg.text(
        (left + wide, below),
        Anchor::End,
        SMALL,
        "other end; dash-dot: bolsters; ten equal parts",
    );
    svg.finish(below + 8.0, "An empty outline of the car to mark damage on.")
}
