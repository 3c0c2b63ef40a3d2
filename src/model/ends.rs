//! The ends of a car beyond its bearings: how long they are, and how far they may reach.
//!
//! Each end is cut a little behind its bolster, so that the bolster stays whole, holds the end plate and
//! may be jacked at, and nothing of the car works as a cantilever beyond it. At an abutment no end reaches
//! farther beyond its bearing than the rules say. Over a pier the next span's car begins: there each end
//! has half the distance between the two spans' bearings, less half the gap between the ends.

use super::car::Car;
use super::crossing::Crossing;
use super::inputs::Site;
use super::rules::{Rules, ScreenRules};
use crate::check::TOLERANCE;
use crate::quantity::Feet;

/// One end of a car on a span.
#[derive(Clone, Copy, Debug, PartialEq)]
pub struct End {
    /// How far the car reaches beyond the bearing as it comes; below zero where it ends before it.
    pub overhang: Feet,
    /// The most that may be left.
    pub most: Feet,
    /// Whether the bearing is on a pier, with another span beyond.
    pub at_pier: bool,
}

impl End {
    /// Whether the end is cut back.
    #[must_use]
    pub fn is_cut(&self) -> bool {
        self.overhang.0 > self.most.0 + TOLERANCE
    }

    /// How far the car reaches beyond the bearing once it is cut.
    #[must_use]
    pub fn left(&self) -> Feet {
        self.overhang.min(self.most).max(Feet(0.0))
    }
}

/// The two ends of a car on a span, in the order along the road: `length` is the car's over its ends,
/// `centers` its truck centers; where these are not known the ends are cut by the limits of the site alone.
#[must_use]
pub fn ends(
    rules: &ScreenRules,
    crossing: &Crossing,
    site: Site,
    length: Feet,
    centers: Option<Feet>,
) -> [End; 2] {
    let spans = crossing.layouts.get(site.layout).map_or(&[][..], |layout| &layout.spans);
    let span = spans.get(site.span).copied().unwrap_or_default();
    let overhang = (length - span) / 2.0;
    let behind = centers.map(|centers| (centers - span) / 2.0 + rules.end_behind_bolster_ft);
    let at = |at_pier: bool| {
        let most = most(rules, crossing, at_pier);
        End { overhang, most: behind.map_or(most, |behind| most.min(behind)), at_pier }
    };
    [at(site.span > 0), at(site.span + 1 < spans.len())]
}

/// The length of a car that lies on a span: from bearing to bearing, and what stays of both ends.
/// `None`: its length or its truck centers are not known.
#[must_use]
pub fn laid(rules: &ScreenRules, crossing: &Crossing, site: Site, car: &Car) -> Option<Feet> {
    let spans = &crossing.layouts.get(site.layout)?.spans;
    let [one, other] = ends(rules, crossing, site, car.length?, Some(car.truck_centers?));
    Some(*spans.get(site.span)? + one.left() + other.left())
}

/// The length in which a car can be hauled to a span if its ends are cut at the yard. `None`: the rules do not
/// let it be cut there, no end of it is cut, or a measure is not known.
#[must_use]
pub fn cut_length(rules: &Rules, crossing: &Crossing, site: Site, car: &Car) -> Option<Feet> {
    let (length, centers) = (car.length?, car.truck_centers?);
    let cut = ends(&rules.screen, crossing, site, length, Some(centers)).iter().any(End::is_cut);
    let laid = laid(&rules.screen, crossing, site, car).filter(|_| rules.trim.at_yard && cut)?;
    Some(laid.min(length))
}

/// The longest end that any car may keep on a span: what ratings go by, on the safe side.
#[must_use]
pub fn longest(rules: &ScreenRules, crossing: &Crossing, site: Site) -> Feet {
    let [one, other] = ends(rules, crossing, site, Feet(0.0), None);
    one.most.max(other.most)
}

/// Distance between the bearings of two spans on one pier.
#[must_use]
pub fn pier_bearings(rules: &ScreenRules, crossing: &Crossing) -> Feet {
    crossing.pier_bearings.unwrap_or(rules.pier_bearings_ft)
}

fn most(rules: &ScreenRules, crossing: &Crossing, at_pier: bool) -> Feet {
    let most = rules.max_overhang_ft;
    if !at_pier {
        return most;
    }
    let between = pier_bearings(rules, crossing) - Feet::from(rules.pier_gap_in);
    (between / 2.0).max(Feet(0.0)).min(most)
}

/// What becomes of the two ends, with lengths said as given: `cut back to 6.00 ft`, `left at the
/// abutment and cut back to 0.96 ft at the pier`; none where neither is cut.
#[must_use]
pub fn cut_words(ends: [End; 2], say: impl Fn(Feet) -> String) -> Option<String> {
    let [one, other] = ends;
    if !one.is_cut() && !other.is_cut() {
        return None;
    }
    if one == other {
        let at = if one.at_pier { " at both piers" } else { "" };
        return Some(format!("cut back to {}{at}", say(one.most)));
    }
    let words = |end: End| {
        let place = if end.at_pier { "pier" } else { "abutment" };
        if end.is_cut() {
            format!("cut back to {} at the {place}", say(end.most))
        } else {
            format!("left at the {place}")
        }
    };
    Some(format!("{} and {}", words(one), words(other)))
}

#[cfg(test)]
mod tests {
    use super::*;

    fn end(overhang: f64, most: f64, at_pier: bool) -> End {
        End { overhang: Feet(overhang), most: Feet(most), at_pier }
    }

    #[test]
    fn what_is_cut_is_said_for_each_end() {
        let say = |feet: Feet| format!("{} ft", feet.0);
        for (ends, words) in [
            ([end(6.0, 6.0, false); 2], None),
            ([end(7.0, 6.0, false); 2], Some("cut back to 6 ft")),
            ([end(7.0, 1.0, true); 2], Some("cut back to 1 ft at both piers")),
            (
                [end(5.0, 6.0, false), end(5.0, 1.0, true)],
                Some("left at the abutment and cut back to 1 ft at the pier"),
            ),
            (
                [end(7.0, 1.0, true), end(7.0, 6.0, false)],
                Some("cut back to 1 ft at the pier and cut back to 6 ft at the abutment"),
            ),
        ] {
            assert_eq!(cut_words(ends, say).as_deref(), words);
        }
        assert_eq!(end(-1.0, 6.0, false).left(), Feet(0.0));
    }
}
