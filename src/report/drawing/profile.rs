//! The profile of a car from the side.

use super::dimension::Scale;
use super::lettering::num;
use super::shape::Shape;
use crate::quantity::Feet;

/// The car's profile: a parabola through its bolsters, its height exaggerated; the belly of a
/// fish-belly is another, true to scale.
pub(super) struct Curve<'a> {
    pub middle: Feet,
    pub bearing: f64,
    /// Depth at mid-length.
    pub depth: f64,
    /// How much deeper that is than at the bolsters.
    pub belly: f64,
    pub scale: Scale,
    pub factor: f64,
    pub span: Feet,
    pub shape: &'a Shape,
}

impl Curve<'_> {
    /// How high mid-length lies above the bolsters, at the top.
    fn crown(&self) -> f64 {
        self.scale.inches(self.shape.camber_high) * self.factor
    }

    /// How far along from the middle to a bolster, squared; beyond it no more than one.
    fn out(&self, off: Feet) -> f64 {
        let half = (self.shape.centers / 2.0).0.max(0.1);
        (off.0.abs().min(half) / half).powi(2)
    }

    /// The girder's bottom so far from the middle: a parabola between the bolsters that passes over
    /// the bearings, and level beyond the bolsters, where nobody measured it.
    pub fn rise(&self, off: Feet) -> f64 {
        let at = |off: Feet| (self.crown() - self.belly) * (1.0 - self.out(off));
        self.bearing - at(off) + at(self.span / 2.0)
    }

    /// Depth of the girder so far from the middle.
    pub fn up(&self, off: Feet) -> f64 {
        self.depth - self.belly * self.out(off)
    }

    /// The path of the bottom from one end to the other, and of the top back again. Between the
    /// bolsters a parabola is one quadratic curve, exactly.
    pub fn outline(&self, from: Feet, to: Feet, both: bool) -> String {
        let half = self.shape.centers / 2.0;
        let (left, right) = (from.max(-half), to.min(half));
        let x = |off: Feet| num(self.scale.at(self.middle + off));
        let bottom = |off: Feet| num(self.rise(off));
        let top = |off: Feet| num(self.rise(off) - self.up(off));
        // Where the tangents of the ends meet: halfway, as high as the product of the ends says.
        let turn = |at_bolster: f64, crown: f64| {
            let bend = crown * (1.0 - left.0 * right.0 / half.0.max(0.1).powi(2));
            format!("{} {}", x((left + right) / 2.0), num(at_bolster - bend))
        };
        let below = turn(self.rise(half), self.crown() - self.belly);
        let forth = format!(
            "M{} {}H{}Q{below} {} {}H{}",
            x(from),
            bottom(from),
            x(left),
            x(right),
            bottom(right),
            x(to)
        );
        if !both {
            return forth;
        }
        let above = turn(self.rise(half) - self.up(half), self.crown());
        let back =
            format!("V{}H{}Q{above} {} {}H{}Z", top(to), x(right), x(left), top(left), x(from));
        forth + &back
    }
}
