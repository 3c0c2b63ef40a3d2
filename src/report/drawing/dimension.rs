//! Dimension lines. Each is a group that carries its length in feet and what it measures, so that a
//! test can hold the drawn line against the plan's number.

use super::lettering::{breadth, num};
use super::svg::{Anchor, SMALL, Svg, THIN};
use crate::quantity::{Feet, Inches, feet_inches};
use crate::report::text::inches_fraction;

/// From feet to drawing units along one axis.
#[derive(Clone, Copy, Debug, PartialEq)]
pub struct Scale {
    /// Where 0 ft lies.
    pub origin: f64,
    /// Drawing units to the foot.
    pub per_foot: f64,
}

impl Scale {
    /// A scale that fits `length` into the room from `left` to `right`, at most `most` units to the
    /// foot, with the length in the middle.
    #[must_use]
    pub fn fitting(length: Feet, left: f64, right: f64, most: f64) -> Self {
        let room = (right - left).max(1.0);
        let per_foot = if length.0 > 0.0 { (room / length.0).min(most) } else { most };
        Self { origin: left + (room - length.0 * per_foot) / 2.0, per_foot }
    }

    /// The place of a point.
    #[must_use]
    pub fn at(&self, point: Feet) -> f64 {
        self.origin + point.0 * self.per_foot
    }

    /// The drawn length.
    #[must_use]
    pub fn length(&self, length: Feet) -> f64 {
        length.0 * self.per_foot
    }

    /// The drawn length of inches.
    #[must_use]
    pub fn inches(&self, length: Inches) -> f64 {
        self.length(length.into())
    }
}

/// What a dimension says: the word before the length, and its name for tests.
#[derive(Clone, Copy, Debug)]
pub struct Named<'a> {
    /// What it measures, for machines: `span`.
    pub what: &'a str,
    /// The words before the length; may be empty.
    pub words: &'a str,
}

/// A level dimension line from one point to another at a height, its text above it.
pub fn level(svg: &mut Svg, scale: Scale, y: f64, (from, to): (Feet, Feet), named: Named<'_>) {
    let text = spoken(named.words, &feet_inches(to - from));
    drawn(svg, scale, y, (from, to), named.what, |svg, x1, x2| {
        let (middle, wide) = ((x1 + x2) / 2.0, breadth(&text, SMALL));
        if wide + 6.0 <= x2 - x1 {
            svg.label((middle, y - 5.0), Anchor::Middle, SMALL, &text);
        } else {
            // Beside the line, where it does not fit between its ends.
            svg.label((x2 + 7.0, y + 4.5), Anchor::Start, SMALL, &text);
        }
    });
}

/// A bar of a round length at the left edge, for whoever measures in a copy of another size.
pub fn bar(svg: &mut Svg, scale: Scale, y: f64, length: Feet) {
    let from = (LEFT - scale.origin) / scale.per_foot.max(f64::MIN_POSITIVE);
    let ends = (Feet(from), Feet(from) + length);
    let text = spoken("scale", &feet_inches(length));
    drawn(svg, scale, y, ends, "scale", |svg, _, x2| {
        svg.label((x2 + 7.0, y + 5.0), Anchor::Start, SMALL, &text);
    });
}

/// Where a scale bar begins.
const LEFT: f64 = 20.0;

/// A short level dimension whose text hangs below it on a leader, in inches.
pub fn short(svg: &mut Svg, scale: Scale, y: f64, (from, to): (Feet, Feet), named: Named<'_>) {
    let text = spoken(named.words, &inches_fraction(Inches::from(to - from)));
    drawn(svg, scale, y, (from, to), named.what, |svg, x1, x2| {
        let middle = (x1 + x2) / 2.0;
        svg.line((middle, y + 2.0), (middle, y + 10.0), THIN);
        svg.label((middle, y + 22.0), Anchor::Middle, SMALL, &text);
    });
}

fn drawn(
    svg: &mut Svg,
    scale: Scale,
    y: f64,
    (from, to): (Feet, Feet),
    what: &str,
    text: impl FnOnce(&mut Svg, f64, f64),
) {
    let length = (to - from).0.to_string();
    svg.open(&[("class", "dim"), ("data-what", what), ("data-ft", &length)]);
    let (x1, x2) = (scale.at(from), scale.at(to));
    let (left, right, top) = (num(x1), num(x2), num(y - 5.0));
    let path = format!("M{left} {}H{right}M{left} {top}v10M{right} {top}v10", num(y));
    svg.path(&path, "none", THIN);
    svg.dots(&[(x1, y), (x2, y)], 4.4);
    text(svg, x1, x2);
    svg.close();
}

fn spoken(words: &str, length: &str) -> String {
    if words.is_empty() { length.to_owned() } else { format!("{words} {length}") }
}

#[cfg(test)]
mod tests {
    use super::*;

    #[test]
    fn a_scale_fits_and_centers() {
        let scale = Scale::fitting(Feet(10.0), 100.0, 300.0, 15.0);
        assert_eq!(scale, Scale { origin: 125.0, per_foot: 15.0 });
        let scale = Scale::fitting(Feet(40.0), 100.0, 300.0, 15.0);
        assert_eq!(scale, Scale { origin: 100.0, per_foot: 5.0 });
    }
}
