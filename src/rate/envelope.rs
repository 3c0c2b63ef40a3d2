//! The exact envelope of a train of axles moving over a simple span: no grid of positions.
//!
//! At a fixed section the moment is a sum of axle loads times the ordinates of a triangle, so over
//! all positions it is greatest with some axle standing at the section. With that axle as the
//! section the moment is a parabola in the axle's position as long as the same axles are on the
//! span; its peak lies where the section and the resultant of those axles are placed symmetrically
//! about mid-span, or at the end of that stretch. Every run of neighboring axles that fits the span
//! is tried with every one of its axles as the section. A run that leaves out an axle standing on
//! the span only understates, so the largest of all values is the exact maximum.
//!
//! ```
//! use spanyard::quantity::Feet;
//! use spanyard::rate::{envelope, vehicles::Vehicle};
//! let hs20 = Vehicle::built_in("HS20").unwrap();
//! let peak = envelope::max_moment(&hs20.trains[0], Feet(60.0)).unwrap();
//! assert_eq!(format!("{:.1}", peak.moment), "806.5 kip-ft");
//! ```

use serde::Serialize;

use super::train::{Axle, Train};
use crate::quantity::{Feet, KipFeet, Kips, KipsPerFoot};

/// The greatest moment of a train, perhaps with a uniform load, and where it lies.
#[derive(Clone, Copy, Debug, PartialEq, Serialize)]
pub struct MomentPeak {
    /// The train's moment at the section.
    #[serde(rename = "moment_kip_ft")]
    pub moment: KipFeet,
    /// The section's distance from the bearing that the train's front faces.
    #[serde(rename = "section_ft")]
    pub section: Feet,
    /// The axle that stands at the section, from 0.
    pub axle: usize,
    /// First and last axle of the run on the span, from 0.
    pub on_span: (usize, usize),
}

/// The greatest reaction of a train at the end of the span.
#[derive(Clone, Copy, Debug, PartialEq, Serialize)]
pub struct ShearPeak {
    /// The shear beside the bearing, which is the reaction.
    #[serde(rename = "shear_kip")]
    pub shear: Kips,
    /// The axle that stands at the bearing or at the end of the deck, from 0, counted from the front.
    pub axle: usize,
    /// Whether the train leaves the span over this bearing backwards.
    pub reversed: bool,
    /// Whether that axle stands at the end of the deck beyond the bearing.
    pub at_end: bool,
    /// The distance between two of its axles that may vary; none where the least is meant.
    #[serde(rename = "varied_spacing_ft", skip_serializing_if = "Option::is_none")]
    pub spacing: Option<Feet>,
}

/// Whether a number can be a span.
fn is_span(span: Feet) -> bool {
    span.0.is_finite() && span.0 > 0.0
}

/// The greatest moment anywhere on the span, in either direction. None for a span that is not
/// positive.
#[must_use]
pub fn max_moment(train: &Train, span: Feet) -> Option<MomentPeak> {
    max_moment_with(train, 1.0, KipsPerFoot(0.0), span)
}

/// Where `factor` times the train's moment and the moment of a uniform load over the whole span are
/// greatest together. Both parts are parabolas in the position of the section, so the maximum is as
/// exact as that of the train alone. Turning the train round mirrors the span and changes nothing.
#[must_use]
pub fn max_moment_with(
    train: &Train,
    factor: f64,
    uniform: KipsPerFoot,
    span: Feet,
) -> Option<MomentPeak> {
    if !is_span(span) {
        return None;
    }
    let length = span.0;
    let axles = train.axles();
    let mut best: Option<(f64, MomentPeak)> = None;
    for first in 0..axles.len() {
        for last in first..axles.len() {
            let run = &axles[first..=last];
            if run[run.len() - 1].offset.0 - run[0].offset.0 > length {
                break;
            }
            for (at, axle) in run.iter().enumerate() {
                let parabola = Parabola::of(run, axle.offset.0, length);
                let section = parabola.peak(factor, uniform.0);
                let moment = parabola.moment(section);
                let total = factor * moment + uniform.0 * section * (length - section) / 2.0;
                if best.as_ref().is_none_or(|(most, _)| total > *most) {
                    let peak = MomentPeak {
                        moment: KipFeet(moment),
                        section: Feet(section),
                        axle: first + at,
                        on_span: (first, last),
                    };
                    best = Some((total, peak));
                }
            }
        }
    }
    best.map(|(_, peak)| peak)
}

/// The moment of a run of axles under one of them, as a function of that axle's distance `s` from
/// the bearing: `M(s) = W s (L - s) / L - B s / L - A`.
struct Parabola {
    /// Weight of the run, kips.
    weight: f64,
    /// First moment of the run about the axle, positive away from the bearing, kip-ft.
    about: f64,
    /// Moment about the axle of the loads between it and the bearing, kip-ft.
    before: f64,
    /// Least and greatest `s` with the whole run on the span, ft.
    range: (f64, f64),
    /// Span, ft.
    length: f64,
}

impl Parabola {
    fn of(run: &[Axle], at: f64, length: f64) -> Self {
        let mut weight = 0.0;
        let mut about = 0.0;
        let mut before = 0.0;
        for axle in run {
            let arm = axle.offset.0 - at;
            weight += axle.load.0;
            about += axle.load.0 * arm;
            before += axle.load.0 * (-arm).max(0.0);
        }
        let low = at - run[0].offset.0;
        let high = length - (run[run.len() - 1].offset.0 - at);
        Self { weight, about, before, range: (low, high.max(low)), length }
    }

    fn moment(&self, s: f64) -> f64 {
        (self.weight * s * (self.length - s) - self.about * s) / self.length - self.before
    }

    /// Where `factor M(s) + w s (L - s) / 2` is greatest with the whole run on the span.
    fn peak(&self, factor: f64, uniform: f64) -> f64 {
        let slope = factor * (self.weight - self.about / self.length) + uniform * self.length / 2.0;
        let curve = 2.0 * factor * self.weight / self.length + uniform;
        (slope / curve).clamp(self.range.0, self.range.1)
    }
}

/// The greatest moment of a train at one given section, and how the train stands then.
#[derive(Clone, Copy, Debug, PartialEq, Serialize)]
pub struct SectionMoment {
    /// The moment.
    #[serde(rename = "moment_kip_ft")]
    pub moment: KipFeet,
    /// The axle at the section, from 0.
    pub axle: usize,
    /// Whether the train faces the far bearing.
    pub reversed: bool,
}

/// The greatest moment at one section, `section` from a bearing, the train going either way.
#[must_use]
pub fn moment_at(train: &Train, span: Feet, section: Feet) -> Option<KipFeet> {
    section_moment(train, span, section).map(|found| found.moment)
}

/// The greatest moment at one section with the position of the train.
#[must_use]
pub fn section_moment(train: &Train, span: Feet, section: Feet) -> Option<SectionMoment> {
    if !is_span(span) || !(0.0..=span.0).contains(&section.0) {
        return None;
    }
    let (length, section) = (span.0, section.0);
    let ordinate = |place: f64| {
        if !(0.0..=length).contains(&place) {
            0.0
        } else if place <= section {
            place * (length - section) / length
        } else {
            section * (length - place) / length
        }
    };
    let mut best = SectionMoment { moment: KipFeet(0.0), axle: 0, reversed: false };
    for reversed in [false, true] {
        let sign = if reversed { -1.0 } else { 1.0 };
        for (axle, at) in train.axles().iter().enumerate() {
            let place = |other: &Axle| section + sign * (other.offset.0 - at.offset.0);
            let moment = train.axles().iter().map(|o| o.load.0 * ordinate(place(o))).sum();
            if moment > best.moment.0 {
                best = SectionMoment { moment: KipFeet(moment), axle, reversed };
            }
        }
    }
    Some(best)
}

/// The greatest shear beside the bearing, inside the span, with `overhang` of deck beyond the
/// bearing that an axle may stand on. Both directions.
///
/// An axle on the span counts `(L - x) / L`, one on the overhang `d / L`: it levers on the far
/// bearing. Axles beyond the far bearing relieve and are left out. The shear grows as the train moves
/// out over the bearing, until an axle passes the bearing or leaves the deck, so it is greatest with
/// an axle right inside the bearing or at the end of the deck. With no overhang this is the greatest
/// reaction of a simple span. A distance that may vary is what asks most.
#[must_use]
pub fn end_shear(train: &Train, span: Feet, overhang: Feet) -> Option<ShearPeak> {
    let ordinate = |place: f64| {
        if (0.0..=span.0).contains(&place) {
            (span.0 - place) / span.0
        } else if (-overhang.0..0.0).contains(&place) {
            -place / span.0
        } else {
            0.0
        }
    };
    if overhang.0 == 0.0 {
        return most_at_the_end(train, span, overhang, ordinate);
    }
    let of = |spacing: Option<Feet>| {
        let peak = most_at_the_end(&train.at(spacing), span, overhang, ordinate)?;
        Some(ShearPeak { spacing, ..peak })
    };
    let peaks = train.with_two_peaks(overhang).into_iter().map(of);
    let more = |a: ShearPeak, b: ShearPeak| if b.shear > a.shear { b } else { a };
    peaks.collect::<Option<Vec<_>>>()?.into_iter().reduce(more)
}

/// The greatest reaction at a bearing, with `overhang` of deck beyond it: the ordinate rises from
/// nothing at the far bearing to `(L + d) / L` at the end of the deck.
#[must_use]
pub fn reaction(train: &Train, span: Feet, overhang: Feet) -> Option<ShearPeak> {
    let ordinate = |place: f64| {
        if (-overhang.0..=span.0).contains(&place) { (span.0 - place) / span.0 } else { 0.0 }
    };
    most_at_the_end(train, span, overhang, ordinate)
}

/// The greatest moment over a bearing of axles on the `overhang` beyond it: with an axle at the end
/// of the deck, the others behind it as far as they stand on the overhang. Both directions; the axle
/// told is the one at the end of the deck.
#[must_use]
pub fn hogging(train: &Train, overhang: Feet) -> SectionMoment {
    let mut best = SectionMoment { moment: KipFeet(0.0), axle: 0, reversed: false };
    let axles = train.axles();
    for reversed in [false, true] {
        let sign = if reversed { -1.0 } else { 1.0 };
        for (axle, at) in axles.iter().enumerate() {
            let arm = |other: &Axle| {
                let behind = sign * (other.offset.0 - at.offset.0);
                if behind < 0.0 { 0.0 } else { (overhang.0 - behind).max(0.0) }
            };
            let moment = axles.iter().map(|other| other.load.0 * arm(other)).sum();
            if moment > best.moment.0 {
                best = SectionMoment { moment: KipFeet(moment), axle, reversed };
            }
        }
    }
    best
}

/// The greatest sum of loads times ordinates with some axle right inside the bearing or at the end of
/// the overhang; places are measured from the bearing into the span.
fn most_at_the_end(
    train: &Train,
    span: Feet,
    overhang: Feet,
    ordinate: impl Fn(f64) -> f64,
) -> Option<ShearPeak> {
    if !is_span(span) || !overhang.0.is_finite() || overhang.0 < 0.0 {
        return None;
    }
    let axles = train.axles();
    let mut best: Option<ShearPeak> = None;
    for reversed in [false, true] {
        let sign = if reversed { -1.0 } else { 1.0 };
        for (axle, at) in axles.iter().enumerate() {
            for end in [0.0, -overhang.0] {
                let place = |other: &Axle| end + sign * (other.offset.0 - at.offset.0);
                let shear = Kips(axles.iter().map(|o| o.load.0 * ordinate(place(o))).sum());
                if best.is_none_or(|most| shear > most.shear) {
                    let at_end = end < 0.0;
                    best = Some(ShearPeak { shear, axle, reversed, at_end, spacing: None });
                }
            }
        }
    }
    best
}

/// The greatest deflection at mid-span and how the train stands then.
#[derive(Clone, Copy, Debug, PartialEq)]
pub struct DeflectionPeak {
    /// The deflection times the bending stiffness, in kip-ft3: divide by E I.
    pub stiffness_times: f64,
    /// Distance of the first axle from a bearing, negative before it.
    pub front: Feet,
}

/// The greatest deflection at mid-span.
///
/// The influence line is `a (3 L^2 - 4 a^2) / 48` for a load at `a` from the nearer bearing. Between
/// positions at which an axle passes a bearing or mid-span the sum is a cubic in the train's
/// position; its stationary points are the roots of a quadratic, so the maximum is exact.
#[must_use]
pub fn max_midspan_deflection(train: &Train, span: Feet) -> Option<DeflectionPeak> {
    if !is_span(span) {
        return None;
    }
    let length = span.0;
    let axles = train.axles();
    let ordinate = |place: f64| {
        let near = place.min(length - place);
        if near <= 0.0 { 0.0 } else { near * (3.0 * length * length - 4.0 * near * near) / 48.0 }
    };
    let deflection = |front: f64| -> f64 {
        axles.iter().map(|axle| axle.load.0 * ordinate(front + axle.offset.0)).sum()
    };
    let mut breaks: Vec<f64> = axles
        .iter()
        .flat_map(|axle| [0.0, length / 2.0, length].map(|place| place - axle.offset.0))
        .collect();
    breaks.sort_by(f64::total_cmp);
    let mut most = DeflectionPeak { stiffness_times: 0.0, front: Feet(0.0) };
    let mut compare = |front: f64| {
        let stiffness_times = deflection(front);
        if stiffness_times > most.stiffness_times {
            most = DeflectionPeak { stiffness_times, front: Feet(front) };
        }
    };
    breaks.iter().for_each(|&front| compare(front));
    for pair in breaks.windows(2) {
        let (low, high) = (pair[0], pair[1]);
        // The derivative times 16 / 1: sum of P (L^2 - 4 a^2), with a minus sign beyond mid-span.
        let (mut c0, mut c1, mut c2) = (0.0, 0.0, 0.0);
        for axle in axles {
            let middle = (low + high) / 2.0 + axle.offset.0;
            let (load, offset) = (axle.load.0, axle.offset.0);
            if middle <= 0.0 || middle >= length {
                continue;
            }
            // In the near half a = s + o; in the far half a = L - s - o.
            let (sign, shift) =
                if middle <= length / 2.0 { (1.0, offset) } else { (-1.0, offset - length) };
            c0 += sign * load * (length * length - 4.0 * shift * shift);
            c1 -= sign * load * 8.0 * shift;
            c2 -= sign * load * 4.0;
        }
        for root in quadratic_roots(c2, c1, c0).into_iter().flatten() {
            if root > low && root < high {
                compare(root);
            }
        }
    }
    Some(most)
}

/// Real roots of `a x^2 + b x + c`.
fn quadratic_roots(a: f64, b: f64, c: f64) -> [Option<f64>; 2] {
    let finite = |x: f64| x.is_finite().then_some(x);
    if a == 0.0 {
        return [finite(-c / b), None];
    }
    let discriminant = b * b - 4.0 * a * c;
    if discriminant < 0.0 {
        return [None, None];
    }
    let q = -0.5 * (b + discriminant.sqrt().copysign(b));
    [finite(q / a), finite(c / q)]
}

#[cfg(test)]
mod tests;
