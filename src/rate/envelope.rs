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
mod tests {
    use super::*;
    use crate::quantity::KipsPerFoot;
    use crate::rate::train::Spacing;
    use crate::rate::vehicles::Vehicle;

    fn truck(name: &str) -> Train {
        Vehicle::built_in(name).unwrap().trains[0].clone()
    }

    fn moment(name: &str, span: f64) -> f64 {
        max_moment(&truck(name), Feet(span)).unwrap().moment.0
    }

    fn shear(name: &str, span: f64) -> f64 {
        end_shear(&truck(name), Feet(span), Feet(0.0)).unwrap().shear.0
    }

    /// AASHTO Standard Specifications, appendix A (from memory; 627.9 at 50 ft also read in the tests
    /// of the program `CivilPy`), for the HS20 truck; spans at which the truck governs over the lane
    /// load.
    #[test]
    fn hs20_truck_moments_of_the_published_table() {
        let table = [(50.0, 627.9), (60.0, 806.5), (70.0, 985.6), (80.0, 1164.9), (100.0, 1524.0)];
        for (span, expected) in table {
            assert!((moment("HS20", span) - expected).abs() < 0.1, "{span} ft: {expected}");
        }
    }

    /// End shears of the HS20 truck, the same appendix (from memory).
    #[test]
    fn hs20_truck_end_shears_of_the_published_table() {
        for (span, table) in [(20.0, 41.6), (40.0, 55.2), (60.0, 60.8), (80.0, 63.6), (100.0, 65.3)]
        {
            assert!((shear("HS20", span) - table).abs() < 0.05, "{span} ft: {table}");
        }
    }

    /// M. A. Khan, Bridge and Highway Structure Rehabilitation and Repair, McGraw-Hill 2010, table
    /// 6.7, H20 (read). The table has 147.92 at 20 ft, which is less than 160.0 with the 32-kip axle
    /// at mid-span and the 8-kip axle off the span, so the axle alone is taken here: 32 x 20 / 4.
    #[test]
    fn h20_truck_moments_of_the_published_table() {
        assert!((moment("H20", 20.0) - 160.0).abs() < 1e-9);
        for (span, table) in [(30.0, 246.6), (40.0, 346.0), (50.0, 445.6)] {
            assert!((moment("H20", span) - table).abs() < 0.06, "{span} ft: {table}");
        }
        // Shear at 20 ft by hand: 32 + 8 x 6 / 20.
        assert!((shear("H20", 20.0) - 34.4).abs() < 1e-9);
    }

    /// The three forms of the HS20 moment by hand: one axle, two axles, the whole truck.
    #[test]
    fn hs20_truck_moment_is_the_largest_of_its_three_forms() {
        for tenths in 80..1200 {
            let l = f64::from(tenths) / 10.0;
            let one = 8.0 * l;
            let two = if l > 14.0 { 64.0 * (l / 2.0 - 3.5).powi(2) / l } else { 0.0 };
            let all = if l > 28.0 { 72.0 * (l / 2.0 - 7.0 / 3.0).powi(2) / l - 112.0 } else { 0.0 };
            let most = one.max(two).max(all);
            assert!((moment("HS20", l) - most).abs() < 1e-9 * most, "{l} ft");
        }
    }

    /// Barker and Puckett, Design of Highway Bridges, 35-ft span, and MBE example A1, 65-ft span
    /// (both from memory, arithmetic redone): moments at mid-span.
    #[test]
    fn midspan_moments_of_two_worked_examples() {
        let hl93 = Vehicle::built_in("HL-93").unwrap();
        for (span, truck, tandem) in [(35.0, 350.0, 387.5), (65.0, 890.0, 762.5)] {
            for (train, expected) in hl93.trains.iter().zip([truck, tandem]) {
                let found = moment_at(train, Feet(span), Feet(span / 2.0)).unwrap();
                assert!((found.0 - expected).abs() < 1e-9, "{span} ft {}: {found}", train.name());
            }
        }
    }

    #[test]
    fn the_fifteens_are_three_quarters_of_the_twenties() {
        for span in [13.0, 29.3, 56.0, 66.0, 88.8] {
            assert!((moment("H15", span) - 0.75 * moment("H20", span)).abs() < 1e-9);
            assert!((moment("HS15", span) - 0.75 * moment("HS20", span)).abs() < 1e-9);
            assert!((shear("HS15", span) - 0.75 * shear("HS20", span)).abs() < 1e-9);
        }
    }

    /// The argument at [`Train`]: the least spacing governs. All spacings are tried at every span.
    #[test]
    fn no_longer_rear_spacing_of_an_hs_truck_governs() {
        for span in (10..=130).map(|l| f64::from(l) * 0.97) {
            let most = (moment("HS20", span), shear("HS20", span));
            for step in 0..=64 {
                let rear = Feet(14.0 + f64::from(step) * 0.25);
                let spacings = [Spacing::fixed(Feet(14.0)), Spacing::fixed(rear)];
                let longer =
                    Train::new("truck", &[Kips(8.0), Kips(32.0), Kips(32.0)], &spacings).unwrap();
                let m = max_moment(&longer, Feet(span)).unwrap().moment.0;
                let v = end_shear(&longer, Feet(span), Feet(0.0)).unwrap().shear.0;
                assert!(m <= most.0 + 1e-9 && v <= most.1 + 1e-9, "{span} ft, {rear}");
            }
        }
    }

    #[test]
    fn a_uniform_load_beside_the_train_moves_the_section_toward_midspan() {
        let train = truck("HS20");
        let alone = max_moment(&train, Feet(60.0)).unwrap();
        let both = max_moment_with(&train, 1.33, KipsPerFoot(0.64), Feet(60.0)).unwrap();
        assert!((both.section.0 - 30.0).abs() < (alone.section.0 - 30.0).abs());
        assert!(both.moment <= alone.moment);
        // By hand: s = (k W - k B / L + w L / 2) / (2 k W / L + w), the middle axle as the section:
        // B = 32 x 14 - 8 x 14 = 336, so s = 30 - 1.33 x 336 / 60 / (2 x 1.33 x 72 / 60 + 0.64).
        let s = 30.0 - 1.33 * 336.0 / 60.0 / (2.0 * 1.33 * 72.0 / 60.0 + 0.64);
        assert!((both.section.0 - s).abs() < 1e-9);
    }

    /// P L^3 / 48 for one axle at mid-span; two equal axles a apart stand symmetrically on a long
    /// span: 2 P b (3 L^2 - 4 b^2) / 48 with b = (L - a) / 2.
    #[test]
    fn deflections_by_hand() {
        let one = Train::new("truck", &[Kips(10.0)], &[]).unwrap();
        let found = max_midspan_deflection(&one, Feet(40.0)).unwrap();
        assert!((found.stiffness_times - 10.0 * 40.0_f64.powi(3) / 48.0).abs() < 1e-6);
        assert_eq!(found.front, Feet(20.0));
        let two =
            Train::new("tandem", &[Kips(25.0), Kips(25.0)], &[Spacing::fixed(Feet(4.0))]).unwrap();
        let b: f64 = 28.0;
        let hand = 2.0 * 25.0 * b * (3.0 * 60.0 * 60.0 - 4.0 * b * b) / 48.0;
        let found = max_midspan_deflection(&two, Feet(60.0)).unwrap();
        assert!((found.stiffness_times - hand).abs() < 1e-6 * hand);
        assert!((found.front - Feet(28.0)).abs() < Feet(1e-6));
    }

    /// By hand, a tandem of 25 kips at 4 ft on 50 ft with 6 ft of deck beyond the bearing: shear with
    /// the second axle at the bearing and the first 4 ft out, 25 (1 + 4 / 50) = 27, less than both on
    /// the span, 25 (1 + 46 / 50) = 48; three axles: 25 + 25 x 46 / 50 + 25 x 4 / 50 = 50.
    #[test]
    fn axles_beyond_the_bearing() {
        let tandem = Train::new("tandem", &[Kips(25.0); 2], &[Spacing::fixed(Feet(4.0))]).unwrap();
        let three = Train::new("truck", &[Kips(25.0); 3], &[Spacing::fixed(Feet(4.0)); 2]).unwrap();
        let (span, out) = (Feet(50.0), Feet(6.0));
        assert!((end_shear(&tandem, span, out).unwrap().shear.0 - 48.0).abs() < 1e-9);
        // All three on the span: 25 (1 + 46 / 50 + 42 / 50) = 69; one out: 50.
        assert!((end_shear(&three, span, out).unwrap().shear.0 - 69.0).abs() < 1e-9);
        // Reaction with the first axle at the end of the deck: 25 (56 + 52 + 48) / 50 = 78.
        let most = reaction(&three, span, out).unwrap();
        assert!((most.shear.0 - 78.0).abs() < 1e-9 && most.at_end);
        // Moment over the bearing: 25 x 6 + 25 x 2.
        assert_eq!(hogging(&three, out).moment, KipFeet(200.0));
        assert_eq!(hogging(&three, Feet(0.0)).moment, KipFeet(0.0));
        // A light axle 3 ft outside the bearing adds 1 x 3 / 50 to what stands inside.
        let loads = [Kips(1.0), Kips(30.0), Kips(30.0), Kips(1.0)];
        let spacings = [3.0, 4.0, 3.0].map(|s| Spacing::fixed(Feet(s)));
        let truck = Train::new("truck", &loads, &spacings).unwrap();
        let inside = end_shear(&truck, span, Feet(0.0)).unwrap().shear.0;
        assert!((inside - (30.0 + 30.0 * 46.0 / 50.0 + 43.0 / 50.0)).abs() < 1e-9);
        assert!((end_shear(&truck, span, out).unwrap().shear.0 - inside - 0.06).abs() < 1e-9);
    }

    /// An end longer than the least distance lets a longer one ask more. HS20 on 30 ft with ends of 20 ft,
    /// by hand: an axle of 32 kip right inside the bearing, the other 20 ft out at the end of the deck,
    /// which the least distance of 14 ft does not reach: 32 + 32 x 20 / 30, and the steering axle
    /// 14 ft inside, 8 x 16 / 30: 57.6; with ends of 30 ft 68.3. The notional load on 40 ft with ends of
    /// 14 ft: steering axle at the end of the deck, 6 x 14 / 40, the others from the bearing on, 8 + 8 x 36 /
    /// 40 + 17 (32 + 28) / 40 + 8 (24 + 20 + 16) / 40: 54.8; at its least of 6 ft it counts 6 x 6 / 40, 1.2
    /// less.
    #[test]
    fn a_distance_that_may_vary_reaches_for_the_end_of_the_deck() {
        let of = |name: &str, span: f64, end: f64| {
            let peak = end_shear(&truck(name), Feet(span), Feet(end)).unwrap();
            (peak.shear.0, peak.spacing)
        };
        let (shear, spacing) = of("HS20", 30.0, 20.0);
        assert!((shear - (32.0 + 32.0 * 20.0 / 30.0 + 8.0 * 16.0 / 30.0)).abs() < 1e-9, "{shear}");
        assert_eq!(spacing, Some(Feet(20.0)));
        assert!((of("HS20", 30.0, 30.0).0 - 68.267).abs() < 1e-3);
        let rear = 8.0 + 8.0 * 0.9 + 17.0 * (0.8 + 0.7) + 8.0 * (0.6 + 0.5 + 0.4);
        let (shear, spacing) = of("NRL", 40.0, 14.0);
        assert!((shear - (rear + 6.0 * 14.0 / 40.0)).abs() < 1e-9, "{shear}");
        assert_eq!(spacing, Some(Feet(14.0)));
    }

    /// All distances and positions in small steps, any number of rear axles: never more.
    #[test]
    fn no_distance_position_or_number_of_rear_axles_gives_more_shear() {
        for (name, least, most, front) in [("HS20", 14.0, 30.0, 1), ("NRL", 6.0, 14.0, 0)] {
            let train = truck(name);
            for (span, end) in [(12.0, 3.0), (25.0, 6.0), (31.0, 9.3), (44.0, 12.1), (30.0, 20.0)] {
                let exact = end_shear(&train, Feet(span), Feet(end)).unwrap().shear.0;
                let mut brute = 0.0_f64;
                for step in 0..=80 {
                    let gap = least + (most - least) * f64::from(step) / 80.0;
                    let places: Vec<f64> = (train.axles().iter().enumerate())
                        .map(|(i, a)| a.offset.0 + if i > front { gap - least } else { 0.0 })
                        .collect();
                    for kept in front + 2..=places.len() {
                        for (sign, position) in (-600..600)
                            .flat_map(|p| [(1.0, f64::from(p) * 0.1), (-1.0, f64::from(p) * 0.1)])
                        {
                            let of = |(axle, place): (&Axle, &f64)| {
                                let x = position + sign * place;
                                let ordinate = match x {
                                    x if (0.0..=span).contains(&x) => (span - x) / span,
                                    x if (-end..0.0).contains(&x) => -x / span,
                                    _ => 0.0,
                                };
                                axle.load.0 * ordinate
                            };
                            let all = train.axles()[..kept].iter().zip(&places);
                            brute = brute.max(all.map(of).sum());
                        }
                    }
                }
                assert!(
                    brute <= exact + 1e-9 && brute > exact * 0.97,
                    "{name} {span} {end}: {brute} {exact}"
                );
            }
        }
    }

    #[test]
    fn no_span_no_number() {
        let train = truck("H20");
        for span in [0.0, -1.0, f64::NAN, f64::INFINITY] {
            assert!(max_moment(&train, Feet(span)).is_none());
            assert!(moment_at(&train, Feet(span), Feet(0.0)).is_none());
            assert!(end_shear(&train, Feet(span), Feet(0.0)).is_none());
            assert!(max_midspan_deflection(&train, Feet(span)).is_none());
        }
        assert!(moment_at(&train, Feet(20.0), Feet(20.5)).is_none());
    }
}
